"""The pull in space: the rig standing on the bench, seen from where the reader stands.

Shadows on the bench are the plan. Nearer things are drawn over those behind them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import pick, shop
from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
    Strokes,
    path,
)
from workbook.figures.drawing.texts import Amount, said
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.bench_space import (
    AHEAD,
    CAR,
    ON_BENCH,
    PLAN,
    UP,
    before_or_behind,
    bench_top,
    chain,
    shadow,
    window_round,
)
from workbook.figures.pictures.car_front import CarFront
from workbook.figures.pictures.pull_directions import rise_words, side_words
from workbook.figures.pictures.pull_parts import (
    places_of,
    rating_marks,
    refusal_marks,
    would_be_head,
)
from workbook.figures.pictures.pull_side import (
    expected_head,
    hanging,
    point_label,
    skeleton,
    way_of_clamp,
    way_of_head,
)
from workbook.mechanics.vectors import direction, unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

SHOWN_CAR = 1.3  # m, of the car behind the clamp that is always in sight
ARM = 0.45  # m, radius of the angles and length of the pull arrow
OVER_CAR = np.array((0.0, 0.0, 0.72))  # m, of it that is in sight over the clamp
TURNS = np.linspace(0.0, 1.0, 13)


def space_view(
    solved: SolvedPull,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SolvedPull]] = (),
    *,
    view: Viewpoint = VIEWS["home"],
    brief: bool = False,
    rest: SolvedPull | None = None,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the rig in space.

    Parameters
    ----------
    solved : SolvedPull
        The set-up, or many.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedPull)
        Frozen set-ups to show behind it, each with its letter.
    view : Viewpoint
        From where it is seen; its angles broadcast with the set-ups.
    brief : bool
        Whether to leave out what numbers beside it say, for large letters.
    rest : SolvedPull, optional
        The set-up that a hand started from: car, bench and scale are those of it.
    expected : Expected, optional
        How far a reader expects the head to the left.
    """
    scene = Scene(solved, view, solved if rest is None else rest)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += scene.ghost(letter, other, system)
    moving += [
        *scene.way(),
        *scene.rig(system, brief=brief),
        *scene.forces(system, brief=brief),
        *scene.angles(system, brief=brief),
        *scene.refused(system),
    ]
    if expected is not None:
        marks = expected_head(solved, expected, view.along, system)
        moving += [mark.standing(scene.front + 1.3) for mark in marks]
    return Drawing(
        caption="",
        window=scene.window,
        still=[
            *scene.bench(),
            *scene.car(),
            *([] if brief else [scene.caption(system)]),
        ],
        moving=moving,
    )


class Scene:
    """The rig, the car and the bench, as they are seen from somewhere."""

    def __init__(self, solved: SolvedPull, view: Viewpoint, rest: SolvedPull) -> None:
        rig = solved.rig
        self.solved, self.view, self.rest = solved, view, rest
        self.clamp, self.base, self.anchor = rig.clamp, rig.base, rig.anchor
        self.head = solved.pull.head
        # The rail and the bench stay where they are while the clamp is moved up, and
        # while it follows a stroke.
        self.hooked = solved.setup.clamp
        self.shift = (self.hooked - rest.setup.clamp) * PLAN
        self.tip = rest.setup.clamp + self.shift
        self.body = CarFront(self.tip)
        self.front = before_or_behind(view)
        self.window = window_round(*self._corners(), view, self.shift)

    def depth(self, point: Array) -> Coordinate:
        """Return the depth of a part of the rig round a point."""
        return self.front + np.tanh(self.view.near(point - self.base))

    def weight(self, point: Array) -> Coordinate:
        """Return how wide lines are at a point: wider the nearer."""
        return 1.0 + 0.2 * np.tanh(self.view.near(point - self.tip))

    def _corners(self) -> tuple[Array, Array]:
        """Return the box round the rig at rest, low and high corner (..., 3)."""
        rig, head = self.rest.rig, self.rest.pull.head
        clamp = self.rest.setup.clamp
        over = np.stack(np.broadcast_arrays(0.0, 0.0, rig.take_up_length), axis=-1)
        points = [
            clamp - (SHOWN_CAR, 0.0, 0.0),
            clamp + OVER_CAR,
            *(rig.base, rig.anchor, head),
            rig.base + over,
        ]
        stacked = np.stack(np.broadcast_arrays(*points))
        low, high = np.fmin.reduce(stacked), np.fmax.reduce(stacked)
        return low * PLAN, high

    def caption(self, system: UnitSystem) -> Mark:
        """Say what is seen along the upper edge, where the car leaves room."""
        left, right, low, top = self.window
        y = top - 0.03 * (top - low)
        words = said("picture", "pull", "space", "caption", show=system.show)
        edge = path([(left, y), (right, y)])
        return FreeLabel(
            (left, y), words, "small text", name="words", along=edge, within=True
        )

    def bench(self) -> list[Mark]:
        """Draw the bench's top with its sockets and the set-out line."""
        low, high = self._corners()
        out = unit((self.base - self.hooked) * PLAN)
        foot = self.hooked * PLAN
        end = self.base + 1.15 * (self.anchor - self.base)
        end = foot + ((end - foot) * out).sum(axis=-1)[..., None] * out
        set_out = Line(self.view.path(foot, end), "set-out", "set-out line")
        return [
            *bench_top(low, high, self.body, self.view, self.shift),
            set_out.standing(ON_BENCH),
        ]

    def car(self) -> list[Mark]:
        """Draw the car's front, its stands and the clamp on its rail."""
        beyond = np.abs((self.hooked - self.tip)[..., 2]) > 0.08
        holder = self.view.path(self.tip, self.hooked)
        drop = self.view.path(self.clamp, self.clamp * PLAN)
        clamp = self.view.at(self.clamp)
        at = CAR + np.where(self.view.toward[..., 0] > 0, 1.0, -1.0)
        return [
            *self.body.marks(self.view, CAR),
            Line(drop, "drop", "drop from clamp").standing(self.front - 1.5),
            Line(holder, "stand", "upright to clamp", shown=beyond).standing(at),
            Marker(clamp, "square", "clamp", "clamp").standing(self.front + 1.2),
            point_label("C", clamp),
        ]

    def ghost(self, letter: str, other: SolvedPull, system: UnitSystem) -> list[Mark]:
        """Draw a frozen rig behind all of the present one."""
        points = self.view.path(*skeleton(other))
        words = said("picture", "pull", "ghost", show=system.show, letter=letter)
        name = f"ghost {letter}"
        head = points[..., 1, :]
        line = Line(points, "ghost", name).standing(self.front - 1.3)
        label = FreeLabel(head, words, "ghost text", name=f"label {name}", short=letter)
        return [line, label]

    def rig(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw the plane, the chain, the ram on its base and the fork."""
        view, head, base, anchor = self.view, self.head, self.base, self.anchor
        door = view.path(base, anchor, head, self.clamp)
        marks: list[Mark] = [
            *self._shadows(),
            Polygon(door, "door", "plane of the rig").standing(self.front - 1.4),
            Line(view.path(head, head * PLAN), "drop", "drop from head").standing(
                self.front - 1.2
            ),
            *self._fork(),
            *self._chain(head, anchor, "anchor leg", "anchor"),
            *self._chain(self.clamp, head, "pull leg", "pull"),
            *self._hung(),
            *self._ram(),
        ]
        for letter, point, shape, role in (
            ("A", anchor, "diamond", "anchor"),
            ("H", head, "disc", "head"),
        ):
            at = view.at(point)
            marks += [
                Marker(at, shape, role, role).standing(self.depth(point) + 0.3),
                point_label(letter, at),
            ]
        places = {k: view.at(p) for k, p in places_of(self.solved, head).items()}
        rated = rating_marks(self.solved, places, system, brief=brief)
        return [*marks, *(mark.standing(AHEAD + 3) for mark in rated)]

    def way(self) -> list[Mark]:
        """Show the way of the head over the stroke, and the ram at its two ends.

        And the way that the clamp has gone with it, if it has.
        """
        if self.solved.roller:
            return []
        heads, shown = way_of_head(self.solved)
        depth = self.depth((self.base + self.head) / 2) - 0.02
        line = Line(self.view.along(heads), "reference", "way of the head", shown=shown)
        followed = self.view.along(way_of_clamp(self.solved))
        gone = Line(followed, "reference", "way of the clamp")
        marks: list[Mark] = [line.standing(depth), gone.standing(self.front + 1.0)]
        for name, k in (("take-up", 0), ("full stroke", -1)):
            ram = self.view.path(self.base, heads[..., k, :])
            ghost = Line(ram, "swing", f"ram at {name}", shown=shown)
            marks.append(ghost.standing(depth))
        return marks

    def _shadows(self) -> list[Mark]:
        clamp, base, head, anchor = self.clamp, self.base, self.head, self.anchor
        ways = {"pull leg": (clamp, head), "ram": (base, head)}
        ways["anchor leg"] = (head, anchor)
        return [shadow(*ends, name, self.view) for name, ends in ways.items()]

    def _fork(self) -> list[Mark]:
        """Draw the slotted bar on the bench."""
        setup = self.solved.setup
        fork = pick(shop().forks, setup.chosen("fork"))
        angle = setup.array("chain_angle_deg")
        out = direction(side_angle=angle, rise=0.0)
        left = direction(side_angle=angle + np.pi / 2, rise=0.0)
        centre = self.base + setup.array("fork_distance_mm")[..., None] * out
        last = fork.slot_offsets[-1] + 0.04
        slots = centre[..., None, :] + fork.slot_offsets[:, None] * left[..., None, :]
        notch = 0.045 * out[..., None, :]
        ends = np.stack([slots - notch, slots + notch], axis=-2)
        flat = self.view.along(ends.reshape(*ends.shape[:-3], -1, 3))
        bar = [
            centre + a * last * left + b * 0.045 * out
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        depth = self.depth(centre) - 0.6
        return [
            Polygon(self.view.path(*bar), "fork bar", "fork").standing(depth),
            Strokes(
                flat.reshape(*flat.shape[:-2], -1, 2, 2), "fork slot", "slots"
            ).standing(depth),
        ]

    def _chain(self, start: Array, end: Array, name: str, role: str) -> list[Mark]:
        middle = (start + end) / 2
        return chain(
            *(start, end, role, name),
            view=self.view,
            depth=self.depth(middle),
            weight=self.weight(middle),
        )

    def _hung(self) -> list[Mark]:
        """Draw the pull leg as it hangs at take-up."""
        share, drop = hanging(self.solved)
        start, end = self.clamp[..., None, :], self.head[..., None, :]
        points = start + share[..., None] * (end - start) + drop[..., None] * UP
        line = Line(self.view.along(points), "take-up", "chain at take-up")
        return [line.standing(self.depth((self.clamp + self.head) / 2) - 0.01)]

    def _ram(self) -> list[Mark]:
        """Draw the ram on its swivelling base, body and extension."""
        rig, base, head, view = self.solved.rig, self.base, self.head, self.view
        turn = 2 * np.pi * TURNS[:, None]
        ring = np.hstack([np.cos(turn), np.sin(turn), 0 * turn])
        feet = [
            Polygon(view.along(base[..., None, :] + r * ring), "base", name)
            for r, name in ((0.13, "foot"), (0.085, "swivel"))
        ]
        depth, weight = self.depth((base + head) / 2), self.weight(base)
        marks: list[Mark] = [foot.standing(self.depth(base) - 0.5) for foot in feet]
        if self.solved.roller:
            post = Line(view.path(base, head), "post", "post")
            marks.append(post.standing(depth, weight=weight))
        else:
            share = (rig.closed_length + rig.stroke) / rig.ram_length
            joint = base + np.asarray(share)[..., None] * (head - base)
            parts = [
                Line(view.path(base, joint), "ram edge", "edge of ram"),
                Line(view.path(base, joint), "ram", "ram"),
                Line(view.path(joint, head), "extension", "extension"),
            ]
            marks += [part.standing(depth, weight=weight) for part in parts]
        at = view.at(base)
        pin = Marker(at, "disc", "base", "base").standing(self.depth(base) + 0.1)
        return [*marks, pin, point_label("B", at)]

    def forces(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Name the force in each leg, and show which way the pull goes and should."""
        pull, view, clamp = self.solved.pull, self.view, self.clamp
        pulled = Arrow(
            view.at(clamp), view.at(clamp + ARM * pull.direction), "force pull", "pull"
        )
        wanted = view.path(clamp, clamp + 0.75 * self.solved.setup.wanted)
        tail, tip = np.moveaxis(wanted, -2, 0)
        above = self.front + 1.1
        marks: list[Mark] = [
            Arrow(tail, tip, "wanted", "wanted").standing(above - 0.05),
            pulled.standing(above),
        ]
        legs = {
            "ram": ("roller" if self.solved.roller else "ram", self.base, "ram_force"),
            "pull leg": ("pull", clamp, "pull_tension"),
            "anchor leg": ("anchor", self.anchor, "anchor_tension"),
        }
        for name, (key, foot, force) in legs.items():
            if brief:  # the bars beside it say as much
                continue
            along, amount = view.path(foot, self.head), getattr(pull, force)
            words = said(
                "picture", "pull", "triangle", key, show=system.show, force=amount
            )
            marks.append(
                FreeLabel(
                    along.mean(axis=-2),
                    words,
                    {"ram": "ram text", "pull leg": "pull text"}.get(
                        name, "anchor text"
                    ),
                    name=f"label {name}",
                    rank="force",
                    along=along,
                    short=Amount(amount, "force", system.show),
                )
            )
        if not brief:
            words = said("picture", "pull", "top", "wanted", show=system.show)
            marks.append(
                FreeLabel(tip, words, "small text", name="label wanted", along=wanted)
            )
        return marks

    def angles(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Show side angle and rise of the pull, each from its reference line."""
        pull, clamp, foot = self.solved.pull, self.clamp, self.clamp * PLAN
        level = direction(side_angle=pull.side_angle, rise=0.0)
        ahead, left = np.array((1.0, 0.0, 0.0)), np.array((0.0, 1.0, 0.0))
        arcs = [
            ("side angle", foot, ahead, left, pull.side_angle, side_words, ON_BENCH),
            ("rise", clamp, level, UP, pull.rise, rise_words, self.front + 0.9),
        ]
        marks: list[Mark] = []
        for name, centre, first, second, angle, words, depth in arcs:
            turn = (angle[..., None] * TURNS)[..., None]
            way = np.cos(turn) * first[..., None, :] + np.sin(turn) * second
            points = self.view.along(centre[..., None, :] + ARM * way)
            line = self.view.path(centre, centre + (ARM + 0.2) * first)
            short = Amount(np.abs(angle), "angle", system.show)
            marks += [
                Line(line, "reference", f"{name} from").standing(depth),
                Line(points, "angle", name).standing(depth),
                FreeLabel(
                    points[..., len(TURNS) // 2, :],
                    short if brief else words(angle, system.show),
                    "angle text",
                    name=f"label {name}",
                    rank="angle",
                    short=short,
                    shown=self.solved.stands,
                ),
            ]
        return marks

    def refused(self, system: UnitSystem) -> list[Mark]:
        """Draw a rig that does not stand as far as it goes, and what fails."""
        head = would_be_head(self.solved)
        solved, view = self.solved, self.view
        points = view.path(solved.rig.clamp, head, solved.rig.anchor, head, self.base)
        at = {k: view.at(p) for k, p in places_of(solved, head).items()}
        at["base"] = view.at(self.base)
        marks = refusal_marks(solved, at, system)
        line = Line(points, "refused", "as it would be").standing(self.front)
        return [line, *(mark.standing(AHEAD + 3) for mark in marks)]
