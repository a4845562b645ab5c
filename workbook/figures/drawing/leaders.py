"""Where a label goes that finds no room at its owner: to the end of a leader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.obstacles import AIR, Obstacles, Segments, hits
from workbook.figures.drawing.places import all_over

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from workbook.figures.drawing.marks import Array

LEADER = 0.5  # px, half the width of a leader
_AT_A_TIME = 64  # places for the end of a leader
_BENT = 12  # ends tried for a leader with a bend


@dataclass(frozen=True, eq=False)
class Led:
    """A place at the end of a leader: its number, the middle, and the leader's line.

    The ``line`` (n, 2) goes from the owner to the nearest edge of the label. [px]
    """

    place: int
    middle: Array
    line: Array


def nearest(
    half: Array,
    owners: Sequence[Array],
    was: int,
    *,
    obstacles: Obstacles,
    labels: Array,
    leaders: Iterable[Segments],
) -> Led | None:
    """Return the nearest free place of the panel, with a leader to it.

    The leader is straight if that runs through no label, or has one bend.

    Parameters
    ----------
    half : Array, shape (2,)
        Half sizes of the label. [px]
    owners : sequence of Array, shape (2,)
        Where the leader may begin. [px]
    was : int
        Number of its place in an earlier picture, or less than nought.
    obstacles : Obstacles
        What is in the way.
    labels : Array, shape (m, 4)
        Boxes of the other free labels. [px]
    leaders : iterable of Segments
        Leaders of the other labels.
    """
    middles = all_over(obstacles.low, obstacles.high, half)
    if not len(middles):
        return None
    far = np.hypot(*(middles - owners[0]).T)
    if 0 <= was < len(far):
        far[was] = -1.0
    order = np.argsort(far, kind="stable")
    walls, leaders = np.concatenate([obstacles.boxes, labels]), [*leaders]
    clean: list[int] = []
    for start in range(0, len(order), _AT_A_TIME):
        near = order[start : start + _AT_A_TIME]
        halves = np.broadcast_to(half, middles[near].shape)
        free = obstacles.cost(middles[near], halves, leaders) == 0
        near = near[free & ~hits(middles[near], halves + AIR, labels).any(axis=-1)]
        for owner in owners:
            ends = middles[near] + np.clip(owner - middles[near], -half, half)
            starts = np.broadcast_to(owner, ends.shape)
            straight = Segments.between(starts, ends, LEADER)
            clear = ~straight.crossing(walls[:, :2], walls[:, 2:]).any(axis=0)
            if clear.any():
                place = int(near[np.argmax(clear)])
                return _at_end(place, [owner], middles[place], half)
        clean += [int(place) for place in near]
    if not clean:
        return None
    for place in clean[:_BENT]:
        for owner in owners:
            bend = _bend(owner, middles[place], half, walls, obstacles)
            if bend is not None:
                return _at_end(place, [owner, bend], middles[place], half)
    # None is clear: the nearest of all.
    return _at_end(clean[0], [owners[0]], middles[clean[0]], half)


def pieces(line: Array) -> Segments:
    """Return the pieces of a leader along a line (n, 2)."""
    return Segments.between(line[:-1], line[1:], LEADER)


def _at_end(place: int, way: list[Array], middle: Array, half: Array) -> Led:
    """Return a label at the end of a leader that comes along a way."""
    end = middle + np.clip(way[-1] - middle, -half, half)
    return Led(place, middle, np.stack([*way, end]))


def _bend(
    owner: Array, middle: Array, half: Array, walls: Array, obstacles: Obstacles
) -> Array | None:
    """Return where a leader with one bend turns, so that it crosses no box."""
    turns = all_over(obstacles.low, obstacles.high, np.zeros(2))
    ends = middle + np.clip(turns - middle, -half, half)
    first = Segments.between(np.broadcast_to(owner, turns.shape), turns, LEADER)
    second = Segments.between(turns, ends, LEADER)
    own = np.hstack([middle, half])
    blocked = np.zeros(len(turns), dtype=bool)
    for part, there in ((first, np.vstack([walls, own])), (second, walls)):
        blocked |= part.crossing(there[:, :2], there[:, 2:]).any(axis=0)
    if blocked.all():
        return None
    long = 2 * (np.hypot(*first.half.T) + np.hypot(*second.half.T))
    return np.asarray(turns[np.argmin(np.where(blocked, np.inf, long))])
