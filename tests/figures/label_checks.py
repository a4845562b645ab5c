"""What an eye looks for in labels: lines, points and other labels under them."""

import numpy as np

from workbook.figures.drawing.letters import HALF_HEIGHT, width_of
from workbook.figures.drawing.marks import Label, Line, Marker, Polygon, Strokes
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.views import RISE, TURN, Viewpoint
from workbook.figures.drawing.windows import placed

CORNERS = {
    f"corner {k}": Viewpoint(azimuth=side * TURN, elevation=rise)
    for k, (side, rise) in enumerate([(s, r) for s in (-1, 1) for r in RISE])
}


def pieces(panel, kind):
    return [mark for mark in panel.drawing.seen if isinstance(mark, kind)]


def px(panel, points):
    x0, y0, kx, ky = placed(panel)
    return np.asarray(points, dtype=float) * (kx, -ky) + (x0, y0)


def boxes_of(panel, letters):
    """Return the box of each label, by name: left, top, right, bottom in pixels."""
    found = {}
    for label in pieces(panel, Label):
        style = STYLES[label.role]
        wide = width_of(label.text, style.size * letters, style.bold)
        x, y = px(panel, label.at) + label.shift
        x -= {"start": 0.0, "middle": wide / 2, "end": wide}[str(label.align)]
        high = HALF_HEIGHT * style.size * letters
        found[label.name] = np.array((x, y - high, x + wide, y + high))
    return found


def dots_of(panel):
    """Return points a pixel apart on every line, by name, and not of what is quiet."""
    found = {}
    for mark in pieces(panel, (Line, Polygon, Strokes)):
        if STYLES[mark.role].quiet:
            continue
        strokes = mark.strokes if isinstance(mark, Strokes) else [mark.points.tolist()]
        if isinstance(mark, Polygon):
            strokes = [[*strokes[0], strokes[0][0]]]
        dots = []
        for stroke in strokes:
            for start, end in zip(
                px(panel, stroke)[:-1], px(panel, stroke)[1:], strict=True
            ):
                count = int(np.hypot(*(end - start))) + 2
                dots.append(np.linspace(start, end, count))
        found[mark.name] = np.concatenate(dots)
    return found


def meet(low, top, its_low, its_top):
    """Tell whether two boxes meet, or which of many others one does."""
    return ((low < its_top) & (its_low < top)).all(axis=-1)


def in_trouble(panel, letters=1.0):
    """Name every label that lies on a line, on a point or on another label."""
    boxes, found = boxes_of(panel, letters), []
    points = [px(panel, marker.at) for marker in pieces(panel, Marker)]
    dots = dots_of(panel)
    frame = np.array((panel.left, panel.top))
    for name, box in boxes.items():
        low, top = box[:2], box[2:]
        its = {other: at for other, at in boxes.items() if other != name}
        found += [(name, o) for o, b in its.items() if meet(low, top, b[:2], b[2:])]
        found += [(name, "a point") for p in points if meet(low, top, p - 7, p + 7)]
        found += [
            (name, line)
            for line, on in dots.items()
            if line != f"leader {name}" and meet(low, top, on, on).any()
        ]
        size = (panel.width, panel.height)
        if (box[:2] < frame).any() or (box[2:] > frame + size).any():
            found.append((name, "the frame"))
    return found
