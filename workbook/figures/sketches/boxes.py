"""Scenes of a box out of true: its diagonals, its corners, its twist, unlike rails."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Label, Line, Marker, Polygon
from workbook.figures.sketches.parts import View, dimension, role_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

LONG, LOW, HIGH = 164.0, 34.0, 142.0  # px, of a box seen from above
BACK = 26.0  # px, that the left side lies behind the right one


def skewed_box(words: Words) -> list[View]:
    """Draw a box from above, its left side pushed back, with both diagonals.

    Words: ``length``, ``width``, ``skew``, ``long`` and ``short`` diagonal, and what
    is ``wanted`` of them.
    """
    rear = 90.0 if words["width"] else 180.0  # long words stand on one side only
    front = rear + LONG
    corners = [(rear, LOW), (front, LOW), (front - BACK, HIGH), (rear - BACK, HIGH)]
    right_rear, right_front, left_front, left_rear = corners
    square = (front, HIGH)
    marks: list[Mark] = [
        Line([left_front, square], "reference"),
        Line([square, right_front], "reference"),
        Line([left_rear, right_front], "diagonal"),
        Line([left_front, right_rear], "diagonal"),
        Polygon(corners, "frame outline"),
        *_squares(corners),
        Label(left_rear, words["long"], role_of(words["long"]), (-12, 0), "end"),
        Label(right_rear, words["short"], role_of(words["short"]), (-12, 0), "end"),
        *dimension((rear, LOW - 14), (front, LOW - 14)),
        Label(((rear + front) / 2, LOW - 14), words["length"], "text", (0, 11)),
        *(dimension((front + 16, LOW), (front + 16, HIGH)) if words["width"] else []),
        Label((front + 16, 100.0), words["width"], "text", (7, 0), "start"),
        Label((front + 16, 62.0), words["wanted"], "strong text", (7, 0), "start"),
        *dimension((left_front[0], HIGH + 12), (front, HIGH + 12)),
        Label(
            (front, HIGH + 12), words["skew"], role_of(words["skew"]), (8, 0), "start"
        ),
    ]
    return [View(words["caption"], marks)]


def _squares(places: Sequence[Point]) -> list[Mark]:
    return [Marker(place, "square", "measured") for place in places]


def corner_readings(words: Words) -> list[View]:
    """Draw a box from above with what was read at each corner beside it.

    Words: ``lf``, ``rf``, ``lr``, ``rr``, each with ``_ahead``, ``_left``, ``_up``; the
    way ``ahead`` and what is ``wanted``.
    """
    left, right, low, high = 186.0, 234.0, 62.0, 128.0
    box = {
        "lf": (right, high),
        "rf": (right, low),
        "lr": (left, high),
        "rr": (left, low),
    }
    outline = [(left, low), (right, low), (right, high), (left, high)]
    middle = (left + right) / 2
    marks: list[Mark] = [
        Polygon(outline, "frame outline"),
        *_squares([*box.values()]),
        Label((middle, high + 20), words["ahead"], "small text"),
        Label((middle, low - 22), words["wanted"], role_of(words["wanted"])),
    ]
    for name, (x, y) in box.items():
        side = 1 if x == right else -1
        at, align = x + 12 * side, "start" if side > 0 else "end"
        top = y + (34.0 if y == high else 6.0)
        marks.append(Label((at, top), words[name], "strong text", (0, 0), align))
        marks += [
            Label(
                (at, top - 17 * row),
                words[f"{name}_{way}"],
                "small text",
                (0, 0),
                align,
            )
            for row, way in enumerate(("ahead", "left", "up"), start=1)
        ]
    return [View(words["caption"], marks)]


def twisted_box(words: Words, *, rear_lift: float) -> list[View]:
    """Draw the front and the rear of a box as they are seen from behind.

    Of ``rear_lift``, how much higher the left point is at the rear, only the sign is
    drawn.
    Words: ``front`` and ``rear``, how much higher the left point is; ``width``,
    ``wanted``, and the names ``front_end``, ``rear_end``, ``left``, ``right``.
    """
    level, lift = 78.0, 14.0 * ((rear_lift > 0) - (rear_lift < 0))
    marks: list[Mark] = [Label((210, 112), words["wanted"], "strong text", (0, 0))]
    for name, x, rise in (("front", 44.0, 30.0), ("rear", 256.0, lift)):
        far, top = x + 120.0, level + rise
        marks += [
            Line([(x, level), (far, level)], "reference"),
            Line([(x, top), (far, level)], "frame damaged"),
            *_squares([(x, top), (far, level)]),
            *dimension((x - 14, level), (x - 14, top)),
            Label((x, 160.0), words[f"{name}_end"], "text", (0, 0), "start"),
            Label((x, 140.0), words[name], role_of(words[name]), (0, 0), "start"),
            Label((x, level - 34), words["left"], "small text"),
            Label((far, level - 34), words["right"], "small text"),
            *dimension((x, level - 48), (far, level - 48)),
            Label(((x + far) / 2, level - 48), words["width"], "text", (0, 12)),
        ]
    return [View(words["caption"], marks)]


def unlike_rails(words: Words) -> list[View]:
    """Draw two rails from above that are unlike by design, specified and measured.

    Words: ``left``, ``right`` specified; ``left_measured``, ``right_measured``; what
    is ``wanted``.
    """
    marks: list[Mark] = [
        Line([(60, 24), (60, 156)], "reference"),
        Label((322, 90), words["wanted"], role_of(words["wanted"]), (0, 0), "start"),
    ]
    for name, y, long in (("left", 128.0, 330.0), ("right", 52.0, 300.0)):
        marks += [
            Line([(60, y), (300, y)], "sill"),
            Marker((300, y), "square", "measured"),
            Marker((long, y), "ring", "specified"),
            Label((60, y), words[name], "text", (8, -20), "start"),
            Label((60, y), words[f"{name}_measured"], "text", (8, 19), "start"),
        ]
    return [View(words["caption"], marks)]
