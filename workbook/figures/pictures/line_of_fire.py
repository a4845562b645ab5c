"""Pictures of a bay with loaded chains: who stands in a wedge, from above, in space.

People are plain tokens with a number; the list beside the picture says who they are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel, force_bars, round_up, with_limit
from workbook.figures.drawing.texts import Text, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grips_along
from workbook.figures.pictures.bench_space import UP, window_round
from workbook.figures.subject import Subject
from workbook.language import say
from workbook.quantities.units import factor
from workbook.scenes.loaded_bay import (
    BAY,
    FIELDS,
    PEOPLE,
    PULLS,
    SWEEPS,
    WORD,
    YOU,
    BayGiven,
    LoadedBay,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from workbook.figures.drawing.marks import Panel, Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, LoadedBay]

WORDS = ("picture", "fire")
OF_YOU = f"off: {YOU}"
RAYS = 25  # of a drawn wedge
CABLE_POINTS = 4  # of a drawn cable, at most
HIGH, BELT, ROOF = 0.25, 0.8, 1.3  # m, of the invented car
# From a token to the handle that moves it sideways, away from where its name is. [m]
BESIDE_YOU = np.array((0.0, -0.8, 0.0))
# The invented car from above: half of its outline, tail to nose. [m]
_HULL = [(-2.1, 0.8), (1.1, 0.8), (1.7, 0.55)]
_CABIN = [(-1.6, 0.6), (0.2, 0.6)]


def bay_sheet(
    solved: LoadedBay,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the bay from above, the car's nose to the right."""
    drawing = plan_view(solved, system, ghosts, brief=room.brief)
    return _picture(drawing, solved, system, room)


def plan_view(
    solved: LoadedBay,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the bay from above, the car's nose to the right."""
    (left, low), (right, high) = BAY
    return Drawing(
        caption="" if brief else say(*WORDS, "caption"),
        window=(left, right, low, high),
        still=_still(_from_above),
        moving=_moving(solved, system, ghosts, seen=_from_above, brief=brief),
    )


def space_sheet(
    solved: LoadedBay,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: LoadedBay | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the same in space, as it is seen from a view; its scale is always one."""
    low, high = (
        np.append(corner, up) for corner, up in zip(BAY, (0, ROOF), strict=True)
    )
    drawing = Drawing(
        caption="" if room.brief else say(*WORDS, "caption"),
        window=window_round(low, high, view, np.zeros(3)),
        still=_still(view.along),
        moving=_moving(solved, system, ghosts, seen=view.along, brief=room.brief),
    )
    return _picture(drawing, solved, system, room)


def _picture(
    drawing: Drawing, solved: LoadedBay, system: UnitSystem, room: Room
) -> Sheet:
    text = where(solved.stands, described(solved, system), show=system.show)
    panels = stacked([(drawing, 1.0)], room.picture, over=room.caption)
    return room.picture_of(panels, text)


def people_sheet(
    solved: LoadedBay,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: how far everybody is off the nearest line."""
    nearest = solved.nearest
    rows = [
        (
            name,
            say(*WORDS, "row", name),
            nearest[..., k],
            "bar part",
        )
        for k, name in enumerate(PEOPLE)
    ]
    caption = say(*WORDS, "bars_brief" if room.brief else "bars")
    bars = force_bars(rows, caption=caption, system=system, room=room, kind="angle")
    full = round_up(np.maximum(nearest.max(axis=-1), 1e-9))
    at = np.minimum(solved.half_angle / full, 1.0)
    drawn = with_limit(bars, at, "half-angle")
    return room.beside_of([bars_panel(drawn, room)], caption)


def describe(solved: LoadedBay, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: LoadedBay, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    chosen, inside = solved.given.chosen, solved.must_move
    names = {
        name: _say(system, "named", np.where(inside[..., k], name, "not_in"))
        for k, name in enumerate(PEOPLE)
    }
    some = np.where(inside.any(axis=-1), "some", "nobody")
    cable = chosen("cable")
    if solved.holds and not solved.catches:
        cable = "not for this"
    return _say(
        system,
        "describe",
        angle=solved.half_angle,
        fails=say(*WORDS, "fails", chosen("fails")),
        people=_say(system, "people", some, count=solved.to_move, **names),
        you=solved.nearest[..., PEOPLE.index(YOU)],
        cable=say(*WORDS, "cable", cable),
    )


def _say(system: UnitSystem, *keys: object, **values: object) -> Text:
    return said(*WORDS, *keys, show=system.show, **values)


# ------------------------------------------------------------------------ marks


def _from_above(points: Array) -> Array:
    return np.asarray(points[..., :2])


def _raised(plan: Array, high: float) -> Array:
    """Return plan points (..., n, 2) at a height, (..., n, 3)."""
    return np.concatenate([plan, np.full((*plan.shape[:-1], 1), high)], axis=-1)


def _through(points: Sequence[Array]) -> Array:
    """Return the line through points (..., 3) of one pull, (..., n, 3)."""
    return np.stack(np.broadcast_arrays(*points), axis=-2)


def _outline(half: list[tuple[float, float]], high: float) -> Array:
    both = [*half, *((x, -y) for x, y in half[::-1])]
    return _raised(np.array(both), high)


def _still(seen: Callable[[Array], Array]) -> list[Mark]:
    """Draw the floor of the bay and the car."""
    (left, low), (right, high) = BAY
    floor = np.array([(left, low), (right, low), (right, high), (left, high)])
    hull, foot = _outline(_HULL, BELT), _outline(_HULL, HIGH)
    cabin, sill = _outline(_CABIN, ROOF), _outline(_CABIN, BELT)
    posts = [*zip(foot, hull, strict=True), *zip(sill, cabin, strict=True)]
    return [
        Polygon(seen(_raised(floor, 0.0)), "bench top", "floor"),
        Line(seen(np.concatenate([foot, foot[:1]])), "car outline", "underside"),
        Polygon(seen(hull), "body", "hull"),
        *(
            Line(seen(np.stack(post)), "car outline", f"edge {k}")
            for k, post in enumerate(posts)
        ),
        Polygon(seen(cabin), "body glass", "cabin"),
    ]


def _moving(
    solved: LoadedBay,
    system: UnitSystem,
    ghosts: Sequence[Ghost],
    *,
    seen: Callable[[Array], Array],
    brief: bool,
) -> list[Mark]:
    marks: list[Mark] = []
    for letter, other in ghosts:
        marks += _ghost(letter, other, system, seen)
    return [
        *_wedges(solved, seen),
        *marks,
        *_cable(solved, seen),
        *_pulls(solved, seen),
        *_tokens(solved, system, seen, brief=brief),
    ]


def _wedges(solved: LoadedBay, seen: Callable[[Array], Array]) -> list[Mark]:
    """Draw every wedge that is swept, out to the edge of the bay."""
    turn = np.linspace(-1.0, 1.0, RAYS) * solved.half_angle[..., None, None, None]
    way = solved.axis[..., None] + turn
    apex = solved.apex[..., None, :]
    rays = np.stack([np.cos(way), np.sin(way)], axis=-1)
    to = np.where(rays > 0, BAY[1], BAY[0]) - apex
    far = np.divide(to, rays, out=np.full_like(rays, np.inf), where=rays != 0)
    edge = apex + far.min(axis=-1, keepdims=True).clip(0.0) * rays
    corners = np.concatenate([np.broadcast_to(apex, edge[..., :1, :].shape), edge], -2)
    drawn, swept = seen(_raised(corners, 0.0)), solved.swept
    return [
        Polygon(
            drawn[..., m, k, :, :],
            "sweep",
            f"{pull} wedge, {start} to {end}",
            shown=swept[m, k] & solved.stands,
        )
        for m, pull in enumerate(PULLS)
        for k, (start, end) in enumerate(SWEEPS)
    ]


def _ghost(
    letter: str, other: LoadedBay, system: UnitSystem, seen: Callable[[Array], Array]
) -> list[Mark]:
    """Draw the chains of a frozen set-up."""
    name = f"ghost {letter}"
    lines: list[Line] = []
    for m, pull in enumerate(PULLS):
        ends = [other.places[at][..., m, :] for at in ("clamp", "head", "anchor")]
        line = seen(_through(ends))
        lines.append(Line(line, "ghost", f"{name} {pull}", shown=other.loaded[m]))
    first = lines[0].points
    words = _say(system, "ghost", letter=letter)
    label = FreeLabel(
        first[..., 1, :], words, "ghost text", name=f"label {name}", short=letter
    )
    return [*lines, label]


def _pulls(solved: LoadedBay, seen: Callable[[Array], Array]) -> list[Mark]:
    """Draw each ram with its two legs, and a cross on what fails."""
    places = solved.places
    marks: list[Mark] = []
    middle = {
        "clamp": "clamp", "hook": "clamp", "fork": "anchor", "pull leg": "head",
        "anchor leg": "head",
    }  # fmt: skip
    fails = solved.given.chosen("fails")
    for m, pull in enumerate(PULLS):
        shown = solved.loaded[m] & solved.stands
        at = {name: each[..., m, :] for name, each in places.items()}
        seen_at = {name: seen(p[..., None, :])[..., 0, :] for name, p in at.items()}
        for role, ends in (
            ("ram", ("base", "head")),
            ("pull leg", ("clamp", "head")),
            ("anchor leg", ("head", "anchor")),
        ):
            line = seen(_through([at[end] for end in ends]))
            marks.append(Line(line, role, f"{pull} {role}", shown=shown))
        marks += [
            Marker(seen_at[name], shape, name, f"{pull} {name}", shown=shown)
            for name, shape in (
                ("base", "disc"), ("clamp", "square"), ("head", "disc"),
                ("anchor", "diamond"),
            )
        ]  # fmt: skip
        broken = at[middle.get(fails, "head")]
        if fails.endswith("leg"):  # in the middle of it
            other = at["clamp" if fails == "pull leg" else "anchor"]
            broken = (broken + other) / 2
        cross = seen(broken[..., None, :])[..., 0, :]
        parts = shown & (fails in middle)
        marks.append(Marker(cross, "cross", "fails", f"{pull} fails", shown=parts))
    return marks


def _cable(solved: LoadedBay, seen: Callable[[Array], Array]) -> list[Mark]:
    """Draw the safety cable, and how far round it the freed clamp can go."""
    path = solved.cable_path
    last = np.repeat(path[-1:], CABLE_POINTS - len(path), axis=0)
    there = solved.given.chosen("cable") != "none"
    line = seen(np.concatenate([path, last]))
    reach = _raised(solved.reach, float(solved.clamp[2]))
    return [
        Line(seen(reach), "reach", "reach of the clamp"),
        Line(line, "cable", "safety cable", shown=np.asarray(there)),
    ]


def _tokens(
    solved: LoadedBay,
    system: UnitSystem,
    seen: Callable[[Array], Array],
    *,
    brief: bool,
) -> list[Mark]:
    """Draw everybody: a ring, or where they must move a full triangle."""
    on_floor, inside = seen(_raised(solved.people, 0.0)), solved.must_move
    marks: list[Mark] = []
    for k, name in enumerate(PEOPLE):
        at, moves = on_floor[..., k, :], inside[..., k]
        number = str(k + 1)
        words: str | Text = number
        if not brief:
            words = _say(
                system, "token", np.where(moves, "move", "clear"), number=number
            )
        marks += [
            Marker(at, "ring", "person", name, shown=~moves),
            Marker(at, "triangle", "person in line", f"{name} in line", shown=moves),
            FreeLabel(
                at,
                words,
                "strong text",
                name=f"label {name}",
                rank="point",
                short=number,
            ),
        ]
    return marks


def fire_amounts(solved: LoadedBay) -> Amounts:
    """Return the numbers of a loaded bay, most telling first."""
    gone = np.where(solved.stands, 0.0, np.nan)
    off = {
        f"off: {name}": (solved.nearest[..., k], "angle")
        for k, name in enumerate(PEOPLE)
    }
    return {
        "people in a wedge": (solved.to_move, "count"),
        OF_YOU: off.pop(OF_YOU),
        "clamps that the cable holds": (solved.held_clamps + gone, "count"),
        **off,
    }


def fire_grips(solved: LoadedBay, view: Viewpoint, panel: Panel) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_sheet`, by name."""
    you = _raised(solved.people[..., :1, :], 0.0)[..., 0, :]
    clamp, head = (solved.places[name][..., 0, :] for name in ("clamp", "head"))
    mm = factor("mm")
    forward, left = np.array([(mm, 0.0, 0.0), (0.0, mm, 0.0)])
    ways = {
        "signaller": ("you_left_mm", you + BESIDE_YOU, left),
        "signaller ahead": ("you_forward_mm", you, forward),
        "first ram": (
            "first_angle_deg", head, factor("deg") * np.cross(UP, head - clamp),
        ),
    }  # fmt: skip
    return grips_along(ways, view=view, panel=panel)


LINE_OF_FIRE = Subject(
    name="fire",
    word=WORD,
    fields=FIELDS,
    front=("half_angle_deg", "fails"),
    held="nothing",
    leaves_out=("how_it_flies", "ram_falls", "cable_gives", "who_walks"),
    solve=lambda values: BayGiven(values=values).solved(),
    amounts=fire_amounts,
    picture=bay_sheet,
    beside=people_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: fire_grips(solved, view, sheet.panels[0]),
)
