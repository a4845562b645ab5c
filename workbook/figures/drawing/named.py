"""Marks that carry a name: arcs of angles, and arrows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Arrow, FreeLabel, Line, parts, place

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from workbook.figures.drawing.marks import Array, Coordinate, Mark, Point
    from workbook.figures.drawing.texts import Text

_ALONG_AN_ARC = np.linspace(0.0, 1.0, 25)


def arc(centre: Point, radius: Coordinate, start: Coordinate, end: Coordinate) -> Array:
    """Return points (..., 25, 2) of an arc between two angles from x [rad]."""
    x, y, r, first, last = (
        np.asarray(c)[..., None] for c in (*parts(centre), radius, start, end)
    )
    angles = first + (last - first) * _ALONG_AN_ARC
    return place((x + r * np.cos(angles), y + r * np.sin(angles)))


def angle_mark(
    centre: Point,
    radius: Coordinate,
    start: Coordinate,
    end: Coordinate,
    text: str | Text,
    *,
    name: str,
    short: str | Text = "",
    shown: ArrayLike = True,
) -> list[Mark]:
    """Return an arc between two angles, and a label that goes where it finds room."""
    x, y = parts(centre)
    c, s = np.cos((start + end) / 2), np.sin((start + end) / 2)
    label = FreeLabel(
        (x + radius * c, y + radius * s),
        text,
        "angle text",
        name=f"label {name}",
        rank="angle",
        short=short,
        shown=shown,
    )
    return [Line(arc(centre, radius, start, end), "angle", name), label]


def named_arrow(
    tail: Point,
    head: Point,
    role: str,
    text: str | Text,
    *,
    name: str,
    words: str = "text",
    short: str | Text = "",
) -> list[Mark]:
    """Return an arrow with its name, of the role ``words``, where it finds room."""
    label = FreeLabel(
        head,
        text,
        words,
        name=f"label {name}",
        rank="force",
        along=[tail, head],
        short=short,
    )
    return [Arrow(tail, head, role, name), label]
