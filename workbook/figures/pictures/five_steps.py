"""Picture of five steps: two points about their places, step by step, and what is left.

Every point is drawn from its own place, which is the ring in the middle of each view;
so the specified box stands still, and what moves is the metal.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    path,
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.texts import Amount, Signed, Text, said, where
from workbook.figures.subject import Subject
from workbook.scenes.five_steps import (
    FIELDS,
    POINTS,
    STEPS,
    WORD,
    FiveSteps,
    StepsGiven,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, FiveSteps]

REACHES = np.array([0.03, 0.06, 0.12])  # what a view shows either way of a place [m]
SQUARES = 3  # of the grid, either way
VIEWS = {"above": (-1.18, (0, 1)), "side": (1.18, (0, 2))}  # middle, and its two axes
WINDOW = (-2.3, 2.3, -1.12, 1.3)
ARROW = 0.75  # how long a pull is drawn in space, in halves of a view
WORSE = 5e-4  # more than this is told as worse [m]
AXES = ("forward", "leftward", "upward")


def five_steps_sheet(
    solved: FiveSteps,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return both views of the points about their places."""
    view = places_view(solved, system, ghosts, room=room)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(view, 1.0)], room.picture), text)


def readings_sheet(
    solved: FiveSteps,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: six readings, each before and now."""
    rows = readings_view(solved, system, room=room)
    text = where(solved.stands, rows.caption, show=system.show)
    return room.beside_of(stacked([(rows, 1.0)], room.beside), text)


def describe(solved: FiveSteps, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: FiveSteps, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    bearing, rise = solved.line
    force = solved.forces[..., solved.step - 1]
    pulled = _say(
        ("describe", np.where(force == 0, "stopped", solved.clamps[-1])),
        system,
        step=str(solved.step),
        force=force,
        bearing=bearing,
        rise=rise,
    )
    forward, leftward, up = _apart(solved.reading("hook"))
    told = _say(
        ("describe", "let_go" if solved.let_go else "under_load"),
        system,
        forward=Signed(-forward, "small length", system.show),
        leftward=Signed(-leftward, "small length", system.show),
        upward=Signed(-up, "small length", system.show),
        left=solved.left,
    )
    worse: str | Text = ""
    if solved.let_go:
        key = np.where(solved.worst > WORSE, "worse", "none_worse")
        worse = _say(("describe", key), system, worst=solved.worst)
    return _say(("describe", "all"), system, pulled=pulled, told=told, worse=worse)


def _apart(vectors: Array) -> tuple[Array, Array, Array]:
    return vectors[..., 0], vectors[..., 1], vectors[..., 2]


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "steps", *keys, show=system.show, **values)


# Two views of the points about their places --------------------------------------


def _reach(solved: FiveSteps, ghosts: Sequence[Ghost]) -> Array:
    """Return what the views show either way: the least that all readings go into."""
    most = np.zeros(solved.stands.shape)
    for one in (solved, *(other for _, other in ghosts)):
        seen = [one.reading(p) for p in POINTS] + [one.before(p) for p in POINTS]
        seen += [one.lacked(p)[..., k, :] for p in POINTS for k in range(STEPS + 1)]
        far = [np.nan_to_num(np.abs(place)).max(axis=-1) for place in seen]
        most = np.maximum(most, np.max(np.broadcast_arrays(*far), axis=0))
    return np.asarray(REACHES[(most[..., None] > REACHES[:-1]).sum(axis=-1)])


class _PlacesView:
    """One view: where a point that lacks so much stands in it."""

    def __init__(self, name: str, reach: Array) -> None:
        self.name = name
        self.middle, self.axes = VIEWS[name]
        self.reach = reach

    @property
    def _middle(self) -> Array:
        return np.array([self.middle, 0.0])

    def along(self, start: Array, way: Array) -> Array:
        """Return a place so far from another along a way in space."""
        return np.asarray(start + way[..., list(self.axes)])

    def point(self, lacks: Array) -> Array:
        """Return where one reading (..., 3) stands."""
        return self.along(self._middle, -lacks / self.reach[..., None])

    def line(self, lacks: Array) -> Array:
        """Return where readings (..., n, 3) stand."""
        return self.along(self._middle, -lacks / self.reach[..., None, None])


def places_view(
    solved: FiveSteps,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    room: Room = PAGE,
) -> Drawing:
    """Draw both points about their places, from above and from the right side."""
    reach = _reach(solved, ghosts)
    still: list[Mark] = []
    moving: list[Mark] = []
    for name in VIEWS:
        view = _PlacesView(name, reach)
        still += _grid(view, system, room=room)
        for letter, other in ghosts:
            way = view.line(other.lacked("hook"))
            moving += [
                Line(way, "ghost", f"ghost {letter} {name}"),
                FreeLabel(
                    view.point(other.reading("hook")),
                    _say("ghost", system, letter=letter),
                    "ghost text",
                    name=f"label ghost {letter} {name}",
                    short=letter,
                ),
                Marker(
                    view.point(other.reading("hook")),
                    "square",
                    "ghost",
                    f"ghost {letter} now {name}",
                ),
            ]
        for point in POINTS:
            moving += _steps_of(solved, view, point, system, room=room)
        moving += _pull(solved, view, system)
        moving += _refused(solved, view, system)
    square = _say(
        "square_brief" if room.brief else "square", system, square=reach / SQUARES
    )
    return Drawing(caption=square, window=WINDOW, still=still, moving=moving)


def _grid(view: _PlacesView, system: UnitSystem, *, room: Room) -> list[Mark]:
    """Draw the squares of a view, its place in the middle, and what it is called."""
    m = view.middle
    marks: list[Mark] = []
    for k in range(-SQUARES, SQUARES + 1):
        s = k / SQUARES
        marks += [
            Line([(m + s, -1.0), (m + s, 1.0)], "grid", f"{view.name} ahead {k}"),
            Line([(m - 1.0, s), (m + 1.0, s)], "grid", f"{view.name} across {k}"),
        ]
    return [
        *marks,
        Marker((m, 0.0), "ring", "specified", f"its place {view.name}"),
        Label(
            (m, 1.0),
            _say(("view_brief" if room.brief else "view", view.name), system),
            "small text",
            (0.0, -12.0 * room.letters),
            name=f"name {view.name}",
        ),
    ]


def _steps_of(
    solved: FiveSteps, view: _PlacesView, point: str, system: UnitSystem, *, room: Room
) -> list[Mark]:
    """Draw a point's readings step by step, and its way in the step of now."""
    lacked = solved.lacked(point)
    name = f"{point} {view.name}"
    now, before = view.point(solved.reading(point)), view.point(solved.before(point))
    hook = point == "hook"
    marks: list[Mark] = [Line(view.line(lacked), "reference", f"steps {name}")]
    if hook:
        for k in range(STEPS + 1):
            spot = view.point(lacked[..., k, :])
            latest = k == solved.step and solved.let_go
            if latest:
                continue
            marks.append(Marker(spot, "square", "inside", f"reading {k} {name}"))
            if k in (0, solved.step - 1):
                number = FreeLabel(
                    spot, str(k), "small text", name=f"label {k} {name}", rank="rest"
                )
                marks.append(number)
    if not solved.let_go:
        marks.append(
            Line(path([_pair(before), _pair(now)]), "loading", f"loading {name}")
        )
    shape, role = ("square", "measured") if solved.let_go else ("diamond", "hold")
    words: Text = _say(("point", point), system)
    if hook and not room.brief and view.name == "above":
        key = "now" if solved.let_go else "loaded"
        words = _say(("point", key), system, left=solved.left)
    return [
        *marks,
        Marker(now, shape if hook else "disc", role, f"now {name}"),
        FreeLabel(
            now,
            words,
            "strong text" if hook else "small text",
            name=f"label now {name}",
            rank="force" if hook else "point",
            short=_say(("point", point), system),
        ),
    ]


def _pair(place: Array) -> tuple[Array, Array]:
    return place[..., 0], place[..., 1]


def _pull(solved: FiveSteps, view: _PlacesView, system: UnitSystem) -> list[Mark]:
    """Draw the pull of now from the clamped point, or the line toward what is left."""
    clamp = solved.clamps[-1]
    now = view.point(solved.reading(clamp))
    if solved.let_go:
        hook = view.point(solved.reading("hook"))
        middle = np.broadcast_to(np.array([view.middle, 0.0]), hook.shape)
        far = np.hypot(*np.moveaxis(middle - hook, -1, 0)) > 0.12
        return [Arrow(hook, middle, "wanted", f"what is left {view.name}", shown=far)]
    line = solved.lines[..., solved.step - 1, :]
    head = view.along(now, ARROW * line)
    pulls = solved.gauge > 0
    return [
        Arrow(now, head, "force pull", f"pull {view.name}", shown=pulls),
        FreeLabel(
            head,
            Amount(solved.gauge, "force", system.show),
            "pull text",
            name=f"label pull {view.name}",
            rank="force",
            shown=pulls,
        ),
    ]


def _refused(solved: FiveSteps, view: _PlacesView, system: UnitSystem) -> list[Mark]:
    """Mark the hook point where a rail is followed no further, with the reason."""
    before, fallen = view.point(solved.before("hook")), ~solved.stands
    return [
        Marker(before, "cross", "fails", f"fails {view.name}", shown=fallen),
        FreeLabel(
            before,
            _say("refused", system),
            "strong text",
            name=f"label refused {view.name}",
            rank="warning",
            short=_say("refused_brief", system),
            shown=fallen,
        ),
    ]


# Six readings ----------------------------------------------------------------------


def readings_view(
    solved: FiveSteps, system: UnitSystem, *, room: Room = PAGE
) -> Drawing:
    """Draw what each reading is off its place, at the last reading and now."""
    reach = _reach(solved, ())
    still: list[Mark] = [Line([(0.0, -6.05), (0.0, -0.35)], "reference", "its place")]
    moving: list[Mark] = []
    for p, point in enumerate(POINTS):
        now, before = solved.reading(point), solved.before(point)
        grown = solved.grown(point)
        for k, axis in enumerate(AXES):
            y, name = -(3 * p + k) - 0.7, f"{point} {axis}"
            off = -now[..., k]
            at, was = off / reach, -before[..., k] / reach
            worse = grown[..., k] > WORSE
            still.append(
                Label(
                    (-1.0, y),
                    _say(("row_brief" if room.brief else "row", point, axis), system),
                    "small text",
                    (0.0, -17.0 * room.letters),
                    "start",
                    name=f"name {name}",
                )
            )
            role = "measured" if solved.let_go else "hold"
            shape = "square" if solved.let_go else "diamond"
            moving += [
                Line(path([(was, y), (at, y)]), "difference", f"way {name}"),
                Marker((was, y), "square", "inside", f"before {name}"),
                Marker((at, y), shape, role, f"now {name}"),
                Label(
                    (1.0, y),
                    Signed(off, "small length", system.show),
                    "text",
                    (0.0, -17.0 * room.letters),
                    "end",
                    name=f"value {name}",
                    shown=np.isfinite(off),
                ),
                Label(
                    (np.where(at > 0, -0.76, 0.76), y),
                    _say("worse", system),
                    "strong text",
                    name=f"worse {name}",
                    shown=worse,
                ),
            ]
    key = "caption_let_go" if solved.let_go else "caption_loaded"
    return Drawing(
        caption=_say(f"{key}_brief" if room.brief else key, system),
        window=(-1.06, 1.06, -6.1, 0.6),
        still=still,
        moving=moving,
        true_scale=False,
    )


def amounts(solved: FiveSteps) -> Amounts:
    """Return the numbers of a step, most telling first."""
    forward, leftward, up = _apart(-solved.reading("hook"))
    middle = -solved.reading("middle")
    bearing, rise = solved.line
    return {
        "left at the hook": (solved.left, "small length"),
        "share of the correction done": (solved.share, "share"),
        "worst growth of a reading": (solved.worst, "small length"),
        "hook forward of its place": (forward, "small length"),
        "hook to the left of its place": (leftward, "small length"),
        "hook above its place": (up, "small length"),
        "middle forward of its place": (middle[..., 0], "small length"),
        "middle to the left of its place": (middle[..., 1], "small length"),
        "middle above its place": (middle[..., 2], "small length"),
        "bearing of what is left": (solved.bearing, "angle"),
        "rise of what is left": (solved.rise, "angle"),
        "bearing of this pull": (bearing, "angle"),
        "rise of this pull": (rise, "angle"),
        "springback": (solved.springback, "small length"),
        "pull in the chain": (solved.gauge, "force"),
    }


FIVE_STEPS = Subject(
    name="steps",
    word=WORD,
    fields=FIELDS,
    front=("moment", *(name for name in FIELDS if name != "moment")),
    only_with={
        name: (
            "moment",
            tuple(f"{name.split('_')[1]} {s}" for s in ("under load", "let go")),
        )
        for name in FIELDS
        if name != "moment"
    },
    held="specified box",
    solve=lambda values: StepsGiven(values=values).solved(),
    amounts=amounts,
    picture=five_steps_sheet,
    beside=readings_sheet,
    leaves_out=("other_rail", "metal", "sudden", "real_car"),
)
