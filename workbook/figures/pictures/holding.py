"""Pictures of a beam-like body from the side: pulled down and held, or pushed up."""

from __future__ import annotations

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
    path,
)
from workbook.figures.drawing.named import angle_mark, arc
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel, force_bars
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import norm
from workbook.scenes.held_beam import (
    BODY,
    DOWN,
    FIELDS,
    UP,
    WORD,
    HeldBeam,
    HoldingGiven,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, HeldBeam]

DEEP = 0.16  # how deep the body is drawn [m]
PAST = 0.12  # how far it goes on past its last hook [m]
LONGEST = 0.75  # how long the arrow of the largest force is drawn [m]
PULLEY = 0.08  # radius of the drawn pulley [m]
# Round the set-up: beside its ends, above the body, below the floor. [m]
ASIDE, ABOVE, BELOW = 0.5, 1.15, 0.28
GRAIN = 0.5  # the window grows by so much [m]


def holding_sheet(
    solved: HeldBeam,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the picture of a held body, from the side."""
    view = holding_view(solved, system, ghosts, brief=room.brief)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(view, 1.0)], room.picture), text)


def forces_sheet(
    solved: HeldBeam,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: bars of its forces."""
    bars = holding_bars(solved, system, room, expected)
    text = where(solved.stands, bars.caption, show=system.show)
    return room.beside_of([bars_panel(bars, room)], text)


def describe(solved: HeldBeam, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: HeldBeam, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    return _say(
        ("describe", solved.way),
        system,
        main=solved.main,
        arm=solved.balance.arm,
        front=solved.front[..., 0],
        back=-solved.back[..., 0],
        hold=solved.hold,
        clamps=norm(solved.clamps),
        between=solved.between,
        load=solved.redirect_load,
        in_front=solved.front_down,
        behind=solved.rear_down,
    )


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "holding", *keys, show=system.show, **values)


def holding_view(
    solved: HeldBeam,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the body over the floor, its chains, and the forces, ahead to the right."""
    left, right = _ends([solved, *(other for _, other in ghosts)])
    floor = path([(left, 0.0), (right, 0.0)])
    moving: list[Mark] = [Line(floor, "floor", "floor")]
    for letter, other in ghosts:
        moving += _ghost(letter, other, system)
    moving += [
        Polygon(_body(solved), "body", "body"),
        *(_pulled_down if solved.way == DOWN else _pushed_up)(
            solved, system, brief=brief
        ),
    ]
    return Drawing(
        caption=_say(("view", "caption_brief" if brief else "caption"), system),
        window=(left, right, -BELOW, BODY + ABOVE),
        moving=moving,
    )


def _ends(some: Sequence[HeldBeam]) -> tuple[Coordinate, Coordinate]:
    """Return how far a window reaches that all of them are in."""
    left = np.minimum.reduce(np.broadcast_arrays(*(one.back[..., 0] for one in some)))
    right = np.maximum.reduce(
        np.broadcast_arrays(
            *(
                one.head[..., 0] if one.way == DOWN else one.front[..., 0]
                for one in some
            )
        )
    )
    return (
        GRAIN * np.floor((left - ASIDE) / GRAIN),
        GRAIN * np.ceil((right + ASIDE) / GRAIN),
    )


def _body(solved: HeldBeam) -> Array:
    back, front = solved.back[..., 0] - PAST, solved.front[..., 0] + PAST
    low, top = BODY, BODY + DEEP
    return path([(back, low), (front, low), (front, top), (back, top)])


def _ghost(letter: str, other: HeldBeam, system: UnitSystem) -> list[Mark]:
    """Draw the chains of a frozen set-up behind, with its letter at its hold."""
    name = f"ghost {letter}"
    down = path([other.back, _below(other.back)])
    chain = [other.front, other.pulley, other.head]
    if other.way == UP:
        chain = [other.front, _below(other.front)]
    return [
        Line(down, "ghost", f"{name} hold"),
        Line(path(chain), "ghost", f"{name} chain"),
        FreeLabel(
            other.back,
            _say("ghost", system, letter=letter),
            "ghost text",
            name=f"label {name}",
            along=down,
            short=letter,
        ),
    ]


def _below(point: Array) -> Array:
    """Return the place on the floor below a point."""
    return np.stack([point[..., 0], 0 * point[..., 0]], axis=-1)


def _force(
    name: str,
    at: Array,
    force: Array,
    role: str,
    largest: Array,
    system: UnitSystem,
    *,
    brief: bool,
    words: str = "strong text",
    into: bool = False,
) -> list[Mark]:
    """Draw a force from its point, or ``into`` it, the largest one at full length."""
    reach = LONGEST * force / largest[..., None]
    tail, head = (at - reach, at) if into else (at, at + reach)
    size = norm(force)
    short: Text = Amount(size, "force", system.show)
    text = short if brief else _say(("view", name), system, force=size)
    return [
        Arrow(tail, head, role, name),
        FreeLabel(
            tail if into else head,
            text,
            words,
            name=f"label {name}",
            rank="force",
            along=path([tail, head]),
            short=short,
        ),
    ]


def _anchors(*places: tuple[str, Array]) -> list[Mark]:
    return [Marker(at, "diamond", "anchor", f"{name} anchor") for name, at in places]


def _ram(name: str, top: Array) -> Line:
    return Line(path([_below(top), top]), "ram", name)


def _pulled_down(solved: HeldBeam, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Draw clamps, the chain over its redirect, the hold behind, and their forces."""
    pivot = np.array([0.0, BODY])
    clamps, force = solved.clamps, solved.redirect_force
    main = solved.main_force
    hold = np.stack([0 * solved.hold, -solved.hold], axis=-1)
    largest = np.maximum.reduce([norm(f) for f in (clamps, force, main, hold)])
    to_body, to_head = (
        np.arctan2(run[..., 1], run[..., 0]) for run in (solved.runs[0], solved.runs[1])
    )
    put: dict[str, Any] = {"system": system, "brief": brief}
    between: Text = Amount(solved.between, "angle", system.show)
    text = between if brief else _say(("view", "between"), system, angle=solved.between)
    marks: list[Mark] = [
        Polygon(
            path([(0.0, BODY), (0.16, 0.0), (-0.16, 0.0)]), "support", "clamp stand"
        ),
        _ram("ram", solved.head),
        Line(path([solved.front, solved.pulley]), "pull leg", "run to the body"),
        Line(path([solved.pulley, solved.head]), "pull leg", "run to the ram"),
        Polygon(
            solved.pulley[..., None, :] + arc((0, 0), PULLEY, 0.0, 2 * np.pi),
            "head",
            "pulley",
        ),
        Line(path([solved.back, _below(solved.back)]), "second leg", "hold chain"),
        *_anchors(("hold", _below(solved.back)), ("redirect", solved.pulley)),
        *angle_mark(
            solved.pulley,
            0.3,
            to_head,
            to_body,
            text,
            name="between",
            short=between,
        ),
        *_force("clamps", pivot, clamps, "force support", largest, **put),
        *_force("load", solved.pulley, force, "force resultant", largest, **put),
        *_force(
            "main", solved.front, main, "force pull", largest, words="pull text", **put
        ),
        *_force("hold", solved.back, hold, "force second", largest, **put),
        Marker(pivot, "disc", "clamp", "turning point"),
    ]
    if not brief:
        marks.append(
            FreeLabel(
                pivot,
                _say(("view", "turning"), system),
                "small text",
                name="label turning point",
                rank="rest",
            )
        )
    return marks


def _pushed_up(solved: HeldBeam, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Draw the jack, both hold-downs, and their forces on the body."""
    jack = np.array([0.0, BODY])
    push = solved.main_force
    front, rear = (
        np.stack([0 * size, -size], axis=-1)
        for size in (solved.front_down, solved.rear_down)
    )
    put: dict[str, Any] = {
        "largest": norm(push),
        "system": system,
        "brief": brief,
    }
    marks: list[Mark] = [_ram("jack", jack)]
    for name, hook in (("front", solved.front), ("rear", solved.back)):
        chain = path([hook, _below(hook)])
        marks.append(Line(chain, "second leg", f"{name} chain"))
    return [
        *marks,
        *_anchors(("front", _below(solved.front)), ("rear", _below(solved.back))),
        *_force("push", jack, push, "force ram", **put),
        *_force("front", solved.front, front, "force second", **put),
        *_force("rear", solved.back, rear, "force second", **put),
    ]


def holding_bars(
    solved: HeldBeam,
    system: UnitSystem,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw what each part carries as bars."""
    down = [
        ("main", solved.main, "bar pull"),
        ("hold", solved.hold, "bar second"),
        ("clamps", norm(solved.clamps), "bar support"),
        ("redirect", solved.redirect_load, "bar together"),
    ]
    up = [
        ("push", solved.main, "bar ram"),
        ("front", solved.front_down, "bar second"),
        ("rear", solved.rear_down, "bar second"),
    ]
    rows = down if solved.way == DOWN else up
    return force_bars(
        [
            (name, _say(("bars", name), system), value, role)
            for name, value, role in rows
        ],
        caption=_say(("bars", "caption"), system),
        system=system,
        room=room,
        expected=expected if solved.way == DOWN else None,
        rows_of={"redirect load": "redirect"},
    )


def amounts(solved: HeldBeam) -> Amounts:
    """Return the numbers of a held body, most telling first."""
    here = solved.clamps[..., 0]  # nan where the body does not turn about clamps
    return {
        "holding pull": (solved.hold, "force"),
        "redirect load": (solved.redirect_load + 0 * here, "force"),
        "clamps at the turning point": (norm(solved.clamps), "force"),
        "front hold-down": (solved.front_down, "force"),
        "rear hold-down": (solved.rear_down, "force"),
        "main pull": (solved.main, "force"),
        "angle between the runs": (solved.between + 0 * here, "angle"),
        "arm of the main pull": (solved.balance.arm + 0 * here, "length"),
        "moment about the turning point": (
            np.abs(solved.balance.moment) + 0 * here,
            "moment",
        ),
    }


HOLDING = Subject(
    name="holding",
    word=WORD,
    fields=FIELDS,
    front=("hold_mm", "up_mm", "way"),
    only_with={"up_mm": ("way", (DOWN,)), "pulley_mm": ("way", (DOWN,))},
    held="main pull",
    leaves_out=(
        *("roller_friction", "chain_weight", "body_weight", "body_give"),
        *("bench_give", "metal", "sudden"),
    ),
    solve=lambda values: HoldingGiven(values=values).solved(),
    amounts=amounts,
    picture=holding_sheet,
    beside=forces_sheet,
    expects={"redirect load": "beside"},
)
