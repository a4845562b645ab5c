"""Pictures of a box car that was hit: panels that moved, gaps that opened or closed."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel, force_bars, round_up, with_limit
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grips_along
from workbook.figures.pictures.bench_space import window_round
from workbook.figures.subject import Subject
from workbook.language import say
from workbook.quantities.tables import signed
from workbook.quantities.units import factor
from workbook.scenes.hits import (
    FIELDS,
    GAP,
    GAPS,
    HALF,
    HINGE,
    HOOD,
    HOOD_HALF,
    NOSE,
    PANELS,
    REAR,
    SIDES,
    STATIONS,
    TAIL,
    WORD,
    HitCar,
    HitGiven,
    corners_of,
    pillar,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.figures.drawing.marks import Panel, Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, HitCar]

TIMES = 10.0  # how many times too large movements are drawn, whatever their size
SILL, BELT, ROOF = 0.25, 0.85, 1.35  # m, heights of the invented car
CABIN_HALF = 0.6  # m, of its roof
HIT_LONG, BESIDE = 0.75, 0.14  # m: arrows of hit and pull, and each from their line
WORDS = ("picture", "hit")
SHOWN = {  # gaps that stand in the picture: of what, and where, along, across and up
    "left front door, front edge": ("door", (STATIONS[HINGE], HALF, BELT)),
    "right front door, front edge": ("door", (STATIONS[HINGE], -HALF, SILL)),
    "left hood, front": ("hood", (STATIONS[NOSE], HOOD_HALF, BELT)),
    "right hood, front": ("hood", (STATIONS[NOSE], -HOOD_HALF, BELT)),
}


def hit_sheet(
    solved: HitCar,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the car from above, its nose to the right."""
    drawing = plan_view(solved, system, ghosts, brief=room.brief)
    return _picture(drawing, solved, system, room)


def plan_view(
    solved: HitCar,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the car from above, its nose to the right."""
    still, moving = _marks(solved, system, ghosts, seen=_from_above, brief=brief)
    return Drawing(
        caption="" if brief else say(*WORDS, "model", times=TIMES),
        window=(-0.85, 4.75, -1.65, 1.75),
        still=[*_cabin(_from_above), *still],
        moving=moving,
    )


def space_sheet(
    solved: HitCar,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: HitCar | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the car in space, as it is seen from a view; its scale is always one."""
    still, moving = _marks(solved, system, ghosts, seen=view.along, brief=room.brief)
    low, high = np.array((-0.7, -1.2, 0.0)), np.array((4.4, 1.4, ROOF))
    drawing = Drawing(
        caption="" if room.brief else say(*WORDS, "model", times=TIMES),
        window=window_round(low, high, view, np.zeros(3)),
        still=[*_cabin(view.along), *still],
        moving=moving,
    )
    return _picture(drawing, solved, system, room)


def _picture(drawing: Drawing, solved: HitCar, system: UnitSystem, room: Room) -> Sheet:
    panels = stacked([(drawing, 1.0)], room.picture, over=room.caption)
    return room.picture_of(panels, described(solved, system))


def gaps_sheet(
    solved: HitCar,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: every gap as a bar, and what it should be."""
    caption = say(*WORDS, "bars_brief" if room.brief else "bars")
    gaps = solved.gaps
    bars = force_bars(
        [
            (name, say(*WORDS, "gap", name), gap, "bar part")
            for name, gap in gaps.items()
        ],
        caption=caption,
        system=system,
        room=room,
        kind="small length",
        gaps=(len(GAPS) // 2,),
    )
    largest = np.maximum.reduce(np.broadcast_arrays(*gaps.values()))
    should = GAP / round_up(np.maximum(largest, 1e-9))
    drawn = with_limit(bars, should, "as it should be")
    return room.beside_of([bars_panel(drawn, room)], caption)


def describe(solved: HitCar, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: HitCar, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    gaps, show = solved.gaps, system.show
    array = solved.given.array
    side = np.where(solved.far_corner < 0, "right", "left")
    side = np.where(solved.far_corner == 0, "still", side)
    twice = np.where(array("second_depth_mm") > 0, "twice", "once")
    second = str(solved.given.chosen("second_corner"))
    return said(
        *WORDS,
        "describe",
        twice,
        show=show,
        came=Amount(array("from_deg"), "angle", _signed(system)),
        depth=array("depth_mm"),
        second=say("field", "hit", "second_corner", "options", second),
        second_depth=array("second_depth_mm"),
        gap=gaps["left front door, front edge"],
        should=np.full_like(solved.far_corner, GAP),
        far=said(*WORDS, "far", side, show=show, by=np.abs(solved.far_corner)),
        pull=solved.undoing,
    )


def _signed(system: UnitSystem) -> Callable[[Any, str], str]:
    return lambda value, kind: signed(float(value), system, kind)


def _from_above(points: Array) -> Array:
    return np.asarray(points[..., :2])


def _lifted(plan: Array, height: float) -> Array:
    """Return plan points (..., n, 2) at a height, (..., n, 3)."""
    return np.concatenate([plan, np.full((*plan.shape[:-1], 1), height)], axis=-1)


@cache
def _outlines() -> dict[str, tuple[Array, Array]]:
    """Return the outline of every panel, closed: in plan, and its heights."""
    found = {
        f"{side} {name}": _side_outline(side, name) for side in SIDES for name in PANELS
    }
    hood = np.concatenate([HOOD, HOOD[:1]])
    return {**found, "hood": (hood, np.full(len(hood), BELT))}


def _side_outline(side: str, name: str) -> tuple[Array, Array]:
    """Return a panel of the side: a shoulder seen from above, a face from the side."""
    outer_front, outer_back, inner_back, inner_front = corners_of(side, name)
    plan = [inner_front, outer_front, outer_front, outer_back, outer_back, inner_back]
    high = [BELT, BELT, SILL, SILL, BELT, BELT]
    return np.array([*plan, inner_front]), np.array([*high, BELT])


def _moved(solved: HitCar, name: str, plan: Array) -> Array:
    """Return how far points of a panel went, (..., n, 2)."""
    if name == "hood":
        return solved.hood_moved(plan)
    side, _, panel = name.partition(" ")
    return solved.panel_moved(side, panel, plan)


def _drawn(solved: HitCar, name: str) -> Array:
    """Return the outline of a panel as it is drawn, (..., n, 3)."""
    plan, heights = _outlines()[name]
    there = plan + TIMES * _moved(solved, name, plan)
    high = np.broadcast_to(heights[:, None], (*there.shape[:-1], 1))
    return np.concatenate([there, high], axis=-1)


def _marks(
    solved: HitCar,
    system: UnitSystem,
    ghosts: Sequence[Ghost],
    *,
    seen: Callable[[Array], Array],
    brief: bool,
) -> tuple[list[Mark], list[Mark]]:
    """Return the panels as they should be, and all that moves."""
    still: list[Mark] = []
    for name, (plan, heights) in _outlines().items():
        at = np.concatenate([plan, heights[:, None]], axis=-1)
        still.append(Line(seen(at), "frame specified", f"{name} specified"))
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other, system, seen)
    moving += [
        Line(seen(_drawn(solved, name)), "frame damaged", f"{name} damaged")
        for name in _outlines()
    ]
    moving.append(_second_hit(solved, seen))
    moving += _hit(solved, system, seen, brief=brief)
    moving += _gap_labels(solved, system, seen, brief=brief)
    return still, moving


def _cabin(seen: Callable[[Array], Array]) -> list[Mark]:
    """Draw the roof on its pillars and the edge of the tail, which stay."""
    front, rear = STATIONS[HINGE], STATIONS[REAR] - 0.3
    corners = [(front - 0.5, CABIN_HALF), (rear + 0.3, CABIN_HALF)]
    roof = np.array(
        [(x, y, ROOF) for x, y in (*corners, *((x, -y) for x, y in corners[::-1]))]
    )
    foot = np.array([(x, y, BELT) for x in (front, rear) for y in (HOOD_HALF,)])
    posts = [
        np.array([foot[k] * (1, way, 1), roof[k] * (1, way, 1)])
        for k in (0, 1)
        for way in (1.0, -1.0)
    ]
    tail = np.array([(STATIONS[-1], way * HOOD_HALF, BELT) for way in (1.0, -1.0)])
    return [
        Polygon(seen(roof), "plane", "roof"),
        Line(seen(np.concatenate([roof, roof[:1]])), "car outline", "roof edge"),
        Line(seen(tail), "car outline", "tail edge"),
        *(
            Line(seen(post), "car outline", f"roof post {k}")
            for k, post in enumerate(posts)
        ),
    ]


def _ghost(
    letter: str, other: HitCar, system: UnitSystem, seen: Callable[[Array], Array]
) -> list[Mark]:
    """Draw the hood and the left fender of a frozen set-up."""
    name = f"ghost {letter}"
    hood = seen(_drawn(other, "hood"))
    words = said(*WORDS, "ghost", show=system.show, letter=letter)
    return [
        Line(seen(_drawn(other, "left fender")), "ghost", f"{name} fender"),
        Line(hood, "ghost", name),
        FreeLabel(
            hood[..., 3, :],
            words,
            "ghost text",
            name=f"label {name}",
            along=hood[..., 3:, :],
            short=letter,
        ),
    ]


def _corner(solved: HitCar) -> Array:
    """Return where the corner that was hit is drawn, (..., 3)."""
    at = pillar("left", NOSE)[None]
    plan = at + TIMES * _moved(solved, "left fender", at)
    return np.asarray(_lifted(plan, BELT)[..., 0, :])


def _second_hit(solved: HitCar, seen: Callable[[Array], Array]) -> Mark:
    """Draw the second hit, where there is one, at its corner."""
    array, corner = solved.given.array, solved.given.chosen("second_corner")
    side, end = corner.split()
    ahead = 1.0 if end == "front" else -1.0
    at = np.append(pillar(side, NOSE if end == "front" else TAIL), BELT)
    turn = array("second_from_deg")
    out = np.stack([ahead * np.cos(turn), np.sin(turn), np.zeros_like(turn)], axis=-1)
    ends = [seen((at + far * out)[..., None, :]) for far in (HIT_LONG, 0.1)]
    shown = array("second_depth_mm") > 0
    return Arrow(ends[0][..., 0, :], ends[1][..., 0, :], "part", "second", shown=shown)


def _came_along(solved: HitCar) -> tuple[Array, Array]:
    """Return the way from the corner to where the hit came from, and square to it."""
    turn = solved.given.array("from_deg")
    nought = np.zeros_like(turn)
    out = np.stack([np.cos(turn), np.sin(turn), nought], axis=-1)
    return out, np.stack([-np.sin(turn), np.cos(turn), nought], axis=-1)


def _hit(
    solved: HitCar,
    system: UnitSystem,
    seen: Callable[[Array], Array],
    *,
    brief: bool,
) -> list[Mark]:
    """Draw the hit and the pull that undoes it, side by side on one line."""
    corner = _corner(solved)
    out, square = _came_along(solved)
    near, far = corner + 0.1 * out, corner + HIT_LONG * out
    path = [seen(p[..., None, :]) for p in (corner, corner + 0.95 * out)]
    marks: list[Mark] = [
        Line(np.concatenate(path, axis=-2), "reference", "path of the hit"),
        Marker(path[0][..., 0, :], "disc", "measured", "corner"),
    ]
    bearings = {"hit": solved.bearing, "undoing": solved.undoing}
    for name, tail, tip, role, way in (
        ("hit", far, near, "force resultant", 1.0),
        ("undoing", near, far, "force pull", -1.0),
    ):
        ends = [seen((p + way * BESIDE * square)[..., None, :]) for p in (tail, tip)]
        along = np.concatenate(ends, axis=-2)
        words: Text = Amount(bearings[name], "angle", system.show)
        if not brief:
            words = said(*WORDS, name, show=system.show, at=bearings[name])
        marks += [
            Arrow(along[..., 0, :], along[..., 1, :], role, name),
            FreeLabel(
                along.mean(axis=-2),
                words,
                "pull text" if name == "undoing" else "strong text",
                name=f"label {name}",
                rank="force",
                along=along,
                short=Amount(bearings[name], "angle", system.show),
            ),
        ]
    return marks


def _gap_labels(
    solved: HitCar,
    system: UnitSystem,
    seen: Callable[[Array], Array],
    *,
    brief: bool,
) -> list[Mark]:
    """Write some of the gaps where they are, on a page."""
    if brief:
        return []
    marks: list[Mark] = []
    for name, (of, at) in SHOWN.items():
        place = seen(np.array([at]))[0]
        there = np.broadcast_to(place, (*np.shape(solved.far_corner), 2))
        gap = solved.gaps[name]
        marks.append(
            FreeLabel(
                there,
                said(*WORDS, "gap_of", of, show=system.show, gap=gap),
                "text",
                name=f"label {name}",
                rank="point",
                short=Amount(gap, "small length", system.show),
            )
        )
    return marks


def hit_amounts(solved: HitCar) -> Amounts:
    """Return the numbers of a hit car, most telling first."""
    gaps = solved.gaps
    first = "left front door, front edge"
    return {
        f"gap: {first}": (gaps[first], "small length"),
        "far front corner, across": (solved.far_corner, "small length"),
        "bearing of the undoing pull": (solved.undoing, "angle"),
        "bearing of the hit": (solved.bearing, "angle"),
        "hood turned from the right fender": (solved.hood_turned, "angle"),
        **{
            f"gap: {name}": (gap, "small length")
            for name, gap in gaps.items()
            if name != first
        },
    }


def hit_grips(solved: HitCar, view: Viewpoint, panel: Panel) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_sheet`, by name."""
    out, square = _came_along(solved)
    corner = _corner(solved)
    tail = corner + HIT_LONG * out + BESIDE * square
    ways: Mapping[str, tuple[str, Array, Array]] = {
        "hit": ("from_deg", tail, factor("deg") * HIT_LONG * square),
        "corner": ("depth_mm", corner, -TIMES * factor("mm") * out),
    }
    return grips_along(ways, view=view, panel=panel)


HIT = Subject(
    name="hit",
    word=WORD,
    fields=FIELDS,
    front=("from_deg", "depth_mm"),
    held="nothing",
    leaves_out=("panel_bend", "old_repairs", "how_hard", "real_car"),
    solve=lambda values: HitGiven(values=values).solved(),
    amounts=hit_amounts,
    picture=hit_sheet,
    beside=gaps_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: hit_grips(solved, view, sheet.panels[0]),
)
