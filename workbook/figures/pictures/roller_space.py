"""A chain over a fixed roller in space, from a clamp on a car.

All of it lies level, at a height that the roller itself does not ask for.
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
)
from workbook.figures.drawing.texts import Amount, said
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grip_at
from workbook.figures.pictures.bench_space import (
    CAR,
    PLAN,
    UP,
    before_or_behind,
    bench_top,
    chain,
    shadow,
    window_round,
)
from workbook.figures.pictures.car_front import CarFront
from workbook.mechanics.vectors import direction
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Panel
    from workbook.figures.drawing.texts import Text
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.bridles import SolvedRoller

RADIUS, RUN, STRAP = 0.14, 1.1, 0.6  # m: the roller, each run, roller to anchor
LOAD = 0.35  # m, that a load of one chain tension is long
PLACE = np.array(
    (1.2, 0.4 - RADIUS, 0.45)
)  # of the roller; the clamp holds the left rail
LEFT = np.array((0.0, 1.0, 0.0))
CLAMP = PLACE + np.array((-RUN, RADIUS, 0.0))
SHOWN_CAR, OVER_CAR = 1.1, 0.72  # m, of the car that is in sight behind, and above
TURNS = np.linspace(0.0, 1.0, 25)
NOTHING = 1e-6  # of the chain tension; an anchor that carries less is left alone


def space_view(
    solved: SolvedRoller,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SolvedRoller]] = (),
    *,
    view: Viewpoint = VIEWS["home"],
    brief: bool = False,
) -> Drawing:
    """Draw roller, anchor and both runs in space, as they are seen from a view."""
    scene = _RollerScene(solved, view)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += scene.ghost(letter, other, system)
    return Drawing(
        caption="",
        window=scene.window,
        still=scene.still(),
        moving=[*moving, *scene.roller(), *scene.labels(system, brief=brief)],
    )


def roller_grips(
    solved: SolvedRoller, view: Viewpoint, panel: Panel
) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_view`, by name."""
    _, end = _second_run(solved)
    way = factor("deg") * np.cross(UP, end - PLACE)  # the end goes round the roller
    grip = grip_at(end, way, field="between_deg", view=view, panel=panel)
    return {"second run": grip}


def _turn(solved: SolvedRoller) -> Array:
    """Return the way of the second run in plan; the first goes back to the car."""
    return np.asarray(np.pi + solved.turned.between_runs)


def _second_run(solved: SolvedRoller) -> tuple[Array, Array]:
    """Return where the second run leaves the roller, and its end."""
    turn = _turn(solved)
    rim = PLACE + RADIUS * direction(side_angle=turn + np.pi / 2, rise=0.0)
    return rim, rim + RUN * direction(side_angle=turn, rise=0.0)


class _RollerScene:
    """The roller, the car and the bench, as they are seen from somewhere."""

    def __init__(self, solved: SolvedRoller, view: Viewpoint) -> None:
        self.solved, self.view = solved, view
        self.body, self.front = CarFront(CLAMP), before_or_behind(view)
        # Still for every angle: the second run may go anywhere round the roller.
        reach = (RUN + RADIUS) * PLAN
        corners = np.stack([CLAMP - (SHOWN_CAR, 0, 0), PLACE - reach, PLACE + reach])
        self.low = corners.min(axis=0) * PLAN
        self.high = np.maximum(corners.max(axis=0), CLAMP + OVER_CAR * UP)
        self.window = window_round(self.low, self.high, view, 0.0 * UP)

    def depth(self, point: Array) -> Coordinate:
        """Return the depth of a part round a point."""
        return self.front + np.tanh(self.view.near(point - PLACE))

    def still(self) -> list[Mark]:
        """Draw bench, car and clamp."""
        view, at = self.view, self.view.at(CLAMP)
        drop = Line(view.path(CLAMP, CLAMP * PLAN), "drop", "drop from clamp")
        clamp = Marker(at, "square", "clamp", "clamp")
        return [
            *bench_top(self.low, self.high, self.body, view, 0.0 * UP),
            *self.body.marks(view, CAR),
            drop.standing(self.front - 1.5),
            clamp.standing(self.depth(CLAMP) + 0.4),
            _letter("C", at),
        ]

    def ghost(self, letter: str, other: SolvedRoller, system: UnitSystem) -> list[Mark]:
        """Draw the second run of a frozen set-up."""
        points = self.view.path(*_second_run(other))
        name = f"ghost {letter}"
        words = _say(("ghost",), system, letter=letter)
        label = FreeLabel(
            points[..., 1, :], words, "ghost text", name=f"label {name}", short=letter
        )
        return [Line(points, "ghost", name).standing(self.front - 1.3), label]

    def roller(self) -> list[Mark]:
        """Draw the roller on its anchor and both runs, and their shadows."""
        view = self.view
        rim, end = _second_run(self.solved)
        near = PLACE + RADIUS * LEFT
        middle = (_turn(self.solved) + np.pi) / 2
        way = direction(side_angle=middle, rise=0.0)
        anchor = PLACE - STRAP * way
        bow = _round(np.full_like(middle, np.pi / 2), middle * 2 - 5 * np.pi / 2)
        circle = _round(np.array(0.0), np.array(2 * np.pi))
        at_roller = self.depth(PLACE)
        marks: list[Mark] = [
            shadow(CLAMP, near, "first run", view),
            shadow(rim, end, "second run", view),
            shadow(anchor, PLACE, "strap", view),
            Line(view.path(anchor * PLAN, anchor), "post", "post of anchor").standing(
                self.depth(anchor) - 0.3
            ),
            Line(view.path(anchor, PLACE), "sill", "strap").standing(at_roller - 0.05),
            Polygon(view.along(circle), "head", "roller").standing(at_roller),
            Line(view.along(bow), "pull core", "chain on the roller").standing(
                at_roller + 0.05
            ),
        ]
        for name, first, second in (
            ("first run", CLAMP, near),
            ("second run", rim, end),
        ):
            depth = self.depth((first + second) / 2)
            marks += chain(first, second, "pull", name, view=view, depth=depth)
        pin = Marker(view.at(PLACE), "disc", "head", "pin")
        diamond = Marker(view.at(anchor), "diamond", "anchor", "anchor")
        return [
            *marks,
            pin.standing(at_roller + 0.2),
            diamond.standing(self.depth(anchor) + 0.3),
            _letter("A", view.at(anchor)),
        ]

    def labels(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Show the load on the anchor and the angle, and name the tensions."""
        solved, view = self.solved, self.view
        between, loaded = solved.turned.between_runs, solved.anchor_per_chain >= NOTHING
        way = direction(side_angle=np.pi + between / 2, rise=0.0)
        tip = PLACE + LOAD * solved.anchor_per_chain[..., None] * way
        load = Arrow(
            view.at(PLACE), view.at(tip), "force resultant", "load", shown=loaded
        )
        bow = view.along(_round(np.full_like(between, np.pi), np.pi + between, 3.0))
        short = Amount(between, "angle", system.show)
        words = _say(("plan", "between"), system, angle=between)
        marks: list[Mark] = [
            load.standing(self.front + 1.5),
            Line(bow, "angle", "between").standing(self.front - 1.0),
            FreeLabel(
                bow[..., len(TURNS) // 2, :],
                short if brief else words,
                "angle text",
                name="label between",
                rank="angle",
                short=short,
            ),
        ]
        if brief:  # the bars beside it say the rest
            return marks
        tension = Amount(solved.tension, "force", system.show)
        amount = Amount(solved.anchor_load, "force", system.show)
        named = _say(("plan", "load"), system, force=solved.anchor_load)
        always = np.asarray(True)
        forces = {
            "load": (PLACE, tip, "strong text", loaded),
            "first run": (CLAMP, PLACE, "pull text", always),
            "second run": (*_second_run(solved), "pull text", always),
        }
        for name, (first, last, role, shown) in forces.items():
            along = view.path(first, last)
            marks.append(
                FreeLabel(
                    along.mean(axis=-2),
                    named if name == "load" else tension,
                    role,
                    name=f"label {name}",
                    rank="force",
                    along=along,
                    short=amount if name == "load" else "",
                    shown=shown,
                )
            )
        return marks


def _round(start: Array, end: Array, radii: float = 1.0) -> Array:
    """Return points of an arc round the roller, (..., 25, 3)."""
    turn = start[..., None] + (end - start)[..., None] * TURNS
    return np.asarray(PLACE + radii * RADIUS * direction(side_angle=turn, rise=0.0))


def _letter(letter: str, at: Array) -> Mark:
    return FreeLabel(at, letter, "strong text", name=f"label {letter}", rank="point")


def _say(key: tuple[object, ...], system: UnitSystem, **values: object) -> Text:
    return said("picture", "roller", *key, show=system.show, **values)
