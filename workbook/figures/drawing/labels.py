"""A rule for free labels: where in a picture each of them stands.

A `FreeLabel` names its owner, a point or a line. The rule tries a fixed list of places
round the owner, those near it first, and takes the cheapest: outside the panel costs
most, then another label, a point, a line. Labels go by rank and then by name, so the
same picture gives the same places. What finds no room is said shorter, and if that
does not help either it stands where there is room, with a leader to its owner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from workbook.figures.drawing import leaders
from workbook.figures.drawing.letters import HALF_HEIGHT, width_of
from workbook.figures.drawing.marks import (
    Array,
    FreeLabel,
    Label,
    Line,
    Mark,
    Panel,
    Rank,
    Sheet,
)
from workbook.figures.drawing.obstacles import (
    AIR,
    DOWN_THE_LIST,
    ON_LABEL,
    ON_LINE,
    Obstacles,
    Segments,
    hits,
)
from workbook.figures.drawing.places import ALONG, along_lines, round_points
from workbook.figures.drawing.styles import STYLES

Places = Mapping[str, int]

WHERE_IT_WAS = 6.0
_SHORT, _LED = 1000, 10_000  # places of a short form, and at the end of a leader
_AGAIN = 3  # times that labels under a leader look for another place
_RANKS = get_args(Rank)


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
            room = _Room(panel, sheet, was, keeps=keep)
            found = room.settled()
            places.update({names[n]: one.place for n, one in found.items()})
            panel = _with(panel, found)
        panels.append(panel)
    return replace(sheet, panels=panels), places


def _free(panel: Panel) -> list[FreeLabel]:
    return [mark for mark in panel.drawing.marks if isinstance(mark, FreeLabel)]


@dataclass(frozen=True, eq=False)
class _Found:
    """A place for a label: its number, its text there, its leader."""

    place: int
    label: Label
    leader: Line | None = None


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


@dataclass(eq=False)
class _Tried:
    """A label with the places to be tried: middles (k, 2), and what each costs (k,).

    ``own`` is what a place costs by itself, ``costs`` that with what stands in its way:
    infinite until it was looked at, which is done in ``order``, the cheapest first.
    """

    row: int  # which of the labels
    label: FreeLabel
    text: str
    half: Array  # of its box, (2,)
    middles: Array
    own: Array
    first: int  # number of its first place
    order: NDArray[np.int_] = field(init=False)
    costs: Array = field(init=False)
    looked: int = 0  # at how many places

    def __post_init__(self) -> None:
        self.order = np.argsort(self.own, kind="stable")
        self.costs = np.full(len(self.own), np.inf)

    @property
    def least(self) -> float:
        """What a place costs at least that was not looked at."""
        rest = self.order[self.looked : self.looked + 1]
        return float(self.own[rest[0]]) if len(rest) else np.inf


class _Room:
    """What is taken in a panel, in pixels, and who goes where."""

    def __init__(
        self, panel: Panel, sheet: Sheet, before: Places, *, keeps: bool
    ) -> None:
        self.sheet, self.before, self.keeps = sheet, before, keeps
        self.obstacles = Obstacles(panel, sheet)
        free = [label for label in _free(panel) if label.visible]
        free.sort(key=lambda label: (_RANKS.index(label.rank), label.name))
        self.free = free
        # Of the free labels, nan before they have a place.
        self.boxes = np.full((len(free), 4), np.nan)
        self.leaders: dict[int, Segments] = {}  # by the row of their label

    def settled(self) -> dict[str, _Found]:
        """Return a place for every free label that is to be seen."""
        texts = [self._as_it_was(label) for label in self.free]
        tried = self._tried(range(len(texts)), texts)
        # While a hand moves, most labels find that they can stay.
        self._look(tried, 1 if self.keeps else None)
        taken = [self._put(one, int(one.order[0])) for one in tried]
        least = [one.own[place] for one, place in zip(tried, taken, strict=True)]
        if (self._prices(tried, taken) > least).any():
            # Not all can have their cheapest place: they take turns.
            self.boxes[:] = np.nan
            taken = [self._best(one) for one in tried]
            self._repair(tried, taken)
        found = {
            one.row: self._at(one, place) if clean else self._otherwise(one, place)
            for one, place, clean in zip(
                tried, taken, self._prices(tried, taken) < ON_LINE, strict=True
            )
        }
        for _ in range(_AGAIN):
            crossed = [one for one in tried if self._under_a_leader(one.row)]
            if not crossed:
                break
            for one in crossed:
                self.leaders.pop(one.row, None)
                again = self._again(one, one.text)
                found[one.row] = self._otherwise(again, self._best(again))
        return {self.free[row].name: one for row, one in found.items()}

    def _as_it_was(self, label: FreeLabel) -> str:
        """Return what a label says: while a hand moves, its short form if it did so."""
        short = _SHORT <= self.before.get(label.name, 0) < _LED
        return str(label.short) if short and self.keeps else label.text

    def _under_a_leader(self, row: int) -> bool:
        """Tell whether a leader of another label runs through one."""
        others = [lines for k, lines in self.leaders.items() if k != row]
        box = self.boxes[row : row + 1]
        return any(lines.crossing(box[:, :2], box[:, 2:]).any() for lines in others)

    # Places, and what they cost ------------------------------------------------

    def _tried(self, rows: Sequence[int], texts: Sequence[str]) -> list[_Tried]:
        """Return labels with their places, for a text of each."""
        gap, px = self.sheet.lines, self.obstacles.px
        labels = [self.free[row] for row in rows]
        halves = np.array([*map(self._half, labels, texts)]).reshape(-1, 2)
        lines = {
            k: px(label.along)
            for k, label in enumerate(labels)
            if label.along is not None
        }
        points = [k for k in range(len(labels)) if k not in lines]
        at = px(np.array([labels[k].at for k in points]).reshape(-1, 2))
        round_them = round_points(at, halves[points], gap=gap)
        middles = dict(zip(points, round_them, strict=True))
        along = along_lines([*lines.values()], halves[[*lines]], gap=gap)
        for k, on, off in zip(lines, *along, strict=True):
            middles[k] = np.concatenate([on, off]) if labels[k].within else off
        return [
            self._one(row, text, halves[k], middles[k])
            for k, (row, text) in enumerate(zip(rows, texts, strict=True))
        ]

    def _half(self, label: FreeLabel, text: str) -> tuple[float, float]:
        style = STYLES[label.role]
        size = style.size * self.sheet.letters
        return width_of(text, size, style.bold) / 2, HALF_HEIGHT * size

    def _one(self, row: int, text: str, half: Array, middles: Array) -> _Tried:
        label = self.free[row]
        first = _SHORT if text != label.text else 0
        own = DOWN_THE_LIST * np.arange(float(len(middles)))
        was = self.before.get(label.name, -1) - first
        if 0 <= was < len(middles):
            if self.keeps:  # the best of all, as long as nothing is in its way
                own += 1.0
                own[was] = 0.0
            else:
                own[was] -= WHERE_IT_WAS
        return _Tried(row, label, text, half, middles, own, first)

    def _again(self, one: _Tried, text: str) -> _Tried:
        """Return a label with its places for a text, and with what each costs."""
        (again,) = self._tried([one.row], [text])
        self._look([again])
        return again

    def _look(self, tried: Sequence[_Tried], count: int | None = None) -> None:
        """Look what stands in the way of the next places of labels, all in one go."""
        if not tried:
            return
        which = [one.order[one.looked :][:count] for one in tried]
        middles = [one.middles[at] for one, at in zip(tried, which, strict=True)]
        halves = np.repeat(
            [one.half for one in tried], [len(at) for at in which], axis=0
        )
        costs = self.obstacles.cost(
            np.concatenate(middles), halves, self.leaders.values()
        )
        start = 0
        for one, at in zip(tried, which, strict=True):
            one.costs[at] = one.own[at] + costs[start : start + len(at)]
            one.looked += len(at)
            start += len(at)

    def _others(self, row: int) -> Array:
        """Return the boxes of the free labels but one."""
        boxes = self.boxes.copy()
        boxes[row] = np.nan
        return boxes

    def _hits(self, one: _Tried) -> NDArray[np.bool_]:
        """Tell which other labels each place of one would hit, (k, labels)."""
        return hits(one.middles, one.half + AIR, self._others(one.row))

    def _price(self, one: _Tried, place: int) -> float:
        middle = one.middles[place : place + 1]
        met = hits(middle, one.half + AIR, self._others(one.row))
        return float(one.costs[place] + ON_LABEL * met.sum())

    def _best(self, one: _Tried) -> int:
        """Take the cheapest place, the first of equals."""
        met = ON_LABEL * self._hits(one).sum(axis=-1)
        if (one.costs + met).min() > one.least:
            self._look([one])
        return self._put(one, int(np.argmin(one.costs + met)))

    def _put(self, one: _Tried, place: int) -> int:
        """Put the box of a label at one of its places."""
        self.boxes[one.row, :2], self.boxes[one.row, 2:] = one.middles[place], one.half
        return place

    def _repair(self, tried: list[_Tried], taken: list[int]) -> None:
        """Let each label in trouble go before one in its way, if that is better."""
        for row in map(int, np.flatnonzero(self._prices(tried, taken) >= ON_LINE)):
            one = tried[row]
            if self._price(one, taken[row]) < ON_LINE:  # one before made room
                continue
            self._look([one])
            in_its_way = self._hits(one)[one.costs < ON_LINE].any(axis=0)
            for other in map(int, np.flatnonzero(in_its_way)):
                boxes, places = self.boxes, [*taken]
                before = self._prices(tried, taken).sum()
                self.boxes = self._others(other)
                taken[row] = self._best(one)
                taken[other] = self._best(tried[other])
                if self._prices(tried, taken).sum() >= before:
                    self.boxes, taken[:] = boxes, places

    def _prices(self, tried: list[_Tried], taken: list[int]) -> Array:
        """Return what each label pays for its place, with every label placed (k,)."""
        middles, halves = self.boxes[:, :2], self.boxes[:, 2:]
        met = hits(middles, halves + AIR, self.boxes)
        np.fill_diagonal(met, False)
        places = zip(tried, taken, strict=True)
        costs = np.array([one.costs[place] for one, place in places])
        return np.asarray(costs + ON_LABEL * met.sum(axis=-1))

    # What a label becomes ------------------------------------------------------

    def _at(self, one: _Tried, place: int) -> _Found:
        label = self._label(one, one.middles[place])
        return _Found(one.first + place, label)

    def _label(self, one: _Tried, middle: Array) -> Label:
        label, owner = one.label, self.obstacles.px(one.label.at)
        return Label(
            label.at, one.text, label.role, middle - owner, name=label.name
        ).standing(np.inf)

    def _otherwise(self, one: _Tried, place: int) -> _Found:
        """Take a place if it is clean now; else what helps, or stand in the way."""
        if self._price(one, place) < ON_LINE:
            return self._at(one, place)
        if one.text != one.label.text:  # it was short, and cannot stay
            one = self._again(one, one.label.text)
            return self._otherwise(one, self._best(one))
        shorter = one
        if one.label.short:
            shorter = self._again(one, str(one.label.short))
            best = self._best(shorter)
            if self._price(shorter, best) < ON_LINE:
                return self._at(shorter, best)
        led = self._led(one) or self._led(shorter)
        if led is not None:
            return led
        return self._at(one, self._put(one, place))

    def _led(self, one: _Tried) -> _Found | None:
        """Return the nearest free place of the panel, with a leader to it."""
        led = leaders.nearest(
            one.half,
            self._owners(one.label),
            self.before.get(one.label.name, -1) - _LED,
            obstacles=self.obstacles,
            labels=self._others(one.row),
            leaders=self.leaders.values(),
        )
        if led is None:
            return None
        self.boxes[one.row] = np.hstack([led.middle, one.half])
        self.leaders[one.row] = leaders.pieces(led.line)
        points, name = self.obstacles.back(led.line), f"leader {one.label.name}"
        line = Line(points, "leader", name).standing(np.inf)
        return _Found(_LED + led.place, self._label(one, led.middle), line)

    def _owners(self, label: FreeLabel) -> list[Array]:
        """Return where a leader to the owner of a label may end."""
        at = self.obstacles.px(label.at)
        if label.along is None:
            return [at]
        start, end = self.obstacles.px(label.along[[0, -1]])
        return [at, *(start + share * (end - start) for share in ALONG)]
