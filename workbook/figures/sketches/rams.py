"""Scenes of a ram cut open, and of what it loads, part by part."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.sketches.parts import View, dimension, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words


def cylinder(words: Words) -> list[View]:
    """Draw a piston in its cylinder, oil on the left and its rod to the right.

    Words: ``pressure`` of the oil, ``bore``, ``ram_force`` at the rod, ``below`` for
    something said of it.
    """
    low, high, end, piston, mouth = 70.0, 130.0, 120.0, 220.0, 292.0
    middle = (low + high) / 2
    oil = [(end, low), (piston, low), (piston, high), (end, high)]
    face = [(piston, low), (piston + 14, low), (piston + 14, high), (piston, high)]
    rod = [
        (piston + 14, middle - 9),
        (322.0, middle - 9),
        (322.0, middle + 9),
        (piston + 14, middle + 9),
    ]
    pressure, ram_force = words["pressure"], words["ram_force"]
    marks: list[Mark] = [
        Polygon(oil, "oil"),
        Polygon(face, "base"),
        Polygon(rod, "base"),
        Line([(mouth, low), (end, low), (end, high), (mouth, high)], "ram"),
        *dimension((104, low), (104, high)),
        Label((104, low), words["bore"], "text", (0, 18), "start"),
        Arrow((322, middle), (376, middle), "force ram"),
        Label((412, middle), ram_force, role_of(ram_force), (0, 20), "end"),
        Label((end, high), pressure, role_of(pressure), (0, -17), "start"),
        Label((104, low), words["below"], role_of(words["below"]), (0, 40), "start"),
    ]
    return [View(words["caption"], [m for m in marks if getattr(m, "text", "x")])]


def load_path(words: Words) -> list[View]:
    """Draw a ram, and on two lines from its head what it loads.

    Words: ``ram``; ``pull`` and ``anchor`` above the lines; below these ``chain`` and
    ``clamp``, and ``slot``.
    """
    head, left, right = (96.0, 100.0), 134.0, 404.0
    marks: list[Mark] = [
        Line([(16, 100), head], "ram"),
        Label((16, 100), words["ram"], role_of(words["ram"]), (0, -18), "start"),
    ]
    for y, leg, end in ((150.0, "pull", "square"), (54.0, "anchor", "diamond")):
        place = "clamp" if leg == "pull" else "anchor"
        marks += [
            Line([head, (left, y), (right, y)], f"{leg} leg"),
            Label((left, y), words[leg], "text", (8, -13), "start"),
            Marker((right, y), end, place),
        ]
    for at, name in ((150.0, "chain"), (131.0, "clamp"), (54.0, "slot")):
        marks.append(Label((left, at), words[name], "text", (8, 15), "start"))
    return [View(words["caption"], [*marks, Marker(head, "disc", "head")])]
