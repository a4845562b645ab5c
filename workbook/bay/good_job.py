"""What a good job would have taken: the planner's best set-outs, pull by pull.

The crossmember comes off first, so that each rail goes its own way. Then a tip is
brought back one way after another, up, ahead, aside: each hinge yields on its own, so
that a pull along one way leaves the others nearly as they are. For each way the
planner ranks all that the floor and the shop have; the pressure is the one after
whose release nothing is left along that way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.bay.car import VERSION
from workbook.bay.floor import above_bench, bay_floor
from workbook.bay.job import do, new_job
from workbook.bay.safety import least_off
from workbook.equipment import pick, shop
from workbook.errors import WorkbookError
from workbook.exercises.bank.lesson_11 import STEPS
from workbook.mechanics.planner.one_ram import plan_pull
from workbook.quantities.units import factor
from workbook.scenes.kestrin import kestrin_differences, kestrin_points
from workbook.scenes.planning import job as planned_job
from workbook.scenes.planning import shop_floor

if TYPE_CHECKING:
    from workbook.bay.car import BayCar
    from workbook.bay.state import Bay
    from workbook.mechanics.planner.one_ram import Plan
    from workbook.mechanics.vectors import Array

TIPS = ("left tip", "right tip")
CLAMP, HEAD = "broad clamp", "large head"
RAMS, CHAIN = ("ram 42", "ram 48"), "13 mm chain, grade 8, EN 818-2"
LINKS = range(12, 48)
STATIONS = ("left front", "right front", "left rear", "right rear")
PLACES_TO_WAIT = tuple(
    (x, y) for x in (-1500.0, 0.0, 1000.0, 2500.0) for y in (-3500.0, 3500.0)
)
"""Where people wait, in plan. [mm]"""

MOST_PULLS = 6
WELL = 1.2e-3
"""What is left where a way counts as done. [m]"""
NEAR = 4e-4
"""What a pull may leave along its way. [m]"""
OVER = 1.2
"""Pull over the load at which the metal first yielded, more or less. [1]"""
FIRST_SHARE = 0.7
"""Of the pull that is thought to be needed, where looking begins. [1]"""
TRIES, GROWS = 12, 1.1


@dataclass(frozen=True, kw_only=True, eq=False)
class GoodJob:
    """What a good job on a car takes.

    Attributes
    ----------
    acts : tuple of mapping
        All of it, as a log has them.
    bay : Bay
        What it comes to.
    plans : tuple of Plan
        What the planner said for each pull, the best first.
    """

    acts: tuple[Mapping[str, Any], ...]
    bay: Bay
    plans: tuple[Plan, ...]


def most_tension(bay: Bay) -> float:
    """Return the greatest tension that a job had in any pull leg. [N]"""
    rams = [row for pull in bay.pulls for row in pull.rams.values()]
    return max((tension for _, _, tension in rams), default=0.0)


def worst_left(bay: Bay) -> float:
    """Return the largest difference that a job left, as the metal is. [m]"""
    return float(np.abs(kestrin_differences(bay.rails)).max())


@cache
def good_job(car: BayCar, *, margin: float, half_angle: float) -> GoodJob:
    """Work at a car as somebody would who knows what the metal does.

    Parameters
    ----------
    car : BayCar
    margin, half_angle : float
        The school's: share of a rating [1], line of fire to either side [rad].

    Returns
    -------
    GoodJob
        Ended where both tips are back, or after `MOST_PULLS`.
    """
    work, plans = GoodHands(car), []
    work.prepares(margin=margin, half_angle=half_angle)
    for _ in range(MOST_PULLS):
        out = work.farthest_out()
        if out is None:
            break
        plan = plan_for(car, work.bay, tip=out[0], axis=out[1], margin=margin)
        plans.append(plan)
        work.pulls(plan, *out)
    work.does({"act": "crossmember", "on": True}, {"act": "survey"})
    return GoodJob(acts=tuple(work.acts), bay=work.bay, plans=tuple(plans))


def can_be_done(car: BayCar, bay: Bay, *, margin: float) -> bool:
    """Tell whether the floor and the shop have a set-out for a pull each way."""
    try:
        for tip, axis in ((TIPS[0], 0), (TIPS[0], 1), (TIPS[0], 2), (TIPS[1], 1)):
            plan_for(car, bay, tip=tip, axis=axis, margin=margin)
    except WorkbookError:
        return False
    return True


def plan_for(car: BayCar, bay: Bay, *, tip: str, axis: int, margin: float) -> Plan:
    """Return the planner's set-outs for a pull of a tip one way.

    Parameters
    ----------
    car : BayCar
    bay : Bay
        Where its metal is now.
    tip : str
        One of `TIPS`.
    axis : int
        0 forward, 1 to the side, 2 up.
    margin : float
        The greatest share of any rating. [1]

    Raises
    ------
    OutOfRangeError, MechanismError
        If the floor and the shop have none.
    """
    to_left = float(_left(bay, tip)[1]) < 0
    group, line = _ways(tip, to_left=to_left)[axis]
    floor = bay_floor()
    sockets = [at for name, at in floor.sockets.items() if name.startswith(group)]
    wanted = planned_job(
        clamp=bay.places[tip],
        clamp_name=CLAMP,
        direction=line,
        useful_pull=_needed(car, axis),
        rating_margin=margin,
        slack=pick(shop().chains, CHAIN).pitch,
    )
    there = shop_floor(
        sockets=sockets,
        forks=[floor.forks[group]],
        links=LINKS,
        rams=RAMS,
        chains=(CHAIN,),
        head=HEAD,
    )
    return plan_pull(wanted, floor=there)


def _before_any_pull(
    car: BayCar, *, margin: float, half_angle: float
) -> list[dict[str, Any]]:
    """Return what comes before the first chain."""
    rules = {
        "version": VERSION,
        "rating_margin": margin,
        "zone_half_angle_deg": float(half_angle / factor("deg")),
    }
    return [
        {"act": "begin", **rules},
        *({"act": "make_safe", "what": what} for what in car.stoppers),
        {"act": "survey"},
        {"act": "crossmember", "on": False},
        *({"act": "clamp", "station": station} for station in STATIONS),
        *(
            {
                "act": "tie",
                "name": f"{side} tie",
                "station": f"{side} rear",
                "post": f"rear {side}",
            }
            for side in ("left", "right")
        ),
    ]


def _ways(tip: str, *, to_left: bool) -> list[tuple[str, list[float]]]:
    """Return for each axis the part of the floor, and the line that is pulled along.

    A level pull is not to be had: the shortest ram stands higher than the clamp. A
    chain across the car would touch the other rail, and goes out ahead of it.
    """
    side = tip.split()[0]
    way, other = (1.0, "left") if to_left else (-1.0, "right")
    aside = (f"side {other}", [0.0, way, 0.2])
    if side != other:
        aside = (f"cross {other}", [0.57, 0.82 * way, 0.2])
    ahead = f"ahead {side}"
    return [(ahead, [1.0, 0.0, 0.2]), aside, (ahead, [0.77, 0.0, 0.64])]


def _needed(car: BayCar, axis: int) -> float:
    """Return about what a pull one way has to be: its part along must yield. [N]

    Bent back, a hinge yields in the end at the load it first yielded at.
    """
    rail = car.front_end.rails[0]
    limits = np.asarray(rail.yield_load)[0]
    if axis == 0:
        return float(OVER * limits[2])
    bending = limits[1] if axis == 1 else limits[0]
    length = float(np.sum(rail.link_length))
    return float(OVER * bending / length / {1: 0.8, 2: 0.62}[axis])


def _left(bay: Bay, tip: str) -> Array:
    """Return how far a tip is from where it should be, shape (3,). [m]"""
    points = kestrin_points()
    at = points.positions[points.ids.index(tip.replace(" ", "-"))]
    return np.asarray(bay.places[tip] - above_bench(at))


class GoodHands:
    """A job on the way: every act that is done is kept."""

    def __init__(self, car: BayCar) -> None:
        self.bay = new_job(class_key=car.class_key, student=car.student)
        self.acts: list[Mapping[str, Any]] = []

    def prepares(self, *, margin: float, half_angle: float) -> None:
        """Do all that comes before the first chain."""
        car = self.bay.car
        self.does(*_before_any_pull(car, margin=margin, half_angle=half_angle))

    def does(self, *acts: Mapping[str, Any]) -> None:
        """Do some acts."""
        for act in acts:
            self.bay = do(self.bay, act)
            self.acts.append(act)

    def farthest_out(self) -> tuple[str, int] | None:
        """Return the tip and the way along which it is out; none where all is well.

        Up first, which draws it ahead too; what is too far ahead or up stays so.
        """
        for tip in TIPS:
            left = _left(self.bay, tip)
            for axis in (2, 0, 1):
                if left[axis] < -WELL or (axis == 1 and left[axis] > WELL):
                    return tip, axis
        return None

    def pulls(self, plan: Plan, tip: str, axis: int) -> None:
        """Set out what was planned, pull as far as it takes, release and measure."""
        self.does(set_out_of(plan, place=tip))
        cable = {"name": "A", "of": ["A"], "to": "cowl ring", "loose": False}
        self.does(
            {"act": "cable", **cable},
            {"act": "people", "at": self._away()},
            {"act": "valve", "ram": "A", "open": True},
            *({"act": "call", "step": step} for step in STEPS),
            {"act": "take_up"},
            {"act": "look"},
        )
        air = self._air(tip, axis, needed=float(plan.pull.ram_force[0]))
        half = round(air / 2, 4)
        self.does(
            {"act": "pump", "air_bar": half},
            {"act": "pump", "air_bar": round(air - half, 4)},
            {"act": "release"},
            {"act": "survey"},
        )

    def _away(self) -> dict[str, list[float]]:
        """Return where everybody waits: as far off every chain's line as there is."""
        mm = factor("mm")

        def off(at: tuple[float, float]) -> float:
            return least_off((mm * at[0], mm * at[1]), self.bay)

        best = max(PLACES_TO_WAIT, key=off)
        return {who: [*best] for who in bay_floor().people}

    def _air(self, tip: str, axis: int, *, needed: float) -> float:
        """Return the air after whose release nothing is left along one way. [bar]"""
        ram = self.bay.rams["A"]
        bar = factor("bar") * self.bay.car.pump_ratio
        sign = np.sign(_left(self.bay, tip)[axis])

        def lacks(air: float) -> float:
            """Return what is still lacking; below nought it went too far."""
            pumped = do(self.bay, {"act": "pump", "air_bar": air})
            if pumped.stopped is not None or pumped.metal.torn:
                return -np.inf
            after = do(pumped, {"act": "release"})
            return float(sign * _left(after, tip)[axis])

        low, air = 0.0, FIRST_SHARE * float(ram.ram.pressure_for(needed)) / bar
        for _ in range(TRIES):
            air = round(air, 4)
            short = lacks(air)
            if abs(short) <= NEAR:
                return air
            if short < 0:
                break
            low, air = air, GROWS * air
        high = air
        for _ in range(TRIES):
            air = round((low + high) / 2, 4)
            short = lacks(air)
            if abs(short) <= NEAR:
                return air
            low, high = (air, high) if short > 0 else (low, air)
        return low


def set_out_of(plan: Plan, *, place: str, at: int = 0) -> dict[str, Any]:
    """Return one of a plan's set-outs as an act."""
    floor = bay_floor()
    named = plan.floor.named(plan.choices[at])
    socket = next(
        name
        for name, base in floor.sockets.items()
        if np.array_equal(base, plan.rig.base[at])
    )
    fork, slot = next(
        (name, row - len(one.slots) // 2)
        for name, one in floor.forks.items()
        for row, anchor in enumerate(one.slots)
        if np.array_equal(anchor, plan.rig.anchor[at])
    )
    tube = {"extension": named["extension"]} if plan.rig.extension[at] else {}
    return {
        "act": "set_out",
        "ram": "A",
        "part": named["ram"],
        "socket": socket,
        "fork": fork,
        "slot": slot,
        **tube,
        "chain": named["chain"],
        "links": int(plan.floor.links[plan.choices[at][5]]),
        "head": HEAD,
        "clamp": CLAMP,
        "place": place,
    }
