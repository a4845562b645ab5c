"""Scales that several pictures share: round numbers, a scale bar, bars from zero."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Drawing, Label, Line, Mark, Polygon
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem

BAR_ROOM = 1.3  # height of a row of bars, in rows, above the first and below the last


def round_up(value: float, *, unit: float = 1.0) -> float:
    """Return the next of 1, 2, 5 times a power of ten units.

    Examples
    --------
    >>> round_up(17.0), round_up(0.03), round_up(50.0)
    (20.0, 0.05, 50.0)
    """
    power = 10.0 ** np.floor(np.log10(value / unit))
    # A hair of room, for a value that is round but for rounding.
    step = next(m for m in (1, 2, 5, 10) if m * power * (1 + 1e-9) >= value / unit)
    return float(step * power * unit)


def scale_bar(window: tuple[float, ...], system: UnitSystem) -> list[Mark]:
    """Return a bar of round length in the lower right corner of a window [m]."""
    wide, high = window[1] - window[0], window[3] - window[2]
    length = round_up(wide / 12, unit=factor(system.unit["length"]))
    right, y = window[1] - 0.02 * wide, window[2] + 0.03 * high
    tick = 0.008 * wide
    ends = [right - length, right]
    return [
        Line([(x, y) for x in ends], "angle"),
        *(Line([(x, y - tick), (x, y + tick)], "angle") for x in ends),
        Label(
            (ends[0], y), system.show(length, "length"), "small text", (-6, 0), "end"
        ),
    ]


def bar(y: float, share: float, name: str, value: str, role: str) -> list[Mark]:
    """Return one bar from zero, its name before it and its value behind."""
    box = [(0, y - 0.32), (share, y - 0.32), (share, y + 0.32), (0, y + 0.32)]
    return [
        Polygon(box, role),
        Label((0, y), name, "text", (-8, 0), "end"),
        Label((share, y), value, "text", (6, 0), "start"),
    ]


def force_bars(
    rows: Sequence[tuple[str, float, str]],
    *,
    caption: str,
    system: UnitSystem,
    kind: str = "force",
    names: float = 0.62,
) -> Drawing:
    """Return bars from zero, each with its name before it and its value behind.

    Parameters
    ----------
    rows : sequence of (str, float, str)
        Name, value in SI and role of each bar, from the top.
    caption : str
        What the bars are.
    system : UnitSystem
        Units of the values.
    kind : str
        Kind of the values.
    names : float
        Room for the names, in lengths of the longest possible bar.
    """
    full = round_up(max(max(value for _, value, _ in rows), 1e-9))
    marks: list[Mark] = []
    for k, (name, value, role) in enumerate(rows):
        marks += bar(-k, value / full, name, system.show(value, kind), role)
    return Drawing(
        caption=caption,
        window=(-names, 1.5, -len(rows) + 1 - BAR_ROOM / 2, BAR_ROOM),
        moving=marks,
        true_scale=False,
    )
