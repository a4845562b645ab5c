"""Windows on drawings: round points, and how they fill a panel."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import parts, path

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Coordinate, Panel, Path, Point, Window


def window_for(points: Path, *, step: Coordinate, margin: Coordinate = 0.0) -> Window:
    """Return a window round points, its sides rounded out to whole steps.

    Rounding keeps the picture still while the points move a little. A point that
    is nan counts for nothing.
    """
    x, y = parts(path(points))
    low, high = np.fmin.reduce, np.fmax.reduce

    def out(edge: Coordinate, beyond: Coordinate, whole: Any) -> Coordinate:
        return whole((edge + beyond) / step) * step

    return (
        out(low(x, axis=-1), -margin, np.floor),
        out(high(x, axis=-1), margin, np.ceil),
        out(low(y, axis=-1), -margin, np.floor),
        out(high(y, axis=-1), margin, np.ceil),
    )


def moved(window: Window, by: Point) -> Window:
    """Return a window moved along with what must stand still in it."""
    (left, right, low, top), (x, y) = window, parts(by)
    return left + x, right + x, low + y, top + y


def fitted(panel: Panel) -> tuple[Coordinate, Coordinate, Coordinate, Coordinate]:
    """Return (x0, y0, kx, ky), (...) each: pixel = (x0 + kx x, y0 - ky y)."""
    left, right, bottom, top = panel.drawing.window
    high = panel.height - panel.over
    kx, ky = panel.width / (right - left), high / (top - bottom)
    if panel.drawing.true_scale:
        kx = ky = np.minimum(kx, ky)
    spare_x = (panel.width - kx * (right - left)) / 2
    spare_y = (high - ky * (top - bottom)) / 2
    x0 = panel.left + spare_x - kx * left
    y0 = panel.top + panel.height - spare_y + ky * bottom
    return x0, y0, kx, ky


def placed(panel: Panel) -> tuple[float, float, float, float]:
    """Return what `fitted` does for one set-up, as plain numbers."""
    x0, y0, kx, ky = map(float, fitted(panel))
    return x0, y0, kx, ky
