"""A bridle in space: two clamps on a car's front, the ring and its pull over a bench.

Its legs lie level, at a height that the bridle itself does not ask for.
"""

from __future__ import annotations

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
    Strokes,
)
from workbook.figures.drawing.texts import Amount, said
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grips_along
from workbook.figures.pictures.bench_space import (
    AHEAD,
    CAR,
    PLAN,
    UP,
    before_or_behind,
    bench_top,
    chain,
    shadow,
    window_round,
)
from workbook.figures.pictures.bridle_parts import (
    HATCHES,
    hatching,
    letter_of,
    refusal_marks,
    refused_at,
)
from workbook.figures.pictures.car_front import LEAST_TRACK, CarFront
from workbook.mechanics.vectors import unit
from workbook.quantities.units import factor
from workbook.scenes.bridles import OUT, BridleGiven, SolvedBridle, ring_place

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Panel
    from workbook.figures.drawing.texts import Text
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

HEIGHT = 0.45  # m, of the clamps over the bench
LIFT = HEIGHT * UP
BEAM = np.array((-0.08, 0.0, 0.0))  # from a clamp to the crossmember that it holds
SHOWN_CAR, OVER_CAR = 1.1, 0.72  # m, of the car that is in sight behind, and above
PULL = 0.55  # clamp spacings, that the drawn pull is long
TURNS = np.linspace(0.0, 1.0, 13)
STEP = 1e-6  # of a field's own unit, for how fast the ring moves


def space_view(
    solved: SolvedBridle,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SolvedBridle]] = (),
    *,
    view: Viewpoint = VIEWS["home"],
    brief: bool = False,
    rest: SolvedBridle | None = None,
) -> Drawing:
    """Draw the bridle in space, as it is seen from a view.

    Scale and still things are those of ``rest``, from which a hand started.
    """
    scene = _Scene(solved, view, solved if rest is None else rest)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += scene.ghost(letter, other, system)
    return Drawing(
        caption="",
        window=scene.window,
        still=scene.still(),
        moving=[
            *moving,
            *scene.zone(),
            *scene.bridle(),
            *scene.labels(system, brief=brief),
            *scene.refused(system),
        ],
    )


def bridle_grips(
    solved: SolvedBridle, view: Viewpoint, panel: Panel
) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_view`, by name."""
    given, (left, _) = solved.given, _clamps(solved)
    rates = {name: _rate_of_ring(given, name) for name in ("between_deg", "shift_mm")}
    aside = np.array((0.0, factor("mm") / 2, 0.0))
    ways = {
        "ring": ("between_deg", solved.ring + LIFT, rates["between_deg"]),
        "pull": ("shift_mm", _pull_end(solved), rates["shift_mm"]),
        "left clamp": ("spacing_mm", left, aside),
    }
    return grips_along(ways, view=view, panel=panel)


def _rate_of_ring(given: BridleGiven, field: str) -> Array:
    """Return how far the ring goes for one unit of a field, as it is typed."""
    values = {
        "between": given.array("between_deg"),
        "spacing": given.array("spacing_mm"),
        "shift": given.array("shift_mm"),
    }
    name, unit_name = field.rsplit("_", 1)
    there = {**values, name: values[name] - STEP * factor(unit_name)}
    return np.asarray((ring_place(**values) - ring_place(**there)) / STEP)


def _clamps(solved: SolvedBridle) -> tuple[Array, Array]:
    return solved.clamps[..., 0, :] + LIFT, solved.clamps[..., 1, :] + LIFT


def _pull_end(solved: SolvedBridle) -> Array:
    spacing = solved.given.array("spacing_mm")
    return np.asarray(solved.ring + LIFT + PULL * spacing[..., None] * OUT)


class _Scene:
    """The bridle, the car and the bench, as they are seen from somewhere."""

    def __init__(
        self, solved: SolvedBridle, view: Viewpoint, rest: SolvedBridle
    ) -> None:
        self.solved, self.view, self.rest = solved, view, rest
        self.left, self.right = _clamps(solved)
        self.ring, self.end = solved.ring + LIFT, _pull_end(solved)
        half = np.maximum(self.left[..., 1], LEAST_TRACK)
        tip = np.stack(np.broadcast_arrays(0.0, half, HEIGHT), axis=-1)
        self.body, self.front = CarFront(tip), before_or_behind(view)
        self.low, self.high = self._box()
        self.window = window_round(self.low, self.high, view, 0.0 * UP)

    def _box(self) -> tuple[Array, Array]:
        left, right = _clamps(self.rest)
        back = SHOWN_CAR * OUT
        points = [left - back, right - back, self.rest.ring + LIFT]
        points += [_pull_end(self.rest), left + OVER_CAR * UP]
        stacked = np.stack(np.broadcast_arrays(*points))
        return np.fmin.reduce(stacked) * PLAN, np.fmax.reduce(stacked)

    def depth(self, point: Array) -> Coordinate:
        """Return the depth of a part of the bridle round a point."""
        return self.front + np.tanh(self.view.near(point))

    def still(self) -> list[Mark]:
        """Draw bench, car and clamps."""
        view = self.view
        at = CAR + np.where(view.toward[..., 0] > 0, 1.0, -1.0)
        marks = [
            *bench_top(self.low, self.high, self.body, view, 0.0 * UP),
            *self.body.marks(view, CAR),
        ]
        for letter, side, clamp in (
            ("L", "left", self.left),
            ("R", "right", self.right),
        ):
            place = view.at(clamp)
            drop = Line(view.path(clamp, clamp * PLAN), "drop", f"drop from {side}")
            holder = Line(view.path(clamp + BEAM, clamp), "sill", f"{side} sill")
            square = Marker(place, "square", "clamp", f"{side} clamp")
            marks += [
                drop.standing(self.front - 1.5),
                holder.standing(at),
                square.standing(self.depth(clamp) + 0.4),
                letter_of(letter, place),
            ]
        return marks

    def ghost(self, letter: str, other: SolvedBridle, system: UnitSystem) -> list[Mark]:
        """Draw a frozen bridle behind the present one."""
        (left, right), ring = _clamps(other), other.ring + LIFT
        words = _say(("ghost",), system, letter=letter)
        line = Line(self.view.path(left, ring, right), "ghost", f"ghost {letter}")
        label = FreeLabel(
            self.view.at(ring),
            words,
            "ghost text",
            name=f"label ghost {letter}",
            short=letter,
        )
        return [line.standing(self.front - 1.3), label]

    def zone(self) -> list[Mark]:
        """Show where a ring would lie flatter than the school allows."""
        arc = self.solved.limit_arc()
        lines = hatching(arc, count=HATCHES)
        flat = lines.reshape(*lines.shape[:-3], -1, 2)
        height = np.full_like(flat[..., :1], HEIGHT)
        strokes = self.view.along(np.concatenate([flat, height], axis=-1))
        height = np.full_like(arc[..., :1], HEIGHT)
        outline = self.view.along(np.concatenate([arc, height], axis=-1))
        marks: list[Mark] = [
            Polygon(outline, "zone", "past the limit"),
            Strokes(strokes.reshape(lines.shape), "hatch", "hatches"),
        ]
        return [mark.standing(self.front - 1.45) for mark in marks]

    def bridle(self) -> list[Mark]:
        """Draw legs, ring and pull, and what lies under them on the bench."""
        view, ring, end = self.view, self.ring, self.end
        level = view.path(self.left, ring, self.right)
        drop = Line(view.path(ring, ring * PLAN), "drop", "drop from ring")
        marks: list[Mark] = [
            shadow(self.left, ring, "left leg", view),
            shadow(self.right, ring, "right leg", view),
            shadow(ring, end, "pull", view),
            Polygon(level, "door", "plane of the bridle").standing(self.front - 1.4),
            drop.standing(self.front - 1.2),
        ]
        for name, clamp, role in (
            ("left leg", self.left, "pull"),
            ("right leg", self.right, "second"),
        ):
            depth = self.depth((clamp + ring) / 2)
            marks += chain(clamp, ring, role, name, view=view, depth=depth)
        pull = Arrow(view.at(ring), view.at(end), "force resultant", "pull")
        marks.append(pull.standing(self.depth((ring + end) / 2)))
        at = view.at(ring)
        return [*marks, Marker(at, "disc", "head", "ring").standing(self.front + 1.3)]

    def labels(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Name the forces, and the angle between the legs."""
        solved, view, ring = self.solved, self.view, self.ring
        back = [unit(clamp - ring) for clamp in (self.left, self.right)]
        radius = 0.3 * solved.legs.min(axis=-1)
        way = unit(
            back[0][..., None, :] * (1 - TURNS[:, None])
            + back[1][..., None, :] * TURNS[:, None]
        )
        bow = view.along(ring[..., None, :] + radius[..., None, None] * way)
        past = np.where(solved.past_limit, "full_past", "full")
        few = np.where(solved.past_limit, "brief_past", "brief")
        short = _say(("plan", "between", few), system, angle=solved.between)
        words = _say(("plan", "between", past), system, angle=solved.between)
        marks: list[Mark] = [
            Line(bow, "angle", "between").standing(self.front - 1.0),
            FreeLabel(
                bow[..., len(TURNS) // 2, :],
                short if brief else words,
                "angle text",
                name="label between",
                rank="angle",
                short=short,
                shown=solved.stands,
            ),
        ]
        if brief:  # the bars beside it say the rest
            return marks
        forces = {
            "left leg": (self.left, ring, "left", solved.tensions.left, "pull text"),
            "right leg": (
                self.right,
                ring,
                "right",
                solved.tensions.right,
                "second text",
            ),
            "pull": (ring, self.end, "pull", solved.given.array("pull_kn"), "text"),
        }
        for name, (start, end, key, force, role) in forces.items():
            along = view.path(start, end)
            label = FreeLabel(
                along.mean(axis=-2),
                _say(("plan", key), system, force=force),
                role,
                name=f"label {name}",
                rank="force",
                along=along,
                short=Amount(force, "force", system.show),
            )
            marks.append(label)
        return marks

    def refused(self, system: UnitSystem) -> list[Mark]:
        """Mark the ring of a bridle that there is none of, with the reason."""
        view = self.view
        at = view.at(refused_at(self.solved) + LIFT)
        clamps = (view.at(self.left), view.at(self.right))
        marks = refusal_marks(self.solved, at, clamps, system)
        return [mark.standing(AHEAD + 3) for mark in marks]


def _say(key: tuple[object, ...], system: UnitSystem, **values: object) -> Text:
    return said("picture", "bridle", *key, show=system.show, **values)
