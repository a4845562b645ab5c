"""Pictures of the practice bay from its plain data: all of it from above, and in space.

A clamp is drawn where its place on the metal is drawn: see `bay_car`. What is planned
in a form is drawn thin, as it would stand.
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
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.bay_car import DRAWN, beam, car, metal, points, rails
from workbook.figures.pictures.bay_rigs import WORDS, hold_marks, ram_marks
from workbook.figures.pictures.bench_space import (
    AHEAD,
    CAR,
    ON_BENCH,
    before_or_behind,
    shadow,
    window_round,
)
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from workbook.figures.drawing.marks import Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

    Data = Mapping[str, Any]

BAY = ((-3.7, -3.1), (4.3, 3.9))  # m, corners of the floor that is drawn
SPACE = (np.array([-2.4, -2.1, 0.0]), np.array([3.4, 2.1, 1.2]))  # m, corners
RAYS = 13  # of a drawn wedge
TOGETHER = 0.4  # m, between people who have one label
ALL = "bay"
"""The view of the whole floor from straight above, which no hand turns."""


def practice_bay_sheet(
    data: Data,
    floor: Data,
    *,
    system: UnitSystem,
    view: Viewpoint | None = None,
    step: int | None = None,
    stills: Sequence[int] = (),
    plan: Data | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the bay as it is seen.

    Parameters
    ----------
    data, floor : mapping
        As `workbook.bay.data` has them.
    system : UnitSystem
    view : Viewpoint, optional
        From where it is seen; by default the whole floor from straight above.
    step : int, optional
        Which step of the metal's last way is drawn; by default where it is now.
    stills : sequence of int
        Further steps that are drawn behind it.
    plan : mapping, optional
        A ram or a holding chain as it would stand, under ``ram`` or ``hold``.
    room : Room
    """
    window: Window
    if view is None:
        view = VIEWS["above"]
        (left, low), (right, high) = BAY
        window = (left, right, low, high)
    else:
        window = window_round(*SPACE, view, np.zeros(3))
    scene = _BayScene(data, floor, system, view, step)
    drawing = Drawing(
        caption=say(*WORDS, "brief" if room.brief else "caption", times=DRAWN),
        window=window,
        still=scene.still(),
        moving=[*scene.moving(stills, plan or {}), *scene.people(window)],
    )
    panels = stacked([(drawing, 1.0)], room.picture, over=room.caption)
    return room.picture_of(panels, described(data, system))


def places_drawn(data: Data, floor: Data, step: int | None = None) -> dict[str, Array]:
    """Return where each place on the metal is drawn. [m]"""
    now, way = data["metal"], data["metal"]["steps"]
    nodes = now["nodes_m"] if step is None or not way else way["nodes_m"][step]
    _, drawn = rails(nodes, floor)
    return {name: drawn[one, k] for name, (one, k) in floor["places"].items()}


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


class _BayScene:
    """The bay at a moment, as it is seen from somewhere."""

    def __init__(
        self,
        data: Data,
        floor: Data,
        system: UnitSystem,
        view: Viewpoint,
        step: int | None,
    ) -> None:
        self.data, self.floor, self.system, self.view = data, floor, system, view
        self.way = data["metal"]["steps"]
        self.specified, self.drawn = self._rails(step)
        now = self._metal(step)
        self.beam = beam(now["crossmember_m"], now["nodes_m"], self.specified)
        self.places = places_drawn(data, floor, step)

    def _metal(self, step: int | None) -> Data:
        """Return where the metal's nodes are now, or were at a step of its way."""
        names = ("nodes_m", "crossmember_m")
        if step is None or not self.way:
            return {name: self.data["metal"][name] for name in names}
        return {name: self.way[name][step] for name in names}

    def _rails(self, step: int | None) -> tuple[Array, Array]:
        return rails(self._metal(step)["nodes_m"], self.floor)

    def still(self) -> list[Mark]:
        """Draw floor, sockets, rings, forks and the car."""
        (left, low), (right, high) = BAY
        edge = np.array(
            [(left, low, 0), (right, low, 0), (right, high, 0), (left, high, 0)]
        )
        view, floor = self.view, self.floor
        return [
            Polygon(view.along(edge), "bench top", "floor").standing(ON_BENCH - 1),
            *(
                Marker(view.at(np.array(at)), "ring", "socket", f"socket {name}")
                .standing(ON_BENCH)
                for name, at in floor["sockets_m"].items()
            ),
            *(
                Marker(view.at(np.array(at)), "diamond", "slot", f"post {name}")
                .standing(ON_BENCH)
                for name, at in floor["posts_m"].items()
            ),
            *(
                Line(view.along(np.array(fork["slots_m"])), "fork", f"fork {name}")
                .standing(ON_BENCH)
                for name, fork in floor["forks"].items()
            ),
            *car(view),
        ]  # fmt: skip

    def moving(self, stills: Sequence[int], plan: Data) -> Iterator[Mark]:
        """Yield what an act may change."""
        data, places, view, system = self.data, self.places, self.view, self.system
        ways = [self._rails(one)[1] for one in stills]
        yield from self._zones()
        yield from self._held()
        yield from metal(data, self.specified, self.drawn, self.beam, view, ways)
        yield from points(data, self.floor, view)
        for draw, rows, planned in (
            (ram_marks, data["rams"], plan.get("ram")),
            (hold_marks, data["holds"], plan.get("hold")),
        ):
            for row in rows:
                yield from draw(row, places[row["place"]], system, view)
            if planned is not None:
                at = places[planned["place"]]
                yield from draw(planned, at, system, view, planned=True)

    def _held(self) -> Iterator[Mark]:
        """Draw clamps of the body, ties and stands."""
        data, floor, view = self.data["body"], self.floor, self.view
        for name in data["stations"]:
            at = np.array(floor["stations_m"][name])
            foot = Line(view.path(at, at * (1, 1, 0)), "stand", f"post of {name}")
            yield foot.standing(ON_BENCH + 2)
            mark = Marker(view.at(at), "square", "support", f"clamp {name}")
            yield mark.standing(AHEAD + 2)
        for name, (station, post) in data["ties"].items():
            ends = np.array([floor["stations_m"][station], floor["posts_m"][post]])
            yield shadow(ends[0], ends[1], f"tie {name}", view)
            hidden = view.near(ends[0] * (0, 1, 0)) < 0  # by the car
            tie = Line(view.along(ends), "hold", f"tie {name}")
            yield tie.standing(CAR - 0.5 if hidden else AHEAD + 1)
        front = before_or_behind(view)
        for name in data["stands"]:
            ends = stand_place(name)
            yield Line(view.along(ends), "stand", f"stand {name}").standing(front - 1)
            mark = Marker(view.at(ends[0]), "square", "support", f"foot {name}")
            yield mark.standing(front - 0.9)

    def _zones(self) -> Iterator[Mark]:
        """Draw the line of fire from both ends of every chain, to the edge."""
        data = self.data
        if data["rules"] is None:
            return
        half = data["rules"]["zone_half_angle_rad"]
        for name, one, other in self._chains():
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
                zone = Polygon(self.view.along(ground), "sweep", f"zone {name} {end}")
                yield zone.standing(ON_BENCH + 0.2)

    def _chains(self) -> Iterator[tuple[str, Array, Array]]:
        """Yield every chain from its clamp on: its name and its ends."""
        data, places = self.data, self.places
        for ram in data["rams"]:
            if not ram["lost"]:
                head = np.array(ram["head_m"] or ram["base_m"])
                yield f"{ram['name']} pull", places[ram["place"]], head
                yield f"{ram['name']} anchor", head, np.array(ram["anchor_m"])
        for hold in data["holds"]:
            if not hold["lost"]:
                yield hold["name"], places[hold["place"]], np.array(hold["post_m"])

    def people(self, window: Window) -> Iterator[Mark]:
        """Yield who stands where; whoever is in the line of fire is told to move.

        Those who stand together have one label.
        """
        left, right, low, high = (float(side) for side in window)
        in_line, groups = self.data["in_line_of_fire"], list[list[str]]()
        people = {who: np.array(at) for who, at in self.data["people"].items()}
        for who, at in people.items():
            inside = who in in_line
            seen = self.view.at(np.array([*at, 0.0]))
            there = bool(left < seen[0] < right and low < seen[1] < high)
            yield Marker(
                seen,
                "triangle" if inside else "ring",
                "person in line" if inside else "person",
                f"person {who}",
                shown=there,
            ).standing(AHEAD + 3)
            near = (
                group
                for group in groups
                if (group[0] in in_line) == inside
                and np.linalg.norm(people[group[-1]] - at) < TOGETHER
            )
            beside = next(near, None) if there else []
            if beside is None:
                groups.append([who])
            else:
                beside.append(who)
        for names in groups:
            inside = names[0] in in_line
            called = (
                names[0]
                if len(names) == 1
                else say(*WORDS, "together", count=len(names))
            )
            yield FreeLabel(
                self.view.at(np.array([*people[names[len(names) // 2]], 0.0])),
                say(*WORDS, "moves" if inside else "person", who=called),
                "strong text" if inside else "small text",
                name=f"label {names[0]}",
                rank="warning" if inside else "rest",
                short=called[:3] if len(names) == 1 else str(len(names)),
            )


def stand_place(side: str) -> Array:
    """Return foot and head of a stand under a root, (2, 3). [m]"""
    y = 0.44 if side == "left" else -0.44
    return np.array([(1.06, y, 0.0), (1.06, y, 0.3)])
