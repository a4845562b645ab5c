"""Pictures of the practice bay from its plain data: from above, close by, in space.

What is off at the metal is drawn `DRAWN` times as large as it is, for it would not be
seen; a clamp is drawn where its place on the metal is drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
    Strokes,
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.bench_space import window_round
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from workbook.figures.drawing.marks import Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

    Seen = Callable[[Array], Array]
    Data = Mapping[str, Any]

WORDS = ("practice_bay", "picture")
DRAWN = 6.0  # times as large as it is
BAY = ((-3.7, -3.1), (4.3, 3.9))  # m, corners of the floor that is drawn
CLOSE = (0.3, 3.6, -1.75, 1.75)  # m, the front end with its rams, from above
SPACE = (np.array([-2.4, -2.1, 0.0]), np.array([3.4, 2.1, 1.2]))  # m, corners
RAYS = 13  # of a drawn wedge
SILL, BELT, ROOF = 0.19, 0.8, 1.3  # m above the bench, of the invented car
_HULL = [(-2.1, 0.72), (0.62, 0.72), (0.9, 0.6)]  # half of it from above, tail first
_CABIN = [(-1.6, 0.6), (0.1, 0.6)]
SEEN = ("bay", "close", "space")
"""The views, by name."""


def practice_bay_sheet(
    data: Data,
    floor: Data,
    *,
    system: UnitSystem,
    view: str = "bay",
    step: int | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the bay as it is seen.

    Parameters
    ----------
    data, floor : mapping
        As `workbook.bay.data` has them.
    system : UnitSystem
    view : str
        One of `SEEN`.
    step : int, optional
        Which step of the metal's last way is drawn; by default where it is now.
    room : Room
    """
    seen, window = _view(view)
    drawing = Drawing(
        caption=say(*WORDS, "caption", times=DRAWN),
        window=window,
        still=_floor(floor, seen),
        moving=_moving(data, floor, system, seen=seen, step=step, window=window),
    )
    panels = stacked([(drawing, 1.0)], room.picture, over=room.caption)
    return room.picture_of(panels, described(data, system))


def described(data: Data, system: UnitSystem) -> str:
    """Say in words what the picture shows."""
    rams = [
        say(
            *WORDS,
            "ram",
            show=system.show,
            name=ram["name"],
            place=ram["place"],
            socket=ram["socket"],
            force=ram["ram_force_N"],
        )
        for ram in data["rams"]
    ]
    in_line = [*data["in_line_of_fire"]]
    return " ".join(
        [
            say(*WORDS, "describe", count=len(data["body"]["stations"])),
            *rams,
            say(*WORDS, "in_line", people=in_line)
            if in_line
            else say(*WORDS, "nobody_in_line"),
        ]
    )


def _view(name: str) -> tuple[Seen, Window]:
    if name == "space":
        one = VIEWS["home"]
        return one.along, window_round(*SPACE, one, np.zeros(3))
    (left, low), (right, high) = BAY
    whole = (left, right, low, high)
    return _from_above, CLOSE if name == "close" else whole


def _from_above(points: Array) -> Array:
    return np.asarray(points[..., :2])


def _rows(*points: Any) -> Array:
    return np.array(points, dtype=float)


def _point(seen: Seen, at: Any) -> Array:
    return np.asarray(seen(_rows(at))[0])


# ------------------------------------------------------------------ what stands still


def _outline(half: list[tuple[float, float]], high: float) -> Array:
    both = [*half, *((x, -y) for x, y in half[::-1])]
    return np.array([(x, y, high) for x, y in both])


def _floor(floor: Data, seen: Seen) -> list[Mark]:
    (left, low), (right, high) = BAY
    edge = _rows((left, low, 0), (right, low, 0), (right, high, 0), (left, high, 0))
    hull, foot = _outline(_HULL, BELT), _outline(_HULL, SILL)
    cabin, sill = _outline(_CABIN, ROOF), _outline(_CABIN, BELT)
    posts = [*zip(foot, hull, strict=True), *zip(sill, cabin, strict=True)]
    return [
        Polygon(seen(edge), "bench top", "floor"),
        *(
            Marker(_point(seen, at), "ring", "socket", f"socket {name}")
            for name, at in floor["sockets_m"].items()
        ),
        *(
            Marker(_point(seen, at), "diamond", "slot", f"post {name}")
            for name, at in floor["posts_m"].items()
        ),
        *(
            Line(seen(_rows(*fork["slots_m"])), "fork", f"fork {name}")
            for name, fork in floor["forks"].items()
        ),
        Line(seen(np.concatenate([foot, foot[:1]])), "car outline", "underside"),
        Polygon(seen(hull), "body", "hull"),
        Strokes(seen(np.array(posts)), "car outline", "edges"),
        Polygon(seen(cabin), "body glass", "cabin"),
    ]


# ----------------------------------------------------------------------- what moves


def _moving(
    data: Data,
    floor: Data,
    system: UnitSystem,
    *,
    seen: Seen,
    step: int | None,
    window: Window,
) -> list[Mark]:
    metal, steps = data["metal"], data["metal"]["steps"]
    now = metal["nodes_m"] if step is None or not steps else steps["nodes_m"][step]
    specified, drawn = _rails(np.array(now), floor)
    places = {name: drawn[one, k] for name, (one, k) in floor["places"].items()}
    return [
        *_zones(data, places, seen),
        *_held(data, floor, seen),
        *_metal(data, specified, drawn, seen),
        *(
            mark
            for ram in data["rams"]
            for mark in _ram(ram, places[ram["place"]], system, seen)
        ),
        *(
            mark
            for hold in data["holds"]
            for mark in _hold(hold, places[hold["place"]], system, seen)
        ),
        *_people(data, seen, window),
    ]


def _rails(nodes: Array, floor: Data) -> tuple[Array, Array]:
    """Return both rails as specified, and as they are drawn, (2, n, 3)."""
    tips = _rows(*(floor["points_m"][f"{side}-tip"] for side in ("left", "right")))
    share = np.linspace(0.0, 1.0, nodes.shape[1])[:, None]
    roots = nodes[:, :1]
    specified = roots + share * (tips[:, None] - roots)
    return specified, specified + DRAWN * (nodes - specified)


def _metal(data: Data, specified: Array, drawn: Array, seen: Seen) -> list[Mark]:
    torn = [name for name in data["metal"]["torn"]]
    return [
        Strokes(seen(specified), "frame specified", "specified"),
        Strokes(seen(drawn), "frame damaged", "rails"),
        Line(
            seen(drawn[:, -1]),
            "frame outline",
            "crossmember",
            shown=data["metal"]["bolted"],
        ),
        *(
            Marker(_point(seen, drawn[side, -1]), "cross", "fails", f"torn {place}")
            for place in torn
            for side in [int(place.startswith("right"))]
        ),
    ]


def _held(data: Data, floor: Data, seen: Seen) -> Iterator[Mark]:
    """Draw clamps of the body, ties and stands."""
    stations, posts = floor["stations_m"], floor["posts_m"]
    for name in data["body"]["stations"]:
        at = _point(seen, stations[name])
        yield Marker(at, "square", "support", f"clamp {name}")
    for name, (station, post) in data["body"]["ties"].items():
        ends = _rows(stations[station], posts[post])
        yield Line(seen(ends), "hold", f"tie {name}")
    for name in data["body"]["stands"]:
        side = 1.0 if name.startswith("left") else -1.0
        ends = _rows((1.06, 0.44 * side, 0.0), (1.06, 0.44 * side, 0.3))
        yield Line(seen(ends), "stand", f"stand {name}")
        yield Marker(_point(seen, ends[0]), "square", "support", f"foot {name}")


def _ram(ram: Data, clamp: Array, system: UnitSystem, seen: Seen) -> Iterator[Mark]:
    name, anchor, base = ram["name"], _rows(ram["anchor_m"])[0], _rows(ram["base_m"])[0]
    if ram["lost"]:
        yield Line(seen(np.stack([base, anchor])), "refused", f"lost {name}")
        yield Marker(_point(seen, base), "cross", "fails", f"cross {name}")
        return
    head = base + np.array([0, 0, 0.9]) if "head_m" not in ram else ram["head_m"]
    head = base if head is None else np.array(head)
    pull = np.stack([clamp, head])
    yield Line(seen(np.stack([base, head])), "ram", f"ram {name}")
    yield Line(seen(pull), "pull leg", f"pull leg {name}")
    yield Line(seen(np.stack([head, anchor])), "anchor leg", f"anchor leg {name}")
    for at, shape, role in (
        (base, "disc", "base"),
        (clamp, "square", "clamp"),
        (head, "disc", "head"),
        (anchor, "diamond", "anchor"),
    ):
        yield Marker(_point(seen, at), shape, role, f"{role} {name}")
    yield FreeLabel(
        seen(pull)[0],
        say(
            *WORDS,
            "force" if ram["pull_tension_N"] else "slack",
            show=system.show,
            name=name,
            force=ram["pull_tension_N"] or 0.0,
        ),
        "pull text",
        name=f"label {name}",
        rank="force",
        along=seen(pull),
        short=name,
    )


def _hold(hold: Data, clamp: Array, system: UnitSystem, seen: Seen) -> Iterator[Mark]:
    name, post = hold["name"], np.array(hold["post_m"])
    ends = seen(np.stack([clamp, post]))
    role = "refused" if hold["lost"] else "second leg"
    yield Line(ends, role, f"hold {name}")
    yield Marker(ends[0], "square", "clamp", f"clamp of {name}")
    yield FreeLabel(
        ends[0],
        say(
            *WORDS,
            "force" if hold["tension_N"] else "slack",
            show=system.show,
            name=name,
            force=hold["tension_N"],
        ),
        "second text",
        name=f"label {name}",
        rank="force",
        along=ends,
        short=name,
    )


def _zones(data: Data, places: Mapping[str, Array], seen: Seen) -> Iterator[Mark]:
    """Draw the line of fire from both ends of every chain, to the edge of the bay."""
    if data["rules"] is None:
        return
    half = data["rules"]["zone_half_angle_rad"]
    for name, one, other in _chains(data, places):
        for end, (apex, far) in enumerate(((one, other), (other, one))):
            line = far[:2] - apex[:2]
            way = np.arctan2(line[1], line[0]) + half * np.linspace(-1, 1, RAYS)
            rays = np.stack([np.cos(way), np.sin(way)], axis=-1)
            corners = np.array(BAY)
            to = np.where(rays > 0, corners[1], corners[0]) - apex[:2]
            far_off = np.divide(
                to, rays, out=np.full_like(rays, np.inf), where=np.abs(rays) > 1e-9
            )
            edge = apex[:2] + far_off.min(axis=-1, keepdims=True).clip(0.0) * rays
            area = np.concatenate([apex[None, :2], edge])
            ground = np.column_stack([area, np.zeros(len(area))])
            yield Polygon(seen(ground), "sweep", f"zone {name} {end}")


def _chains(
    data: Data, places: Mapping[str, Array]
) -> Iterator[tuple[str, Array, Array]]:
    for ram in data["rams"]:
        if not ram["lost"]:
            head = np.array(ram["head_m"] or ram["base_m"])
            yield f"{ram['name']} pull", places[ram["place"]], head
            yield f"{ram['name']} anchor", head, np.array(ram["anchor_m"])
    for hold in data["holds"]:
        if not hold["lost"]:
            yield hold["name"], places[hold["place"]], np.array(hold["post_m"])


def _people(data: Data, seen: Seen, window: Window) -> Iterator[Mark]:
    left, right, low, high = (float(side) for side in window)
    for who, (x, y) in data["people"].items():
        at, inside = _point(seen, (x, y, 0.0)), who in data["in_line_of_fire"]
        there = bool(left < at[0] < right and low < at[1] < high)
        yield Marker(
            at,
            "triangle" if inside else "ring",
            "person in line" if inside else "person",
            f"person {who}",
            shown=there,
        )
        yield FreeLabel(
            at,
            say(*WORDS, "moves" if inside else "person", who=who),
            "strong text" if inside else "small text",
            name=f"label {who}",
            rank="warning" if inside else "rest",
            short=who[:3],
            shown=there,
        )
