"""Scenes of metal: springback on a curve, readings on a tape, a clamp at an edge."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.sketches.parts import View, dimension, role_of
from workbook.scenes.straightening import climb, curve_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

ORIGIN: Point = (60.0, 52.0)


def springback_to_find(words: Words) -> list[View]:
    """Draw load over movement, up and let go: what stays, and the reading wanted.

    Words: ``load``, ``stiffness``, ``needed`` and the loaded ``reading``.
    """
    x, y = ORIGIN
    stays, loaded, top = 190.0, 250.0, 150.0
    curve = [(x, y), (x + 60, y + 78), (x + 90, y + 92), (loaded, top)]
    marks: list[Mark] = [
        Line([(x, 168), (x, y), (400, y)], "axis"),
        Line(curve, "loading"),
        Line([(loaded, top), (stays, y)], "release"),
        Marker((loaded, top), "diamond", "hold"),
        Label((loaded + 12, top), words["load"], "text", (0, 0), "start"),
        Label((loaded - 22, 84), words["stiffness"], "text", (0, 0), "start"),
        *dimension((x, 38), (stays, 38), words["needed"], shift=(0, 11)),
        *dimension((x, 14), (loaded, 14)),
        Label(
            (loaded + 8, 14), words["reading"], role_of(words["reading"]), (0, 0),
            "start",
        ),
    ]  # fmt: skip
    return [View(words["caption"], marks, 186.0)]


def three_readings(words: Words) -> list[View]:
    """Draw one point before, under load and let go, each short of its place.

    Words: ``start`` and ``left`` short, ``loaded`` movement, ``stays`` wanted, and
    ``place`` above the line where the point should be.
    """
    first, far, place = 60.0, 300.0, 330.0
    left = 252.0
    marks: list[Mark] = [
        Line([(place, 8), (place, 152)], "reference"),
        Label((place, 166), words["place"], "small text"),
        Marker((first, 128), "square", "measured"),
        *dimension((first, 128), (place, 128), words["start"], shift=(0, -11)),
        Marker((far, 78), "square", "measured"),
        *dimension((first, 78), (far, 78), words["loaded"], shift=(0, -11)),
        Marker((left, 28), "square", "measured"),
        *dimension((left, 28), (place, 28), words["left"], shift=(8, -11)),
        *dimension((first, 28), (left, 28), words["stays"], shift=(0, -11)),
    ]
    return [View(words["caption"], marks, 190.0)]


def clamp_at_edge(words: Words) -> list[View]:
    """Draw a jaw on the edge of a sheet from above, and what would shear.

    Words: ``edge`` distance, ``sheet`` thickness, ``strength``, ``pull`` wanted.
    """
    edge, jaw, low, high = 240.0, 150.0, 62.0, 108.0
    marks: list[Mark] = [
        Polygon([(20, 26), (edge, 26), (edge, 144), (20, 144)], "body"),
        Line([(jaw, low), (edge, low)], "limit"),
        Line([(jaw, high), (edge, high)], "limit"),
        Polygon([(100, low), (jaw, low), (jaw, high), (100, high)], "support"),
        Arrow((jaw, 85), (330, 85), "force pull"),
        Label((336, 85), words["pull"], role_of(words["pull"]), (0, 0), "start"),
        *dimension((jaw, 122), (edge, 122), words["edge"], shift=(0, -11)),
        Label((edge + 10, 140), words["sheet"], "text", (0, 0), "start"),
        Label((edge + 10, 32), words["strength"], "text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 170.0)]


def two_bars(words: Words) -> list[View]:
    """Draw how much there was before and after as two bars.

    Words: ``before`` and ``after``, and the ``share`` wanted.
    """
    marks: list[Mark] = []
    for y, long, name in ((112.0, 180.0, "before"), (66.0, 100.0, "after")):
        box = [(20, y - 12), (20 + long, y - 12), (20 + long, y + 12), (20, y + 12)]
        marks += [
            Polygon(box, "bar part"),
            Label((30 + long, y), words[name], "text", (0, 0), "start"),
        ]
    marks += [
        *dimension((120, 36), (200, 36)),
        Label((210, 36), words["share"], "strong text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 150.0)]


def curve_to_stop_on(
    words: Words, *, wall: float, needed: float, far: float, top: float
) -> list[View]:
    """Draw the curve of a bent rail under a rising pull, to read and draw on.

    ``far`` [m] and ``top`` [N] are the ends of its axes. Words: ``far`` and ``top``
    beside them, ``load`` above, the place ``needed``; below, its ``wall`` and what is
    ``given``, with the ``first`` and ``second`` reading.
    """
    (x, y), wide, high = (ORIGIN[0], 91.0), 320.0, 200.0
    marks: list[Mark] = []
    for k in range(1, 17):
        role = "grid" if k % 4 else "angle"
        across, up = x + wide * k / 16, y + high * k / 16
        marks += [
            Line([(across, y), (across, y + high)], role),
            Line([(x, up), (x + wide, up)], role),
        ]
    curve = [
        (x + wide * u, y + high * v)
        for u, v in _curve(round(wall, 9), round(needed, 9), far, top)
    ]
    place = x + wide * needed / far
    marks += [
        Line([(x, y + high), (x, y), (x + wide, y)], "axis"),
        Line([(place, y), (place, y + high)], "frame specified"),
        Line(curve, "loading"),
        Marker((place, y), "ring", "specified"),
        Label((x, y), "0", "small text", (-6, 8), "end"),
        Label((x, y + high), words["top"], "small text", (4, 9), "start"),
        Label((412, y), words["far"], "small text", (0, 13), "end"),
        Label((place, y), words["needed"], "text", (0, 14)),
        Label((x, y + high), words["load"], "small text", (0, -12), "start"),
        Label((8, 53), words["wall"], "small text", (0, 0), "start"),
        Label((8, 38), words["given"], "small text", (0, 0), "start"),
        Label((8, 23), words["first"], "small text", (0, 0), "start"),
        Label((8, 9), words["second"], "small text", (0, 0), "start"),
        Label((x + wide, y + high), words["wanted"], "strong text", (0, -12), "end"),
    ]
    return [View(words["caption"], marks, y + high + 40)]


@lru_cache(maxsize=256)
def _curve(
    wall: float, needed: float, far: float, top: float
) -> list[tuple[float, float]]:
    """Return the curve as shares of its axes, cut off where it leaves them."""
    parts, _ = climb(wall, needed, 0.0, top)
    points = [(float(x) / far, float(v) / top) for x, v in curve_of(parts, needed)]
    inside = [point for point in points if point[0] <= 1]
    beyond = [point for point in points if point[0] > 1][:1]
    for u, v in beyond:  # to the edge itself
        (a, b) = inside[-1]
        inside.append((1.0, b + (v - b) * (1 - a) / (u - a)))
    return inside
