"""Answers that are a number with its unit, with mistakes that lead to numbers.

A `Mistake` is a wrong route with its own number.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.exercises.declaration import Judgement, Known, Numbers
from workbook.quantities.table import KINDS, kind_of
from workbook.quantities.typed import Typed, read_quantity
from workbook.quantities.units import INCH, METRIC, factor, figures, with_unit

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

SAME = 0.01  # how near a known mistake a typed value lies to be taken for it
EDGE = 1e-9  # typed decimals carry the last bit of a float; the edge belongs inside
RIGHT, CLOSE, OFF = 0, 1, 2  # grades
FULL_MARKS, CLOSE_MARKS = 1.0, 0.8
GUARD = 3.0  # tolerances that a mistake keeps from the right answer


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """How far off still earns full marks: the larger of a share and a size.

    ``absolute`` is in the unit of the answer.
    """

    relative: float = 0.0
    absolute: float = 0.0


TWO_PERCENT = Tolerance(relative=0.02)


@dataclass(frozen=True, kw_only=True)
class Quantity:
    """A kind of answer: a number with its unit, read and judged here alone.

    Values to judge are one or many; they broadcast against the right answers and
    against the numbers of the mistakes, which have one axis more.

    Parameters
    ----------
    kind, unit : str
        Kind of quantity, and the unit it is shown in.
    solve : callable
        The right answer from the given numbers. [SI]
    tolerance : Tolerance
        Full marks within it, most of them within twice that.
    smallest, largest : float
        The range all right answers lie in. [unit]
    """

    kind: str
    unit: str
    solve: Callable[[Numbers], float]
    tolerance: Tolerance
    smallest: float
    largest: float
    says: str = field(default="", init=False)
    also: tuple[str, ...] = field(default=(), init=False)  # slips, told by the number

    def read(self, typed: str, given: Numbers) -> Typed:
        """Return what was typed as a value, or the problem with it."""
        return read_quantity(typed, kind=self.kind)

    def judge(self, made: float, variant: Variant) -> Judgement:
        """Compare a value with the right answer, then with the known mistakes. [SI]"""
        grade = self.grade(made, right=variant.answer)
        if grade == RIGHT:
            return Judgement(name="right", score=FULL_MARKS, value=made)
        if grade == CLOSE:
            return Judgement(name="close", score=CLOSE_MARKS, value=made)
        fits = self.fits(made, wrong=variant.wrong)
        found = [m for m, fit in zip(variant.routes, fits, strict=True) if fit]
        if not found:
            return Judgement(name="none_of_these", score=0.0, value=made)
        names = tuple(dict.fromkeys(mistake.name for mistake in found))
        return Judgement(
            name=names[0] if len(names) == 1 else "two_fit",
            score=min(mistake.score for mistake in found),
            value=made,
            choices=(*names, "none_of_these"),
        )

    def tolerance_at(self, right: ArrayLike) -> NDArray[np.float64]:
        """Return the full tolerance round right answers. [SI]"""
        return np.maximum(self.tolerance.relative * np.abs(right), self._size)

    def grade(self, values: ArrayLike, *, right: ArrayLike) -> NDArray[np.int_]:
        """Return for each value whether it is `RIGHT`, `CLOSE` or `OFF`."""
        away = np.abs(np.subtract(values, right)) / self.tolerance_at(right)
        return np.where(away <= 1 + EDGE, RIGHT, np.where(away <= 2 + EDGE, CLOSE, OFF))

    def fits(self, values: ArrayLike, *, wrong: ArrayLike) -> NDArray[np.bool_]:
        """Tell for each value which mistakes' numbers it is, within one per cent.

        Where the tolerance is a size and not a share, a quarter of it is allowed at
        least, so that a rounded degree or millimetre is still recognised.
        """
        near = np.maximum(SAME * np.abs(wrong), self._size / 4)
        away = np.abs(np.subtract(np.expand_dims(values, -1), wrong))
        return np.asarray(away <= near)

    def separated(self, variant: Variant) -> bool:
        """Tell whether every primary mistake keeps its distance from the answer."""
        primary = (m for m in variant.own_routes if not m.secondary)
        found = (float(mistake.answer(variant.given)) for mistake in primary)
        return all(
            self.clear(v, right=variant.answer) for v in found if math.isfinite(v)
        )

    def clear(self, value: float, *, right: float) -> bool:
        """Tell whether a mistake's number can be told from the right one."""
        if not math.isfinite(value):
            return False
        # Rounded, so that the last bit of a sine cannot draw other numbers.
        away = abs(value - right) / float(self.tolerance_at(right))
        return round(away, 6) >= GUARD

    def apart(self, made: float, variant: Variant) -> bool:
        """Tell whether another answer is clearly not the right one."""
        return bool(abs(made - variant.answer) > GUARD * variant.tolerance)

    def text(self, made: float, *, system: UnitSystem = METRIC) -> str:
        """Return an SI value to three figures, in the unit of the answer."""
        kind = kind_of(self.unit)
        least = METRIC.digits[kind] if METRIC.unit[kind] == self.unit != "1" else 0
        number = figures(made / factor(self.unit), least=least)
        return in_both(number, self.unit, system)

    def typed(self, made: float) -> str:
        """Return a value as it may be typed."""
        return f"{made / factor(self.unit):.6g} {self.unit}".removesuffix(" 1")

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return nothing more than what the question gives."""
        return {}

    def in_key(self, variant: Variant) -> dict[str, Any]:
        """Return answer and mistakes' numbers for the key file, in the unit there."""
        return {
            "answer": self.plain(variant.answer),
            "unit": self.unit,
            "mistakes": [
                {"name": mistake.name, "gives": self.plain(value)}
                for mistake, value in variant.named
            ],
        }

    def plain(self, value: float) -> float:
        """Return an SI value in the unit of the answer, to six figures."""
        return float(f"{value / factor(self.unit):.6g}")

    def mistakes_text(self, variant: Variant, *, system: UnitSystem = METRIC) -> str:
        """Return what the armed mistakes give, each with its outcome name."""
        named = variant.named
        return "; ".join(
            f"{mistake.name} {self.text(value, system=system)}"
            for mistake, value in named
        )

    @property
    def _size(self) -> float:
        return self.tolerance.absolute * factor(self.unit)


def in_both(number: str, unit: str, system: UnitSystem) -> str:
    """Return ``17 kN``, with the reader's unit in brackets where it is another."""
    shown = with_unit(number, unit)
    kind = kind_of(unit)
    if system.unit[kind] in {METRIC.unit[kind], unit}:
        return shown
    return f"{shown} ({system.show(float(number) * factor(unit), kind)})"


def slips_anywhere(variant: Variant) -> list[Mistake]:
    """Return slips of sign, decimal place and unit, whatever is asked.

    Where the exercise has a slip of its own that leads to the same number, that says
    more.
    """
    answer, right = variant.quantity, variant.answer
    if answer.kind == "count":
        return []
    ours, theirs = factor(answer.unit), factor(_other_unit(answer.kind))
    known = [("sign", -right), ("factor10", 10 * right), ("factor10", right / 10)]
    if answer.kind in {"force", "length", "energy"}:
        known += [("factor1000", 1000 * right), ("factor1000", right / 1000)]
    if ours != theirs:
        # The number of the other unit beside ours, and ours beside the other unit.
        name = "radians" if answer.kind == "angle" else "other_units"
        known += [(name, right * ours / theirs), (name, right * theirs / ours)]
    slips = (m for m in variant.own_routes if m.name.startswith("slip_"))
    own = [float(one.answer(variant.given)) for one in slips]
    return [
        slip(name, _fixed(value))
        for name, value in known
        if not any(math.isclose(value, one) for one in own)
    ]


def right_in_another_unit(typed: Typed, variant: Variant) -> bool:
    """Tell whether a number is right, but in another unit than stands behind it.

    Only where the two units differ by ten: bar and MPa, mm and cm. What else is
    mistaken for another is among the slips.
    """
    if typed.unit is None or typed.value is None:
        return False
    answer, size = variant.quantity, factor(typed.unit)
    others = (factor(unit) for unit in KINDS[answer.kind].typed)
    tens = [o for o in others if math.isclose(max(o, size) / min(o, size), 10)]
    meant = np.multiply(typed.value / size, tens)
    return bool((answer.grade(meant, right=variant.answer) != OFF).any())


def factor_slips(variant: Variant) -> list[Mistake]:
    """Return a thousand times too much and too little: N for kN, mm for m."""
    if variant.quantity.kind not in {"force", "length"}:
        return []
    right = variant.answer
    both = (1000 * right, right / 1000)
    return [slip("factor1000", _fixed(value)) for value in both]


def _fixed(value: float) -> Callable[[Numbers], float]:
    return lambda _: value


def _other_unit(kind: str) -> str:
    """Return the unit that is taken for ours by mistake."""
    return "rad" if kind == "angle" else INCH.unit[kind]


@dataclass(frozen=True)
class Mistake(Known):
    """A known wrong route and the number it leads to.

    ``answer`` gives that number in SI units. A ``secondary`` mistake is switched
    off where it lies near the right answer; a primary one makes the numbers be
    drawn again. ``score`` is what the route still earns. A ``late`` one is not looked
    for in answers from before there were sets, whose marks stay as they were.
    """

    answer: Callable[[Numbers], float]
    secondary: bool = False
    score: float = 0.0
    late: bool = False


def slip(
    name: str, answer: Callable[[Numbers], float], *, late: bool = False
) -> Mistake:
    """Return a slip of hand or key: part marks, and never a reason to draw again."""
    return Mistake(f"slip_{name}", answer, secondary=True, score=0.6, late=late)


def late(name: str, answer: Callable[[Numbers], float]) -> Mistake:
    """Return a mistake that is known since there are sets; it draws nothing again."""
    return Mistake(name, answer, secondary=True, late=True)


def in_radians(answer: Callable[[Numbers], float]) -> Mistake:
    """Return the slip of a calculator that takes degrees for radians."""
    return slip("radians", answer, late=True)
