r"""Choose a set-up: every one that the shop allows at once, ranked.

Limits are hard: a set-up that passes one is out, and its first reason counted.
What is left is ranked by the angle between pull direction and wanted line, then
by the worst share of a rating, then by the stroke left; each counts in whole
steps (`Steps`), or the second would never decide. Exact, as every choice is
looked at.

Forces are those that put the useful pull along the wanted line: with the pull
off that line by :math:`\epsilon`, a chain tension :math:`P/\cos\epsilon`. The
stroke needed is the slack and, by virtual work, the wanted distance over the
travel ratio of the start; `workbook.mechanics.pull.linkage.stroke_path` follows a
chosen rig to its end.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import one_number
from workbook.mechanics.planner.candidates import (
    PARTS,
    Fit,
    Job,
    Limit,
    Places,
    ShopFloor,
    best,
    chunks,
    clamp_is_free,
    fit,
    rig_of,
    some,
    together,
)
from workbook.mechanics.planner.near_miss import (
    Miss,
    Reason,
    nearest_of,
    none_passes,
    reason_of,
)
from workbook.mechanics.pull.linkage import Pull, Rig, solve_pulls
from workbook.mechanics.pull.wanted_force import ram_force_for_tension
from workbook.mechanics.vectors import Array, angle_between

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True)
class Steps:
    """How fine each key counts: less than a step apart may count as equal.

    ``direction`` [rad], ``share`` of a rating [1] and ``stroke`` [m]; all must
    be more than nought.
    """

    direction: float = np.pi / 180
    share: float = 0.01
    stroke: float = 0.001

    def __post_init__(self) -> None:
        for step in fields(self):
            value = one_number(getattr(self, step.name), name=f"step.{step.name}")
            if not 0 < value < np.inf:
                raise OutOfRangeError(
                    "planner.step", value=value, name=f"step.{step.name}"
                )


@dataclass(frozen=True, kw_only=True)
class Advantage:
    """Why the best beat the next: the ``key`` that decided, and its two values.

    ``key`` is ``"direction error"`` [rad], ``"parts moved"``, ``"worst share"``
    [1], ``"stroke left"`` [m], or ``"order in the lists"`` where all is equal.
    """

    key: str
    best: float
    runner_up: float

    @property
    def by(self) -> float:
        """By how much the best is better, never negative."""
        return abs(self.best - self.runner_up)


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The best set-ups for a job, and what became of the others.

    Attributes
    ----------
    job, floor, steps : Job, ShopFloor, Steps
        What was asked.
    choices : ndarray of int, shape (n, 6)
        Places in the floor's lists, in the order of `AXES`, best first.
    rig, pull : Rig, Pull
        The n rigs, and what they do under the ram force of the job.
    direction_error : Array, shape (n,)
        Between pull direction and wanted line. [rad]
    worst_share : Array, shape (n,)
        Largest share of a rating used, of ``worst_part`` (n,). [1]
    stroke_needed, stroke_left : Array, shape (n,)
        For slack and wanted distance, and what then remains. [m]
    parts_moved : ndarray of int, shape (n,)
        How many of the six differ from the earlier choice; nought without one.
    considered, passed : int
        How many set-ups there were, and how many passed every limit.
    refused : mapping
        How many failed, by the first reason of each.
    moved_before : str
        The key that ``parts_moved`` comes before; empty without an earlier choice.
    """

    job: Job
    floor: ShopFloor
    steps: Steps
    choices: Places
    rig: Rig
    pull: Pull
    direction_error: Array
    worst_share: Array
    worst_part: NDArray[np.str_]
    stroke_needed: Array
    stroke_left: Array
    parts_moved: Places
    considered: int
    passed: int
    refused: Mapping[Reason, int]
    moved_before: str

    @property
    def advantage(self) -> Advantage | None:
        """Why the best beat the next; ``None`` where it is alone."""
        if len(self.choices) < 2:
            return None
        keys = _keys(self, self.steps, self.moved_before)
        exact = {
            "direction error": self.direction_error,
            "parts moved": self.parts_moved,
            "worst share": self.worst_share,
            "stroke left": self.stroke_left,
        }
        for name, key in keys.items():
            if key[0] != key[1]:
                label = name.removesuffix(", exact")
                first, second = exact[label][:2]
                return Advantage(key=label, best=float(first), runner_up=float(second))
        return Advantage(key="order in the lists", best=1.0, runner_up=2.0)


@dataclass(frozen=True, kw_only=True)
class _Judged:
    """What ranks the choices (n, 6) that passed."""

    choices: Places
    direction_error: Array
    worst_share: Array
    worst: Places
    stroke_needed: Array
    stroke_left: Array
    parts_moved: Places


def plan_pull(
    job: Job,
    *,
    floor: ShopFloor,
    keep: int = 20,
    steps: Steps | None = None,
    chunk: int = 8192,
) -> Plan:
    """Rank every set-up of a shop floor for a job.

    Parameters
    ----------
    job : Job
        What is wanted, and the limits.
    floor : ShopFloor
        What there is to choose from.
    keep : int
        How many of the best to return; all that pass are counted.
    steps : Steps, optional
        How fine each key counts: one degree, one part in a hundred and one
        millimetre unless given.
    chunk : int
        Set-ups solved at a time; memory grows with it, not with their number.

    Returns
    -------
    Plan

    Raises
    ------
    OutOfRangeError
        If no set-up passes the limits, with the reason that refused the most
        and the nearest miss; or the clamp is in a keep-out box.
    MechanismError
        If none even stands.

    Notes
    -----
    Among equals in every key the smaller exact direction error comes first,
    then the order of the lists.

    Examples
    --------
    A point wanted 26 mm forward, 19 mm to the left and 8 mm up:

    >>> floor = ShopFloor(
    ...     sockets=[[1.0, 0.5, 0], [0.9, 0.8, 0]],
    ...     slots=[[1.5, 0.9, 0], [1.5, 1.2, 0]], slot_ratings=40e3,
    ...     extensions=[0.0, 0.15], closed_lengths=[0.45],
    ...     full_strokes=0.2, swivels=np.radians(45), ram_ratings=60e3,
    ...     head_ratings=70e3, chain_pitches=[0.030], chain_ratings=31e3,
    ...     links=range(12, 40),
    ... )
    >>> job = Job(
    ...     clamp=[0, 0, 0.31], movement=[0.026, 0.019, 0.008], useful_pull=12e3,
    ...     clamp_rating=45e3, rating_margin=0.8,
    ... )
    >>> plan = plan_pull(job, floor=floor)
    >>> plan.considered, plan.passed, sum(plan.refused.values())
    (224, 61, 163)
    >>> floor.named(plan.choices[0])["socket"], plan.advantage.key
    ('socket 2', 'worst share')
    """
    return ranked(
        job, floor, keep, steps or Steps(), chunk, earlier=None, moved_before=""
    )


def ranked(
    job: Job,
    floor: ShopFloor,
    keep: int,
    steps: Steps,
    chunk: int,
    *,
    earlier: Places | None,
    moved_before: str,
) -> Plan:
    """Judge all choices in chunks and keep the best; refuse if none passes."""
    _counts(keep=keep, chunk=chunk)
    clamp_is_free(job, floor)
    kept: _Judged | None = None
    nearest: Miss | None = None
    refused: Counter[int] = Counter()
    for choices in chunks(floor, size=chunk):
        reason, over, passed = judge(job, floor, choices, earlier)
        values, counts = np.unique(reason[reason != 0], return_counts=True)
        refused.update(dict(zip(values.tolist(), counts.tolist(), strict=True)))
        kept = passed if kept is None else together([kept, passed])
        keys = np.stack([*_keys(kept, steps, moved_before).values()])
        kept = some(kept, best(keys, keep=keep))
        if not len(kept.choices):
            miss = nearest_of(reason, over, choices)
            nearest = miss if miss.nearer_than(nearest) else nearest
    assert kept is not None
    if not len(kept.choices):
        assert nearest is not None
        raise none_passes(job, floor, refused, nearest)
    return _finished(job, floor, steps, kept, refused, moved_before)


def _counts(**values: int) -> None:
    for name, value in values.items():
        if value < 1:
            raise OutOfRangeError(
                "planner.at_least_one", name=f"option.{name}", value=value
            )


def judge(
    job: Job, floor: ShopFloor, choices: Places, earlier: Places | None
) -> tuple[NDArray[np.int8], Array, _Judged]:
    """Return reason and excess of each choice (n,), and those that passed."""
    fitted = fit(job, floor=floor, choices=choices)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        error = angle_between(fitted.pull.direction, job.line)
        tension = job.useful_pull / np.cos(error)
        shares = fitted.shares.max(axis=0) * tension
        needed = job.slack + job.distance / fitted.pull.travel_ratio
        left = fitted.rig.full_stroke - needed
        reason, over = _first_reason(job, fitted, error, shares, left)
    passed = np.flatnonzero(reason == 0)
    moved = np.zeros(len(choices), dtype=np.intp)
    if earlier is not None:
        moved = (choices != earlier).sum(axis=1)
    judged = _Judged(
        choices=choices,
        direction_error=error,
        worst_share=shares,
        worst=_worst(fitted.shares),
        stroke_needed=needed,
        stroke_left=left,
        parts_moved=moved,
    )
    return reason, over, some(judged, passed)


def _worst(shares: Array) -> Places:
    """Return which part has the largest share; a rig that is out has any."""
    return np.asarray(np.argmax(shares, axis=0))


def _first_reason(
    job: Job, fitted: Fit, error: Array, share: Array, left: Array
) -> tuple[NDArray[np.int8], Array]:
    """Add the limits of the job to those of the bay, first reason first."""
    part = (Limit.RAM_RATING + _worst(fitted.shares)).astype(np.int8)
    # A right angle gives no useful pull, whatever the rounding of its cosine.
    on_line = (error <= job.direction_limit) & (np.cos(error) > 1e-6)
    limits = (
        (Limit.OFF_THE_LINE, on_line, error),
        (Limit.STROKE, left >= 0, -left),
        (part, share <= job.rating_margin, share),
    )
    reason, over = fitted.reason.copy(), fitted.over.copy()
    for code, holds, excess in limits:
        out = (reason == 0) & ~holds
        reason[out] = np.broadcast_to(code, reason.shape)[out]
        over[out] = excess[out]
    # What a box shuts out is nearest where its direction is best.
    shut = reason == Limit.KEEP_OUT
    over[shut] = error[shut]
    return reason, over


def _keys(of: _Judged | Plan, steps: Steps, moved_before: str) -> dict[str, Array]:
    """Return what decides, first key first; less is better."""
    keys = {
        "direction error": np.floor(of.direction_error / steps.direction),
        "worst share": np.floor(of.worst_share / steps.share),
        "stroke left": -np.floor(of.stroke_left / steps.stroke),
        "direction error, exact": of.direction_error,
    }
    if moved_before not in keys:
        return keys
    at = [*keys].index(moved_before)
    ordered = [*keys.items()]
    ordered.insert(at, ("parts moved", of.parts_moved.astype(float)))
    return dict(ordered)


def _finished(
    job: Job,
    floor: ShopFloor,
    steps: Steps,
    kept: _Judged,
    refused: Counter[int],
    moved_before: str,
) -> Plan:
    """Solve the kept choices again, under the ram force of the job."""
    rig = rig_of(job, floor=floor, choices=kept.choices)
    tension = job.useful_pull / np.cos(kept.direction_error)
    force = ram_force_for_tension(rig, pull_tension=tension)
    return Plan(
        job=job,
        floor=floor,
        steps=steps,
        choices=kept.choices,
        rig=rig,
        pull=solve_pulls(rig, ram_force=force),
        direction_error=kept.direction_error,
        worst_share=kept.worst_share,
        worst_part=np.array(PARTS)[kept.worst],
        stroke_needed=kept.stroke_needed,
        stroke_left=kept.stroke_left,
        parts_moved=kept.parts_moved,
        considered=floor.count,
        passed=floor.count - refused.total(),
        refused=MappingProxyType({reason_of(c): n for c, n in sorted(refused.items())}),
        moved_before=moved_before,
    )
