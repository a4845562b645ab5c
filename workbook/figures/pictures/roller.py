"""Pictures of a chain over a fixed roller, in plan."""

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
)
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel, force_bars
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.roller_space import roller_grips, space_view
from workbook.figures.subject import Subject
from workbook.scenes.bridles import (
    ROLLER_FIELDS,
    ROLLER_WORD,
    RollerGiven,
    SolvedRoller,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Point, Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, SolvedRoller]

ROLLER = 0.14  # radius of the drawn roller, in lengths of a drawn run
NOTHING = 1e-6  # of the chain tension; an anchor that carries less is left alone


def roller_sheet(
    solved: SolvedRoller,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the picture of a chain over a fixed roller, from above."""
    plan = roller_view(solved, system, ghosts, brief=room.brief)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(plan, 1.0)], room.picture), text)


def space_sheet(
    solved: SolvedRoller,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: SolvedRoller | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the same in space, as it is seen from a view; its scale is always one."""
    drawing = space_view(solved, system, ghosts, view=view, brief=room.brief)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(drawing, 1.0)], room.picture), text)


def forces_sheet(
    solved: SolvedRoller,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: bars of its forces."""
    bars = roller_bars(solved, system, room)
    text = where(solved.stands, bars.caption, show=system.show)
    return room.beside_of([bars_panel(bars, room)], text)


def describe(solved: SolvedRoller, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SolvedRoller, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    between = solved.turned.between_runs
    return _say(
        ("describe", np.where(_loaded(solved), "turned", "straight")),
        system,
        tension=solved.tension,
        between=between,
        half=between / 2,
        load=solved.anchor_load,
        times=solved.anchor_per_chain,
    )


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "roller", *keys, show=system.show, **values)


def _loaded(solved: SolvedRoller) -> Coordinate:
    return solved.anchor_per_chain >= NOTHING


def roller_view(
    solved: SolvedRoller,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the roller, its anchor and both runs, the first run to the right."""
    moving: list[Mark] = []
    for letter, other in ghosts:
        run, name = _second_run(other), f"ghost {letter}"
        words = _say("ghost", system, letter=letter)
        moving += [
            Line(run, "ghost", name),
            FreeLabel(run[1], words, "ghost text", name=f"label {name}", short=letter),
        ]
    first, second = [(0.0, -ROLLER), (1.0, -ROLLER)], _second_run(solved)
    between = solved.turned.between_runs
    angle: Text = Amount(between, "angle", system.show)
    if not brief:
        angle = _say(("plan", "between"), system, angle=between)
    on_roller = arc((0, 0), ROLLER, between + np.pi / 2, 3 * np.pi / 2)
    moving += [
        *_anchor(between),
        Line(on_roller, "pull leg", "chain on the roller"),
        Line(first, "pull leg", "first run"),
        Line(second, "pull leg", "second run"),
        Line(arc((0, 0), 0.42, 0.0, between), "angle", "between"),
        Marker((0, 0), "disc", "head", "pin"),
        *([] if brief else _run_labels(solved, second, system)),
        FreeLabel(
            0.42 * _way(between / 2),
            angle,
            "angle text",
            name="label between",
            rank="angle",
            short=Amount(between, "angle", system.show),
        ),
        *_load(solved, system, brief=brief),
    ]
    return Drawing(
        caption="" if brief else _say(("plan", "caption"), system),
        window=(-1.35, 1.45, -0.85, 1.3),
        moving=moving,
    )


def _way(turn: Coordinate) -> Array:
    """Return the direction in plan (..., 2) at an angle from the first run."""
    return np.stack([np.cos(turn), np.sin(turn)], axis=-1)


def _second_run(solved: SolvedRoller) -> list[Array]:
    """Return the second run, leaving the roller at its rim."""
    between = solved.turned.between_runs
    rim = ROLLER * _way(between + np.pi / 2)
    return [rim, rim + _way(between)]


def _run_labels(
    solved: SolvedRoller, second: list[Array], system: UnitSystem
) -> list[Mark]:
    """Name the tension beside each run."""
    text = Amount(solved.tension, "force", system.show)
    runs: dict[str, list[Point]] = {
        "first run": [(0.0, -ROLLER), (1.0, -ROLLER)],
        "second run": [*second],
    }
    return [
        FreeLabel(
            run[1], text, "pull text", name=f"label {name}", rank="force", along=run
        )
        for name, run in runs.items()
    ]


def _anchor(between: Coordinate) -> list[Mark]:
    """Draw the roller with its strap to an anchor, in line with the load."""
    way = _way(between / 2)
    anchor, rim = -0.6 * way, ROLLER * arc((0, 0), 1.0, 0.0, 2 * np.pi)
    return [
        Line([anchor, (0.0, 0.0)], "sill", "strap"),
        Marker(anchor, "diamond", "anchor", "anchor"),
        FreeLabel(anchor, "A", "strong text", name="label A", rank="point"),
        Polygon(rim, "head", "roller"),
    ]


def _load(solved: SolvedRoller, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Draw the load on the anchor, twice the chain tension being 0.7 of a run."""
    way = _way(solved.turned.between_runs / 2)
    tip = 0.35 * solved.anchor_per_chain[..., None] * way
    words: Text = Amount(solved.anchor_load, "force", system.show)
    if not brief:
        words = _say(("plan", "load"), system, force=solved.anchor_load)
    shown = _loaded(solved)
    return [
        Arrow((0, 0), tip, "force resultant", "load", shown=shown),
        FreeLabel(
            tip,
            words,
            "strong text",
            name="label load",
            rank="force",
            short=Amount(solved.anchor_load, "force", system.show),
            shown=shown,
        ),
    ]


def roller_bars(solved: SolvedRoller, system: UnitSystem, room: Room = PAGE) -> Drawing:
    """Draw chain tension and anchor load as bars."""
    chain, anchor = (_say(("bars", key), system) for key in ("chain", "anchor"))
    return force_bars(
        [
            ("chain", chain, solved.tension, "bar pull"),
            ("anchor", anchor, solved.anchor_load, "bar together"),
        ],
        caption=_say(("bars", "caption"), system),
        system=system,
        room=room,
    )


def roller_amounts(solved: SolvedRoller) -> Amounts:
    """Return the numbers of a redirect, most telling first."""
    return {
        "anchor load": (solved.anchor_load, "force"),
        "chain tension": (solved.tension, "force"),
        "anchor load per tension": (solved.anchor_per_chain, "ratio"),
        "angle between the runs": (solved.turned.between_runs, "angle"),
    }


REDIRECT = Subject(
    name="roller",
    word=ROLLER_WORD,
    fields=ROLLER_FIELDS,
    front=("between_deg", "tension_kn"),
    held="chain tension",
    leaves_out=("roller_friction", "chain_weight", "bench_give", "metal", "sudden"),
    solve=lambda values: RollerGiven(values=values).solved(),
    amounts=roller_amounts,
    picture=roller_sheet,
    beside=forces_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: roller_grips(solved, view, sheet.panels[0]),
)
