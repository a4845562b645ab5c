"""Why no set-up passes: what refused the most, and how near the nearest came."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.planner.candidates import (
    PARTS,
    Job,
    Limit,
    Places,
    ShopFloor,
    rig_of,
)
from workbook.mechanics.pull.linkage import Refusal, Rig, solve_pull
from workbook.mechanics.vectors import Array

if TYPE_CHECKING:
    from numpy.typing import NDArray

Reason = Refusal | Limit


@dataclass(frozen=True, kw_only=True)
class Miss:
    """A refused choice: how many limits it got through, and how far over it is."""

    stage: int
    over: float
    reason: int
    choice: Places

    def nearer_than(self, other: Miss | None) -> bool:
        """Tell whether it got further, or as far and is less over."""
        return other is None or (-self.stage, self.over) < (-other.stage, other.over)


def nearest_of(reason: NDArray[np.int8], over: Array, choices: Places) -> Miss:
    """Return the choice that got through the most limits and is least over."""
    stage = np.minimum(reason, Limit.RAM_RATING)
    furthest = np.flatnonzero(stage == stage.max())
    at = furthest[np.argmin(over[furthest])]
    return Miss(
        stage=int(stage[at]),
        over=float(over[at]),
        reason=int(reason[at]),
        choice=choices[at],
    )


def reason_of(code: int) -> Reason:
    """Return the reason of a code."""
    return Refusal(code) if code < Limit.KEEP_OUT else Limit(code)


def term_of(reason: Reason) -> str:
    """Return the term of a reason, by which sentences call it."""
    return f"limit.{reason.name.lower()}"


def none_passes(
    job: Job, floor: ShopFloor, refused: Counter[int], nearest: Miss
) -> WorkbookError:
    """Say what refused the most set-ups, and how near the nearest came."""
    [(code, most)] = refused.most_common(1)
    near = _how_near(job, floor, nearest)
    return type(near)(
        "planner.none_passes",
        count=refused.total(),
        limit=term_of(reason_of(code)),
        most=most,
        parts=floor.told(nearest.choice),
        near=near,
    )


def _how_near(job: Job, floor: ShopFloor, miss: Miss) -> WorkbookError:
    """Return what to say of the nearest miss."""
    if miss.reason <= Refusal.PAST_SWIVEL:
        return _linkage_says(rig_of(job, floor=floor, choices=miss.choice))
    if miss.reason == Limit.KEEP_OUT:
        return OutOfRangeError("planner.near.keep_out", over=miss.over)
    if miss.reason == Limit.OFF_THE_LINE:
        return OutOfRangeError(
            "planner.near.off_the_line", over=miss.over, limit=job.direction_limit
        )
    if miss.reason == Limit.STROKE:
        return OutOfRangeError("planner.near.stroke", over=miss.over)
    return OutOfRangeError(
        "planner.near.rating",
        part=f"place.{PARTS[miss.reason - Limit.RAM_RATING]}",
        percent=100 * miss.over,
        allowed=100 * job.rating_margin,
    )


def _linkage_says(rig: Rig) -> WorkbookError:
    """Return what the linkage says of a rig that does not stand."""
    try:
        solve_pull(rig, ram_force=1.0)
    except WorkbookError as refusal:
        return refusal
    raise AssertionError  # it was refused, so it does not stand
