"""How a body moves that its supports leave free, in words with values."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from workbook.errors import WorkbookError
from workbook.mechanics.holding.supports import Springs
from workbook.mechanics.vectors import Array, dot, norm


def motions(springs: Springs, free: Array) -> object:
    """Name the motions that the rows of ``free`` (k, 6) span, slides apart."""
    # Turns first, so that elimination leaves the slides with no turn in them.
    simple = _row_reduced(np.concatenate([free[:, 3:], free[:, :3]], axis=1))
    return one_and_another([_motion(springs, row) for row in simple])


def _motion(springs: Springs, row: Array) -> WorkbookError:
    """Name one motion, a scaled turn and slide (6,)."""
    turn, slide = row[:3] / springs.length, row[3:]
    if norm(row[:3]) < 1e-6 * norm(row):
        return WorkbookError("anchoring.slides", along=_axis_name(slide))
    point = springs.centre + np.cross(turn, slide) / dot(turn, turn)
    # Nanometres are rounding.
    x, y, z = (float(place) for place in np.round(point, 9) + 0.0)
    line = WorkbookError("anchoring.turns", x=x, y=y, z=z, along=_axis_name(turn))
    travel = abs(2 * np.pi * float(dot(turn, slide) / dot(turn, turn)))
    if travel <= 1e-6 * springs.length:
        return line
    return WorkbookError("anchoring.screws", turns=line, travel=travel)


def one_and_another(things: Sequence[object]) -> object:
    """Return one thing, or all of them as a phrase."""
    *before, last = things
    if not before:
        return last
    return WorkbookError("anchoring.both", first=one_and_another(before), then=last)


def _row_reduced(rows: Array, *, tolerance: float = 1e-6) -> Array:
    """Return rows (k, 6) of the same span with as many noughts as can be."""
    reduced, done = rows.copy(), 0
    for column in range(rows.shape[1]):
        pivot = done + int(np.argmax(np.abs(reduced[done:, column])))
        if abs(reduced[pivot, column]) < tolerance:
            continue
        reduced[[done, pivot]] = reduced[[pivot, done]]
        reduced[done] /= reduced[done, column]
        others = np.arange(len(rows)) != done
        reduced[others] -= np.outer(reduced[others, column], reduced[done])
        done += 1
        if done == len(rows):
            break
    return np.where(np.abs(reduced) < tolerance, 0.0, reduced)


def _axis_name(direction: Array) -> str:
    """Return x, y, z or the three components of a direction."""
    along = direction / norm(direction)
    for name, component in zip("xyz", along, strict=True):
        if abs(component) > 1 - 1e-6:
            return name
    return "({:.2f}, {:.2f}, {:.2f})".format(*along + 0.0)
