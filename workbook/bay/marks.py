"""Marks of a job, C1 to C12, worked out from its log and from nothing else.

What is typed is compared with what follows from the learner's own readings, set-outs
and car; what was done, with what the job asks for. C7 is a gate: it has no points, and
one fault shuts it. Beside each stands what a good job has there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.floor import bay_floor
from workbook.bay.good_job import GoodJob, good_job
from workbook.bay.holding import sides_clamped
from workbook.bay.metal import metal_stiffness
from workbook.bay.questions import FROM_ACTS, GATE, ITEMS, PASS, STEPS, BayAsked
from workbook.equipment import pick, shop
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.mechanics.hydraulics.supply import Rams, moving_pressures
from workbook.mechanics.survey.damage import KINDS
from workbook.mechanics.vectors import norm, rise_of, side_angle_of
from workbook.quantities.typed import read_quantity
from workbook.scenes.kestrin import kestrin_frame, kestrin_points
from workbook.scenes.surveys import is_clear, one_sided, size_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from workbook.bay.state import Bay, BayReading, RamOut
    from workbook.mechanics.vectors import Array

TIP = "left-tip"
SCORES = (1.0, 0.8, 0.0)
"""Share of the points: within the tolerance, within twice that, farther off."""


@dataclass(frozen=True, kw_only=True)
class ItemMark:
    """One part of a step: what it came to, and what would have been right.

    Attributes
    ----------
    step, item : str
    points, of : float
        Earned, and of how many.
    typed : str
        What was typed, where something is.
    right : float or str or None
        In SI for a number; none where the job never came so far.
    good : float or str or None
        What a good job has there, where that is its own.
    """

    step: str
    item: str
    points: float
    of: float
    typed: str = ""
    right: float | str | None = None
    good: float | str | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class BayMarks:
    """A job with its marks.

    Attributes
    ----------
    bay : Bay
    items : tuple of ItemMark
        In the order of the steps.
    best : GoodJob or None
        What a good job on the same car took, where the job had begun.
    """

    bay: Bay
    items: tuple[ItemMark, ...]
    best: GoodJob | None

    @property
    def gate_open(self) -> bool:
        """Whether the safety of the job has no fault, and there was a pull at all."""
        return not self.bay.faults and bool(self.bay.pulls)

    @cached_property
    def points(self) -> dict[str, tuple[float, float]]:
        """Points of each step, and of how many; the gate has none."""
        return {
            step: (
                sum(item.points for item in self.items if item.step == step),
                sum(item.of for item in self.items if item.step == step),
            )
            for step in STEPS
            if step != GATE
        }

    @property
    def total(self) -> float:
        """Points of 100."""
        return round(sum(points for points, _ in self.points.values()), 2)

    @property
    def passed(self) -> bool:
        """Whether it is enough, with a clean gate."""
        return self.gate_open and self.total >= PASS


def marked_bay(bay: Bay, *, with_best: bool = True) -> BayMarks:
    """Mark a job as far as it has gone.

    Parameters
    ----------
    bay : Bay
        What its log comes to.
    with_best : bool
        Whether what a good job took is worked out too, which takes seconds.
    """
    best = None
    if with_best and bay.rules is not None:
        best = good_job(
            bay.car, margin=bay.rules.margin, half_angle=bay.rules.half_angle
        )
    known, of_best = _Known(bay), _Known(best.bay) if best else None
    items = [*_of_acts(known)]
    for step, asked in ITEMS.items():
        for name, one in asked.items():
            typed = bay.answers.get((step, name), "")
            right = known.right(step, name)
            items.append(
                ItemMark(
                    step=step,
                    item=name,
                    points=one.points * _share(one, typed, right),
                    of=one.points,
                    typed=typed,
                    right=right,
                    good=of_best.right(step, name) if of_best else None,
                )
            )
    order = {step: place for place, step in enumerate(STEPS)}
    items.sort(key=lambda item: order[item.step])
    return BayMarks(bay=bay, items=tuple(items), best=best)


def _share(asked: BayAsked, typed: str, right: float | str | None) -> float:
    """Return which share of its points a typed answer earns."""
    if right is None or not typed.strip():
        return 0.0
    if asked.choices:
        return float(typed.strip().casefold() == str(right))
    read = read_quantity(typed, kind=asked.kind.removeprefix("small "))
    if read.value is None:
        return 0.0
    compared = Quantity(
        kind=asked.kind,
        unit=asked.unit,
        solve=lambda _: 0.0,
        tolerance=asked.tolerance,
        smallest=0.0,
        largest=0.0,
    )
    return SCORES[int(compared.grade(read.value, right=float(right)))]


def _of_acts(known: _Known) -> Iterator[ItemMark]:
    """Yield the marks of what was done."""
    shares = {
        "C1": known.story_shares(),
        "C2": known.layout_shares(),
        "C12": known.end_shares(),
    }
    for step, parts in FROM_ACTS.items():
        for item, points in parts.items():
            share = shares[step][item]
            yield ItemMark(step=step, item=item, points=points * share, of=points)


class _Known:
    """What is right for a job: from its own readings, set-outs and car."""

    def __init__(self, bay: Bay) -> None:
        self.bay, self.car = bay, bay.car
        self.ask = bay.car.ask

    # -- readings ----------------------------------------------------------------

    @cached_property
    def before(self) -> BayReading | None:
        """The last survey before the first pull, its loads off."""
        first = self.bay.pulls[0].first_act if self.bay.pulls else np.inf
        return next((r for r in reversed(self._clean) if r.act < first), None)

    @cached_property
    def after_first(self) -> BayReading | None:
        """The first survey after the first pull, its loads off."""
        if not self.bay.pulls:
            return None
        first = self.bay.pulls[0].first_act
        return next((r for r in self._clean if r.act > first), None)

    @cached_property
    def last(self) -> BayReading | None:
        """The last survey with the loads off, if nothing was pulled since."""
        found = self._clean[-1] if self._clean else None
        pulled = max((pull.first_act for pull in self.bay.pulls), default=0)
        return found if found and found.act > pulled and not self.bay.loaded else None

    @property
    def _clean(self) -> list[BayReading]:
        return [reading for reading in self.bay.readings if not reading.under_load]

    # -- typed -------------------------------------------------------------------

    def right(self, step: str, item: str) -> float | str | None:
        """Return what is right; nothing where the job never came so far."""
        of_step = getattr(self, f"_{step.lower()}")
        found: float | str | None = of_step(item)
        return found

    def _c2(self, item: str) -> float:
        across = float(np.diff(self._front_clamps()).item())
        pull, left = self.ask["clamp_pull"], self.ask["clamp_pull_left"]
        return pull / 4 + pull * left / (2 * across)

    def _front_clamps(self) -> tuple[float, float]:
        stations = bay_floor().stations
        return float(stations["right front"][1]), float(stations["left front"][1])

    def _c3(self, item: str) -> float | None:
        return _of_line(self._wanted(self.before), item)

    def _wanted(self, reading: BayReading | None) -> Array | None:
        return None if reading is None else -reading.differences[TIP]

    def _c4(self, item: str) -> float | None:
        wanted = self._wanted(self.before)
        if wanted is None:
            return None
        rise = self._typed_rise()
        slope = np.tan(float(rise_of(wanted)) if rise is None else rise)
        return self.ask["hook_height"] + self.ask["floor_ahead"] * float(slope)

    def _typed_rise(self) -> float | None:
        """Return the learner's own rise: the height goes on from it."""
        typed = self.bay.answers.get(("C3", "rise"), "")
        value = read_quantity(typed, kind="angle").value if typed else None
        return value if value is not None and abs(value) < 1 else None

    @cached_property
    def first_ram(self) -> tuple[RamOut, Array] | None:
        """The first ram set out for the first pull, taut, with its clamp."""
        pulls = [pull for pull in self.bay.pulls if pull.set_out]
        if pulls:
            return next(iter(pulls[0].set_out.values()))
        for ram in self.bay.rams.values():
            return ram, self.bay.places[ram.place]
        return None

    def _c5(self, item: str) -> float | None:
        if self.first_ram is None:
            return None
        ram, clamp = self.first_ram
        pull = ram.pull(clamp)
        return float(
            {
                "lean": pull.lean,
                "anchor angle": pull.anchor_angle,
                "pull leg": pull.pull_tension / pull.ram_force,
                "anchor leg": pull.anchor_tension / pull.ram_force,
            }[item]
        )

    def _c6(self, item: str) -> float | str | None:
        if self.first_ram is None or self.bay.rules is None:
            return None
        ram, clamp = self.first_ram
        path = ram.load_path(clamp)
        if item == "nearest part":
            return str(path.governing)
        return float(self.bay.rules.margin * path.highest_ram_force)

    def _c8(self, item: str) -> float | str:
        if item == "signals":
            return "one person"
        rams = [pick(shop().rams, name) for name in self.car.line]
        areas = np.array([float(ram.area) for ram in rams])
        resistances = np.array([self.ask["resistance"], self.ask["other_resistance"]])
        if item == "moves first":
            begin = moving_pressures(Rams(areas=areas, resistances=resistances))
            return f"{'first' if begin[0] < begin[1] else 'second'} ram"
        return float(self.ask["line_pressure"] * areas[int(item == "second force")])

    def _c9(self, item: str) -> float | str | None:
        before, after = self._wanted(self.before), self._wanted(self.after_first)
        if before is None or after is None:
            return None
        if item == "share done":
            return float(1 - norm(after) / norm(before))
        if item == "decision":
            return self._decision(after)
        return _of_line(after, item.removeprefix("new "))

    def _decision(self, left: Array) -> str:
        """Return what is to be done next: by what the old line can still mend."""
        if any(fault.name == "clamp_tore_off" for fault in self.bay.faults):
            return "move the clamp"
        points = kestrin_points()
        assert points.limits is not None
        limit = float(points.limits[points.ids.index(TIP)])
        if float(np.abs(left).max()) <= limit:
            return "stop"
        if self.first_ram is None:
            return "new line"
        ram, clamp = self.first_ram
        line = ram.pull(clamp).direction
        across = left - float(left @ line) * line
        return "new line" if float(norm(across)) > limit else "carry on"

    def _c10(self, item: str) -> float:
        return self.ask["hold_pull"] * self.ask["hold_arm"] / self.ask["hold_at"]

    def _c11(self, item: str) -> float | None:
        if item == "relieved":
            return 1 - self.ask["spring_after"] / self.ask["spring_before"]
        spring = self.ask["stop_load"] / metal_stiffness(self.car)
        if item == "springback":
            return spring
        left = self._wanted(self.after_first or self.before)
        return None if left is None else spring + abs(float(left[1]))

    def _c12(self, item: str) -> str | None:
        if self.last is None:
            return None
        return "not yet" if self.last.survey.beyond.any() else "pass"

    # -- done ----------------------------------------------------------------------

    @cached_property
    def kinds(self) -> set[str]:
        """The kinds of damage that the first readings show clearly."""
        if self.before is None:
            return set()
        reading = self.before.survey.damage(frame=kestrin_frame())
        return {
            kind
            for kind in KINDS
            if is_clear(reading, kind)
            and abs(float(size_of(reading, kind)[0])) > LEAST
            # What one rail alone shows is its own bend; a mash is on one by itself.
            and not (kind != "mash" and one_sided(reading, kind))
        }

    def story_shares(self) -> dict[str, float]:
        told = self.bay.story
        if told is None:
            return dict.fromkeys(FROM_ACTS["C1"], 0.0)
        kinds = {*told["kinds"]}
        either = kinds | self.kinds
        missed = {*self.car.stoppers} - {*told["stoppers"]}
        extra = {*told["stoppers"]} - {*self.car.stoppers}
        harmless = len(self.car.conditions) - len(self.car.stoppers)
        if missed:
            return dict.fromkeys(FROM_ACTS["C1"], 0.0)
        return {
            "kinds": len(kinds & self.kinds) / len(either) if either else 0.0,
            # Last in, first out.
            "order": float(told["order"] == self.car.hits[::-1]),
            "stoppers": 1 - len(extra) / harmless,
        }

    def layout_shares(self) -> dict[str, float]:
        bay, margin = self.bay, self.bay.rules.margin if self.bay.rules else 0.0
        most = max((pull.support_share for pull in bay.pulls), default=np.inf)
        both = {*sides_clamped(bay.stations)} == {"left", "right"}
        return {
            "layout": float(len(bay.stations) >= 4 and both),
            "ties": float(bool(bay.ties)),
            "shares": float(most <= margin),
        }

    def end_shares(self) -> dict[str, float]:
        inside = 0.0
        if self.last is not None and self.bay.pulls:
            inside = float(1 - self.last.survey.beyond.any(axis=1).mean())
        written = sum(1 for field in RECORD if self.bay.record.get(field, "").strip())
        return {
            # Nothing for points that were inside before anything was done.
            "points inside": self._gained(inside),
            "record": written / len(RECORD),
        }

    def _gained(self, inside: float) -> float:
        if self.before is None or self.last is None:
            return 0.0
        was = float(1 - self.before.survey.beyond.any(axis=1).mean())
        return max(0.0, (inside - was) / (1 - was)) if was < 1 else inside


LEAST = 3e-3
"""A kind of damage smaller than this is not told of. [m, twist rad]"""


def _of_line(line: Array | None, item: str) -> float | None:
    """Return bearing, rise [rad] or total [m] of a movement."""
    if line is None:
        return None
    found = {"bearing": side_angle_of, "rise": rise_of, "total": norm}[item]
    return float(found(line))
