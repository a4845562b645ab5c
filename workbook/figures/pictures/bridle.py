"""Pictures of a bridle, in plan."""

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
    parts,
)
from workbook.figures.drawing.named import arc, named_arrow
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_over, force_bars, scale_bar
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.drawing.windows import window_for
from workbook.figures.pictures.bridle_parts import (
    HATCHES,
    hatching,
    letter_of,
    refusal_marks,
    refused_at,
)
from workbook.figures.pictures.bridle_space import bridle_grips, space_view
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import unit
from workbook.scenes.bridles import FIELDS, WORD, BridleGiven, SolvedBridle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, SolvedBridle]

# The bar of each number that has one.
ROWS = {"left leg": "left", "right leg": "right"}


def bridle_sheet(
    solved: SolvedBridle,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the picture of a bridle, from above.

    Parameters
    ----------
    solved : SolvedBridle
        The bridle, or many.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedBridle)
        Frozen bridles to show behind it, each with its letter.
    room : Room
        How much room there is.
    """
    plan = plan_view(solved, system, ghosts, brief=room.brief)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(plan, 1.0)], room.picture), text)


def space_sheet(
    solved: SolvedBridle,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: SolvedBridle | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the bridle in space, as it is seen from a view."""
    drawing = space_view(solved, system, ghosts, view=view, brief=room.brief, rest=rest)
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked([(drawing, 1.0)], room.picture), text)


def forces_sheet(
    solved: SolvedBridle,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: bars of the forces, and these end to end."""
    bars = leg_bars(solved, system, room, expected)
    triangle = force_triangle(solved, system)
    text = where(solved.stands, bars.caption, show=system.show)
    return room.beside_of(bars_over(bars, triangle, room), text)


def describe(solved: SolvedBridle, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SolvedBridle, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    left, right = solved.tensions.left, solved.tensions.right
    left_angle, right_angle = parts(solved.angles)
    left_long, right_long = parts(solved.legs)
    left_limit, right_limit = parts(solved.legs_at_limit)
    pull, limit = solved.given.array("pull_kn"), solved.limit
    judged = np.where(solved.past_limit, "past", "within")
    return _say(
        ("describe", np.where(np.isnan(limit), "none", judged)),
        system,
        held=_say("held", system, pull=pull),
        legs=_say(
            "legs",
            system,
            between=solved.between,
            left=left,
            left_angle=left_angle,
            left_long=left_long,
            right=right,
            right_angle=right_angle,
            right_long=right_long,
            share=np.maximum(left, right) / pull,
        ),
        limit=limit,
        left=left_limit,
        right=right_limit,
    )


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "bridle", *keys, show=system.show, **values)


def plan_view(
    solved: SolvedBridle,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the bridle from above, the pull to the right, its left side up."""
    left, right, ring = _skeleton(solved)
    spacing = solved.given.array("spacing_mm")
    pull_end = ring + _along(0.55 * spacing)
    zone = solved.limit_arc()
    edges = [np.fmin.reduce(zone, axis=-2), np.fmax.reduce(zone, axis=-2)]
    others = [point for _, other in ghosts for point in _skeleton(other)]
    box = window_for(
        [left, right, pull_end, *edges, *others], step=spacing / 2, margin=0.2 * spacing
    )
    deep = np.maximum(box[1] - box[0], box[3] - box[2])
    window = (-0.2 * deep, box[1], box[2] - 0.08 * deep, box[3])
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other, system)
    moving += [
        *_zone(zone),
        Line([left, ring], "pull leg", "left leg"),
        Line([right, ring], "second leg", "right leg"),
        *([] if brief else _leg_labels(solved, system)),
        Arrow(ring, pull_end, "force resultant", "pull"),
        *_ring(solved, ring),
        *_ring_labels(solved, ring, pull_end, system, brief=brief),
        Marker(left, "square", "clamp", "left clamp"),
        Marker(right, "square", "clamp", "right clamp"),
        letter_of("L", left),
        letter_of("R", right),
        *refusal_marks(solved, refused_at(solved)[..., :2], (left, right), system),
    ]
    view = "brief" if brief else "full"
    caption = np.where(np.isnan(solved.limit), view, f"{view}_limit")
    return Drawing(
        caption=_say(("plan", "caption", caption), system, limit=solved.limit),
        window=window,
        still=[*_body(window, left, right, system), *scale_bar(window, system)],
        moving=moving,
    )


def _skeleton(solved: SolvedBridle) -> tuple[Array, Array, Array]:
    """Return left clamp, right clamp and ring in plan, (..., 2) each."""
    clamps = solved.clamps[..., :2]
    return clamps[..., 0, :], clamps[..., 1, :], solved.ring[..., :2]


def _along(long: Array) -> Array:
    return np.stack([long, np.zeros_like(long)], axis=-1)


def _body(window: Window, left: Array, right: Array, system: UnitSystem) -> list[Mark]:
    """Draw the plain edge of a body that both clamps hold."""
    (_, top), (_, bottom) = parts(left), parts(right)
    edge, over = 0.35 * window[0], 0.15 * (top - bottom)
    low, high = bottom - over, top + over
    box = [(window[0], low), (edge, low), (edge, high), (window[0], high)]
    return [
        Polygon(box, "body", "vehicle"),
        Line([(edge, top), (0.0, top)], "sill", "left sill"),
        Line([(edge, bottom), (0.0, bottom)], "sill", "right sill"),
        FreeLabel(
            (edge, 0.0),
            _say(("plan", "vehicle"), system),
            "small text",
            name="label vehicle",
            along=[(window[0], 0.0), (edge, 0.0)],
            within=True,
        ),
    ]


def _zone(outline: Array) -> list[Mark]:
    """Hatch where a ring would lie flatter than the school allows."""
    strokes = np.moveaxis(hatching(outline, count=HATCHES), -3, 0)
    return [
        Polygon(outline, "zone", "past the limit"),
        *(Line(s, "hatch", f"hatch {k + 1}") for k, s in enumerate(strokes)),
    ]


def _leg_labels(solved: SolvedBridle, system: UnitSystem) -> list[Mark]:
    """Name each leg's tension beside it."""
    left, right, ring = _skeleton(solved)
    marks: list[Mark] = []
    for name, clamp, tension, role in (
        ("left", left, solved.tensions.left, "pull text"),
        ("right", right, solved.tensions.right, "second text"),
    ):
        label = FreeLabel(
            clamp,
            _say(("plan", name), system, force=tension),
            role,
            name=f"label {name} leg",
            rank="force",
            along=[clamp, ring],
            short=Amount(tension, "force", system.show),
        )
        marks.append(label)
    return marks


def _ring(solved: SolvedBridle, ring: Array) -> list[Mark]:
    """Draw the ring and the angle between the legs, seen back from it."""
    left, right = parts(solved.angles)
    radius = 0.3 * solved.legs.min(axis=-1)
    between = arc(ring, radius, np.pi - left, np.pi + right)
    return [
        Line(between, "angle", "between"),
        Marker(ring, "disc", "head", "ring"),
    ]


def _ring_labels(
    solved: SolvedBridle,
    ring: Array,
    pull_end: Array,
    system: UnitSystem,
    *,
    brief: bool,
) -> list[Mark]:
    """Name the angle at the ring, and the pull."""
    view = "brief" if brief else "full"
    key = np.where(solved.past_limit, f"{view}_past", view)
    short = np.where(solved.past_limit, "brief_past", "brief")
    named = FreeLabel(
        ring,
        _say(("plan", "between", key), system, angle=solved.between),
        "strong text",
        name="label between",
        rank="angle",
        short=_say(("plan", "between", short), system, angle=solved.between),
        shown=solved.stands,
    )
    if brief:
        return [named]
    force = solved.given.array("pull_kn")
    pull = FreeLabel(
        pull_end,
        _say(("plan", "pull"), system, force=force),
        name="label pull",
        rank="force",
        along=[ring, pull_end],
        short=Amount(force, "force", system.show),
    )
    return [named, pull]


def _ghost(letter: str, other: SolvedBridle, system: UnitSystem) -> list[Mark]:
    left, right, ring = _skeleton(other)
    words, name = _say("ghost", system, letter=letter), f"ghost {letter}"
    return [
        Line([left, ring, right], "ghost", name),
        FreeLabel(ring, words, "ghost text", name=f"label {name}", short=letter),
    ]


def force_triangle(solved: SolvedBridle, system: UnitSystem) -> Drawing:
    """Draw the three forces on the ring end to end: they close."""
    pull, tensions = solved.given.array("pull_kn"), solved.tensions
    left, right, ring = _skeleton(solved)
    start, tip = (0.0, 0.0), _along(pull)
    corner = tip + tensions.left[..., None] * unit(left - ring)
    end = corner + tensions.right[..., None] * unit(right - ring)
    size = np.maximum(np.maximum(pull, tensions.left), tensions.right)
    named = _say(("triangle", "pull"), system, force=pull)
    words = {key: _say(("triangle", key), system) for key in ("left", "right")}
    return Drawing(
        caption=_say(("triangle", "caption"), system),
        window=window_for([start, tip, corner], step=size / 2, margin=0.25 * size),
        moving=[
            *named_arrow(
                *(start, tip, "force resultant", named),
                name="pull",
                short=Amount(pull, "force", system.show),
            ),
            *named_arrow(
                *(tip, corner, "force pull", words["left"]),
                name="left leg",
                words="pull text",
            ),
            *named_arrow(
                *(corner, end, "force second", words["right"]),
                name="right leg",
                words="second text",
            ),
        ],
    )


def leg_bars(
    solved: SolvedBridle,
    system: UnitSystem,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the pull and what each leg carries as bars."""
    values: dict[str, tuple[Coordinate, str]] = {
        "pull": (solved.given.array("pull_kn"), "bar together"),
        "left": (solved.tensions.left, "bar pull"),
        "right": (solved.tensions.right, "bar second"),
    }
    return force_bars(
        [(key, _say(("bars", key), system), *row) for key, row in values.items()],
        caption=_say(("bars", "caption"), system),
        system=system,
        room=room,
        expected=expected,
        rows_of=ROWS,
    )


def bridle_amounts(solved: SolvedBridle) -> Amounts:
    """Return the numbers of a bridle, most telling first; nan is none."""
    left, right = solved.tensions.left, solved.tensions.right
    pull = solved.given.array("pull_kn")
    left_angle, right_angle = parts(solved.angles)
    left_long, right_long = parts(solved.legs)
    left_limit, right_limit = parts(solved.legs_at_limit)
    return {
        "left leg": (left, "force"),
        "right leg": (right, "force"),
        "pull needed": (pull, "force"),
        "left leg per pull": (left / pull, "ratio"),
        "right leg per pull": (right / pull, "ratio"),
        "left leg from the line of pull": (left_angle, "angle"),
        "right leg from the line of pull": (right_angle, "angle"),
        "left leg, length": (left_long, "length"),
        "right leg, length": (right_long, "length"),
        "left leg, length at the school's limit": (left_limit, "length"),
        "right leg, length at the school's limit": (right_limit, "length"),
    }


BRIDLE = Subject(
    name="bridle",
    word=WORD,
    fields=FIELDS,
    front=("between_deg", "shift_mm", "pull_kn"),
    held="pull needed",
    leaves_out=("ring_friction", "chain_weight", "chain_stretch", "metal", "sudden"),
    solve=lambda values: BridleGiven(values=values).solved(),
    amounts=bridle_amounts,
    picture=bridle_sheet,
    beside=forces_sheet,
    expects=dict.fromkeys(ROWS, "beside"),
    in_space=space_sheet,
    grips=lambda solved, view, sheet: bridle_grips(solved, view, sheet.panels[0]),
    school={"bridle_deg": "school_limit_deg"},
)
