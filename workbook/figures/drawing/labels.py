"""Where words stand in a picture: widths of letters, and a rule for free labels.

A `FreeLabel` names its owner, a point or a line. The rule tries a fixed list of places
round the owner, those near it first, and takes the cheapest: outside the panel costs
most, then another label, a point, a line. Labels go by rank and then by name, so the
same picture gives the same places. What finds no room is said shorter, and if that
does not help either it stands where there is room, with a leader to its owner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import get_args

import numpy as np

from workbook.figures.drawing.marks import (
    Array,
    Arrow,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Polygon,
    Rank,
    Sheet,
    Strokes,
    placed,
)
from workbook.figures.drawing.styles import STYLES

Pixels = tuple[float, float]
Places = Mapping[str, int]

# Widths of letters in sizes of the text, those of DejaVu Sans and DejaVu Sans Bold,
# which are wide as such letters go. What is not listed counts as wide.
_WIDE = 1.0
_PLAIN_WIDTHS = {
    0.29: "'ijlIJ",
    0.34: " ,.·/:;\\|",
    0.4: "f-()[]t!",
    0.46: 'r"',
    0.53: "*_`°–sz?",
    0.58: "cLFk",
    0.64: "vxyPTYaoeESbdghnpqu$0123456789{}",
    0.7: "KAVBRXZC",
    0.79: "UHNDG&OQ",
    0.84: "w#+<=>^~−×",
}
_BOLD_WIDTHS = {
    0.35: "'ijl ",
    0.4: "/IJ\\|,.·:;",
    0.46: "-f!()[]",
    0.52: 'tr_`°–"*',
    0.6: "?zcs",
    0.67: "Lvxyak",
    0.73: "EFTeo$0123456789hnu{}SYbdgpqCPZ",
    0.77: "BAKRVX",
    0.85: "UGD#+<=>HN^~−×OQ",
    0.92: "&w",
    1.1: "%@MmW",
}
_WIDTHS = {
    bold: {letter: width for width, letters in table.items() for letter in letters}
    for bold, table in ((False, _PLAIN_WIDTHS), (True, _BOLD_WIDTHS))
}
HALF_HEIGHT = 0.58  # of a line of text, in sizes

FRAME = 4.0  # px, from the edge of the panel
AIR = 2.0  # px, between labels
POINT = 8.0  # px, half of the square that a point keeps free
OUTSIDE, ON_LABEL, ON_POINT, ON_LINE = 1000.0, 800.0, 500.0, 100.0
LEADER = 0.5  # px, half the width of a leader
DOWN_THE_LIST = 0.5
WHERE_IT_WAS = 6.0
ALONG = (0.5, 0.35, 0.65, 0.25, 0.75)
LINE_GAPS = (6.0, 16.0, 30.0)
POINT_GAPS = (9.0, 18.0, 32.0)
# Up and right first; down is where most things stand.
_AROUND = np.array(
    [(0, -1), (1, 0), (-1, 0), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1)], dtype=float
)
_FINE = 9  # points; a line of twice as many is taken at every second of them
_SHORT, _LED = 1000, 10_000  # places of a short form, and at the end of a leader
_AT_A_TIME = 64  # places for the end of a leader
_LED_STEP = (24.0, 12.0)  # px, between places for the end of a leader
_AGAIN = 3  # times that labels under a leader look for another place
_BENT = 12  # ends tried for a leader with a bend


@lru_cache(maxsize=4096)
def width_of(text: str, size: float, bold: bool) -> float:
    """Return how wide a text of some size is. [px]

    Examples
    --------
    >>> width_of("17.7 kN", 10, False)
    39.7
    """
    widths = _WIDTHS[bold]
    return round(size * sum([widths.get(letter, _WIDE) for letter in text]), 6)


def caption_of(panel: Panel, letters: float) -> tuple[Label, Pixels]:
    """Return the caption of a panel, and where it stands: at its upper left."""
    caption = str(panel.drawing.caption)
    label = Label((0, 0), caption, "small text", name="caption", align="start")
    return label, (panel.left + 4, panel.top + 8.5 * letters)


def fit_inside(label: Label, at: Pixels, sheet: Sheet) -> tuple[Pixels, float]:
    """Return where a text goes and its size, so that no side of the sheet cuts it off.

    It is moved inside, and made smaller where it is wider than the sheet.
    """
    style, width = STYLES[label.role], sheet.width
    size, bold = style.size * sheet.letters, style.bold
    wide = width_of(label.text, size, bold)
    if wide > width - 4:
        size *= (width - 4) / wide
        wide = width - 4
    dx, dy = label.shift.tolist()
    x = at[0] + dx
    before = {"start": 0.0, "middle": wide / 2, "end": wide}[str(label.align)]
    x = max(min(x, width - 2 - wide + before), 2 + before)
    half = HALF_HEIGHT * size
    return (x, max(min(at[1] + dy, sheet.height - half), half)), size


def settle(
    sheet: Sheet, *, before: Places | None = None, keep: bool = False
) -> tuple[Sheet, dict[str, int]]:
    """Give every free label of one set-up's picture its place.

    Parameters
    ----------
    sheet : Sheet
        The picture of one set-up.
    before : mapping, optional
        Places that an earlier picture gave; a label likes to stay in its own.
    keep : bool
        Whether it stays there as long as nothing is in its way, as while a hand
        moves something.

    Returns
    -------
    Sheet
        The same picture with plain labels, and leaders where they are needed.
    dict of str to int
        The places, for the next picture.
    """
    panels, places = [], {}
    for k, panel in enumerate(sheet.panels):
        names = {m.name: f"{k} {m.name}" for m in _free(panel)}
        if names and panel.drawing.drawable:
            known = before or {}
            was = {n: known[key] for n, key in names.items() if key in known}
            room = _Room(panel, sheet, WHERE_IT_WAS if not keep else ON_LINE - 1)
            found = room.settled(was)
            places.update({names[n]: one.place for n, one in found.items()})
            panel = _with(panel, found)
        panels.append(panel)
    return replace(sheet, panels=panels), places


def _free(panel: Panel) -> list[FreeLabel]:
    return [mark for mark in panel.drawing.marks if isinstance(mark, FreeLabel)]


@dataclass(frozen=True)
class _Found:
    """A place for a label: the middle of its box, its text, its leader."""

    place: int
    label: Label
    leader: Line | None


def _with(panel: Panel, found: Mapping[str, _Found]) -> Panel:
    def settled(marks: Iterator[Mark]) -> Iterator[Mark]:
        for mark in marks:
            if not isinstance(mark, FreeLabel):
                yield mark
            elif mark.name in found:
                one = found[mark.name]
                if one.leader is not None:
                    yield one.leader
                yield one.label

    drawing = panel.drawing
    drawing = replace(
        drawing,
        still=[*settled(iter(drawing.still))],
        moving=[*settled(iter(drawing.moving))],
    )
    return replace(panel, drawing=drawing)


@dataclass(frozen=True)
class _Tried:
    """A label with the places to be tried: middles (k, 2), half sizes, costs (k,)."""

    row: int  # which of the labels
    label: FreeLabel
    text: str
    half: Array
    middles: Array
    costs: Array
    first: int  # number of its first place


class _Room:
    """What is taken in a panel, in pixels, and who goes where."""

    def __init__(self, panel: Panel, sheet: Sheet, stays: float) -> None:
        self.panel, self.sheet, self.stays = panel, sheet, stays
        self.point = POINT * sheet.lines
        self.x0, self.y0, self.kx, self.ky = placed(panel)
        self.segments, self.points, boxes = self._taken()
        self.fixed = np.array(boxes, dtype=float).reshape(-1, 4)
        self.boxes = np.empty((0, 4))  # of the free labels, nan before they have one
        self.leaders: dict[int, Array] = {}  # segments by the row of their label

    def px(self, points: Array) -> Array:
        """Return points (..., 2) of the drawing in pixels of the sheet."""
        return points * (self.kx, -self.ky) + (self.x0, self.y0)

    def _taken(self) -> tuple[Array, Array, list[tuple[float, ...]]]:
        """Return segments, points and boxes that labels keep off."""
        segments, points, boxes = [np.empty((0, 5))], [], []
        for mark in self.panel.drawing.seen:
            if isinstance(mark, FreeLabel):
                continue
            if isinstance(mark, Label):
                boxes.append(self._box(mark, self.px(mark.at)))
            elif not STYLES[mark.role].quiet:
                if isinstance(mark, Marker):
                    points.append(self.px(mark.at))
                else:
                    segments += self._lines(mark)
        caption, at = caption_of(self.panel, self.sheet.letters)
        if caption.text:
            boxes.append(self._box(caption, np.array(at)))
        return np.concatenate(segments), np.array(points).reshape(-1, 2), boxes

    def _lines(self, mark: Line | Strokes | Polygon | Arrow) -> list[Array]:
        """Return the segments of a mark."""
        width = STYLES[mark.role].width * float(mark.weight) * self.sheet.lines
        match mark:
            case Arrow():
                ends = self.px(np.stack([mark.tail, mark.head]))
                neck = ends[1] - _of_length(ends[1] - ends[0], 3.6 * width)
                tip = np.stack([neck, ends[1]])
                return [_segments(ends, width / 2), _segments(tip, 2 * width)]
            case Strokes():
                return [_segments(self.px(np.array(mark.strokes)), width / 2)]
            case Polygon():
                closed = np.concatenate([mark.points, mark.points[:1]])
                return [_segments(self.px(closed), width / 2)]
        line = self.px(mark.points)
        if len(line) > 2 * _FINE:  # a curve, finer than is needed
            line = np.concatenate([line[:-1:2], line[-1:]])
        return [_segments(line, width / 2)]

    def _box(self, label: Label, at: Array) -> tuple[float, ...]:
        """Return the box of a label that has its place: middle and half sizes."""
        (x, y), size = fit_inside(label, (float(at[0]), float(at[1])), self.sheet)
        wide = width_of(label.text, size, STYLES[label.role].bold)
        x += {"start": wide / 2, "middle": 0.0, "end": -wide / 2}[str(label.align)]
        return x, y, wide / 2, HALF_HEIGHT * size

    def settled(self, before: Places) -> dict[str, _Found]:
        """Return a place for every free label that is to be seen."""
        free = [label for label in _free(self.panel) if label.visible]
        free.sort(key=lambda label: (get_args(Rank).index(label.rank), label.name))
        self.boxes = np.full((len(free), 4), np.nan)
        if self.stays > WHERE_IT_WAS and (kept := self._as_before(free, before)):
            return kept
        tried = [
            self._tried(k, label, label.text, before) for k, label in enumerate(free)
        ]
        self._cost(tried)
        taken = [self._best(one) for one in tried]
        self._repair(tried, taken)
        found = {
            one.row: self._found(one, place, before)
            for one, place in zip(tried, taken, strict=True)
        }
        for _ in range(_AGAIN):
            crossed = [one for one in tried if self._under_a_leader(one.row)]
            if not crossed:
                break
            for one in crossed:
                self.leaders.pop(one.row, None)
                again = self._tried(one.row, one.label, one.label.text, before)
                self._cost([again])
                found[one.row] = self._found(again, self._best(again), before)
        return {free[row].name: one for row, one in found.items()}

    def _as_before(self, free: list[FreeLabel], before: Places) -> dict[str, _Found]:
        """Return every label where it was, if all of them are clean there.

        One look at each place, while a hand moves something.
        """
        places = [before.get(label.name, _LED) for label in free]
        if not places or max(places) >= _LED:  # new, or at the end of a leader
            return {}
        tried = [
            self._tried(
                k, label, str(label.short if place >= _SHORT else label.text), {}
            )
            for k, (label, place) in enumerate(zip(free, places, strict=True))
        ]
        at = [place - one.first for place, one in zip(places, tried, strict=True)]
        middles = np.array([one.middles[k] for k, one in zip(at, tried, strict=True)])
        halves = np.array([one.half for one in tried])
        hits = _hit(middles, halves + AIR, np.hstack([middles, halves]))
        if hits.sum() > len(tried):  # each meets itself
            return {}
        if (self._in_the_way(middles, halves) >= ON_LINE).any():
            return {}
        return {
            one.label.name: self._at(one, k) for k, one in zip(at, tried, strict=True)
        }

    def _found(self, one: _Tried, place: int, before: Places) -> _Found:
        """Take a place if it is clean, and else whatever helps."""
        if self._price(one, place) < ON_LINE:
            return self._at(one, place)
        return self._otherwise(one, place, before)

    def _under_a_leader(self, row: int) -> bool:
        """Tell whether a leader of another label runs through one."""
        others = [lines for k, lines in self.leaders.items() if k != row]
        box = self.boxes[row : row + 1]
        return any(_crossed(box[:, :2], box[:, 2:], lines).any() for lines in others)

    def _tried(self, row: int, label: FreeLabel, text: str, before: Places) -> _Tried:
        style = STYLES[label.role]
        size = style.size * self.sheet.letters
        half = np.array((width_of(text, size, style.bold) / 2, HALF_HEIGHT * size))
        if label.along is None:
            middles = _round_a_point(self.px(label.at), half, self.sheet.lines)
        else:
            line = self.px(label.along)
            middles = _along_a_line(line, half, self.sheet.lines, within=label.within)
        first = _SHORT if text != label.text else 0
        costs = DOWN_THE_LIST * np.arange(float(len(middles)))
        was = before.get(label.name, -1) - first
        if 0 <= was < len(middles):
            costs[was] -= self.stays
        return _Tried(row, label, text, half, middles, costs, first)

    def _cost(self, tried: list[_Tried]) -> None:
        """Add what stands in the way of each place, all in one go."""
        if not tried:
            return
        middles = np.concatenate([one.middles for one in tried])
        halves = np.repeat(
            [one.half for one in tried], [len(one.costs) for one in tried], axis=0
        )
        costs = self._in_the_way(middles, halves)
        start = 0
        for one in tried:
            one.costs[:] += costs[start : start + len(one.costs)]
            start += len(one.costs)

    def _in_the_way(self, middles: Array, halves: Array) -> Array:
        panel = self.panel
        low = np.array((panel.left, panel.top)) + FRAME
        high = np.array((panel.left + panel.width, panel.top + panel.height)) - FRAME
        beyond = (middles - halves < low) | (middles + halves > high)
        costs = OUTSIDE * beyond.any(axis=-1)
        costs = costs + ON_LABEL * _hit(middles, halves + AIR, self.fixed).sum(axis=-1)
        squares = np.hstack([self.points, np.full_like(self.points, self.point)])
        costs = costs + ON_POINT * _hit(middles, halves, squares).sum(axis=-1)
        lines = np.concatenate([self.segments, *self.leaders.values()])
        crossed = _crossed(middles, halves, lines).sum(axis=-1)
        return np.asarray(costs + ON_LINE * crossed)

    def _others(self, row: int) -> Array:
        """Return the boxes of the free labels but one."""
        boxes = self.boxes.copy()
        boxes[row] = np.nan
        return boxes

    def _hits(self, one: _Tried) -> Array:
        """Tell which other labels each place of one would hit, (k, labels)."""
        return _hit(one.middles, one.half + AIR, self._others(one.row))

    def _price(self, one: _Tried, place: int) -> float:
        middle = one.middles[place : place + 1]
        hits = _hit(middle, one.half + AIR, self._others(one.row))
        return float(one.costs[place] + ON_LABEL * hits.sum())

    def _best(self, one: _Tried) -> int:
        """Take the cheapest place, the first of equals."""
        prices = one.costs + ON_LABEL * self._hits(one).sum(axis=-1)
        place = int(np.argmin(prices))
        self.boxes[one.row] = np.hstack([one.middles[place], one.half])
        return place

    def _repair(self, tried: list[_Tried], taken: list[int]) -> None:
        """Let each label in trouble go before one in its way, if that is better."""
        for one in tried:
            if self._price(one, taken[one.row]) < ON_LINE:
                continue
            in_its_way = self._hits(one)[one.costs < ON_LINE].any(axis=0)
            for row in map(int, np.flatnonzero(in_its_way)):
                before, boxes, places = self._total(tried, taken), self.boxes, [*taken]
                self.boxes = self._others(row)
                taken[one.row] = self._best(one)
                taken[row] = self._best(tried[row])
                if self._total(tried, taken) >= before:
                    self.boxes, taken[:] = boxes, places

    def _total(self, tried: list[_Tried], taken: list[int]) -> float:
        return sum(self._price(one, taken[one.row]) for one in tried)

    def _at(self, one: _Tried, place: int) -> _Found:
        label = self._label(one, one.middles[place])
        return _Found(one.first + place, label, None)

    def _label(self, one: _Tried, middle: Array) -> Label:
        label, owner = one.label, self.px(one.label.at)
        return Label(
            label.at, one.text, label.role, middle - owner, name=label.name
        ).standing(np.inf)

    def _otherwise(self, one: _Tried, place: int, before: Places) -> _Found:
        """Say it shorter, or at the end of a leader, or where it is in the way."""
        shorter = one
        if one.label.short:
            shorter = self._tried(one.row, one.label, str(one.label.short), before)
            self._cost([shorter])
            best = self._best(shorter)
            if self._price(shorter, best) < ON_LINE:
                return self._at(shorter, best)
        was = before.get(one.label.name, -1) - _LED
        led = self._led(one, was) or self._led(shorter, was)
        if led is not None:
            return led
        self.boxes[one.row] = np.hstack([one.middles[place], one.half])
        return self._at(one, place)

    def _led(self, one: _Tried, was: int) -> _Found | None:
        """Return the nearest free place of the panel, with a leader to it.

        The leader is straight if that runs through no label, or has one bend.
        """
        middles = self._grid(one.half)
        if not len(middles):
            return None
        owners = self._owners(one.label)
        far = np.hypot(*(middles - owners[0]).T)
        if 0 <= was < len(far):
            far[was] = -1.0
        order = np.argsort(far, kind="stable")
        taken = self._others(one.row)
        boxes = np.concatenate([self.fixed, taken])
        clean: list[int] = []
        for start in range(0, len(order), _AT_A_TIME):
            near = order[start : start + _AT_A_TIME]
            halves = np.broadcast_to(one.half, middles[near].shape)
            free = self._in_the_way(middles[near], halves) == 0
            near = near[free & ~_hit(middles[near], one.half + AIR, taken).any(-1)]
            for owner in owners:
                ends = self._leaders(owner, middles[near], one.half)
                clear = ~_crossed(boxes[:, :2], boxes[:, 2:], ends).any(axis=0)
                if clear.any():
                    place = int(near[np.argmax(clear)])
                    return self._at_end(one, [owner], middles[place], place)
            clean += [int(place) for place in near]
        if not clean:
            return None
        for place in clean[:_BENT]:
            for owner in owners:
                bend = self._bend(owner, middles[place], one, boxes)
                if bend is not None:
                    return self._at_end(one, [owner, bend], middles[place], place)
        # None is clear: the nearest of all.
        return self._at_end(one, [owners[0]], middles[clean[0]], clean[0])

    def _grid(self, half: Array) -> Array:
        """Return places all over the panel for boxes of half sizes, (k, 2)."""
        panel = self.panel
        low = np.array((panel.left, panel.top)) + FRAME + half
        top = np.array((panel.left + panel.width, panel.top + panel.height))
        top = top - FRAME - half
        columns, rows = (np.arange(low[k], top[k], _LED_STEP[k]) for k in (0, 1))
        return np.stack(np.meshgrid(columns, rows), axis=-1).reshape(-1, 2)

    def _bend(
        self, owner: Array, middle: Array, one: _Tried, boxes: Array
    ) -> Array | None:
        """Return where a leader with one bend turns, so that it crosses no box."""
        turns = self._grid(np.zeros(2))
        first = np.stack(np.broadcast_arrays(owner, turns), axis=-2)
        last = middle + np.clip(turns - middle, -one.half, one.half)
        second = np.stack([turns, last], axis=-2)
        long = sum(np.hypot(*(part[:, 1] - part[:, 0]).T) for part in (first, second))
        own = np.hstack([middle, one.half])
        blocked = np.zeros(len(turns), dtype=bool)
        for part, walls in ((first, [*boxes, own]), (second, boxes)):
            wall = np.array(walls)
            lines = _segments(part, LEADER)
            blocked |= _crossed(wall[:, :2], wall[:, 2:], lines).any(axis=0)
        if blocked.all():
            return None
        return np.asarray(turns[np.argmin(np.where(blocked, np.inf, long))])

    def _owners(self, label: FreeLabel) -> list[Array]:
        """Return where a leader to the owner of a label may end."""
        at = self.px(label.at)
        if label.along is None:
            return [at]
        ends = self.px(label.along[[0, -1]])
        return [at, *(ends[0] + share * (ends[1] - ends[0]) for share in ALONG)]

    def _at_end(
        self, one: _Tried, way: list[Array], middle: Array, place: int
    ) -> _Found:
        """Put a label at the end of a leader that comes along a way."""
        self.boxes[one.row] = np.hstack([middle, one.half])
        end = middle + np.clip(way[-1] - middle, -one.half, one.half)
        line = np.stack([*way, end])
        self.leaders[one.row] = _segments(line, LEADER)
        points = (line - (self.x0, self.y0)) / (self.kx, -self.ky)
        leader = Line(points, "leader", f"leader {one.label.name}").standing(np.inf)
        return _Found(_LED + place, self._label(one, middle), leader)

    @staticmethod
    def _leaders(owner: Array, middles: Array, half: Array) -> Array:
        """Return lines (k, 5) from an owner to the nearest edges of boxes."""
        ends = middles + np.clip(owner - middles, -half, half)
        return _segments(np.stack(np.broadcast_arrays(owner, ends), axis=-2), LEADER)


def _of_length(vector: Array, length: float) -> Array:
    size = float(np.hypot(*vector))
    return vector * (min(length, size) / size if size else 0.0)


def _segments(points: Array, half: float) -> Array:
    """Return polylines (..., n, 2) as segments (m, 5): middle, half, half width."""
    start, end = points[..., :-1, :], points[..., 1:, :]
    parts = [
        (start + end) / 2,
        (end - start) / 2,
        np.full((*start.shape[:-1], 1), half),
    ]
    return np.concatenate(parts, axis=-1).reshape(-1, 5)


def _hit(middles: Array, halves: Array, boxes: Array) -> Array:
    """Tell which boxes (k) meet which others (m, 4), (k, m)."""
    apart = np.abs(middles[:, None] - boxes[:, :2])
    return np.asarray((apart < np.atleast_2d(halves)[:, None] + boxes[:, 2:]).all(-1))


def _crossed(middles: Array, halves: Array, segments: Array) -> Array:
    """Tell which boxes (k) are met by which segments (m), (k, m), exactly.

    No axis parts them: neither of the box's two, nor that across the segment.
    """
    x, y = (middles[:, k, None] - segments[:, k] for k in (0, 1))
    dx, dy, half = segments[:, 2], segments[:, 3], segments[:, 4]
    wide, high = halves[:, 0, None] + half, halves[:, 1, None] + half
    return np.asarray(
        (np.abs(x) < wide + np.abs(dx))
        & (np.abs(y) < high + np.abs(dy))
        & (np.abs(x * dy - y * dx) <= wide * np.abs(dy) + high * np.abs(dx))
    )


def _round_a_point(at: Array, half: Array, lines: float) -> Array:
    """Return places (k, 2) round a point, the nearest first."""
    slanted = np.where(_AROUND.all(axis=-1), 0.9, 1.0)[:, None] * lines
    places = [at + _AROUND * (gap * slanted + half) for gap in POINT_GAPS]
    return np.concatenate(places)


def _along_a_line(points: Array, half: Array, lines: float, *, within: bool) -> Array:
    """Return places (k, 2) on both sides of a line, the nearest first."""
    steps = np.diff(points, axis=0)
    long = np.hypot(*steps.T)
    reached = np.concatenate([[0.0], np.cumsum(long)])
    whole = max(float(reached[-1]), 1e-9)
    wanted = whole * np.array(ALONG)
    which = np.clip(np.searchsorted(reached, wanted) - 1, 0, len(long) - 1)
    share = (wanted - reached[which]) / np.maximum(long[which], 1e-9)
    on = points[which] + share[:, None] * steps[which]
    way = steps[which] / np.maximum(long[which], 1e-9)[:, None]
    across = np.stack([way[:, 1], -way[:, 0]], axis=-1)  # up, of a line to the right
    away = np.abs(across) @ half
    places = [on] if within else []
    for gap in LINE_GAPS:
        off = across * (gap * lines + away)[:, None]
        places.append(np.stack([on + off, on - off], axis=1).reshape(-1, 2))
    return np.concatenate(places)
