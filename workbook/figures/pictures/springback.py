"""Pictures of a rail that is pulled straight: load over movement, and how it lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.expected import expected_along
from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    path,
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.texts import Amount, Signed, Text, said, where
from workbook.figures.pictures.load_curve import LoadAxes
from workbook.figures.pictures.points import dumb_bell
from workbook.figures.subject import Subject
from workbook.scenes.straightening import (
    FIELDS,
    HOOK,
    LENGTH,
    LET_GO,
    LINKS,
    MOST_LOAD,
    WORD,
    SpringGiven,
    Straightened,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, Straightened]

NOTHING = 5e-5  # less than what is shown of a length [m]
APART = 5e-4  # the straight line is drawn where it is further off than this [m]
LONGEST = 0.2  # how long the arrow of the largest pull is drawn [m]
LEAST_ARROW = 0.03  # [m]
# Round the rail seen from above: to either side of it, behind and ahead. [m]
ASIDE, BEHIND, AHEAD = 0.25, 0.06, 0.1


def springback_sheet(
    solved: Straightened,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return the curve of load over movement, as far as the pull has come."""
    curve = curve_view(solved, system, ghosts, room=room, expected=expected)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(curve, 1.0)], room.picture), text)


def rail_sheet(
    solved: Straightened,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: the rail from above, in true scale."""
    rail = rail_view(solved, system, ghosts, room=room)
    text = where(solved.stands, rail.caption, show=system.show)
    return room.beside_of(stacked([(rail, 1.0)], room.beside), text)


def describe(solved: Straightened, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: Straightened, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    pulled = _say(
        ("describe", "pulled", _side(solved.overpull)),
        system,
        needed=solved.needed,
        load=solved.load,
        reading=solved.loaded_movement,
        off=np.abs(solved.overpull),
    )
    relief = solved.given.array("relief_percent")
    hammered = _say(
        ("describe", "hammered", np.where(relief > 0, "blows", "none")),
        system,
        relief=relief,
        load=solved.left_load,
    )
    let_go = _say(
        ("describe", "let_go", _side(solved.off)),
        system,
        springback=solved.springback,
        straight=solved.straight,
        reading=solved.stays,
        off=np.abs(solved.off),
    )
    return _say(
        ("describe", "stage", solved.stage),
        system,
        pulled=pulled,
        hammered=hammered,
        let_go=let_go,
    )


def _side(off: Array) -> Array:
    """Return whether a reading is short of its place, past it, or there (...)."""
    return np.where(off < -NOTHING, "short", np.where(off > NOTHING, "past", "there"))


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "springback", *keys, show=system.show, **values)


# The curve --------------------------------------------------------------------


def _phases(solved: Straightened) -> dict[str, Array]:
    """Return the phases of the curve as far as the pull has come (..., n, 2)."""
    rail, stage = solved.rail, solved.stage
    gone = np.nan
    return {
        "earlier": rail.earlier,
        "loading": rail.loading,
        "hammered": rail.hammered + (gone if stage == "under load" else 0.0),
        "release": rail.release + (0.0 if stage == LET_GO else gone),
    }


def curve_view(
    solved: Straightened,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw load over movement: loading, hammering, letting go, and what they leave."""
    phases = _phases(solved)
    others = [(letter, _phases(other)) for letter, other in ghosts]
    place = np.stack([solved.needed, np.zeros_like(solved.needed)], axis=-1)
    reach = [*phases.values(), place[..., None, :]]
    reach += [curve for _, other in others for curve in other.values()]
    if expected is not None:
        reach.append(np.array([[expected.band[1], 0.0]]))
    axes = LoadAxes.around(
        reach, system=system, size=room.picture, letters=room.letters, rows=2
    )
    moving: list[Mark] = []
    for letter, other in others:
        moving += _ghost(axes, letter, other, system)
    moving += [
        Line(
            path([axes.along(solved.needed, 0.0), axes.along(solved.needed, 1.0)]),
            "frame specified",
            "its place",
        ),
        Line(axes.at(phases["earlier"]), "loading", "earlier").standing(0, weight=0.4),
        *_straight_line(solved, axes, system),
        Line(axes.at(phases["loading"]), "loading", "loading"),
        Line(axes.at(phases["hammered"]), "hold", "hammered"),
        Line(axes.at(phases["release"]), "letting go", "letting go"),
        *_readings(solved, axes, system, brief=room.brief),
        *_lengths(solved, axes, system, brief=room.brief),
        *_refused(solved, axes, system),
    ]
    if expected is not None:
        start, way = axes.along(0.0, 1.0), axes.along(1.0, 0.0)
        half = 0.03 + 0.0 * axes.far
        moving += expected_along(start, way, expected, system, half=half)
    return Drawing(
        caption="",
        window=axes.window,
        still=axes.marks(system, brief=room.brief),
        moving=moving,
        true_scale=False,
    )


def _ghost(
    axes: LoadAxes, letter: str, phases: dict[str, Array], system: UnitSystem
) -> list[Mark]:
    """Draw a frozen curve behind, with its letter at the height of its load."""
    name = f"ghost {letter}"
    top = axes.at(phases["loading"])[..., -1, :]
    return [
        *(
            Line(axes.at(phases[phase]), "ghost", f"{name} {phase}")
            for phase in ("loading", "hammered", "release")
        ),
        FreeLabel(
            top,
            _say("ghost", system, letter=letter),
            "ghost text",
            name=f"label {name}",
            short=letter,
        ),
    ]


def _straight_line(
    solved: Straightened, axes: LoadAxes, system: UnitSystem
) -> list[Mark]:
    """Draw letting go by load over stiffness, where the rail does otherwise."""
    x, load = solved.loaded_movement, solved.left_load
    ends = [
        np.stack(np.broadcast_arrays(x, load), axis=-1),
        np.stack(np.broadcast_arrays(x - solved.straight, 0 * load), axis=-1),
    ]
    shown = np.abs(solved.springback - solved.straight) > APART
    line = axes.at(np.stack(ends, axis=-2))
    return [
        Line(line, "reference", "straight line", shown=shown),
        FreeLabel(
            line.mean(axis=-2),
            _say(("curve", "straight"), system),
            "small text",
            name="label straight line",
            along=line,
            shown=shown,
        ),
    ]


def _readings(
    solved: Straightened, axes: LoadAxes, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Mark the loaded reading, the released one, and the place it should have."""
    x, show = solved.loaded_movement, system.show
    top = axes.point(x, solved.load)
    stays = axes.along(solved.stays, 0.0 * solved.stays)
    place = axes.along(solved.needed, 0.0 * solved.needed)
    [bar, square, ring] = dumb_bell(place, stays)
    loaded: Text = Amount(x, "small length", show)
    left: Text = Signed(solved.off, "small length", show)
    words = {"loaded": loaded, "released": left, "needed": Amount(
        solved.needed, "small length", show)}  # fmt: skip
    if not brief:
        words = {
            "loaded": _say(("curve", "loaded"), system, reading=x),
            "released": _say(
                ("curve", "released"), system, reading=solved.stays, off=left
            ),
            "needed": _say(("curve", "needed"), system, needed=solved.needed),
        }
    return [
        bar,
        ring,
        square,
        Marker(top, "diamond", "hold", "loaded reading"),
        FreeLabel(
            top,
            words["loaded"],
            "strong text",
            name="label loaded",
            rank="force",
            short=loaded,
        ),
        FreeLabel(
            np.stack(np.broadcast_arrays(*stays), axis=-1),
            words["released"],
            "strong text",
            name="label released",
            rank="force",
            short=left,
        ),
        FreeLabel(
            np.stack(np.broadcast_arrays(place[0], 0.93), axis=-1),
            words["needed"],
            "text",
            name="label needed",
            rank="rest",
            short=Amount(solved.needed, "small length", show),
        ),
    ]


def _lengths(
    solved: Straightened, axes: LoadAxes, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Draw springback and overpull as lengths below the axis."""
    x = solved.loaded_movement
    lengths = {"springback": solved.springback, "overpull": solved.overpull}
    words: dict[str, Text] = {
        name: Amount(length, "small length", system.show)
        if brief
        else _say(("curve", name), system, length=length)
        for name, length in lengths.items()
    }
    return [
        *axes.length((solved.stays, x), words["springback"], row=1, name="springback"),
        *axes.length(
            (solved.needed, x),
            words["overpull"],
            row=0,
            name="overpull",
            shown=solved.overpull > NOTHING,
        ),
    ]


def _refused(solved: Straightened, axes: LoadAxes, system: UnitSystem) -> list[Mark]:
    """Mark where a rail is followed no further, with the reason."""
    loading = solved.rail.loading[..., -1, :]
    end = np.where(np.isfinite(loading), loading, 0.0)
    end = axes.point(end[..., 0], end[..., 1])
    fallen = ~solved.stands
    return [
        Marker(end, "cross", "fails", "fails", shown=fallen),
        FreeLabel(
            end,
            _say("refused", system),
            "strong text",
            name="label refused",
            rank="warning",
            shown=fallen,
        ),
    ]


# The rail from above ----------------------------------------------------------


def _plan(places: Array) -> Array:
    """Return places, forward and to the left, as they are drawn: forward is up."""
    return np.stack([-places[..., 1], places[..., 0]], axis=-1)


def rail_view(
    solved: Straightened,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    room: Room = PAGE,
) -> Drawing:
    """Draw the rail from above in true scale, forward up, with its hinges."""
    rail = solved.rail
    ahead = np.linspace(0.0, LENGTH, LINKS + 1)
    straight = np.stack([np.zeros_like(ahead), ahead], axis=-1)
    bent, now = _plan(rail.bent), _plan(solved.now)
    tip = now[..., HOOK, :]
    size = LEAST_ARROW + LONGEST * solved.gauge / MOST_LOAD
    head = tip - np.stack(np.broadcast_arrays(size, 0.0), axis=-1)
    pulls = solved.gauge > 0
    moving: list[Mark] = [
        Line(straight, "frame specified", "specified"),
        Line(bent, "before", "as hit"),
    ]
    for letter, other in ghosts:
        moving.append(Line(_plan(other.now), "ghost", f"ghost {letter}"))
    moving += [
        Line(now, "frame damaged", "rail"),
        *_hinges(solved, now),
        Arrow(tip, head, "force pull", "pull", shown=pulls),
        FreeLabel(
            head,
            Amount(solved.gauge, "force", system.show),
            "pull text",
            name="label pull",
            rank="force",
            shown=pulls,
        ),
        Marker(tip, "square", "measured", "clamp point"),
        Marker(straight[..., HOOK, :], "ring", "specified", "its place"),
    ]
    if not room.brief:
        moving += [
            FreeLabel(
                where_at,
                _say(("rail", key), system),
                "small text",
                name=f"label {key}",
                rank="rest",
            )
            for key, where_at in (
                ("specified", straight[..., HOOK - 2, :]),
                ("as_hit", bent[..., HOOK - 1, :]),
                ("root", straight[..., 0, :]),
            )
        ]
    return Drawing(
        caption=_say(("rail", "caption_brief" if room.brief else "caption"), system),
        window=(-ASIDE, ASIDE, -BEHIND, LENGTH + AHEAD),
        moving=moving,
    )


def _hinges(solved: Straightened, now: Array) -> list[Mark]:
    """Draw each hinge: filled where it has bent for good since the hit."""
    marks: list[Mark] = []
    for k in range(LINKS):
        for_good = solved.bent_for_good[..., k]
        marks += [
            Marker(now[..., k, :], "disc", "inside", f"hinge {k}", shown=~for_good),
            Marker(
                now[..., k, :], "disc", "outside", f"yielded hinge {k}", shown=for_good
            ),
        ]
    return marks


def amounts(solved: Straightened) -> Amounts:
    """Return the numbers of a rail that is pulled straight, most telling first."""
    here = 0 * solved.left_load
    return {
        "loaded reading": (solved.loaded_movement, "small length"),
        "released reading": (solved.stays, "small length"),
        "springback": (solved.springback, "small length"),
        "released minus needed": (solved.off, "small length"),
        "overpull": (solved.overpull, "small length"),
        "needed permanent change": (solved.needed + here, "small length"),
        "pull in the chain": (solved.gauge, "force"),
        "stiffness at the clamp point": (solved.stiffness + here, "stiffness"),
        "springback by the straight line": (
            solved.straight + 0 * solved.springback,
            "small length",
        ),
        "springback taken away": (solved.relieved, "share"),
    }


SPRINGBACK = Subject(
    name="springback",
    word=WORD,
    fields=FIELDS,
    front=("load_kn", "stage", "relief_percent"),
    held="needed permanent change",
    solve=lambda values: SpringGiven(values=values).solved(),
    amounts=amounts,
    picture=springback_sheet,
    beside=rail_sheet,
    played="load_kn",
    expects={"loaded reading": "picture"},
    leaves_out=("other_rail", "metal", "sudden", "real_car"),
)
