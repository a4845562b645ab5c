"""The hand in the picture: what the page says was moved, and what it may take there."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import degrees, isfinite, radians
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from widgets.controls import NumberControl
from workbook.figures.drawing.views import RISE, TURN, VIEWS, Viewpoint
from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from widgets.controls import Control
    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.grips import Grip
    from workbook.figures.subject import Subject

S = TypeVar("S")
Seen = str | dict[str, float]  # a named view, or two angles in degrees
FLAT = "flat"
POINTERS = ("mouse", "touch", "pen")


@dataclass(frozen=True, kw_only=True)
class Move:
    """The newest state of what a reader moves in the picture, as the page tells it.

    Attributes
    ----------
    seq : int
        Its number, which the frame that answers it repeats.
    grab : int
        A number for each time that something is taken.
    grip : str
        What was taken.
    phase : {"start", "move", "end", "cancel", "rest"}
        How far it is; "rest" once nothing has moved for a while.
    via : str
        "mouse", "touch", "pen", "key", "typed", "play" or "view".
    values : mapping
        Fields that were set, in the unit of each.
    view : str or dict, optional
        From where the picture is to be seen.
    since : float, optional
        Where a stroke that was played began.
    way : str, optional
        What is to happen while a stroke is played.
    """

    seq: int = 0
    grab: int = 0
    grip: str = ""
    phase: str = ""
    via: str = ""
    values: Mapping[str, float] = field(default_factory=dict)
    view: Seen | None = None
    since: float | None = None
    way: str | None = None


def spatial(name: str, *, flat: Sequence[str] = (FLAT,)) -> dict[str, object]:
    """Return what the page must know to turn a picture: named views, how far it goes.

    ``flat`` are the names of views that no hand turns. What was chosen is kept by the
    picture's ``name``.
    """
    views: dict[str, object] = {one: _degrees(view) for one, view in VIEWS.items()}
    limits = {"az": degrees(TURN), "el": [degrees(end) for end in RISE]}
    return {
        "subject": name,
        "views": {**views, **dict.fromkeys(flat)},
        "limits": limits,
    }


def _degrees(view: Viewpoint) -> dict[str, float]:
    return {
        "az": round(degrees(float(view.azimuth)), 6),
        "el": round(degrees(float(view.elevation)), 6),
    }


class Held(Generic[S]):
    """From where a picture is seen, and what it keeps while something moves.

    Parameters
    ----------
    spatial : bool
        Whether it can be seen in space.
    flat : sequence of str
        Names of views that are not in space.
    ways : sequence of str
        What may happen while something is played, the usual first.

    Attributes
    ----------
    rest : S or None
        The result from which the present move began: scale and still things stay as
        they were there.
    answers : int
        The number of the last move heard.
    since : float or None
        Where a stroke began that was played last and not left since.
    way : str
        What happens while one is played.
    """

    def __init__(
        self,
        *,
        spatial: bool = True,
        flat: Sequence[str] = (FLAT,),
        ways: Sequence[str] = (),
    ) -> None:
        self.spatial, self.flat, self.ways = spatial, flat, ways
        self.seen: Seen = "home"
        self.rest: S | None = None
        self.answers = 0
        self.taken = False  # by a pointer that has not let go yet
        self.turning = False
        self.since: float | None = None
        self.way = next(iter(ways), "")

    @property
    def view(self) -> Viewpoint | None:
        """The view; ``None`` where the picture is flat."""
        if not self.spatial or self.seen in self.flat:
            return None
        if isinstance(self.seen, str):
            return VIEWS[self.seen]
        return Viewpoint(
            azimuth=radians(self.seen["az"]), elevation=radians(self.seen["el"])
        ).clipped()

    @property
    def moving(self) -> bool:
        """Whether labels and scale are to stay where they are."""
        return self.rest is not None or self.turning

    def begin(self, here: S | None) -> None:
        """Take note that something moves on from a result, if it does not already."""
        self.since = None
        if self.rest is None:
            self.rest = here

    def stop(self) -> None:
        """Take note that all is somewhere else at once, and at rest."""
        self.rest, self.taken, self.turning, self.since = None, False, False, None
        self.way = next(iter(self.ways), "")

    def hear(self, move: Move, here: S | None) -> None:
        """Take note of a move that starts from a result."""
        self.answers = move.seq
        if move.view is not None and self._is_view(move.view):
            self.seen = move.view
            self.turning = move.phase == "move"
        if move.way is not None and move.way in self.ways:
            self.way = move.way
        if move.values:
            self.begin(here)
            self.since = move.since
        if move.via in POINTERS:
            self.taken = move.phase in {"start", "move"}
        if not self.taken and (move.via in POINTERS or move.phase == "rest"):
            self.rest, self.turning = None, False

    def _is_view(self, seen: object) -> bool:
        """Tell whether a browser remembers a view that there is."""
        if isinstance(seen, str):
            return seen in {*VIEWS, *self.flat}
        if not isinstance(seen, dict) or {*seen} != {"az", "el"}:
            return False
        return all(isinstance(a, int | float) and isfinite(a) for a in seen.values())


class Hand(Held[S]):
    """The hand in the picture of a subject, and what it may take there."""

    def __init__(self, subject: Subject[S]) -> None:
        self.subject = subject
        in_space = subject.in_space is not None
        super().__init__(spatial=in_space, ways=(*subject.ways,))

    def told(
        self,
        controls: Mapping[str, Control],
        result: S | None,
        sheet: Sheet | None,
        *,
        held: bool,
    ) -> dict[str, object]:
        """Return what the page needs of the hand, with a frame.

        Grips are ``None`` where there is no result: those of before still hold.
        """
        numbers = {n: c for n, c in controls.items() if isinstance(c, NumberControl)}
        grips, view = None, self.view
        if result is not None:
            grips = []
            if self.subject.grips is not None and view is not None and sheet:
                found = self.subject.grips(result, view, sheet)
                grips = [
                    self._grip(name, grip, numbers[grip.field], sheet)
                    for name, grip in found.items()
                ]
        return {
            "answers": self.answers,
            "view": self.seen,
            "values": {name: control.value for name, control in numbers.items()},
            "grips": grips,
            "stroke": self._stroke(numbers),
            "still": held,
            "moving": self.moving,
        }

    def _grip(
        self, name: str, grip: Grip, control: NumberControl, sheet: Sheet
    ) -> dict[str, object]:
        size = (sheet.width, sheet.height)
        return {
            "name": name,
            "label": text("picture", self.subject.name, "grip", name),
            "at": in_shares(grip.at, size),
            "way": in_shares(grip.way, size),
            "locked": bool(grip.at_the_reader),
            "stops": None if grip.stops is None else [*grip.stops],
            "text": _words(control, grip.stops),
            "step": control.step,
            **_number(control),
        }

    def _stroke(self, numbers: Mapping[str, NumberControl]) -> dict[str, object] | None:
        """Return the field that can be played; its pictures are a step apart."""
        if not self.subject.played:
            return None
        control = numbers[self.subject.played]
        said = text("picture", self.subject.name, "way") if self.subject.ways else {}
        return {
            "label": control.field.label,
            "step": control.field.step,
            "ways": [[name, said[name]] for name in self.subject.ways],
            "way": self.way,
            **_number(control),
        }


def _number(control: NumberControl) -> dict[str, object]:
    """Return a number control as the page must know it."""
    field = control.field
    return {
        "field": field.name,
        "value": control.value,
        "low": field.low,
        "high": field.high,
        "grain": field.grain,
        "shown": control.shown_as,
    }


def in_shares(pixels: Any, size: tuple[float, float]) -> list[float]:
    """Return a place on a picture, in shares of its width and height."""
    return [round(float(p) / whole, 7) for p, whole in zip(pixels, size, strict=True)]


def _words(control: NumberControl, stops: tuple[float, ...] | None) -> str:
    """Say a value, and which slot that is."""
    if stops is None:
        return control.said
    if control.value not in stops:
        return say("hand", "no_slot", value=control.said)
    number = stops.index(control.value) + 1
    return say("hand", "slot", value=control.said, number=number, count=len(stops))
