"""Axes with numbers, for curves drawn as marks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Label, Line, Mark
from workbook.figures.drawing.scales import round_up
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem

ROOM_FOR_CAPTION = 0.08  # at the top, over the whole height
TICKS = 5  # about so many numbers on an axis


def ticks(low: float, high: float, *, unit: float) -> list[float]:
    """Return round places from ``low`` to ``high``, in SI, nought among them.

    Examples
    --------
    >>> [round(1e3 * x) for x in ticks(-0.004, 0.021, unit=1e-3)]
    [0, 5, 10, 15, 20]
    """
    step = round_up((high - low) / TICKS, unit=unit)
    first, last = np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9)
    return [float(k * step) for k in np.arange(first, last + 1)]


def axes_of(
    window: tuple[float, float, float, float],
    *,
    along: tuple[str, str],
    up: tuple[str, str],
    system: UnitSystem,
) -> list[Mark]:
    """Return axes from nought with round numbers and names, nothing below nought.

    Parameters
    ----------
    window : tuple of float
        Left, right, bottom and top of the drawing, in SI.
    along, up : tuple of (str, str)
        Name and kind of quantity of each axis.
    system : UnitSystem
        Units of the numbers.
    """
    left, right, bottom, high = window
    top = high - ROOM_FOR_CAPTION * (high - bottom)
    marks: list[Mark] = [
        Line([(left, 0), (right, 0)], "axis"),
        Line([(0, 0), (0, top)], "axis"),
        Label((right, 0), along[0], "text", (-4, 36), "end"),
        Label((0, top), up[0], "text", (10, 4), "start"),
    ]
    inside = 0.97  # a number at the very end would be cut off
    for x in ticks(inside * left, inside * right, unit=factor(system.unit[along[1]])):
        marks += [
            Line([(x, 0), (x, top)], "grid"),
            Label((x, 0), system.show(x, along[1]), "small text", (0, 14)),
        ]
    for y in ticks(0, inside * top, unit=factor(system.unit[up[1]])):
        if y > 0:
            marks += [
                Line([(left, y), (right, y)], "grid"),
                Label((0, y), system.show(y, up[1]), "small text", (-8, 0), "end"),
            ]
    return marks
