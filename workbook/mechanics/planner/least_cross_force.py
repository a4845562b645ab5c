"""Two tensions that give a pull along a line with the least force across it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from workbook.mechanics.planner.candidates import Job, Places
from workbook.mechanics.vectors import Array, unit


@dataclass(frozen=True, kw_only=True)
class Singles:
    """Set-ups (n,) that fit the bay: parts along and across the line, and limits.

    ``share`` is the largest share of a rating per newton of pull, of the part
    ``worst``; ``cap`` the greatest pull within the margin.
    """

    choices: Places
    direction: Array
    along: Array
    across: Array
    ratio: Array
    share: Array
    worst: Places
    cap: Array
    stroke_left: Array


@dataclass(frozen=True, kw_only=True)
class Pairs:
    """Pairs (n,): places in the two lists of singles, and the best forces (n, 2)."""

    first: Places
    second: Places
    tension: Array
    cross: Array
    share: Array
    stroke_left: Array


def across_of(line: Array) -> Array:
    """Return two unit vectors across a line and each other, shape (3, 2)."""
    least = np.eye(3)[np.argmin(np.abs(line))]
    first = unit(np.cross(line, least))
    return np.stack([first, np.cross(line, first)], axis=1)


def best_forces(
    job: Job, one: Singles, two: Singles, first: Places, second: Places
) -> Pairs:
    """Return the tensions of least cross force; each pair can reach the pull."""
    P = job.useful_pull
    # x is the tension of the pull with the smaller part along the line; the other
    # goes along it, or the two could not reach the pull.
    swap = one.along[first] > two.along[second]

    def sorted_by_part(name: str) -> tuple[Array, Array]:
        a, b = getattr(one, name)[first], getattr(two, name)[second]
        by = swap.reshape(-1, *[1] * (a.ndim - 1))
        return np.where(by, b, a), np.where(by, a, b)

    (a, A), (c, C) = sorted_by_part("along"), sorted_by_part("across")
    (cap, CAP), (u, U) = sorted_by_part("cap"), sorted_by_part("share")
    a = np.where(np.abs(a) < 1e-12, 1e-12, a)
    grows, at_nought = c - (a / A)[:, None] * C, (P / A)[:, None] * C
    square = (grows * grows).sum(axis=1)
    # Parallel pulls have one cross force for any division: then equal shares.
    parallel = square < 1e-18
    # Against each other and as strong, equal shares cancel: then an end is taken.
    with np.errstate(divide="ignore"):
        even = P / (a + A * u / U)
    least = -(grows * at_nought).sum(axis=1) / np.where(parallel, 1.0, square)
    x = np.where(parallel, even, least)
    ends = np.stack([P / a, (P - A * CAP) / a])
    x = np.clip(x, np.maximum(ends.min(axis=0), 0.0), np.minimum(ends.max(axis=0), cap))
    X = np.clip((P - a * x) / A, 0.0, CAP)
    tension = np.stack([np.where(swap, X, x), np.where(swap, x, X)], axis=1)
    cross = np.hypot(*(c * x[:, None] + C * X[:, None]).T)
    share = np.maximum(x * u, X * U)
    if one is two:
        share = np.maximum(share, np.hypot(P, cross) / job.clamp_rating)
    left = np.minimum(one.stroke_left[first], two.stroke_left[second])
    return Pairs(
        first=first,
        second=second,
        tension=tension,
        cross=cross,
        share=share,
        stroke_left=left,
    )
