"""Drawings on matplotlib Axes, for print, the README and tests."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib import patheffects
from matplotlib.figure import Figure

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon, placed
from workbook.figures.drawing.styles import INK, PAPER, STYLES
from workbook.figures.drawing.svg import (
    MARKER_RADIUS,
    caption_of,
    fit_inside,
    head_outline,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from matplotlib.axes import Axes

    from workbook.figures.drawing.marks import Mark, Panel, Sheet
    from workbook.figures.drawing.styles import Theme
    from workbook.figures.drawing.svg import Pixels

PIXELS_PER_INCH = 96.0
POINTS = 72.0 / PIXELS_PER_INCH


def figure_of(sheet: Sheet, *, theme: Theme = "light") -> Figure:
    """Return a sheet as a figure of the same proportions.

    Parameters
    ----------
    sheet : Sheet
        What to draw.
    theme : {"light", "dark"}
        Paper.

    Returns
    -------
    matplotlib.figure.Figure
        A bare figure: nothing to close, no pyplot state.
    """
    figure = Figure(
        figsize=(sheet.width / PIXELS_PER_INCH, sheet.height / PIXELS_PER_INCH),
        dpi=PIXELS_PER_INCH,
        facecolor=PAPER[theme],
    )
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, sheet.width), ylim=(sheet.height, 0))
    axes.set_axis_off()
    for panel in sheet.panels:
        draw_panel(axes, panel, width=sheet.width, theme=theme)
    return figure


def draw_panel(
    axes: Axes, panel: Panel, *, width: float, theme: Theme = "light"
) -> None:
    """Draw one panel on axes whose data coordinates are sheet pixels."""
    if not panel.drawing.drawable:
        return
    x0, y0, kx, ky = placed(panel)

    def px(point: Iterable[float]) -> Pixels:
        x, y = point
        return x0 + kx * x, y0 - ky * y

    for mark in panel.drawing.seen:
        _draw(axes, mark, px, theme, width)
    at = (panel.left + 4, panel.top + 8)
    _draw_label(axes, caption_of(panel), at, theme, width)


def _draw(
    axes: Axes,
    mark: Mark,
    px: Callable[[Iterable[float]], Pixels],
    theme: Theme,
    width: float,
) -> None:
    style = STYLES[mark.role]
    ink = (style.stroke or INK)[theme]
    fill = style.fill[theme] if style.fill else "none"
    pen: dict[str, Any] = {
        "color": ink,
        "linewidth": style.width * POINTS,
        "linestyle": _dash(style.dash, style.width),
        "solid_capstyle": "butt",
        "dash_capstyle": "butt",
    }
    match mark:
        case Line():
            axes.plot(*zip(*map(px, mark.points.tolist()), strict=True), **pen)
        case Polygon():
            _fill(axes, [*map(px, mark.points.tolist())], fill, ink, style.width)
        case Marker():
            _draw_marker(axes, px(mark.at), mark.shape, fill, ink, style.width)
        case Arrow():
            tail = px(mark.tail)
            neck, outline = head_outline(tail, px(mark.head), mark.role)
            axes.plot(*zip(tail, neck, strict=True), **pen)
            _fill(axes, outline, ink, ink, 1.0)
        case Label():
            _draw_label(axes, mark, px(mark.at), theme, width)


def _dash(pattern: str, width: float) -> str | tuple[float, tuple[float, ...]]:
    # matplotlib counts dashes in line widths, the styles in pixels.
    return (0.0, tuple(float(n) / width for n in pattern.split())) if pattern else "-"


def _fill(axes: Axes, points: list[Pixels], fill: str, ink: str, width: float) -> None:
    xs, ys = zip(*points, strict=True)
    axes.fill(xs, ys, facecolor=fill, edgecolor=ink, linewidth=width * POINTS, zorder=2)


def _draw_marker(
    axes: Axes, at: Pixels, shape: str, fill: str, ink: str, width: float
) -> None:
    kind = {"disc": "o", "ring": "o", "square": "s", "diamond": "D"}[shape]
    axes.plot(
        [at[0]],
        [at[1]],
        marker=kind,
        markersize=2 * MARKER_RADIUS * POINTS,
        markerfacecolor="none" if shape == "ring" else fill,
        markeredgecolor=ink,
        markeredgewidth=width * POINTS,
        linestyle="none",
        zorder=3,
    )


def _draw_label(
    axes: Axes, label: Label, at: Pixels, theme: Theme, width: float
) -> None:
    style = STYLES[label.role]
    align = {"start": "left", "middle": "center", "end": "right"}[str(label.align)]
    place, size = fit_inside(label, at, width)
    text = axes.text(
        *place,
        label.text,
        ha=align,
        va="center",
        color=(style.stroke or INK)[theme],
        fontsize=size * POINTS,
        fontweight="bold" if style.bold else "normal",
        zorder=4,
    )
    halo = patheffects.withStroke(linewidth=3.5 * POINTS, foreground=PAPER[theme])
    text.set_path_effects([halo])
