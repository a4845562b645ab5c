r"""Two rams whose pulls add up along one line, with least force across it.

For a pair of set-ups the two tensions are one unknown, as their parts along the
line must add up to the useful pull P. The force across the line is then a
straight function of that unknown, so its least square has a closed form, moved
to the nearest end where a rating stops it. Every pair is looked at.

Left out: that the two rams or chains could touch each other.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from enum import IntEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.wrenches import net_wrench, one_vector
from workbook.mechanics.magnitudes import one_number
from workbook.mechanics.planner.candidates import (
    AXES,
    PARTS,
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
from workbook.mechanics.planner.least_cross_force import (
    Pairs,
    Singles,
    across_of,
    best_forces,
)
from workbook.mechanics.planner.near_miss import Reason, reason_of, term_of
from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.vectors import Array, dot

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence


class PairLimit(IntEnum):
    """What refuses a pair of set-ups that each fit the bay."""

    SHARED_PART = 1
    TOO_WEAK = 2
    CLAMP_RATING = 3


@dataclass(frozen=True, kw_only=True)
class PairPlan:
    """The best pairs of set-ups for a job; arrays hold n pairs, best first.

    Attributes
    ----------
    choices : ndarray of int, shape (n, 2, 6)
        Places in the floor's lists, in the order of `AXES`.
    rig : Rig, shape (n, 2)
        The rigs.
    direction : Array, shape (n, 2, 3)
        Pull directions.
    pull_tension, ram_force : Array, shape (n, 2)
        The forces that leave the least across the line. [N]
    wrench : Array, shape (n, 6)
        Resultant [N], and its moment about the job's clamp [N m].
    cross_force : Array, shape (n,)
        Part of the resultant across the line. [N]
    worst_share : Array, shape (n,)
        Largest share of a rating used, by ``worst_part`` (n,) of the ram
        ``worst_ram`` (n,), 0 or 1; a clamp that carries both counts too. [1]
    stroke_left : Array, shape (n, 2)
        After slack, and as the clamp goes along the line. [m]
    considered, passed : int
        Pairs of set-ups that fit the bay, and those that passed.
    refused_alone : mapping
        Set-ups out before pairing, both lists together, by first reason.
    refused : mapping
        Pairs refused, by `PairLimit`.
    """

    choices: Places
    rig: Rig
    direction: Array
    pull_tension: Array
    ram_force: Array
    wrench: Array
    cross_force: Array
    worst_share: Array
    worst_part: NDArray[np.str_]
    worst_ram: Places
    stroke_left: Array
    considered: int
    passed: int
    refused_alone: Mapping[Reason, int]
    refused: Mapping[PairLimit, int]


def plan_two_rams(
    job: Job,
    *,
    floor: ShopFloor,
    second_clamp: ArrayLike | None = None,
    used_once: Sequence[str] = ("socket", "slot", "ram"),
    keep: int = 20,
    cross_step: float = 0.01,
    share_step: float = 0.01,
    most_pairs: int = 20_000_000,
    chunk: int = 200_000,
) -> PairPlan:
    r"""Rank every pair of set-ups whose resultant runs along the job's line.

    Pairs are ranked by cross force, in steps of the useful pull; by the worst
    share of a rating, in steps; by the stroke left on the ram with less; then by
    the exact cross force.

    Parameters
    ----------
    job : Job
        What the two together must do; ``direction_limit`` is not used.
    floor : ShopFloor
        What there is to choose from.
    second_clamp : array_like, shape (3,), optional
        Where the second ram pulls, through a clamp rated like the first. Unless
        given, both pull at the job's clamp, which then carries the resultant. [m]
    used_once : sequence of str
        Lists of `AXES` of which the two may not share an entry; the others are
        sorts of which there are enough.
    keep : int
        How many of the best to return.
    cross_step, share_step : float
        How fine cross force over useful pull, and share of a rating, count. [1]
    most_pairs : int
        More pairs than this are refused, as they would take too long.
    chunk : int
        Pairs looked at at a time.

    Returns
    -------
    PairPlan

    Raises
    ------
    OutOfRangeError
        If no pair passes, there are too many, or a clamp is in a keep-out box.

    Notes
    -----
    With :math:`a_i` the part of pull direction i along the line and
    :math:`\mathbf c_i` the part across it, the forces are those that make
    :math:`|\mathbf c_1 T_1 + \mathbf c_2 T_2|` least with
    :math:`a_1 T_1 + a_2 T_2 = P` and :math:`0 \le T_i \le T_{i,max}`. With
    :math:`r = a_1/a_2` (the pulls numbered so that :math:`a_2` is the larger)

    .. math:: T_1 = -\frac{P}{a_2}
       \frac{(\mathbf c_1 - r \mathbf c_2) \cdot \mathbf c_2}
            {|\mathbf c_1 - r \mathbf c_2|^2}

    or the nearest end of what the ratings leave. Two parallel pulls divide the
    load so that both use the same share. Least cross force is least resultant,
    so a clamp that carries both is within its rating if it can be at all.

    Examples
    --------
    Rams to the left and to the right of a line straight ahead:

    >>> floor = ShopFloor(
    ...     sockets=[[1.0, 0.5, 0], [1.0, -0.5, 0]],
    ...     slots=[[1.6, 0.8, 0], [1.6, -0.8, 0]], slot_ratings=40e3,
    ...     extensions=[0.0], closed_lengths=[0.45, 0.45], full_strokes=0.2,
    ...     swivels=np.radians(45), ram_ratings=60e3, head_ratings=70e3,
    ...     chain_pitches=[0.03], chain_ratings=31e3, links=[24],
    ... )
    >>> job = Job(
    ...     clamp=[0, 0, 0.31], direction=[1, 0, 0.1], useful_pull=20e3,
    ...     clamp_rating=45e3,
    ... )
    >>> pairs = plan_two_rams(job, floor=floor)
    >>> [f"{pull / 1e3:.2f} kN" for pull in pairs.pull_tension[0]]
    ['11.17 kN', '11.17 kN']
    """
    _readable(
        used_once,
        keep=keep,
        chunk=chunk,
        most_pairs=most_pairs,
        cross_step=cross_step,
        share_step=share_step,
    )
    # Jobs of both rams; at one clamp they are one job and each pair counts once.
    same = second_clamp is None
    jobs = (job, job)
    if second_clamp is not None:
        jobs = (job, replace(job, clamp=one_vector(second_clamp, name="clamp")))
    alone: Counter[int] = Counter()
    one = _singles(job, floor=floor, at_one_clamp=same, refused=alone)
    two = one
    if not same:
        two = _singles(jobs[1], floor=floor, at_one_clamp=False, refused=alone)
    rows, columns = len(one.choices), len(two.choices)
    count = rows * (rows - 1) // 2 if same else rows * columns
    _countable(count, most=most_pairs, alone=alone)
    shared = [AXES.index(axis) for axis in used_once]
    tally = _PairTally(refused=Counter())
    kept: Pairs | None = None
    for first, second in _rows(rows, columns, triangle=same, size=chunk):
        found = _judged(job, one, two, first, second, shared, tally)
        kept = found if kept is None else together([kept, found])
        keys = [
            np.floor(kept.cross / job.useful_pull / cross_step),
            np.floor(kept.share / share_step),
            -kept.stroke_left,
            kept.cross,
        ]
        kept = some(kept, best(np.stack(keys), keep=keep))
    if kept is None or not len(kept.first):
        raise _no_pair(job, count, tally)
    return _finished(jobs, floor, one, two, kept, count, alone, tally.refused)


@dataclass(kw_only=True)
class _PairTally:
    """What became of the pairs so far, and how near the refused ones came.

    ``strongest`` is the greatest pull along the line that ratings allow [N], and
    ``least_share`` the least worst share of a pair that can give the pull [1].
    """

    refused: Counter[int]
    strongest: float = 0.0
    least_share: float = np.inf


def _judged(
    job: Job,
    one: Singles,
    two: Singles,
    first: Places,
    second: Places,
    shared: list[int],
    tally: _PairTally,
) -> Pairs:
    """Return the pairs that pass, with their best forces; count the others."""
    apart = _apart(one, two, first, second, shared)
    a, b = first[apart], second[apart]
    reach = _reach(one, a) + _reach(two, b)
    strong = reach >= job.useful_pull
    found = best_forces(job, one, two, a[strong], b[strong])
    held = found.share <= job.rating_margin * (1 + 1e-12)
    tally.refused[PairLimit.SHARED_PART] += len(first) - len(apart)
    tally.refused[PairLimit.TOO_WEAK] += int((~strong).sum())
    tally.refused[PairLimit.CLAMP_RATING] += int((~held).sum())
    tally.strongest = max(tally.strongest, float(reach.max(initial=0.0)))
    tally.least_share = min(tally.least_share, float(found.share.min(initial=np.inf)))
    return some(found, np.flatnonzero(held))


def _readable(used_once: Sequence[str], **numbers: float) -> None:
    for axis in used_once:
        if axis not in AXES:
            raise OutOfRangeError("planner.no_list", axis=axis, known=AXES)
    for name, given in numbers.items():
        value = one_number(given, name=f"option.{name}")
        if not 0 < value < np.inf:
            raise OutOfRangeError(
                "planner.more_than_nought", name=f"option.{name}", value=value
            )


def _singles(
    job: Job, *, floor: ShopFloor, at_one_clamp: bool, refused: Counter[int]
) -> Singles:
    """Return the set-ups that fit the bay and have stroke enough; count the rest."""
    clamp_is_free(job, floor)
    return together(
        [
            _some_singles(job, floor, choices, at_one_clamp, refused)
            for choices in chunks(floor, size=8192)
        ]
    )


def _some_singles(
    job: Job,
    floor: ShopFloor,
    choices: Places,
    at_one_clamp: bool,
    refused: Counter[int],
) -> Singles:
    fitted = fit(job, floor=floor, choices=choices)
    direction, ratio = fitted.pull.direction, fitted.pull.travel_ratio
    along = dot(direction, job.line)
    drawn = np.maximum(along, 0.0) * job.distance
    left = fitted.rig.full_stroke - job.slack - drawn / ratio
    reason = fitted.reason.copy()
    reason[(reason == 0) & ~(left >= 0)] = Limit.STROKE
    shares = fitted.shares.copy()
    if at_one_clamp:
        # It carries the resultant of the two, which is judged pair by pair.
        shares[PARTS.index("clamp")] = 0.0
    ok = np.flatnonzero(reason == 0)
    refused.update(reason[reason != 0].tolist())
    return Singles(
        choices=choices[ok],
        direction=direction[ok],
        along=along[ok],
        across=direction[ok] @ across_of(job.line),
        ratio=ratio[ok],
        share=shares[:, ok].max(axis=0),
        worst=np.asarray(np.argmax(shares[:, ok], axis=0)),
        cap=job.rating_margin / shares[:, ok].max(axis=0),
        stroke_left=left[ok],
    )


def _countable(count: int, *, most: int, alone: Counter[int]) -> None:
    """Refuse to pair too few set-ups, or too many."""
    if count == 0:
        if not alone:
            raise OutOfRangeError("planner.one_set_up")
        [(code, out)] = alone.most_common(1)
        limit = term_of(reason_of(code))
        raise OutOfRangeError("planner.no_two_fit", limit=limit, count=out)
    if count > most:
        raise OutOfRangeError("planner.too_many_pairs", count=count, most=most)


def _rows(
    rows: int, columns: int, *, triangle: bool, size: int
) -> Iterator[tuple[Places, Places]]:
    """Run through all pairs, some rows at a time; of a triangle, the upper part."""
    step = max(1, size // columns)
    for start in range(0, rows, step):
        block = np.arange(start, min(start + step, rows))
        pairs = np.meshgrid(block, np.arange(columns), indexing="ij")
        i, j = (places.ravel() for places in pairs)
        upper = j > i if triangle else slice(None)
        yield i[upper], j[upper]


def _apart(
    one: Singles, two: Singles, first: Places, second: Places, shared: list[int]
) -> Places:
    """Return which pairs share no entry of the lists ``shared``."""
    both = np.zeros(len(first), dtype=bool)
    for axis in shared:
        both |= one.choices[first, axis] == two.choices[second, axis]
    return np.flatnonzero(~both)


def _reach(singles: Singles, at: Places) -> Array:
    """Return the greatest pull along the line within the ratings. [N]"""
    return np.asarray(np.maximum(singles.along * singles.cap, 0.0)[at])


def _no_pair(job: Job, count: int, tally: _PairTally) -> OutOfRangeError:
    """Say what refused the most pairs, and how near the nearest came."""
    [(limit, most)] = tally.refused.most_common(1)
    if tally.refused[PairLimit.CLAMP_RATING]:
        near = OutOfRangeError(
            "planner.near.clamp",
            resultant=tally.least_share * job.clamp_rating,
            clamp=job.rating_margin * job.clamp_rating,
        )
    else:
        near = OutOfRangeError(
            "planner.near.weak", strongest=tally.strongest, wanted=job.useful_pull
        )
    return OutOfRangeError(
        "planner.no_pair_passes",
        count=count,
        limit=f"pair_limit.{PairLimit(limit).name.lower()}",
        most=most,
        near=near,
    )


def _finished(
    jobs: tuple[Job, Job],
    floor: ShopFloor,
    one: Singles,
    two: Singles,
    kept: Pairs,
    count: int,
    alone: Counter[int],
    refused: Counter[int],
) -> PairPlan:
    """Put the kept pairs in the words of the result."""
    a, b = some(one, kept.first), some(two, kept.second)

    def both(name: str) -> Any:
        return np.stack([getattr(a, name), getattr(b, name)], axis=1)

    clamps = np.stack([job.clamp for job in jobs])
    choices, direction = both("choices"), both("direction")
    shares = kept.tension * both("share")
    ram = np.asarray(shares.argmax(axis=1))
    part = np.take_along_axis(both("worst"), ram[:, None], axis=1)[:, 0]
    # Where the shared clamp is the worst, neither ram's own part is.
    part = np.where(kept.share > shares.max(axis=1), PARTS.index("clamp"), part)
    rig = replace(rig_of(jobs[0], floor=floor, choices=choices), clamp=clamps)
    forces = kept.tension[..., None] * direction
    return PairPlan(
        choices=choices,
        rig=rig,
        direction=direction,
        pull_tension=kept.tension,
        ram_force=kept.tension * both("ratio"),
        wrench=net_wrench(forces, points=clamps, about=jobs[0].clamp),
        cross_force=kept.cross,
        worst_share=kept.share,
        worst_part=np.array(PARTS)[part],
        worst_ram=ram,
        stroke_left=both("stroke_left"),
        considered=count,
        passed=count - refused.total(),
        refused_alone=MappingProxyType(
            {reason_of(c): n for c, n in sorted(alone.items())}
        ),
        refused=MappingProxyType(
            {PairLimit(c): n for c, n in sorted(refused.items()) if n}
        ),
    )
