"""Pictures of a held body: pulls, their resultant, and what each clamp carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import WorkbookError
from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Point,
    Polygon,
    Sheet,
)
from workbook.figures.drawing.scales import scale_bar
from workbook.figures.drawing.windows import window_for
from workbook.figures.pictures.ratings import STRIP, over, stop_words, strip
from workbook.figures.pictures.support_bars import SupportRow, support_bars
from workbook.language import say
from workbook.mechanics.vectors import Array, dot, norm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem
    from workbook.scenes.bench import SolvedBench

WIDTH = 820.0
ROW = 34.0  # height of a support's bars, in pixels
LONGEST = 0.7  # how long the largest force is drawn, over half the body's length
TOP, SIDE = (0, 1), (0, 2)
ROOM_ABOVE = 0.7  # of the bench, in side view [m]
ROOM_FOR_NAMES = 0.22  # to the right of the pulls, over the length of the picture
LONGEST_NAME = 16  # characters
WORDS = ("picture", "bench")
SAME_PLACE = 0.05  # supports nearer than this to each other in a view are summed [m]


def bench_sheet(bench: SolvedBench, *, system: UnitSystem) -> Sheet:
    """Return top view, side view and bars of what each support carries.

    Parameters
    ----------
    bench : SolvedBench
        Pulls, supports and what they carry.
    system : UnitSystem
        Units of the numbers.
    """
    bars = ROW * len(bench.hold.all_names) + 40
    stops = stop_lines(bench, system=system)
    below = STRIP * len(stops)
    return Sheet(
        width=WIDTH,
        height=630 + bars + below,
        text=describe(bench, system=system),
        panels=(
            Panel(
                drawing=_view(bench, TOP, system),
                left=0,
                top=below,
                width=WIDTH,
                height=370,
            ),
            Panel(
                drawing=_view(bench, SIDE, system),
                left=0,
                top=375 + below,
                width=WIDTH,
                height=245,
            ),
            Panel(
                drawing=share_bars(bench, system),
                left=0,
                top=625 + below,
                width=WIDTH,
                height=bars,
            ),
            *(strip(s, width=WIDTH, top=k * STRIP) for k, s in enumerate(stops)),
        ),
    )


def _view(bench: SolvedBench, axes: tuple[int, int], system: UnitSystem) -> Drawing:
    scale = _metres_per_newton(bench)
    groups = _groups(bench.places[:, list(axes)])
    tips = [bench.places[g[0]] + scale * bench.supports[g].sum(axis=0) for g in groups]
    ends = [*bench.hooks, *bench.hooks + scale * bench.forces, *bench.places, *tips]
    points = [_flat(p, axes) for p in ends]
    if axes == SIDE:
        points += [(points[0][0], 0.0), (points[0][0], ROOM_ABOVE)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    points.append((right + ROOM_FOR_NAMES * (right - left), points[0][1]))
    window = window_for(points, step=0.1, margin=0.2)
    still = [*_body(bench, axes, window), *scale_bar(window, system)]
    moving = [
        *_line_of_action(bench, axes, window, scale, system),
        *_supports(bench, axes, scale, system),
        *_pulls(bench, axes, scale, system),
    ]
    return Drawing(
        caption=say(*WORDS, "top" if axes == TOP else "side"),
        window=window,
        still=still,
        moving=moving,
    )


def _metres_per_newton(bench: SolvedBench) -> float:
    """Return the scale of the arrows: one for pulls, supports and resultant."""
    places = np.concatenate([bench.places, bench.hooks])
    half = float(np.ptp(places[:, 0])) / 2 or 1.0
    forces = [bench.forces, bench.supports, bench.wrench[None, :3]]
    largest = max(float(norm(f).max()) for f in forces)
    return LONGEST * half / largest if largest > 0 else 0.0


def _flat(point: Array, axes: tuple[int, int]) -> Point:
    return float(point[axes[0]]), float(point[axes[1]])


def _body(
    bench: SolvedBench, axes: tuple[int, int], window: tuple[float, ...]
) -> list[Mark]:
    """Draw a plain body between the supports and the hooks; the bench in side view."""
    places = np.concatenate([bench.places, bench.hooks])
    low, high = places.min(axis=0), places.max(axis=0)
    if axes == SIDE:
        high[2] += 0.25
    corners = [(0, 0), (1, 0), (1, 1), (0, 1)]
    box = [
        (float((low, high)[i][axes[0]]), float((low, high)[j][axes[1]]))
        for i, j in corners
    ]
    marks: list[Mark] = [Polygon(box, "body")]
    if axes == SIDE:
        floor = [(window[0] + 0.02, 0.0), (window[1] - 0.02, 0.0)]
        marks += [
            Line(floor, "floor"),
            Label(floor[0], say(*WORDS, "bench"), "small text", (4, 12), "start"),
        ]
    return marks


def _pulls(
    bench: SolvedBench, axes: tuple[int, int], scale: float, system: UnitSystem
) -> list[Mark]:
    marks: list[Mark] = []
    for name, hook, force in zip(bench.names, bench.hooks, bench.forces, strict=True):
        tail, head = _flat(hook, axes), _flat(hook + scale * force, axes)
        size, short = float(norm(force)), _short(name)
        marks += [Arrow(tail, head, "force pull"), Marker(tail, "square", "clamp")]
        if axes == TOP:
            words = say(*WORDS, "pull", show=system.show, name=short, force=size)
            label = f"label {name}"
            marks.append(_named(words, head, "pull text", label, along=[tail, head]))
    if axes == SIDE:
        up = float(bench.wrench[2])
        way = "pulls_up" if up >= 0 else "pulls_down"
        text = say(*WORDS, way, show=system.show, force=abs(up))
        foremost = bench.hooks[int(np.argmax(bench.hooks[:, 0]))]
        marks.append(_named(text, _flat(foremost, axes), "text", "label pulls"))
    return marks


def _named(
    text: str, at: Point, role: str, name: str, *, along: list[Point] | None = None
) -> FreeLabel:
    """Name something where there is room beside it."""
    return FreeLabel(at, text, role, name=name, rank="force", along=along)


def _short(name: str) -> str:
    """Return as much of a name as there is room for past an arrow's head."""
    return (
        name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1].rstrip()}…"
    )


def _line_of_action(
    bench: SolvedBench,
    axes: tuple[int, int],
    window: tuple[float, ...],
    scale: float,
    system: UnitSystem,
) -> list[Mark]:
    """Draw the line the pulls act along together, and their sum on it."""
    axis = bench.axis
    if isinstance(axis, WorkbookError) or len(bench.pulls) == 0:
        return []
    middle = bench.places.mean(axis=0)
    foot = axis.point + dot(middle - axis.point, axis.direction) * axis.direction
    tip = foot + scale * bench.wrench[:3]
    words = say(*WORDS, "together", show=system.show, force=float(axis.force))
    marks: list[Mark] = []
    room = window if axes == TOP else (*window[:2], 0.0, window[3])
    through = _clipped(_flat(foot, axes), _flat(axis.direction, axes), room)
    if through:
        marks.append(Line(through, "line of action"))
    tail, head = _flat(foot, axes), _flat(tip, axes)
    inside = window[0] < tail[0] < window[1] and window[2] < tail[1] < window[3]
    if inside:
        marks += [
            Arrow(tail, head, "force resultant"),
            _named(words, tail, "strong text", "label together", along=[tail, head]),
        ]
    return marks


def _clipped(point: Point, way: Point, window: tuple[float, ...]) -> list[Point] | None:
    """Return the part of a line inside a window, if any."""
    low, high = -np.inf, np.inf
    for k in (0, 1):
        sides = np.array([window[2 * k], window[2 * k + 1]]) - point[k]
        if abs(way[k]) < 1e-9:
            if sides[0] * sides[1] > 0:
                return None
            continue
        near, far = sorted(sides / way[k])
        low, high = max(low, near), min(high, far)
    if not low < high < np.inf:
        return None
    return [
        (float(point[0] + t * way[0]), float(point[1] + t * way[1]))
        for t in (low, high)
    ]


def _supports(
    bench: SolvedBench, axes: tuple[int, int], scale: float, system: UnitSystem
) -> list[Mark]:
    """Draw supports and their forces on the body; those behind each other summed."""
    marks: list[Mark] = []
    for rows in _groups(bench.places[:, list(axes)]):
        place = _flat(bench.places[rows[0]], axes)
        force = bench.supports[rows].sum(axis=0)
        flat = np.array(_flat(force, axes))
        marks.append(Marker(place, "square", "support"))
        if norm(flat) * scale > 0.01:
            tip = (place[0] + scale * flat[0], place[1] + scale * flat[1])
            marks.append(Arrow(place, tip, "force support"))
        marks.append(_name_of(bench, rows, place, force, axes, system))
    return marks


def _name_of(
    bench: SolvedBench,
    rows: Sequence[int],
    place: Point,
    force: Array,
    axes: tuple[int, int],
    system: UnitSystem,
) -> Label:
    """Name a support and its force; in side view, how much it holds down or up."""
    names = bench.hold.all_names
    clamps = len(bench.hold.names)
    if axes == TOP:
        row = rows[0]
        size = float(norm(bench.supports[row]))
        words = say(*WORDS, "support", show=system.show, name=names[row], force=size)
        return _named(words, place, "support text", f"label {names[row]}")
    up = float(force[2])
    way = "up" if up >= 0 else "down"
    kind = "stands" if rows[0] >= clamps else "clamps"
    text = say(*WORDS, f"{kind}_{way}", show=system.show, force=abs(up))
    return _named(text, place, "support text", f"label {names[rows[0]]}")


def _groups(places: Array) -> list[list[int]]:
    """Return rows that lie in one place of a view."""
    groups: list[list[int]] = []
    for row, place in enumerate(places):
        near = (g for g in groups if norm(places[g[0]] - place) < SAME_PLACE)
        group = next(near, None)
        if group is None:
            groups.append([row])
        else:
            group.append(row)
    return groups


def share_bars(bench: SolvedBench, system: UnitSystem) -> Drawing:
    """Draw what share of its rating, and of its slip limit, each support uses."""
    slips: list[float | None] = [
        float(share) if np.isfinite(limit) else None
        for share, limit in zip(
            bench.held.slip_shares, bench.hold.clamps.slip_limits, strict=True
        )
    ]
    slips += [None] * len(bench.hold.stand_names)
    rows = []
    for name, force, share, slip in zip(
        bench.hold.all_names, bench.supports, bench.held.shares, slips, strict=True
    ):
        key = "lifted" if name in bench.lifted else "share"
        key = key if slip is None else "share_and_slip"
        words = say(
            *(*WORDS, key),
            show=system.show,
            force=float(norm(force)),
            share=float(share),
            slip=slip,
        )
        rows.append(
            SupportRow(
                name=name, words=name, value=words, share=float(share), slip=slip
            )
        )
    return support_bars(rows, caption=say(*WORDS, "bars"), limit="", wide=WIDTH)


def stop_lines(bench: SolvedBench, *, system: UnitSystem) -> list[str]:
    """Say of each pull and each support that a part is past its rating."""
    show, said = system.show, []
    for name, solved in zip(bench.names, bench.pulls, strict=True):
        if over(solved.load_path) != "none":
            stop = stop_words(solved.load_path, show)
            said.append(say("rating", "stop", "pull", name=name, stop=str(stop)))
    supports = zip(bench.hold.all_names, bench.supports, bench.held.shares, strict=True)
    for name, force, share in supports:
        if share > 1:
            rating = float(norm(force) / share)
            said.append(
                say(
                    *("rating", "stop", "support"),
                    show=show,
                    name=name,
                    share=float(share),
                    rating=rating,
                )
            )
    return said


def describe(bench: SolvedBench, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    said = [
        *stop_lines(bench, system=system),
        say(
            *WORDS,
            "governs",
            show=system.show,
            pulls=say(*WORDS, "pulls", count=len(bench.pulls)),
            clamps=say(*WORDS, "clamps", count=len(bench.hold.names)),
            stands=say(*WORDS, "stands", count=len(bench.hold.stand_names)),
            force=float(norm(bench.wrench[:3])),
            governing=bench.governing,
            share=float(bench.held.shares.max()),
        ),
    ]
    if bench.lifted:
        said.append(say(*WORDS, "lifted_off", names=bench.lifted))
    if bench.sliding:
        said.append(say(*WORDS, "sliding", names=bench.sliding))
    return " ".join(said)
