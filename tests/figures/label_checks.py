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


def each_once(rows):
    """Return set-ups without those that are there already, as of another lesson."""
    return [*{tuple(sorted(row.items())): row for row in rows}.values()]


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


def strokes_of(panel):
    """Return the pieces of every line: names (m), starts (m, 2), ends (m, 2).

    What is quiet has none.
    """
    names, starts, ends = [], [], []
    for mark in pieces(panel, (Line, Polygon, Strokes)):
        if STYLES[mark.role].quiet:
            continue
        many = mark.strokes if isinstance(mark, Strokes) else [mark.points]
        for stroke in map(np.asarray, many):
            closed = isinstance(mark, Polygon)
            stroke = np.concatenate([stroke, stroke[:1]]) if closed else stroke
            starts.append(stroke[:-1])
            ends.append(stroke[1:])
            names += [mark.name] * (len(stroke) - 1)
    if not names:
        return np.array([]), np.empty((0, 2)), np.empty((0, 2))
    its = px(panel, np.concatenate(starts)), px(panel, np.concatenate(ends))
    return np.array(names), *its


def crossed(low, top, starts, ends):
    """Tell which pieces of lines (m) run through a box, or through which of boxes (k).

    A piece is in the box from where it has passed the last of the two near sides to
    the first of the two far ones.
    """
    way = ends - starts
    with np.errstate(divide="ignore", invalid="ignore"):
        sides = (low[..., None, :] - starts) / way, (top[..., None, :] - starts) / way
    inside = (low[..., None, :] < starts) & (starts < top[..., None, :])
    always = np.where(inside, -np.inf, np.inf)
    near = np.where(way == 0, always, np.minimum(*sides)).max(axis=-1)
    far = np.where(way == 0, -always, np.maximum(*sides)).min(axis=-1)
    return np.maximum(near, 0) < np.minimum(far, 1)


def meet(low, top, its_low, its_top):
    """Tell whether two boxes meet, or which of many others one does."""
    return ((low < its_top) & (its_low < top)).all(axis=-1)


def in_trouble(panel, letters=1.0):
    """Name every label that lies on a line, on a point or on another label."""
    boxes = boxes_of(panel, letters)
    if not boxes:
        return []
    names, all_boxes = [*boxes], np.array([*boxes.values()])
    low, top = all_boxes[:, :2], all_boxes[:, 2:]
    points = [px(panel, marker.at) for marker in pieces(panel, Marker)]
    points = np.array(points).reshape(-1, 2)
    lines, starts, ends = strokes_of(panel)
    on_label = meet(low[:, None], top[:, None], low, top)
    on_point = meet(low[:, None], top[:, None], points - 7, points + 7)
    on_line = crossed(low, top, starts, ends)
    frame = np.array((panel.left, panel.top))
    size = np.array((panel.width, panel.height))
    outside = (low < frame).any(axis=-1) | (top > frame + size).any(axis=-1)
    found = []
    for k, name in enumerate(names):
        found += [(name, names[j]) for j in np.flatnonzero(on_label[k]) if j != k]
        found += [(name, "a point")] * int(on_point[k].sum())
        its = dict.fromkeys(lines[on_line[k]].tolist())
        found += [(name, line) for line in its if line != f"leader {name}"]
        if outside[k]:
            found.append((name, "the frame"))
    return found
