"""What words in a panel keep off: its edge, points, lines, and words in place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.letters import (
    HALF_HEIGHT,
    caption_of,
    fit_inside,
    width_of,
)
from workbook.figures.drawing.marks import (
    Arrow,
    FreeLabel,
    Label,
    Marker,
    Polygon,
    Strokes,
)
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.windows import placed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from workbook.figures.drawing.marks import Array, Line, Panel, Sheet

FRAME = 4.0  # px, from the edge of the panel
AIR = 2.0  # px, between labels
POINT = 8.0  # px, half of the square that a point keeps free
OUTSIDE, ON_LABEL, ON_POINT, ON_LINE = 1000.0, 800.0, 500.0, 100.0
DOWN_THE_LIST = 0.5  # what a later place costs more than the one before
_TOUCHING = 1e-6  # px, that rounding may let a box share with what it only touches
_FINE = 9  # points; a line of twice as many is taken at every second of them


@dataclass(frozen=True, eq=False)
class Segments:
    """Straight pieces of lines, m of them.

    ``middle`` (m, 2) and ``half`` (m, 2), from there to an end; ``width`` (m,) is half
    of how wide each is drawn. [px]
    """

    middle: Array
    half: Array
    width: Array

    @staticmethod
    def between(start: Array, end: Array, width: Array | float) -> Segments:
        """Return the pieces from starts (m, 2) to ends (m, 2)."""
        wide = np.broadcast_to(width, start.shape[:1])
        return Segments((start + end) / 2, (end - start) / 2, wide)

    def crossing(self, middles: Array, halves: Array) -> NDArray[np.bool_]:
        """Tell which boxes (k) are met by which pieces, (k, m), exactly.

        No axis parts them: neither of the box's two, nor that across the piece.
        """
        reach = np.abs(self.half) + self.width[:, None]
        found = meeting(middles, halves, self.middle, reach)
        box, piece = np.nonzero(found)  # few are as near as that
        x, y = (middles[box] - self.middle[piece]).T
        dx, dy = self.half[piece].T
        wide, high = (halves[box] + self.width[piece, None]).T
        across = wide * np.abs(dy) + high * np.abs(dx)
        found[box, piece] = np.abs(x * dy - y * dx) <= across
        return found


def meeting(
    middles: Array, halves: Array, others: Array, their_halves: Array
) -> NDArray[np.bool_]:
    """Tell which boxes (k) meet which others (m), (k, m), by middles and half sizes."""
    (left, low), (right, top) = (middles - halves).T, (middles + halves).T
    (its_left, its_low), (its_right, its_top) = (
        (others - their_halves).T,
        (others + their_halves).T,
    )
    found = left[:, None] < its_right
    found &= its_left < right[:, None]
    found &= low[:, None] < its_top
    found &= its_low < top[:, None]
    return np.asarray(found)


def hits(middles: Array, halves: Array, boxes: Array) -> NDArray[np.bool_]:
    """Tell which boxes (k) meet which others (m, 4), (k, m); no box is nan."""
    return meeting(middles, halves, boxes[:, :2], boxes[:, 2:])


class Obstacles:
    """What is in the way in one panel, in pixels of the sheet: all but free labels."""

    def __init__(self, panel: Panel, sheet: Sheet) -> None:
        self.sheet = sheet
        self.x0, self.y0, self.kx, self.ky = placed(panel)
        low = np.array((panel.left, panel.top))
        size = np.array((panel.width, panel.height))
        self.low, self.high = low + FRAME, low + size - FRAME
        points, boxes, drawn = [], [], []
        for mark in panel.drawing.seen:
            if isinstance(mark, FreeLabel):
                continue
            if isinstance(mark, Label):
                boxes.append(self._box(mark, self.px(mark.at)))
            elif not STYLES[mark.role].quiet:
                if isinstance(mark, Marker):
                    points.append(mark.at)
                else:
                    drawn.append(mark)
        caption, at = caption_of(panel, sheet.letters)
        if caption.text:
            boxes.append(self._box(caption, np.array(at)))
        self.boxes = np.array(boxes, dtype=float).reshape(-1, 4)
        self.points = self.px(np.array(points).reshape(-1, 2))
        self.segments = self._pieces(drawn)

    def px(self, points: Array) -> Array:
        """Return points (..., 2) of the drawing in pixels of the sheet."""
        return points * (self.kx, -self.ky) + (self.x0, self.y0)

    def back(self, pixels: Array) -> Array:
        """Return pixels (..., 2) of the sheet as points of the drawing."""
        return np.asarray((pixels - (self.x0, self.y0)) / (self.kx, -self.ky))

    def cost(
        self, middles: Array, halves: Array, leaders: Iterable[Segments] = ()
    ) -> Array:
        """Return what stands in the way of boxes (k), leaders of labels too, (k,)."""
        halves = halves - _TOUCHING
        beyond = (middles - halves < self.low) | (middles + halves > self.high)
        costs = OUTSIDE * beyond.any(axis=-1)
        costs += ON_LABEL * _count(hits(middles, halves + AIR, self.boxes))
        square = np.full_like(self.points, POINT * self.sheet.lines)
        costs += ON_POINT * _count(meeting(middles, halves, self.points, square))
        for lines in (self.segments, *leaders):
            costs += ON_LINE * _count(lines.crossing(middles, halves))
        return np.asarray(costs)

    def _box(self, label: Label, at: Array) -> tuple[float, ...]:
        """Return the box of a label that has its place: middle and half sizes."""
        (x, y), size = fit_inside(label, (float(at[0]), float(at[1])), self.sheet)
        wide = width_of(label.text, size, STYLES[label.role].bold)
        x += {"start": wide / 2, "middle": 0.0, "end": -wide / 2}[str(label.align)]
        return x, y, wide / 2, HALF_HEIGHT * size

    def _pieces(self, marks: Iterable[Line | Strokes | Polygon | Arrow]) -> Segments:
        """Return the pieces of all lines of marks."""
        lines: list[Array] = [np.empty((0, 2))]
        counts, widths = [0], [0.0]
        for mark in marks:
            drawn = STYLES[mark.role].width * float(mark.weight) * self.sheet.lines
            for line, half in self._lines(mark, drawn):
                lines.append(line)
                counts.append(len(line))
                widths.append(half)
        points = self.px(np.concatenate(lines))
        inside = np.ones(len(points), dtype=bool)
        inside[np.cumsum(counts)[1:] - 1] = False  # no piece from line to line
        start = np.flatnonzero(inside)
        wide = np.repeat(widths, counts)[start]
        return Segments.between(points[start], points[start + 1], wide)

    def _lines(
        self, mark: Line | Strokes | Polygon | Arrow, width: float
    ) -> list[tuple[Array, float]]:
        """Return the lines of a mark, each with half of how wide it is drawn."""
        match mark:
            case Arrow():
                ends = mark.places
                way = self.px(ends[1]) - self.px(ends[0])
                size = float(np.hypot(*way))
                share = min(3.6 * width / size, 1.0) if size else 0.0
                tip = np.array([ends[1] - share * (ends[1] - ends[0]), ends[1]])
                return [(ends, width / 2), (tip, 2 * width)]
            case Strokes():
                return [(line, width / 2) for line in mark.points[mark.there]]
            case Polygon():
                return [(np.concatenate([mark.points, mark.points[:1]]), width / 2)]
        line = mark.points
        if len(line) > 2 * _FINE:  # a curve, finer than is needed
            line = np.concatenate([line[:-1:2], line[-1:]])
        return [(line, width / 2)]


def _count(found: NDArray[np.bool_]) -> NDArray[np.int_]:
    return np.asarray(np.count_nonzero(found, axis=-1))
