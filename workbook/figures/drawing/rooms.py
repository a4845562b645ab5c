"""How much room a picture has on a page, and how its panels share it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from workbook.figures.drawing.marks import Drawing, Panel, Polygon, Sheet

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from workbook.figures.drawing.texts import Text

Size = tuple[float, float]

GAP = 10.0  # px, between panels and between sheets
CAPTION = 18.0  # px, that are the caption's alone, in letters of a page


@dataclass(frozen=True, kw_only=True)
class Room:
    """How much room there is for a picture, and for what stands beside it.

    Attributes
    ----------
    name : str
        What it is called.
    picture, beside : tuple of (float, float)
        Width and height of the picture, and of what stands beside it. [px]
    letters : float
        How many times as large as on a page the letters are.
    brief : bool
        Whether numbers stand in the list, and not on the picture too.
    """

    name: str
    picture: Size
    beside: Size
    letters: float = 1.0
    brief: bool = False

    def picture_of(self, panels: Iterable[Panel], text: str | Text) -> Sheet:
        """Return the picture that some panels make; ``text`` says what it shows."""
        return self._sheet(panels, self.picture, text)

    def beside_of(self, panels: Iterable[Panel], text: str | Text) -> Sheet:
        """Return what some panels make that stands beside a picture."""
        return self._sheet(panels, self.beside, text)

    @property
    def caption(self) -> float:
        """Height of the line that a caption has for itself. [px]"""
        return CAPTION * self.letters

    def _sheet(self, panels: Iterable[Panel], size: Size, text: str | Text) -> Sheet:
        wide, high = size
        return Sheet(
            width=wide,
            height=high,
            letters=self.letters,
            text=text,
            panels=tuple(panels),
        )


ROOMS = {
    room.name: room
    for room in (
        Room(name="page", picture=(640, 430), beside=(290, 430)),
        Room(name="phone", picture=(390, 300), beside=(390, 400), brief=True),
        # The smallest words, 12 px on a page, are 28 px there.
        Room(
            name="projector",
            picture=(770, 540),
            beside=(460, 540),
            letters=28 / 12,
            brief=True,
        ),
    )
}
PAGE = ROOMS["page"]


class Sheets(NamedTuple):
    """The pictures of a result: the first, what stands beside it, and more below."""

    picture: Sheet
    beside: Sheet | None = None
    more: tuple[Sheet, ...] = ()

    @property
    def each(self) -> list[Sheet]:
        """Every sheet there is, the picture first."""
        beside = [] if self.beside is None else [self.beside]
        return [self.picture, *beside, *self.more]

    def at(self, index: int) -> Sheets:
        """Return the sheets of one of many set-ups."""
        beside = None if self.beside is None else self.beside.at(index)
        more = tuple(sheet.at(index) for sheet in self.more)
        return Sheets(self.picture.at(index), beside, more)

    @property
    def whole(self) -> Sheet:
        """All of them joined into one, as for paper; its text is the picture's."""
        wide, high = self.picture.width, self.picture.height
        panels = [*self.picture.panels]
        if self.beside is not None:
            panels.append(_cover(self.beside, left=wide))
            panels += _moved(self.beside, left=wide + GAP)
            wide += GAP + self.beside.width
            high = max(high, self.beside.height)
        for sheet in self.more:
            panels += _moved(sheet, top=high + GAP)
            wide, high = max(wide, sheet.width), high + GAP + sheet.height
        return replace(self.picture, width=wide, height=high, panels=panels)


def under(first: Sheet, second: Sheet) -> Sheet:
    """Return two sheets as one, the second under the first; its text is the first's."""
    top = first.height + GAP
    return replace(
        first,
        width=max(first.width, second.width),
        height=top + second.height,
        panels=(*first.panels, *_moved(second, top=top)),
    )


def _cover(sheet: Sheet, *, left: float) -> Panel:
    """Return bare paper for a sheet: a picture ends where what is beside it begins."""
    corners = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    drawing = Drawing(
        caption="",
        window=(0.0, 1.0, 0.0, 1.0),
        still=[Polygon(corners, "cover", "cover")],
        true_scale=False,
    )
    return Panel(
        drawing=drawing,
        left=left,
        top=0,
        width=GAP + sheet.width,
        height=sheet.height,
    )


def _moved(sheet: Sheet, *, left: float = 0.0, top: float = 0.0) -> list[Panel]:
    return [
        replace(panel, left=panel.left + left, top=panel.top + top)
        for panel in sheet.panels
    ]


def stacked(
    drawings: Sequence[tuple[Drawing, float]],
    size: Size,
    *,
    top: float = 0.0,
    over: float = 0.0,
) -> list[Panel]:
    """Lay drawings out one below the other, each with its share of the height.

    Parameters
    ----------
    drawings : sequence of (Drawing, float)
        From the top, each with its share; shares need not add up to one.
    size : tuple of (float, float)
        Width and height of all that is there. [px]
    top : float
        Height that is left free above them. [px]
    over : float
        Part of each height that is its caption's alone. [px]
    """
    wide, high = size
    left_over = high - top - GAP * (len(drawings) - 1)
    whole = sum(share for _, share in drawings)
    panels = []
    for drawing, share in drawings:
        tall = left_over * share / whole
        panels.append(
            Panel(drawing=drawing, left=0, top=top, width=wide, height=tall, over=over)
        )
        top += tall + GAP
    return panels
