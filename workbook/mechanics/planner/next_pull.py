"""The next pull, planned from what is left near the set-up that stands there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.planner.candidates import Job
from workbook.mechanics.planner.near_miss import Reason, reason_of
from workbook.mechanics.planner.one_ram import Plan, judge, ranked
from workbook.mechanics.vectors import angle_between

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True)
class Replan:
    """The next pull, and how little of the last set-up need change.

    ``plan`` ranks what fits the new job, ``moved`` (n, 6) says which parts of
    each differ from the earlier choice, and ``line_turned`` is how far the
    wanted line has turned [rad]. ``least`` holds the one set-up that passes with
    the fewest parts moved, whatever its direction within the limits; and
    ``unchanged`` is the reason why the earlier one does not do, ``None`` where it
    passes.
    """

    plan: Plan
    moved: NDArray[np.bool_]
    least: Plan
    line_turned: float
    unchanged: Reason | None


def replan(
    earlier: Plan,
    *,
    job: Job,
    chosen: int = 0,
    fewest_moved: bool = True,
    keep: int = 20,
    chunk: int = 8192,
) -> Replan:
    """Plan the next pull from what is left, near the set-up that stands there.

    Every set-up is taken up afresh from the clamp as it stands now, so its whole
    stroke counts.

    Parameters
    ----------
    earlier : Plan
        The plan that was followed; its shop floor and steps stay.
    job : Job
        What is left: the remaining movement, at the clamp as it stands now.
    chosen : int
        Which of the earlier plan's set-ups stands there.
    fewest_moved : bool
        Among set-ups equal in direction error, fewest parts moved come before
        the worst share.
    keep, chunk : int
        As for `plan_pull`.

    Returns
    -------
    Replan

    Raises
    ------
    OutOfRangeError, MechanismError
        As for `plan_pull`; or ``chosen`` is not one of the earlier set-ups.
    """
    if not 0 <= chosen < len(earlier.choices):
        raise OutOfRangeError(
            "planner.not_in_the_plan", chosen=chosen, count=len(earlier.choices)
        )
    stands = earlier.choices[chosen]
    floor, steps = earlier.floor, earlier.steps
    before = "worst share" if fewest_moved else "direction error, exact"
    plan, least = (
        ranked(job, floor, n, steps, chunk, earlier=stands, moved_before=key)
        for n, key in ((keep, before), (1, "direction error"))
    )
    reason, _, _ = judge(job, floor, stands[None], None)
    turned = angle_between(earlier.job.line, job.line)
    return Replan(
        plan=plan,
        moved=plan.choices != stands,
        least=least,
        line_turned=float(turned),
        unchanged=reason_of(int(reason[0])) if reason[0] else None,
    )
