"""The load path of one pull: what share of its own rating each part uses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.letters import width_of
from workbook.figures.drawing.marks import Drawing, Label, Line, Mark, Panel, Sheet
from workbook.figures.drawing.rooms import PAGE, Room
from workbook.figures.drawing.scales import AIR, bar
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.texts import Text, said, where
from workbook.figures.pictures.ratings import first, of_governing, over, stop_words
from workbook.language import say, text

if TYPE_CHECKING:
    from workbook.equipment import LoadPath
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

ROW = 25.0  # px, in letters of a page
LEAST_BAR = 150.0  # px, of the longest bar with words behind it
WIDEST = {"share": 1.99, "rating": 199.9e3}  # few words are wider
LONGEST = 1.25  # ratings; a bar of more is cut off there
WORDS = 1.35  # ratings; where words begin, clear of every bar


def load_path_sheet(
    solved: SolvedPull, *, system: UnitSystem, room: Room = PAGE
) -> Sheet:
    """Return the picture of each part's share of its own rating."""
    path, show = solved.load_path, system.show
    size = STYLES["text"].size * room.letters
    names, behind = (
        AIR + max(width_of(x, size, False) for x in some)
        for some in (_names(path), _behind(path, system))
    )
    on_wall = room.name == "projector"  # it stands below picture and split
    wide = room.picture[0] + on_wall * room.beside[0]
    # Where words find no room behind the bars, they stand below them.
    below = wide - names - behind < LEAST_BAR
    rating_long = (wide - names - behind * (not below)) / WORDS  # px
    left = -names / rating_long
    past = "past" if behind <= wide else "past_brief"
    row, at = (2.0, (left, 0.8)) if below else (1.0, (WORDS, 0.0))
    marks: list[Mark] = []
    for k, part in enumerate(path.parts):
        words = said(
            *("picture", "pull", "load_path"),
            np.where(part.share > 1, past, "share"),
            show=show,
            share=part.share,
            rating=part.rating,
            basis=said("rating", "basis", part.basis, show=show),
        )
        *drawn, value = bar(
            -row * k,
            np.minimum(part.share, LONGEST),
            said("term", "place", part.place, show=show),
            words,
            "bar part",
            over=part.share > 1,
            name=part.place,
        )
        there = (at[0], -row * k - at[1])
        stands = np.isfinite(part.share)
        beside = Label(
            there, words, "text", (4, 0), "start", name=value.name, shown=stands
        )
        marks += [*drawn, beside]
    foot = -row * len(path.parts) + 0.4
    rating = said("picture", "pull", "load_path", "rating", show=show)
    drawing = Drawing(
        caption=said("picture", "pull", "load_path", "caption", show=show),
        window=(
            left,
            left + wide / rating_long,
            foot - 0.9,
            1.4,
        ),
        still=[
            *_limit(len(path.parts), foot, below=below),
            Label((1.0, foot), rating, "small text", (0, 9), name="label limit"),
        ],
        moving=marks,
        true_scale=False,
    )
    words = where(solved.stands, _text(solved, system), show=show)
    high = ROW * room.letters * (2.3 - foot)
    panel = Panel(drawing=drawing, left=0, top=0, width=wide, height=high)
    return Sheet(
        width=wide, height=high, letters=room.letters, text=words, panels=(panel,)
    )


def _limit(rows: int, foot: float, *, below: bool) -> list[Mark]:
    """Draw where the rating is: over all bars, or across each with words below it."""
    across = [(-2.0 * k - 0.45, -2.0 * k + 0.45) for k in range(rows)]
    return [
        Line([(1.0, low), (1.0, top)], "limit", "limit")
        for low, top in (across if below else [(foot, 0.7)])
    ]


def _names(path: LoadPath) -> list[str]:
    return [str(text("term", "place", part.place)) for part in path.parts]


def _behind(path: LoadPath, system: UnitSystem) -> list[str]:
    """Return the widest words that may stand behind the bars."""
    bases = {str(basis) for part in path.parts for basis in np.unique(part.basis)}
    return [
        say(
            *("picture", "pull", "load_path", key),
            show=system.show,
            basis=say("rating", "basis", basis),
            **WIDEST,
        )
        for key in ("past", "share")
        for basis in bases
    ]


def _text(solved: SolvedPull, system: UnitSystem) -> Text:
    path, show = solved.load_path, system.show
    shown = said(
        *("picture", "pull", "load_path", "describe"),
        show=show,
        part=said("term", "place", path.governing, show=show),
        whose=said("rating", "whose", of_governing(path, "basis"), show=show),
        share=path.largest_share,
        force=path.highest_ram_force,
        pressure=path.highest_pressure,
    )
    return first(over(path), stop_words(path, show), shown, show)
