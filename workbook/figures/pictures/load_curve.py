"""Axes of load over movement, whose scale goes up in steps of two."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Label, Line, Mark, Window, path
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Point
    from workbook.figures.drawing.rooms import Size
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

# The least that an axis shows, by the unit of the reader: a quarter of it is round.
LEAST = {"mm": 20.0, "in": 1.0, "kN": 10.0, "lbf": 2000.0, "tf": 1.0}
QUARTERS = (1, 2, 3, 4)
ROW = 24.0  # px, of a length drawn below the axis, in letters of a page
NUMBERS = 26.0  # px, of the numbers below the axis
WORDS = 72.0  # px, half of the words of such a length
BEFORE, BEHIND, ABOVE = 62.0, 32.0, 30.0  # px, round the axes


@dataclass(frozen=True, kw_only=True)
class LoadAxes:
    """Where a curve of load over movement stands, over set-ups (...).

    Both axes go from 0 to 1 in the drawing; ``far`` [m] and ``top`` [N] are what 1
    means. ``window`` leaves room for the numbers and for ``rows`` of lengths below.
    """

    far: Coordinate
    top: Coordinate
    window: Window
    row: float
    letters: float

    @classmethod
    def around(
        cls,
        curves: Sequence[Array],
        *,
        system: UnitSystem,
        size: Size,
        letters: float = 1.0,
        rows: int = 0,
    ) -> LoadAxes:
        """Return axes round curves (..., n, 2), nan where there is none of a curve."""
        reach = [np.fmax.reduce(curve, axis=-2) for curve in curves]
        far, top = (
            _step(np.fmax.reduce(np.broadcast_arrays(*(r[..., k] for r in reach))), u)
            for k, u in enumerate((system.unit["length"], system.unit["force"]))
        )
        left, right, above = (x * letters for x in (BEFORE, BEHIND, ABOVE))
        below = (NUMBERS + rows * ROW) * letters
        wide, high = size[0] - left - right, size[1] - above - below
        window = (-left / wide, 1 + right / wide, -below / high, 1 + above / high)
        row = letters * ROW / high
        return cls(far=far, top=top, window=window, row=row, letters=letters)

    def at(self, curve: Array) -> Array:
        """Return points of a curve (..., n, 2), movement and load, in the drawing."""
        scale = np.stack(np.broadcast_arrays(self.far, self.top), axis=-1)
        return np.asarray(curve / scale[..., None, :])

    def point(self, movement: Coordinate, load: Coordinate) -> Array:
        """Return one movement and its load (..., 2) in the drawing."""
        at = np.broadcast_arrays(movement / self.far, load / self.top)
        return np.stack(at, axis=-1)

    def along(self, movement: Coordinate, height: Coordinate = 0.0) -> Point:
        """Return the point of a movement at some height of the drawing."""
        return movement / self.far, height

    def marks(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Return the axes with round numbers, and their names where there is room."""
        show, below = system.show, (0.0, 14.0 * self.letters)
        marks: list[Mark] = [
            Line([(0.0, 1.0), (0.0, 0.0), (1.0, 0.0)], "axis", "axes"),
            Label((0.0, 0.0), "0", "small text", below, name="number 0"),
        ]
        for k in QUARTERS:
            share = k / len(QUARTERS)
            if not brief or k % 2 == 0:  # side by side, they need twice the room
                marks.append(
                    Label(
                        (share, 0.0),
                        Amount(share * self.far, "length", show),
                        "small text",
                        below,
                        name=f"number movement {k}",
                    )
                )
            marks += [
                Line([(share, 0.0), (share, 1.0)], "grid", f"movement {k}"),
                Line([(0.0, share), (1.0, share)], "grid", f"load {k}"),
                Label(
                    (0.0, share),
                    Amount(share * self.top, "force", show),
                    "small text",
                    (-6.0, 0.0),
                    "end",
                    name=f"number load {k}",
                ),
            ]
        if not brief:
            up, along = (
                said("picture", "load_curve", key, show=show)
                for key in ("load", "movement")
            )
            marks += [
                Label((0.0, 1.0), up, "text", (-52.0, -19.0), "start", name="load"),
                Label((1.0, 1.0), along, "text", (0.0, -19.0), "end", name="movement"),
            ]
        return marks

    def _inside(self, across: Coordinate) -> Coordinate:
        """Return where the middle of some words goes so that no side cuts them."""
        left, right, *_ = self.window
        half = WORDS * left / BEFORE  # as far as so many pixels reach
        return np.clip(across, left - half, right + half)

    def length(
        self,
        ends: tuple[Coordinate, Coordinate],
        words: Text,
        *,
        row: int,
        name: str,
        shown: Coordinate = True,
    ) -> list[Mark]:
        """Draw a length below the axis, in a row of its own, its words right above."""
        y = self.window[2] + (0.25 + row) * self.row
        tick = 0.15 * self.row
        first, last = (self.along(end, y) for end in ends)
        line = path([first, last])
        shown = np.isfinite(line).all(axis=(-2, -1)) & shown
        return [
            Line(line, "angle", name, shown=shown),
            *(
                Line(
                    [(x, y - tick), (x, y + tick)], "angle", f"{name}, {end}",
                    shown=shown,
                )
                for end, (x, _) in (("start", first), ("end", last))
            ),
            Label(
                (self._inside(line[..., 0].mean(axis=-1)), y),
                words,
                "text",
                (0.0, -12.0 * self.letters),
                name=f"label {name}",
                shown=shown,
            ),
        ]  # fmt: skip


def _step(most: Coordinate, unit: str) -> Coordinate:
    """Return the least length of an axis, doubled until it holds the most."""
    least = LEAST[unit] * factor(unit)
    times = np.ceil(np.log2(np.maximum(1.02 * most / least, 1.0)) - 1e-9)
    return least * 2.0**times
