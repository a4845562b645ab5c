"""Drawings on matplotlib Axes, for print, the README and tests."""

from __future__ import annotations

from math import nan
from typing import TYPE_CHECKING, Any

from matplotlib import patheffects
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.path import Path
from matplotlib.text import Text

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.letters import caption_of, fit_inside
from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon, Strokes
from workbook.figures.drawing.styles import INK, PAPER, STYLES
from workbook.figures.drawing.svg import MARKER_RADIUS, OUTLINES, head_outline
from workbook.figures.drawing.windows import placed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase

    from workbook.figures.drawing.marks import Mark, Panel, Sheet
    from workbook.figures.drawing.styles import Theme
    from workbook.figures.drawing.svg import Pixels

Colour = str | tuple[float, float, float, float]

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
    settled, _ = settle(sheet)
    for panel in settled.panels:
        _draw_panel(axes, panel, sheet, theme)
    return figure


def _draw_panel(axes: Axes, panel: Panel, sheet: Sheet, theme: Theme) -> None:
    """Draw one panel on axes whose data coordinates are sheet pixels."""
    if not panel.drawing.drawable:
        return
    x0, y0, kx, ky = placed(panel)

    def px(point: Iterable[float]) -> Pixels:
        x, y = point
        return x0 + kx * x, y0 - ky * y

    for mark in panel.drawing.seen:
        _draw(axes, mark, px, theme, sheet)
    _draw_label(axes, *caption_of(panel, sheet.letters), theme, sheet)


def _draw(
    axes: Axes,
    mark: Mark,
    px: Callable[[Iterable[float]], Pixels],
    theme: Theme,
    sheet: Sheet,
) -> None:
    style, lines = STYLES[mark.role], sheet.lines
    wide = style.width * float(mark.weight) * lines
    ink = (style.stroke or INK)[theme]
    fill = style.fill[theme] if style.fill else "none"
    pen: dict[str, Any] = {
        "color": ink,
        "linewidth": wide * POINTS,
        "linestyle": _dash(style.dash, wide),
        "solid_capstyle": style.cap,
        "dash_capstyle": style.cap,
    }
    match mark:
        case Line():
            axes.plot(*zip(*map(px, mark.points.tolist()), strict=True), **pen)
        case Strokes():
            gap = [(nan, nan)]
            points = [p for s in mark.strokes for p in (*map(px, s), *gap)]
            axes.plot(*zip(*points, strict=True), **pen)
        case Polygon():
            points = [*map(px, mark.points.tolist())]
            face = to_rgba(fill, style.opacity)
            _fill(axes, points, face, ink, wide, pen["linestyle"])
        case Marker():
            _draw_marker(axes, px(mark.at), mark.shape, fill, ink, wide, lines)
        case Arrow():
            tail = px(mark.tail)
            neck, outline = head_outline(tail, px(mark.head), mark.role, lines)
            axes.plot(*zip(tail, neck, strict=True), **pen)
            _fill(axes, outline, ink, ink, 1.0)
        case Label():
            _draw_label(axes, mark, px(mark.at), theme, sheet)


def _dash(pattern: str, width: float) -> str | tuple[float, tuple[float, ...]]:
    # matplotlib counts dashes in line widths, the styles in pixels.
    return (0.0, tuple(float(n) / width for n in pattern.split())) if pattern else "-"


def _fill(
    axes: Axes,
    points: list[Pixels],
    fill: Colour,
    ink: str,
    width: float,
    dash: Any = "-",
) -> None:
    xs, ys = zip(*points, strict=True)
    axes.fill(
        *(xs, ys),
        facecolor=fill,
        edgecolor=ink,
        linewidth=width * POINTS,
        linestyle=dash,
        zorder=2,
    )


def _draw_marker(
    axes: Axes,
    at: Pixels,
    shape: str,
    fill: str,
    ink: str,
    width: float,
    lines: float,
) -> None:
    outline = OUTLINES.get(shape)
    # An outline counts up, and its size is that of its widest part.
    kind: Any = "o"
    wide = 1.0
    if outline is not None:
        corners = [(x, -y) for x, y in outline]
        kind = Path([*corners, corners[0]], closed=True)
        wide = max(abs(c) for corner in outline for c in corner)
    axes.plot(
        [at[0]],
        [at[1]],
        marker=kind,
        markersize=2 * wide * MARKER_RADIUS * lines * POINTS,
        markerfacecolor="none" if shape == "ring" else fill,
        markeredgecolor=ink,
        markeredgewidth=width * POINTS,
        linestyle="none",
        zorder=3,
    )


def _draw_label(
    axes: Axes, label: Label, at: Pixels, theme: Theme, sheet: Sheet
) -> None:
    style = STYLES[label.role]
    align = {"start": "left", "middle": "center", "end": "right"}[str(label.align)]
    place, size = fit_inside(label, at, sheet)
    text = _Haloed(
        *place,
        label.text,
        ha=align,
        va="center",
        color=(style.stroke or INK)[theme],
        fontsize=size * POINTS,
        fontweight="bold" if style.bold else "normal",
        zorder=4,
        clip_on=False,
    )
    text.halo = patheffects.Stroke(linewidth=3.5 * POINTS, foreground=PAPER[theme])
    axes.add_artist(text)


class _Haloed(Text):
    """Text over a halo, and still text: with an effect it would be drawn as a path.

    Nobody can search a path, or hear it.
    """

    halo: patheffects.Stroke

    def draw(self, renderer: RendererBase) -> None:
        self.set_path_effects([self.halo])
        super().draw(renderer)
        self.set_path_effects([])
        super().draw(renderer)
