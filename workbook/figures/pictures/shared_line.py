"""Pictures of three rams on one line: who moves first, how hard, what the clamps feel.

From above the car's nose is to the right. The pumps stand in the order of their rams.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

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
from workbook.figures.drawing.scales import (
    ROW,
    bars_over,
    force_bars,
    round_up,
    with_limit,
)
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.shared_line_parts import (
    PUMPS,
    SUPPLY_AT,
    WORDS,
    ghost_label,
    letter_of,
    lever,
    name_at,
    places_of,
    ram_words,
    supply_label,
)
from workbook.figures.pictures.shared_line_space import rams_grips, space_view
from workbook.figures.subject import Subject
from workbook.language import say
from workbook.scenes.shared_line import (
    BODY_CLAMPS,
    FIELDS,
    HOOKS,
    MIDDLE,
    RAMS,
    WORD,
    RamsGiven,
    SharedLine,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, SharedLine]

WINDOW = (-1.8, 3.15, -1.55, 1.55)  # m: from behind the body to the air line
LONG = 1.2  # m, of the next round force over the sum, as it and the clamps are drawn
PUMP = 0.09  # m, half of a drawn pump
# The body from above: half of its outline, from its tail to its nose. [m]
_HALF = [(-1.7, 0.8), (0.45, 0.8), (0.7, 0.6)]
FIRST_FORCE = "force of ram 1"


def line_sheet(
    solved: SharedLine,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return rams, body and pumps from above."""
    drawing = plan_view(solved, system, ghosts, brief=room.brief)
    return _picture(drawing, solved, system, room)


def space_sheet(
    solved: SharedLine,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: SharedLine | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the same in space, as it is seen from a view; its scale is always one."""
    drawing = space_view(solved, system, ghosts, view=view, brief=room.brief)
    return _picture(drawing, solved, system, room)


def _picture(
    drawing: Drawing, solved: SharedLine, system: UnitSystem, room: Room
) -> Sheet:
    text = where(solved.stands, described(solved, system), show=system.show)
    panels = stacked([(drawing, 1.0)], room.picture, over=room.caption)
    return room.picture_of(panels, text)


def beside_sheet(
    solved: SharedLine,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: forces, and the pressures that move the rams."""
    forces = force_rows(solved, system, room, expected)
    pressures = pressure_rows(solved, system, room)
    text = where(solved.stands, forces.caption, show=system.show)
    first, *more = bars_over(forces, pressures, room)
    rows = ROW * room.letters * float(pressures.window[3] - pressures.window[2])
    low = [replace(panel, height=min(panel.height, rows)) for panel in more]
    return room.beside_of([first, *low], text)


def force_rows(
    solved: SharedLine,
    system: UnitSystem,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the force of each ram, what they make together, and the worst clamp."""
    rows: list[tuple[str, str, Array, str]] = [
        (f"ram {k + 1}", _words("bars", name), solved.forces[..., k], "bar ram")
        for k, name in enumerate(RAMS)
    ]
    rows += [
        ("together", _words("bars", "together"), solved.together, "bar together"),
        ("clamp", _words("bars", "clamp"), solved.most_held, "bar support"),
    ]
    return force_bars(
        rows,
        caption=_words("bars", "caption"),
        system=system,
        room=room,
        gaps={3},
        expected=expected,
        rows_of={FIRST_FORCE: "ram 1"},
    )


def pressure_rows(solved: SharedLine, system: UnitSystem, room: Room = PAGE) -> Drawing:
    """Draw the pressure at which each ram moves, against that of the supply."""
    needed, supply = np.broadcast_arrays(solved.needed, solved.supply[..., None])
    rows = [
        (f"needs {k + 1}", _words("bars", name), needed[..., k], "bar part")
        for k, name in enumerate(RAMS)
    ]
    rows.append(("supply", _words("pressures", "supply"), supply[..., 0], "bar frame"))
    caption = _words("pressures", "brief" if room.brief else "caption")
    bars = force_bars(
        rows,
        caption=caption,
        system=system,
        room=room,
        kind="pressure",
        note=_in_order(solved, system, "in_short"),
    )
    full = round_up(np.maximum(needed.max(axis=-1), supply[..., 0]))
    return with_limit(bars, supply[..., 0] / full, "supply")


def describe(solved: SharedLine, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SharedLine, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    opened = int(solved.given.valves_open.sum())
    some = np.where(solved.together > 0, "some", "none")
    return _say(
        system,
        *("describe", "whole"),
        supply=solved.supply,
        open=_say(system, "open", str(opened)),
        order=_in_order(solved, system, "in_full"),
        together=_say(
            system,
            *("together", some),
            force=solved.together,
            way=_way(solved, system),
            most=solved.most_held,
        ),
    )


def _in_order(solved: SharedLine, system: UnitSystem, way: str) -> Text:
    """Say in which order the rams move, ``in_full`` or ``in_short``."""
    count = solved.moves.sum(axis=-1)
    order = np.argsort(np.where(solved.moves, solved.needed, np.inf), axis=-1)
    order = np.where(count[..., None] > 0, order, 0)
    place = np.take_along_axis(np.nan_to_num(solved.place), order, axis=-1)
    # Rams that need the same begin together.
    joined = np.where(place[..., 1:] > place[..., :-1], "then", "with")
    named = {
        name: _say(system, way, "named", (order[..., k] + 1).astype(str))
        for k, name in enumerate(RAMS)
    }
    joins = {
        f"join_{k}": _say(system, way, "join", joined[..., k])
        for k in range(len(RAMS) - 1)
    }
    return _say(
        system,
        *(way, "order", count.astype(str)),
        **named,
        **joins,
        time=solved.time,
    )


def _way(solved: SharedLine, system: UnitSystem) -> Text:
    """Say which way the sum pulls."""
    turn = np.nan_to_num(solved.bearing)
    side = np.where(turn > 0, "left", "right")
    side = np.where(np.abs(turn) < np.radians(0.05), "straight", side)
    return _say(system, "way", side, angle=np.abs(turn))


def _say(system: UnitSystem, *keys: object, **values: object) -> Text:
    return said(*WORDS, *keys, show=system.show, **values)


def _words(*keys: str) -> str:
    return say(*WORDS, *keys)


# ------------------------------------------------------------------------ marks


def plan_view(
    solved: SharedLine,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw rams, body and pumps from above, the car's nose to the right."""
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other, system)
    for k in range(len(RAMS)):
        moving += [*_hose(solved, k), *_rig(solved, k)]
    return Drawing(
        caption="" if brief else _words("caption"),
        window=WINDOW,
        still=_still(),
        moving=[
            *moving,
            *_clamps(solved),
            *_sum(solved, system, brief=brief),
            *_labels(solved, system, brief=brief),
        ],
    )


def _still() -> list[Mark]:
    """Draw the body, the air line and the pumps."""
    both = [*_HALF, *((x, -y) for x, y in _HALF[::-1])]
    line = [SUPPLY_AT, np.array((SUPPLY_AT[0], PUMPS[0, 1]))]
    beam = HOOKS[:, :2] - (0.08, 0.0)
    marks: list[Mark] = [
        Polygon(np.array(both), "body", "body"),
        *(
            Line([(_HALF[-1][0], y), (HOOKS[0, 0], y)], "sill", f"{name} rail")
            for name, y in (("left", HOOKS[0, 1]), ("right", HOOKS[-1, 1]))
        ),
        Line(beam, "sill", "crossmember"),
        Line([beam[1], HOOKS[1, :2]], "sill", "bracket of the crossmember"),
        Line(np.stack(line), "air line", "air line"),
    ]
    for name, (x, y) in zip(RAMS, PUMPS.tolist(), strict=True):
        box = [
            (x - PUMP, y - PUMP), (x + PUMP, y - PUMP), (x + PUMP, y + PUMP),
            (x - PUMP, y + PUMP),
        ]  # fmt: skip
        branch = [(x + PUMP, y), (float(SUPPLY_AT[0]), y)]
        marks += [
            Line(branch, "air line", f"branch to {name} pump"),
            Polygon(box, "inside", f"{name} pump"),
        ]
    return marks


def _hose(solved: SharedLine, k: int) -> list[Mark]:
    """Draw the hose from one pump to its ram, and the lever of its valve."""
    name, opened = RAMS[k], solved.given.valves_open[k]
    base = places_of(solved)["base"][..., k, :2]
    hose = np.stack(np.broadcast_arrays(PUMPS[k] - (PUMP, 0.0), base), axis=-2)
    return [
        Line(hose, "hose", f"hose to {name} ram", shown=opened),
        Line(hose, "refused", f"closed hose to {name} ram", shown=~opened),
        Line(lever(k, opened), "lever", f"{name} lever"),
    ]


def _rig(solved: SharedLine, k: int) -> list[Mark]:
    """Draw one ram with its two legs."""
    at = {name: each[..., k, :2] for name, each in places_of(solved).items()}
    name = RAMS[k]
    legs = (
        ("anchor leg", "head", "anchor"),
        ("ram", "base", "head"),
        ("pull leg", "hook", "head"),
    )
    lines = [
        Line(np.stack([at[start], at[end]], axis=-2), role, f"{name} {role}")
        for role, start, end in legs
    ]
    ends = (
        ("base", "disc", "base"), ("clamp", "square", "hook"),
        ("head", "disc", "head"), ("anchor", "diamond", "anchor"),
    )  # fmt: skip
    return [
        *lines,
        *(Marker(at[end], shape, role, f"{name} {role}") for role, shape, end in ends),
    ]


def _clamps(solved: SharedLine) -> list[Mark]:
    """Draw the four clamps of the body, and what each holds it with."""
    marks: list[Mark] = []
    metres = _metres_per_newton(solved)
    for k, place in enumerate(BODY_CLAMPS.positions[:, :2]):
        force = solved.on_body[..., k, :2]
        loaded = np.hypot(force[..., 0], force[..., 1]) * metres > 0.02
        marks += [
            Arrow(
                np.broadcast_to(place, force.shape),
                place + metres[..., None] * force,
                "force support",
                f"body clamp {k + 1} holds",
                shown=loaded,
            ),
            Marker(place, "square", "support", f"body clamp {k + 1}"),
        ]
    return marks


def _metres_per_newton(solved: SharedLine) -> Array:
    """Return the scale of the arrows, which changes in steps."""
    return np.asarray(LONG / round_up(np.maximum(solved.together, 1e3)))


def _sum(solved: SharedLine, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Draw what the rams make together, on its own line."""
    force, moment = solved.wrench[..., :2], solved.wrench[..., 5]
    size = solved.together
    across = np.stack([force[..., 1], -force[..., 0]], axis=-1)
    arm = np.divide(moment, size**2, out=np.zeros_like(size), where=size > 0)
    foot = MIDDLE[:2] + arm[..., None] * across
    tip = foot + _metres_per_newton(solved)[..., None] * force
    shown = size > 0
    amount = Amount(size, "force", system.show)
    words = amount if brief else _say(system, "sum", force=size)
    return [
        Arrow(foot, tip, "force resultant", "together", shown=shown),
        FreeLabel(
            tip,
            words,
            "strong text",
            name="label together",
            rank="force",
            along=np.stack([foot, tip], axis=-2),
            short=amount,
            shown=shown,
        ),
    ]


def _labels(solved: SharedLine, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Name each ram and each pump, and what the pumps stall at."""
    at = places_of(solved)
    marks: list[Mark] = []
    for k, name in enumerate(RAMS):
        ends = [at["hook"][..., k, :2], at["head"][..., k, :2]]
        along = np.stack(ends, axis=-2)
        marks += [
            FreeLabel(
                along.mean(axis=-2),
                ram_words(solved, k, system, brief=brief),
                "pull text",
                name=f"label {name} ram",
                rank="force",
                along=along,
                short=letter_of(k),
            ),
            FreeLabel(
                name_at(k),
                letter_of(k),
                "strong text",
                name=f"label {name} pump",
                rank="point",
            ),
        ]
    return [
        *marks,
        supply_label(solved, SUPPLY_AT, system, brief=brief),
    ]


def _ghost(letter: str, other: SharedLine, system: UnitSystem) -> list[Mark]:
    """Draw the chains of a frozen set-up."""
    at = places_of(other)
    lines = [
        Line(
            np.stack([at["hook"][..., k, :2], at["head"][..., k, :2]], axis=-2),
            "ghost",
            f"ghost {letter} {name}",
        )
        for k, name in enumerate(RAMS)
    ]
    return [*lines, ghost_label(letter, lines[0].points[..., 1, :], system)]


def amounts(solved: SharedLine) -> Amounts:
    """Return the numbers of three rams on one line, most telling first."""
    here = 0.0 * solved.time
    forces, needed = solved.forces + here[..., None], solved.needed + here[..., None]
    each = range(len(RAMS))
    return {
        FIRST_FORCE: (forces[..., 0], "force"),
        "pulls together": (solved.together + here, "force"),
        "time until the stall": (solved.time, "time"),
        "first to move": (solved.first, "count"),
        "clamp that carries most": (solved.most_held + here, "force"),
        "direction together": (solved.bearing + here, "angle"),
        **{f"force of ram {k + 1}": (forces[..., k], "force") for k in each},
        **{f"ram {k + 1} moves at": (needed[..., k], "pressure") for k in each},
        **{f"ram {k + 1} comes out": (solved.strokes[..., k], "small length")
           for k in each},
        **{f"ram {k + 1} begins after": (solved.begins[..., k], "time") for k in each},
    }  # fmt: skip


SHARED_LINE = Subject(
    name="rams",
    word=WORD,
    fields=FIELDS,
    front=("supply_bar", "second_valve", "third_valve"),
    held="supply pressure",
    leaves_out=("hose_loss", "oil_gives", "seal_friction", "falls_back", "sudden"),
    solve=lambda values: RamsGiven(values=values).solved(),
    amounts=amounts,
    picture=line_sheet,
    beside=beside_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: rams_grips(solved, view, sheet.panels[0]),
    expects={FIRST_FORCE: "beside"},
)
