"""Drawings as SVG text for the screen; looks come from a style sheet."""

from __future__ import annotations

from html import escape
from math import atan2, cos, hypot, sin
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.letters import caption_of, fit_inside
from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon, Strokes
from workbook.figures.drawing.styles import INK, PAPER, STYLES, css_name
from workbook.figures.drawing.windows import placed

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from workbook.figures.drawing.marks import Array, Mark, Panel, Sheet
    from workbook.figures.drawing.styles import Theme

Pixels = tuple[float, float]

DARK = 'body[data-jp-theme-light="false"] '
MARKER_RADIUS = 7.0
# Points with corners, in radii.
OUTLINES: Mapping[str, list[Pixels]] = {
    "square": [(-1, -1), (1, -1), (1, 1), (-1, 1)],
    "diamond": [(0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)],
    "triangle": [(0, -1.4), (1.5, 1.1), (-1.5, 1.1)],
    "cross": [
        *[(-1.4, -1), (-1, -1.4), (0, -0.4), (1, -1.4), (1.4, -1), (0.4, 0)],
        *[(1.4, 1), (1, 1.4), (0, 0.4), (-1, 1.4), (-1.4, 1), (-0.4, 0)],
    ],
}


def style_sheet() -> str:
    """Return the CSS that gives every role its looks, in light and dark."""
    shapes = _shapes(line="*var(--pw-line,1)", text="*var(--pw-text,1)")
    return "\n".join([*shapes, *_colours("light", ""), *_colours("dark", DARK)])


def _shapes(*, line: str = "", text: str = "") -> list[str]:
    """Return widths, dashes and letters, which the page may scale."""
    rules = [
        ".pw-sheet{font-family:sans-serif}",
        ".pw-sheet *{stroke-linecap:butt;stroke-linejoin:round}",
    ]
    for role, style in STYLES.items():
        name, width = css_name(role), f"calc({style.width}px{line})"
        dash = f";stroke-dasharray:{style.dash}" if style.dash else ""
        dash += f";stroke-linecap:{style.cap}" if style.cap != "butt" else ""
        dash += f";fill-opacity:{style.opacity}" if style.opacity < 1 else ""
        weight = "bold" if style.bold else "normal"
        rules += [
            f".pw-sheet .{name}{{stroke-width:{width}{dash}}}",
            f".pw-sheet .{name}.pw-tip{{stroke-width:1px;stroke-dasharray:none}}",
            f".pw-sheet text.{name}{{font-size:calc({style.size}px{text});"
            f"font-weight:{weight};stroke-width:3.5px;stroke-dasharray:none;"
            "paint-order:stroke}",
        ]
    return rules


def _colours(theme: Theme, scope: str) -> list[str]:
    """Return the colours of one paper; a text has a halo of the paper's."""
    paper = PAPER[theme]
    rules = [f"{scope}.pw-sheet{{background:{paper}}}"]
    for role, style in STYLES.items():
        name, ink = css_name(role), (style.stroke or INK)[theme]
        fill = style.fill[theme] if style.fill else "none"
        rules += [
            f"{scope}.pw-sheet .{name}{{stroke:{ink};fill:{fill}}}",
            f"{scope}.pw-sheet .{name}.pw-tip{{fill:{ink}}}",
            f"{scope}.pw-sheet text.{name}{{fill:{ink};stroke:{paper}}}",
        ]
    return rules


def render(sheet: Sheet, *, name: str = "") -> str:
    """Return a sheet as one SVG element, named by the sheet's words or by others.

    What is written in it is not read aloud besides. Free labels go where the rule
    puts them, if nobody settled them before.
    """
    settled, _ = settle(sheet)
    body = "".join(_panel(panel, sheet) for panel in settled.panels)
    large = f'style="--pw-text:{sheet.letters:.4g};--pw-line:{sheet.lines:.4g}" '
    own = large if sheet.letters != 1.0 else ""
    return (
        f'<svg class="pw-sheet" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'{own}viewBox="0 0 {sheet.width:g} {sheet.height:g}" '
        f'aria-label="{escape(name or str(sheet.text), quote=True)}">'
        f'<g aria-hidden="true">{body}</g></svg>'
    )


def standalone(sheet: Sheet, *, theme: Theme = "light") -> str:
    """Return a sheet as a file of its own, on light or dark paper."""
    text = render(sheet)
    cut = text.index(">")
    shapes = _shapes(line=f"*{sheet.lines:.4g}", text=f"*{sheet.letters:.4g}")
    style = "\n".join([*shapes, *_colours(theme, "")])
    size = f' width="{sheet.width:g}" height="{sheet.height:g}"'
    return f"{text[:cut]}{size}><style>{style}</style>{text[cut + 1 :]}"


def _panel(panel: Panel, sheet: Sheet) -> str:
    if not panel.drawing.drawable:
        return ""
    x0, y0, kx, ky = placed(panel)
    seen = panel.drawing.seen
    places = [mark.places for mark in seen]
    points = np.concatenate([np.empty((0, 2)), *places]) * (kx, -ky) + (x0, y0)
    written = _written(points)
    marks, start = [], 0
    for mark, own in zip(seen, places, strict=True):
        end = start + len(own)
        marks.append(_mark(mark, points[start:end], written[start:end], sheet))
        start = end
    # The caption comes last, so that no line runs through it.
    return "".join([*marks, _label(*caption_of(panel, sheet.letters), sheet)])


def _written(points: Array) -> list[str]:
    """Return points (n, 2) as text, all of them in one go."""
    return ("%.1f,%.1f " * len(points) % tuple(points.ravel().tolist())).split()


def _mark(mark: Mark, points: Array, written: list[str], sheet: Sheet) -> str:
    """Return a mark as SVG; its points (n, 2) are in pixels, and stand as text too."""
    name = css_name(mark.role)
    match mark:
        case Strokes():
            path, each = "", mark.points.shape[-2]
            for start in range(0, len(written), each):
                path += f"M{' '.join(written[start : start + each])}"
            return f'<path class="{name}" style="fill:none{_weight(mark)}" d="{path}"/>'
        case Line():
            style, path = f"fill:none{_weight(mark)}", " ".join(written)
            return f'<polyline class="{name}" style="{style}" points="{path}"/>'
        case Polygon():
            return f'<polygon class="{name}" points="{" ".join(written)}"/>'
        case Marker():
            (at,) = points.tolist()
            return _marker(at, mark.shape, name, MARKER_RADIUS * sheet.lines)
        case Arrow():
            tail, head = points.tolist()
            return _arrow(tail, head, mark.role, sheet.lines)
        case Label():
            (at,) = points.tolist()
            return _label(mark, at, sheet)


def _weight(mark: Mark) -> str:
    """Return the width of a mark's lines, if it is not that of its role."""
    weight = float(mark.weight)
    if weight == 1.0:
        return ""
    return (
        f";stroke-width:calc({STYLES[mark.role].width * weight:.2g}px*var(--pw-line,1))"
    )


def _points(pixels: Iterable[Pixels]) -> str:
    return " ".join([f"{x:.1f},{y:.1f}" for x, y in pixels])


def _marker(at: Pixels, shape: str, name: str, r: float) -> str:
    x, y = at
    if shape in {"disc", "ring"}:
        hollow = ' style="fill:none"' if shape == "ring" else ""
        return f'<circle class="{name}"{hollow} cx="{x:.1f}" cy="{y:.1f}" r="{r:g}"/>'
    corners = _points([(x + r * dx, y + r * dy) for dx, dy in OUTLINES[shape]])
    return f'<polygon class="{name}" points="{corners}"/>'


# Arrow heads as (back along the arrow, to its side), in widths of the shaft.
HEADS = {
    "barb": [(0, 0), (3.6, 1.7), (2.6, 0), (3.6, -1.7)],
    "broad": [(0, 0), (3.0, 2.2), (3.0, -2.2)],
    "diamond": [(0, 0), (2.2, 1.5), (4.4, 0), (2.2, -1.5)],
    "open": [(0, 0), (3.6, 2.0), (3.2, 1.2), (1.2, 0), (3.2, -1.2), (3.6, -2.0)],
}


def head_outline(
    tail: Pixels, head: Pixels, role: str, lines: float
) -> tuple[Pixels, list[Pixels]]:
    """Return where the shaft ends and the outline of the head, in pixels."""
    style = STYLES[role]
    length = hypot(head[0] - tail[0], head[1] - tail[1])
    angle = atan2(head[1] - tail[1], head[0] - tail[0])
    size = min(max(style.width, 2.5) * lines, length / 5)
    c, s = cos(angle), sin(angle)
    outline = [
        (head[0] - size * (b * c - a * s), head[1] - size * (b * s + a * c))
        for b, a in HEADS[style.head]
    ]
    back = 2.4 * size
    return (head[0] - back * c, head[1] - back * s), outline


def _arrow(tail: Pixels, head: Pixels, role: str, lines: float) -> str:
    neck, outline = head_outline(tail, head, role, lines)
    name = css_name(role)
    return (
        f'<line class="{name}" x1="{tail[0]:.1f}" y1="{tail[1]:.1f}" '
        f'x2="{neck[0]:.1f}" y2="{neck[1]:.1f}"/>'
        f'<polygon class="{name} pw-tip" points="{_points(outline)}"/>'
    )


def _label(label: Label, at: Pixels, sheet: Sheet) -> str:
    (x, y), size = fit_inside(label, at, sheet)
    size /= sheet.letters
    smaller = size < STYLES[label.role].size
    own = f'style="font-size:calc({size:.1f}px*var(--pw-text,1))" ' if smaller else ""
    return (
        f'<text class="{css_name(label.role)}" {own}x="{x:.1f}" y="{y:.1f}" dy=".35em" '
        f'text-anchor="{label.align}">{escape(label.text)}</text>'
    )
