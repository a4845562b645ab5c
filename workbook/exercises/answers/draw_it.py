"""Answers that are arrows: the forces that act, drawn or typed, one by one.

An arrow is written as the point where it acts, its direction and its size, as in
``H 55° 40 kN``; arrows are parted by ``;``. Directions count anticlockwise from the
line that the question names.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain, product
from math import ceil, cos, degrees, hypot, inf, log, pi, radians, remainder, sin
from typing import TYPE_CHECKING, Any

from workbook.errors import FormError
from workbook.exercises.answers.quantity import CLOSE_MARKS, EDGE, FULL_MARKS, GUARD
from workbook.exercises.declaration import (
    Finding,
    Judgement,
    Known,
    Numbers,
    ReadAnswer,
)
from workbook.language import say, shown
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import METRIC, factor

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

MOST = 8  # arrows; no picture here has more than three forces
LONGEST = 400
# Full marks for a direction and a share of size within these, most within twice them.
NEAR, SAME_SIZE = radians(5), 0.05
FORCES_MARKS, DIRECTION_MARKS, SIZE_MARKS = 0.2, 0.4, 0.6  # at most, where one fails
ELSEWHERE = radians(45)  # further off, a line is none of the force's
_ARROW = re.compile(r"\s*([^\W\d_])\s*[:,]?\s*(.+?(?:°|deg\w*))\s*[:,]?\s*(.+?)\s*")
# What can be wrong with an arrow, the first level that fails alone is told.
COUNT = ("same_force_twice", "force_invented", "missing_force")
POINT = ("wrong_point",)
WAY = ("chain_pushes", "sense_reversed")
UNNAMED = ("wrong_way", "too_long", "too_short")
FINE: tuple[tuple[str, ...], ...] = ((), ("close",))
EMPTY: Mapping[str, float] = {}
NONE, KNOWN = 2.0, 0.75  # unlikeness of a force without an arrow, of a known mistake


@dataclass(frozen=True, kw_only=True)
class ActingForce:
    """A force that acts: its name in the language, its point, direction and size. [SI]

    A force of a ``chain`` can only pull.
    """

    name: str
    at: str
    angle: float
    size: float
    chain: bool = False

    @property
    def arrow(self) -> DrawnArrow:
        """Its arrow."""
        return DrawnArrow(self.at, self.angle, self.size)

    def has_one_of(self, made: Iterable[DrawnArrow]) -> bool:
        """Tell whether one of some arrows is right for it, or close."""
        return any(
            a.at == self.at
            and abs(turned(a.angle, self.angle)) <= 2 * NEAR
            and abs(a.size / self.size - 1) <= 2 * SAME_SIZE
            for a in made
        )


@dataclass(frozen=True)
class DrawnArrow:
    """An arrow of an answer: where it acts, its direction and its size. [SI]"""

    at: str
    angle: float
    size: float


@dataclass(frozen=True, kw_only=True)
class ArrowMistake(Known):
    """A known wrong ``angle`` or ``size`` of a force, from the given numbers. [SI]

    It is switched off where it lies near what is right; a ``primary`` one makes the
    numbers be drawn again. One that is about two forces is made only where the arrow of
    the ``other`` is as long.
    """

    of: str
    angle: Callable[[Numbers], float] | None = None
    size: Callable[[Numbers], float] | None = None
    primary: bool = False
    other: str = ""

    def away(self, force: ActingForce, given: Numbers) -> float:
        """Return how many tolerances the mistake lies from what is right."""
        if self.angle is not None:
            return abs(turned(self.angle(given), force.angle)) / NEAR
        assert self.size is not None
        return abs(self.size(given) / force.size - 1) / SAME_SIZE


def turned(angle: float, since: float) -> float:
    """Return how far one direction is turned from another, at most half a turn. [rad]

    Examples
    --------
    >>> round(degrees(turned(radians(350), radians(10))))
    -20
    """
    return remainder(angle - since, 2 * pi)


@dataclass(frozen=True, kw_only=True)
class DrawIt:
    """A kind of answer: an arrow for every force that acts, and none besides.

    Parameters
    ----------
    forces : callable
        The forces that act, from the given numbers.
    hooks : tuple of str
        Letters of the points in the picture where an arrow may act.
    longest : callable
        A force as large as the picture has room for, from the given numbers. [N]
    """

    forces: Callable[[Numbers], tuple[ActingForce, ...]]
    hooks: tuple[str, ...]
    longest: Callable[[Numbers], float]
    says: str = field(default="draw_it", init=False)
    also: tuple[str, ...] = field(default=(*COUNT, *POINT, *WAY), init=False)

    def solve(self, given: Numbers, /) -> tuple[DrawnArrow, ...]:
        """Return the arrows that are right."""
        return tuple(force.arrow for force in self.forces(given))

    def full_size(self, given: Numbers) -> float:
        """Return the round force that an arrow of full length stands for. [N]"""
        return 10e3 * ceil(self.longest(given) / 10e3 - EDGE)

    # A typed answer --------------------------------------------------------------

    def read(self, typed: str, given: Numbers) -> ReadAnswer:
        """Read arrows, each with its point, its angle and its size."""
        try:
            return ReadAnswer(made=self._read(typed))
        except FormError as refusal:
            return ReadAnswer(problem="arrows_unread", refusal=refusal)

    def _read(self, typed: str) -> tuple[DrawnArrow, ...]:
        parts = [part for part in re.split(r"[;\n]", typed) if part.strip()]
        if not parts:
            raise FormError("exercise.nothing_drawn", example=self._example())
        if len(parts) > MOST or len(typed) > LONGEST:
            raise FormError("exercise.many_arrows", most=MOST)
        return tuple(self._arrow(part, n) for n, part in enumerate(parts, start=1))

    def _arrow(self, part: str, number: int) -> DrawnArrow:
        found = _ARROW.fullmatch(part)
        if found is None:
            raise FormError(
                "exercise.arrow_unread",
                number=number,
                said=shown(part.strip()[:40]),
                example=self._example(),
            )
        at = found[1].upper()
        if at not in self.hooks:
            raise FormError(
                "exercise.no_hook", number=number, at=shown(at), hooks=[*self.hooks]
            )
        read = {
            kind: read_quantity(said, kind=kind)
            for kind, said in (("angle", found[2]), ("force", found[3]))
        }
        for kind, one in read.items():
            if one.problem:
                reason, trouble = f"exercise.arrow_{kind}", one.sentence
                raise FormError(reason, number=number, trouble=trouble)
        angle, size = (one.value or 0.0 for one in read.values())
        if size <= 0:
            raise FormError("exercise.no_length", number=number)
        return DrawnArrow(at, angle, size)

    def _example(self) -> str:
        return f"{self.hooks[0]} 30° 12 kN"

    # What it is worth -----------------------------------------------------------

    def judge(self, made: Sequence[DrawnArrow], variant: Variant) -> Judgement:
        """Judge arrow by arrow; what is wrong at the first level that fails is told."""
        seen = self.seen(made, variant)
        names = [name for name in seen.names if name not in UNNAMED]
        if not seen.failed:
            name, score = (
                ("close", CLOSE_MARKS) if seen.close else ("right", FULL_MARKS)
            )
        else:
            several = "two_fit" if names else "none_of_these"
            name, score = names[0] if len(names) == 1 else several, seen.score
        return Judgement(
            name=name,
            score=score,
            choices=(*names, "none_of_these") if names else (),
            findings=tuple(_findings(made, seen)),
        )

    def seen(self, made: Sequence[DrawnArrow], variant: Variant) -> Seen:
        """Return what is wrong with each arrow at the first level that fails."""
        forces = self.forces(variant.given)
        pairs = self._paired(made, forces, variant)
        few = len(forces) - len(pairs)
        extra = {k: a for k, a in enumerate(made) if k not in pairs}
        count = {k: (_extra(a, pairs),) for k, a in extra.items()}
        if few or count:
            share = max(0, len(pairs) - len(count)) / len(forces)
            marks = share * FORCES_MARKS
            told = {k: name for k, (name,) in count.items()}
            return Seen(wrong=count, told=told, missing=few, score=marks)
        elsewhere = {k for k, f in pairs.items() if made[k].at != f.at}
        place = dict.fromkeys(elsewhere, POINT)
        way = {k: self._way(made[k], f, variant) for k, f in pairs.items()}
        long = {f.name: made[k].size for k, f in pairs.items()}
        size = {k: self._size(made[k], f, variant, long) for k, f in pairs.items()}
        sides = {k: _side(made[k], f) for k, f in pairs.items()}
        ways = {k: n[0] if {*n} <= {*WAY} else "wrong_way" for k, n in way.items() if n}
        levels = (
            (place, dict.fromkeys(elsewhere, *POINT), 0.0, FORCES_MARKS),
            (way, ways, FORCES_MARKS, DIRECTION_MARKS),
            (size, sides, DIRECTION_MARKS, SIZE_MARKS),
        )
        for level, told, low, high in levels:
            wrong = {k: names for k, names in level.items() if names not in FINE}
            if wrong:
                score = high - len(wrong) / len(forces) * (high - low)
                return Seen(wrong=wrong, told=told, score=score, size=level is size)
        close = ("close",) in {*way.values(), *size.values()}
        return Seen(wrong={}, told={}, score=FULL_MARKS, close=close, size=True)

    def _paired(
        self,
        made: Sequence[DrawnArrow],
        forces: Sequence[ActingForce],
        variant: Variant,
    ) -> dict[int, ActingForce]:
        """Return which force each arrow is meant for: the best match of all at once."""
        cost = [[self._unlike(a, f, variant) for a in made] for f in forces]
        best: tuple[float, tuple[int, ...]] = (inf, ())
        for chosen in product(range(-1, len(made)), repeat=len(forces)):
            used = [k for k in chosen if k >= 0]
            if len({*used}) == len(used):
                each = (
                    NONE if k < 0 else row[k]
                    for k, row in zip(chosen, cost, strict=True)
                )
                best = min(best, (sum(each), chosen))
        return {k: f for k, f in zip(best[1], forces, strict=True) if k >= 0}

    def _unlike(self, arrow: DrawnArrow, force: ActingForce, variant: Variant) -> float:
        """Return how unlike an arrow is to a force: its point, its line, which way."""
        off = abs(turned(arrow.angle, force.angle))
        line, back = min(off, pi - off), off > pi / 2
        known = self._known(arrow, force, variant, "angle")
        if line > ELSEWHERE and not known:
            return inf
        size = min(1.0, abs(log(arrow.size / force.size)))  # of two alike, the better
        unlike = KNOWN if known else line / ELSEWHERE + 0.5 * back
        return (arrow.at != force.at) + unlike + 0.01 * size

    def _way(
        self, arrow: DrawnArrow, force: ActingForce, variant: Variant
    ) -> tuple[str, ...]:
        """Return what is wrong with the direction of an arrow; nothing, or close."""
        off = abs(turned(arrow.angle, force.angle)) / NEAR
        if off <= 2 + EDGE:
            return () if off <= 1 + EDGE else ("close",)
        if off >= pi / NEAR - 2 - EDGE:
            return ("chain_pushes" if force.chain else "sense_reversed",)
        return self._known(arrow, force, variant, "angle") or ("wrong_way",)

    def _size(
        self,
        arrow: DrawnArrow,
        force: ActingForce,
        variant: Variant,
        long: Mapping[str, float],
    ) -> tuple[str, ...]:
        """Return what is wrong with the size of an arrow; nothing, or close."""
        off = abs(arrow.size / force.size - 1) / SAME_SIZE
        if off <= 2 + EDGE:
            return () if off <= 1 + EDGE else ("close",)
        known = self._known(arrow, force, variant, "size", long)
        return known or (_side(arrow, force),)

    def _known(
        self,
        arrow: DrawnArrow,
        force: ActingForce,
        variant: Variant,
        what: str,
        long: Mapping[str, float] = EMPTY,
    ) -> tuple[str, ...]:
        """Return the names of the declared mistakes that an arrow may come from."""
        found = []
        for mistake in _declared(variant):
            route = getattr(mistake, what)
            if route is None or mistake.of != force.name:
                continue
            wrong = route(variant.given)
            if what == "angle":
                fits = abs(turned(arrow.angle, wrong)) <= NEAR
            else:
                other = long.get(mistake.other, wrong)
                fits = _as_long(arrow.size, wrong) and _as_long(other, arrow.size)
            if fits and mistake.away(force, variant.given) >= GUARD - EDGE:
                found.append(mistake.name)
        return tuple(found)

    # What is said of it --------------------------------------------------------

    def separated(self, variant: Variant) -> bool:
        """Tell whether every primary mistake keeps its distance from what is right."""
        forces = {force.name: force for force in self.forces(variant.given)}
        return all(
            round(m.away(forces[m.of], variant.given), 6) >= GUARD
            for m in _declared(variant)
            if m.primary
        )

    def apart(self, made: Sequence[DrawnArrow], variant: Variant) -> bool:
        """Tell whether another question's arrows are wrong here."""
        return bool(self.seen(made, variant).failed)

    def text(self, made: Sequence[DrawnArrow], *, system: UnitSystem = METRIC) -> str:
        """Return arrows as a reader sees them, one behind the other."""
        return "; ".join(
            f"{a.at} {degrees(a.angle) % 360:.0f}° {system.show(a.size, 'force')}"
            for a in made
        )

    def typed(self, made: Sequence[DrawnArrow]) -> str:
        """Return arrows as they may be typed, the same in every language."""
        return "; ".join(
            f"{a.at} {degrees(a.angle) % 360:.4g}° {a.size / factor('kN'):.4g} kN"
            for a in made
        )

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return how near an arrow has to be."""
        return {
            "near": system.show(NEAR, "angle").replace(".0", ""),
            "same_size": system.show(SAME_SIZE, "share"),
        }

    def in_key(self, variant: Variant) -> dict[str, Any]:
        """Return the arrows that are right, and what the known mistakes give."""
        return {
            "answer": self.typed(variant.answer),
            "unit": "",
            "mistakes": [
                {"name": m.name, "gives": gives} for m, gives in self._mistakes(variant)
            ],
        }

    def mistakes_text(self, variant: Variant, *, system: UnitSystem = METRIC) -> str:
        """Return what the known mistakes give, each with its outcome name."""
        found = self._mistakes(variant, system)
        return "; ".join(f"{m.name} {gives}" for m, gives in found)

    def _mistakes(
        self, variant: Variant, system: UnitSystem = METRIC
    ) -> list[tuple[ArrowMistake, str]]:
        found = []
        forces = {force.name: force for force in self.forces(variant.given)}
        for m in _declared(variant):
            if m.away(forces[m.of], variant.given) < GUARD - EDGE:
                continue
            if m.angle is not None:
                gives = f"{degrees(m.angle(variant.given)) % 360:.0f}°"
            else:
                assert m.size is not None
                gives = system.show(m.size(variant.given), "force")
            found.append((m, f"{say('outcome', self.says, 'force', m.of)} {gives}"))
        return found


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What is wrong with arrows, by their place, at the first level that fails.

    ``told`` is what to say of each, ``missing`` how many forces have no arrow;
    ``close`` tells that some are not quite right, ``size`` that sizes were looked at.
    """

    wrong: Mapping[int, tuple[str, ...]]
    told: Mapping[int, str]
    score: float
    missing: int = 0
    close: bool = False
    size: bool = False

    @property
    def failed(self) -> bool:
        """Whether anything is wrong."""
        return bool(self.wrong or self.missing)

    @property
    def names(self) -> list[str]:
        """What is wrong, each once, a force that is missing first."""
        missing = ["missing_force"] if self.missing else []
        return [*dict.fromkeys([*missing, *chain(*self.wrong.values())])]


def _declared(variant: Variant) -> list[ArrowMistake]:
    return [m for m in variant.exercise.mistakes if isinstance(m, ArrowMistake)]


def _as_long(size: float, as_long_as: float) -> bool:
    """Tell whether a size is taken for another: within half of what is allowed."""
    return as_long_as > 0 and abs(size / as_long_as - 1) <= SAME_SIZE / 2


def _side(arrow: DrawnArrow, force: ActingForce) -> str:
    """Return whether an arrow that is not as long as its force is longer."""
    return "too_long" if arrow.size > force.size else "too_short"


def _extra(arrow: DrawnArrow, pairs: Mapping[int, ActingForce]) -> str:
    """Return what an arrow is that no force is left for."""
    again = any(
        arrow.at == f.at and abs(turned(arrow.angle, f.angle)) <= 2 * NEAR
        for f in pairs.values()
    )
    return "same_force_twice" if again else "force_invented"


def _findings(made: Sequence[DrawnArrow], seen: Seen) -> Iterator[Finding]:
    """Yield what there is to say of each arrow that is wrong, then of all together."""
    if seen.missing:
        yield Finding("missing", {"count": seen.missing})
    for place in seen.wrong:
        yield Finding(f"arrow_{seen.told[place]}", {"number": place + 1})
    if seen.size:
        along, across = (sum(a.size * way(a.angle) for a in made) for way in (cos, sin))
        longest = max(arrow.size for arrow in made)
        closes = hypot(along, across) <= SAME_SIZE * longest
        yield Finding("closes" if closes else "open")
