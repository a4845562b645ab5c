"""What an explorer is about: the one declaration that its picture and its fields share.

A subject says what can be set, what the engine makes of it, how that looks and
what its numbers are. It knows no widget; `workbook.figures.pictures.subjects` finds
every subject there is.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import isfinite
from typing import (
    TYPE_CHECKING,
    Any,
    Generic,
    Literal,
    Protocol,
    SupportsFloat,
    TypeVar,
)

import numpy as np

from workbook.errors import WorkbookError
from workbook.figures.drawing.rooms import PAGE, Room, Sheets, under
from workbook.language import STANDING, text
from workbook.scenes.fields import Choice, Number

if TYPE_CHECKING:
    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.drawing.views import Viewpoint
    from workbook.figures.grips import Grip
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts, Field, Value

S = TypeVar("S")
Solved = TypeVar("Solved", contravariant=True)
Values = Mapping[str, "Value"]
Place = Literal["picture", "beside"]


class Draws(Protocol[Solved]):
    """Draws what was solved, with what was frozen behind it."""

    def __call__(
        self,
        solved: Solved,
        /,
        *,
        system: UnitSystem,
        ghosts: Sequence[tuple[str, Solved]] = (),
        room: Room = PAGE,
    ) -> Sheet:
        """Return the picture for some room; its text says the same in words."""


class DrawsMore(Protocol[Solved]):
    """Draws something more of what was solved."""

    def __call__(
        self, solved: Solved, /, *, system: UnitSystem, room: Room = PAGE
    ) -> Sheet:
        """Return the picture; its text says the same in words."""


class DrawsInSpace(Protocol[Solved]):
    """Draws what was solved in space."""

    def __call__(
        self,
        solved: Solved,
        /,
        *,
        system: UnitSystem,
        ghosts: Sequence[tuple[str, Solved]] = (),
        view: Viewpoint,
        rest: Solved | None = None,
        room: Room = PAGE,
    ) -> Sheet:
        """Return the picture as it is seen from somewhere.

        Scale and still things are those of ``rest``, from which a hand started.
        """


@dataclass(frozen=True, kw_only=True)
class Paired:
    """Another way to set one field: two controls that follow each other.

    Attributes
    ----------
    field : Number
        The other control.
    of : str
        Name of the field that it sets.
    to : callable
        ``to(value, values)`` is what the other control shows for a value of the
        field, both in SI; ``values`` holds a value for every field.
    back : callable
        ``back(shown, values)`` is the value of the field, the inverse of ``to``.
    """

    field: Number
    of: str
    to: Callable[[float, Values], float]
    back: Callable[[float, Values], float]


@dataclass(frozen=True, kw_only=True)
class Look(Generic[S]):
    """How a picture is looked at: units, frozen results behind it, room, extras.

    With a ``view`` what can be seen in space is seen from there; ``rest`` is the
    result that a hand started from. ``expected`` is what a reader has predicted.
    """

    system: UnitSystem
    ghosts: Sequence[tuple[str, S]] = ()
    expected: Expected | None = None
    room: Room = PAGE
    extras: Collection[str] = ()
    view: Viewpoint | None = None
    rest: S | None = None


@dataclass(frozen=True, kw_only=True)
class Subject(Generic[S]):
    """One subject of an explorer, from its fields to its picture.

    Attributes
    ----------
    name : str
        What it is called.
    word : str
        Word with version that opens its set-up codes.
    fields : mapping
        What can be set, by name.
    front : tuple of str
        Names of the controls in front; never more than three of them are in sight.
    only_with : mapping
        Controls that make sense with some options only: the choice and its options.
    paired : tuple of Paired
        Second controls of a field.
    held : str
        Name of the choice of what stays as it is, or of the amount that always does.
    leaves_out : tuple of str
        What its model leaves out: names of ``leaves_out`` in ``caution.toml``.
    solve : callable
        ``solve(values)`` asks the engine; it raises the engine's refusal.
    amounts : callable
        ``amounts(solved)`` are the numbers, most telling first: SI value and kind by
        name, the name an entry of ``amount.toml``; nan where there is none.
    picture : callable
        Draws a result flat, for some room.
    beside : callable, optional
        Draws what stands beside the picture: bars of forces, forces end to end.
    in_space : callable, optional
        Draws a result in space, as it is seen from a view.
    grips : callable, optional
        ``grips(solved, view, sheet)`` is what can be taken in the picture in space,
        by name, and what a pixel moves.
    played : str
        Name of the number that a stroke can be played along, if there is one.
    ways : mapping
        Solvers for what may happen while it is played, by name, the usual one first;
        ``None`` for what ``solve`` does.
    expects : mapping
        Numbers that may be drawn as they are expected, by name: in the ``picture`` or
        ``beside`` it, whose drawers then take ``expected``.
    extras : mapping
        Pictures that may be asked for besides, by name.
    tells : mapping
        What else can be told of a result, by name, where ``telling`` asks for it:
        ``tells[name](solved, system)`` is its text.
    telling : tuple of str
        Names of the numbers that are told first, if others than of ``amounts``.
    share : callable, optional
        ``share(solved)`` is the largest share that a part carries of its rating, which
        a school's margin limits.
    school : mapping
        Fields that hold a limit of the school's, by its name in the session plan.
    first_beside : str
        Which of the extras, where it is asked for, stands beside the picture on a
        page, over what else stands there.
    units : callable
        Returns the units of this subject for the reader's.
    """

    name: str
    word: str
    fields: Mapping[str, Field]
    front: tuple[str, ...]
    only_with: Mapping[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)
    paired: tuple[Paired, ...] = ()
    held: str
    leaves_out: tuple[str, ...]
    solve: Callable[[Values], S]
    amounts: Callable[[S], Amounts]
    picture: Draws[S]
    beside: Draws[S] | None = None
    in_space: DrawsInSpace[S] | None = None
    grips: Callable[[S, Viewpoint, Sheet], Mapping[str, Grip]] | None = None
    played: str = ""
    ways: Mapping[str, Callable[[Values], S] | None] = field(default_factory=dict)
    expects: Mapping[str, Place] = field(default_factory=dict)
    extras: Mapping[str, DrawsMore[S]] = field(default_factory=dict)
    tells: Mapping[str, Callable[[S, UnitSystem], str]] = field(default_factory=dict)
    telling: tuple[str, ...] = ()
    share: Callable[[S], SupportsFloat] | None = None
    school: Mapping[str, str] = field(default_factory=dict)
    first_beside: str = ""
    units: Callable[[UnitSystem], UnitSystem] = lambda system: system

    def sheets(self, solved: S, look: Look[S]) -> Sheets:
        """Return the pictures of a result; the text of the first says what it shows."""
        seen: dict[str, Any] = {
            "system": look.system,
            "ghosts": look.ghosts,
            "room": look.room,
        }
        where: dict[str, Any] = {"picture": {**seen}, "beside": {**seen}}
        if look.expected is not None and look.expected.amount in self.expects:
            where[self.expects[look.expected.amount]]["expected"] = look.expected
        if self.in_space is not None and look.view is not None:
            where["picture"] |= {"view": look.view, "rest": look.rest}
            first = self.in_space(solved, **where["picture"])
        else:
            first = self.picture(solved, **where["picture"])
        beside = None if self.beside is None else self.beside(solved, **where["beside"])
        more = [*look.extras]
        if beside is not None and self.first_beside in more and not look.room.brief:
            more.remove(self.first_beside)
            narrow = replace(look.room, picture=look.room.beside)
            over = self.extras[self.first_beside]
            beside = under(over(solved, system=look.system, room=narrow), beside)
        sheets = (
            self.extras[name](solved, system=look.system, room=look.room)
            for name in more
        )
        return Sheets(first, beside, tuple(sheets))

    def solve_by(self, way: str, values: Values) -> S:
        """Ask the engine, as it is where a stroke is played in some way."""
        return (self.ways.get(way) or self.solve)(values)

    def refused(self, values: Values, look: Look[S], *, way: str = "") -> Sheets | None:
        """Return the pictures of a set-up that is refused, as far as they go.

        Parameters
        ----------
        values : mapping
            A value for every field.
        look : Look
            How they are looked at.
        way : str
            In which of the ``ways`` a stroke is played.

        Returns
        -------
        Sheets or None
            The part that fails is marked on it, with the reason; ``None`` where
            nothing of it can be drawn.
        """
        one: dict[str, Any] = {
            name: np.array([value]) if isinstance(self.fields[name], Number) else value
            for name, value in values.items()
        }
        try:
            solved = self.solve_by(way, one)
        except WorkbookError:
            return None
        picture = self.sheets(solved, look).picture.at(0)
        drawn = picture.panels[0].drawing.drawable
        return Sheets(picture) if drawn else None  # no forces to stand beside it

    @property
    def cautions(self) -> tuple[str, ...]:
        """Standing cautions that belong under the picture."""
        return (*STANDING["page"], *STANDING[self.name])

    def told(self, solved: S) -> dict[str, tuple[float, str]]:
        """Return the numbers that a result has: SI value and kind by name."""
        return {
            name: (float(value), kind)
            for name, (value, kind) in self.amounts(solved).items()
            if isfinite(value)
        }

    def texts(self, solved: S, system: UnitSystem) -> dict[str, str]:
        """Return what is told of a result as text by name, the most telling first."""
        told = {n: system.show(v, kind) for n, (v, kind) in self.told(solved).items()}
        asked = [name for name in self.telling if name in self.tells]
        told |= {name: self.tells[name](solved, system) for name in asked}
        return {**{name: told[name] for name in self.telling if name in told}, **told}

    def numbers(self, solved: S, system: UnitSystem) -> list[tuple[str, str]]:
        """Return the numbers of a result as text: their shown names and values."""
        return [(text("amount", n), v) for n, v in self.texts(solved, system).items()]

    def held_words(self, values: Values) -> str:
        """Say what stays as it is."""
        choice = self.fields.get(self.held)
        if isinstance(choice, Choice):
            return choice.shown(str(values[self.held]))
        return str(text("amount", self.held))

    def shown(self, values: Values) -> set[str]:
        """Return the names of the fields whose controls make sense with ``values``."""
        return {
            name
            for name in self.fields
            if name not in self.only_with
            or values[self.only_with[name][0]] in self.only_with[name][1]
        }
