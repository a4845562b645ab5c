"""Figures at a plain scale: a ruler works on them, and a bar checks the print."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.classroom.protractor import TickLabel
from workbook.figures.drawing.letters import HALF_HEIGHT, width_of
from workbook.figures.drawing.marks import Drawing, Panel, Sheet
from workbook.figures.drawing.obstacles import (
    AIR,
    DOWN_THE_LIST,
    ON_LABEL,
    Obstacles,
    hits,
)
from workbook.figures.drawing.styles import STYLES
from workbook.language import say
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem

WIDE, HIGH = 640.0, 300.0  # pixels of a printed figure, at most
PRINTED = 0.176  # m, how wide it is on paper
TOP = 14.0  # room for the caption
PIXEL = PRINTED / WIDE  # m of paper
# One to so many, times a power of ten; of forces, so many units to one of length.
PLAIN = {"length": (1.0, 2.0, 2.5, 4.0, 5.0), "force": (1.0, 2.0, 5.0)}
# How long the bar is and in how many parts it is divided, by the unit of lengths.
BARS = {"mm": (100.0, 10), "in": (4.0, 8)}


@dataclass(frozen=True, kw_only=True)
class PaperScale:
    """What a length on paper stands for: ``per`` m of it, in SI, of a kind."""

    per: float
    kind: str

    def told(self, system: UnitSystem) -> str:
        """Say the scale, and what the bar stands for."""
        unit = system.unit["length"]
        bar = BARS[unit][0] * factor(unit)
        stands = system.show(bar * self.per, self.kind)
        ratio = f"1:{self.per:.10g}"
        return say("handout", "scales", self.kind, ratio=ratio, stands=stands)

    def height_of(self, drawing: Drawing) -> float:
        """Return how high a drawing is on paper. [px]"""
        _, _, low, top = map(float, drawing.window)
        return (top - low) / self.per / PIXEL

    def of(self, drawing: Drawing, *, wide: float, high: float) -> Drawing:
        """Return a drawing with a window that fills a panel at this scale. [px]"""
        left, right, low, top = map(float, drawing.window)
        x, y = (left + right) / 2, (low + top) / 2
        across, up = (self.per * PIXEL * size / 2 for size in (wide, high))
        return replace(drawing, window=(x - across, x + across, y - up, y + up))


def bar_of(system: UnitSystem) -> dict[str, object]:
    """Return the bar to check a print by: its length on paper, parts, and words."""
    unit = system.unit["length"]
    long, parts = BARS[unit]
    length = f"{long:g} {unit}"
    said = say("handout", "scales", "check", length=length)
    return {"mm": 1000 * long * factor(unit), "parts": parts, "check": said}


def plain_scale(
    drawing: Drawing, kind: str, *, wide: float, high: float, system: UnitSystem
) -> PaperScale:
    """Return the largest plain scale at which a drawing has room in a panel.

    Parameters
    ----------
    drawing : Drawing
        With the same scale both ways.
    kind : {"length", "force"}
        What its coordinates are.
    wide, high : float
        Size of its panel. [px]
    system : UnitSystem
        Whose units a scale of forces is plain in.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> yard = Drawing(caption="", window=(0, 2.7, 0, 1.0))
    >>> plain_scale(yard, "length", wide=WIDE, high=HIGH, system=METRIC).told(METRIC)
    'Scale 1:20: the bar stands for 2000 mm.'
    """
    left, right, low, top = map(float, drawing.window)
    unit = factor(system.unit[kind]) / factor(system.unit["length"])
    unit = 1.0 if kind == "length" else unit
    least = max((right - left) / wide, (top - low) / high) / PIXEL / unit
    power = 10.0 ** np.floor(np.log10(least))
    steps = np.array([*PLAIN[kind], 10.0]) * power
    per = float(steps[(steps >= least * (1 - 1e-9)).argmax()]) * unit
    return PaperScale(per=per, kind=kind)


def one_view(drawing: Drawing, kind: str, text: str, system: UnitSystem) -> PaperSheet:
    """Return a sheet of one drawing, said in words by ``text``."""
    return _sheet([(drawing, kind, 0.0, WIDE)], text, system)


def two_views(
    left: Drawing, right: Drawing, kinds: Iterable[str], text: str, system: UnitSystem
) -> PaperSheet:
    """Return a sheet of two drawings side by side, the left one wider."""
    cut = 0.58 * WIDE
    places = ((0.0, cut), (cut + 10, WIDE - cut - 10))
    drawn = [
        (drawing, kind, *place)
        for drawing, kind, place in zip((left, right), kinds, places, strict=True)
    ]
    return _sheet(drawn, text, system)


@dataclass(frozen=True, kw_only=True)
class PaperSheet:
    """A figure as printed, and its scales, said from left to right."""

    figure: Sheet
    scales: tuple[str, ...]


def _sheet(
    drawn: list[tuple[Drawing, str, float, float]], text: str, system: UnitSystem
) -> PaperSheet:
    room, told = HIGH - TOP, []
    scales = [
        plain_scale(drawing, kind, wide=wide, high=room, system=system)
        if kind
        else None
        for drawing, kind, _, wide in drawn
    ]
    high = max(
        room if scale is None else scale.height_of(drawing)
        for scale, (drawing, *_) in zip(scales, drawn, strict=True)
    )
    panels = []
    for scale, (drawing, _, left, wide) in zip(scales, drawn, strict=True):
        if scale is not None:
            drawing = scale.of(drawing, wide=wide, high=high)
            told.append(scale.told(system))
        panels.append(
            Panel(drawing=drawing, left=left, top=TOP, width=wide, height=high)
        )
    if len(told) > 1:
        sides = ("left", "right")
        told = [
            say("handout", "scales", side, scale=one)
            for side, one in zip(sides, told, strict=True)
        ]
    sheet = Sheet(width=WIDE, height=TOP + high, text=text, panels=panels)
    clear = [cleared(panel, sheet) for panel in panels]
    return PaperSheet(figure=replace(sheet, panels=clear), scales=tuple(told))


def cleared(panel: Panel, sheet: Sheet) -> Panel:
    """Return a panel whose readings of scales stand clear of lines and each other."""
    drawing = panel.drawing
    readings = [mark for mark in drawing.seen if isinstance(mark, TickLabel)]
    rest = replace(
        drawing,
        still=[mark for mark in drawing.still if not isinstance(mark, TickLabel)],
        moving=[mark for mark in drawing.moving if not isinstance(mark, TickLabel)],
    )
    obstacles = Obstacles(replace(panel, drawing=rest), sheet)
    taken, moved = np.empty((0, 4)), {}
    for one in readings:
        style = STYLES[one.role]
        wide = width_of(one.text, style.size, style.bold)
        half = np.array((wide / 2, HALF_HEIGHT * style.size))
        shifts = one.places_to_stand(half)
        middles = obstacles.px(np.asarray(one.at, float)) + shifts
        halves = np.broadcast_to(half, middles.shape)
        costs = obstacles.cost(middles, halves)
        costs += ON_LABEL * hits(middles, halves + AIR, taken).sum(axis=-1)
        costs += DOWN_THE_LIST * np.arange(len(costs))
        best = int(costs.argmin())
        taken = np.concatenate([taken, [[*middles[best], *half]]])
        moved[id(one)] = one.stood(shifts[best])
    still, moving = (
        [moved.get(id(mark), mark) for mark in marks]
        for marks in (drawing.still, drawing.moving)
    )
    return replace(panel, drawing=replace(drawing, still=still, moving=moving))
