"""What a reader expects: dashed, with the letter P and how near is near enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import FreeLabel, Line, Mark, Polygon, place
from workbook.figures.drawing.texts import said

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Coordinate, Point
    from workbook.figures.drawing.texts import Text
    from workbook.quantities.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class Expected:
    """An amount that a reader has locked before looking.

    Attributes
    ----------
    amount : str
        Which of the numbers of a result.
    value : float
        What is expected. [SI]
    kind : str
        Kind of the number.
    within : float
        Share of it by which it may be off and still be near enough.
    """

    amount: str
    value: float
    kind: str
    within: float

    @property
    def band(self) -> tuple[float, float]:
        """The least and the largest that are near enough. [SI]"""
        off = self.within * abs(self.value)
        return self.value - off, self.value + off

    def words(self, system: UnitSystem) -> Text:
        """Return its letter and the amount."""
        shown = system.show(self.value, self.kind)
        return said("picture", "expected", "at", show=system.show, amount=shown)

    def label(
        self, at: Point, system: UnitSystem, *, shown: Coordinate = True
    ) -> FreeLabel:
        """Return its words at a point."""
        return FreeLabel(
            at,
            self.words(system),
            "ghost text",
            name="label expected",
            rank="point",
            short="P",
            shown=shown,
        )


def expected_along(
    start: Point,
    way: Point,
    expected: Expected,
    system: UnitSystem,
    *,
    half: Coordinate,
) -> list[Mark]:
    """Mark an expected length along a way of a picture from a point.

    Parameters
    ----------
    start, way : point
        Where the length begins, and one metre or newton of it in the picture, (..., 2).
    expected : Expected
        What is expected.
    system : UnitSystem
        Units of its words.
    half : array_like, shape (...)
        Half the length of the tick across its end, as the picture is scaled.
    """
    start, way = place(start), place(way)
    low, high = (start + value * way for value in expected.band)
    end = start + expected.value * way
    size = np.hypot(way[..., 0], way[..., 1])[..., None]
    across = np.stack([-way[..., 1], way[..., 0]], axis=-1) / size
    tick = np.asarray(half)[..., None] * across
    return [
        Line([low, high], "expected band", "near enough"),
        Line([end - tick, end + tick], "expected", "expected"),
        expected.label(end + tick, system),
    ]


def expected_bar(y: float, full: Coordinate, expected: Expected) -> list[Mark]:
    """Draw a hollow bar for what is expected, and a band about its end."""
    low, high = (value / full for value in expected.band)
    end = expected.value / full

    def box(left: Coordinate, right: Coordinate, half: float) -> list[Point]:
        low, top = y - half, y + half
        return [(left, low), (right, low), (right, top), (left, top)]

    return [
        Polygon(box(low, high, 0.46), "expected near", "near enough"),
        Polygon(box(0.0, end, 0.3), "expected", "bar expected"),
    ]
