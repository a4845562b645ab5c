"""What the pictures of measuring share: places drawn, the car's outline, its words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.texts import Amount, Signed, Text, said

if TYPE_CHECKING:
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.measuring import Measured

TIMES = 10.0  # how many times too long differences and tilts are drawn
LETTERS = "PQR"
LEVEL = 0.5e-3  # m; a tape that rises less is said to be level
AHEAD, BACK = 1.75, -2.15  # m, ends of the planes
# Points joined by lines are the car's outline; both sides alike.
ALONG = (
    ("tip", "cross", "mid", "mount", "root", "sill-front", "sill-mid", "sill-rear"),
    ("sill-rear", "rear-mount", "tail"),
    ("root", "cowl", "sill-front"),
)
ACROSS = ("tip", "cross", "cowl", "sill-front", "sill-rear", "tail")


def say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    """Return a sentence of the picture, over set-ups."""
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "measuring", *keys, show=system.show, **values)


def length(value: Any, system: UnitSystem) -> Text:
    """Return a length as read."""
    return Amount(value, "length", system.show)


def tape_words(measured: Measured, system: UnitSystem) -> Text:
    """Return what the tape reads, and whether it lies level: a view may hide that."""
    rise = np.asarray(measured.rise)
    way = np.where(rise > 0, "rises", "falls")
    way = np.where(np.abs(rise) < LEVEL, "level", way)
    return say(("tape", way), system, at=measured.tape, rise=np.abs(rise))


def signed(value: Any, system: UnitSystem) -> Text:
    """Return a difference with its sign."""
    return Signed(value, "small length", system.show)


def outline(measured: Measured) -> dict[str, Array]:
    """Return the lines of the car as it should be by name, each (n, 3). [m]"""
    ids, places = measured.survey.points.ids, measured.specified
    lines = {
        f"{side} line {k}": [f"{side}-{name}" for name in line]
        for side in ("left", "right")
        for k, line in enumerate(ALONG)
    }
    lines |= {f"across {name}": [f"left-{name}", f"right-{name}"] for name in ACROSS}
    return {
        name: places[[ids.index(point) for point in line]]
        for name, line in lines.items()
    }


def drawn(measured: Measured) -> Array:
    """Return where the points that are shown are drawn, shape (..., k, 3). [m]"""
    rows = measured.rows(measured.shown)
    moved = measured.differences[..., rows, :]
    return np.asarray(measured.specified[rows] + TIMES * moved)


def letter(number: int) -> str:
    """Return the letter of a point that is shown, the chosen one first."""
    return LETTERS[number] if number < len(LETTERS) else ""


def lettered(measured: Measured) -> int:
    """Return how many of the points have a letter."""
    return 1 if measured.fitted else len(measured.shown)


def slope(measured: Measured) -> Array:
    """Return how steep the car's own datum plane is drawn, forward and up. [1]"""
    return np.asarray(TIMES * np.tan(measured.given.array("tilt_deg")))


def tilted(measured: Measured) -> Array:
    """Return where the tilt is drawn, (...): a fitted survey is freed of it."""
    tilt = measured.given.array("tilt_deg")
    return np.asarray((tilt != 0) & (not measured.fitted))
