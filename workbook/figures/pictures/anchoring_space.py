"""An anchored body in space: its floor on four clamps, the pull, a tie, the bench."""

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
from workbook.figures.drawing.texts import Amount
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grips_along
from workbook.figures.pictures.anchoring_words import (
    clamp_words,
    say_of,
    short_words,
    side_said,
)
from workbook.figures.pictures.bench_space import (
    PLAN,
    UP,
    bench_top,
    chain,
    shadow,
    window_round,
)
from workbook.mechanics.vectors import direction, norm
from workbook.quantities.units import factor
from workbook.scenes.anchored import CLAMPS, NOTHING, TIE_WAYS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Panel
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.anchored import SolvedAnchoring

HIGH = 0.4  # m, of the clamps above the bench
REAR, FRONT, DEEP = -2.4, 0.5, 0.1  # m, of the drawn floor, from the front clamps
LONG = 1.2  # m, how long the pull is drawn; all other forces to its scale
TIE_LONG = 0.5  # m, of a tie back; one down goes to the bench
LOW, TOP = np.array((-2.8, -0.9, 0.0)), np.array((2.1, 0.9, 1.3))  # the window's box
SOCKETS = (13, 7)
BOW = 0.5  # m, radius of the arc of the rise
BEAM = 0.65  # m, half of the shortest beam
BESIDE = 0.2  # m, ahead of the hook, where the way to the centre-line is drawn
LEAST = np.radians(1.0)  # a smaller angle has no arc
ABOVE = 8.0  # depth of forces, over body and clamps
TURNS = np.linspace(0.0, 1.0, 13)


def space_view(
    solved: SolvedAnchoring,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SolvedAnchoring]] = (),
    *,
    view: Viewpoint = VIEWS["home"],
    brief: bool = False,
) -> Drawing:
    """Draw the body, its clamps and the pull in space, as they are seen from a view."""
    scene = _Anchored(solved, view)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += scene.ghost(letter, other, system)
    return Drawing(
        caption="" if brief else str(say_of(("caption", "space"), system)),
        window=window_round(LOW, TOP, view, 0.0 * UP),
        still=scene.bench(),
        moving=[
            *moving,
            *scene.body(),
            *scene.clamps(system, brief=brief),
            *scene.tie(system),
            *scene.pull(system, brief=brief),
        ],
    )


def anchoring_grips(
    solved: SolvedAnchoring, view: Viewpoint, panel: Panel
) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_view`, by name."""
    across, mm = np.array((0.0, 1.0, 0.0)), factor("mm")
    rise = solved.given.array("rise_deg")
    hook, tip = _ends(solved)
    turn = LONG * np.stack([-np.sin(rise), np.zeros_like(rise), np.cos(rise)], axis=-1)
    ways = {
        "hook": ("side_mm", hook, mm * across),
        "pull": ("rise_deg", tip, factor("deg") * turn),
    }
    if solved.given.chosen("tie") in TIE_WAYS:
        place = solved.given.tie_place + HIGH * UP
        ways["tie"] = ("tie_side_mm", place, mm * across)
    return grips_along(ways, view=view, panel=panel)


def _ends(solved: SolvedAnchoring) -> tuple[Array, Array]:
    """Return the hook and the tip of the drawn pull."""
    hook = solved.hook + HIGH * UP
    way = direction(side_angle=0.0, rise=solved.given.array("rise_deg"))
    return hook, hook + LONG * way


class _Anchored:
    """The body on its clamps, as it is seen from somewhere."""

    def __init__(self, solved: SolvedAnchoring, view: Viewpoint) -> None:
        self.solved, self.view = solved, view
        self.half = solved.given.array("width_mm") / 2
        self.hook, self.tip = _ends(solved)
        self.half_width = np.asarray(0.85)  # of the widest body, for the bench
        self.middle = np.asarray(0.0)

    def shadow(self, view: Viewpoint) -> list[Mark]:
        """Return what lies under the body on the bench."""
        marks = [Polygon(self._floor(0.0), "shade", "shadow of vehicle")]
        return [*marks, shadow(self.hook, self.tip, "pull", view)]

    def bench(self) -> list[Mark]:
        """Draw the bench's top and the shadows on it."""
        return bench_top(LOW, TOP, self, self.view, 0.0 * UP, sockets=SOCKETS)

    def _floor(self, height: Coordinate) -> Array:
        corners = [(REAR, -1.0), (FRONT, -1.0), (FRONT, 1.0), (REAR, 1.0)]
        return self._face([(x, way, height) for x, way in corners])

    def _face(self, corners: list[tuple[Coordinate, Coordinate, Coordinate]]) -> Array:
        """Return corners as they are seen: x, side in half widths, height."""
        points = [
            np.stack(np.broadcast_arrays(x, way * self.half, z), axis=-1)
            for x, way, z in corners
        ]
        return self.view.path(*points)

    def body(self) -> list[Mark]:
        """Draw the floor, the rails ahead of it and the beam with the hook."""
        view, low = self.view, HIGH - DEEP
        toward = view.toward
        ends = {
            "left side": ((REAR, 1.0), (FRONT, 1.0), toward[..., 1] > 0),
            "right side": ((REAR, -1.0), (FRONT, -1.0), toward[..., 1] < 0),
            "front": ((FRONT, -1.0), (FRONT, 1.0), toward[..., 0] > 0),
        }
        marks: list[Mark] = [
            Polygon(
                self._face([(*a, low), (*b, low), (*b, HIGH), (*a, HIGH)]),
                "body front" if name == "front" else "body side",
                name,
                shown=seen,
            ).standing(0.2)
            for name, (a, b, seen) in ends.items()
        ]
        ahead, up = self.hook[..., 0], self.hook[..., 2]
        rails = [
            Line(
                self._face([(FRONT, way, HIGH), (ahead, way, up)]), "sill", name
            ).standing(0.5)
            for name, way in (("left rail", 0.6), ("right rail", -0.6))
        ]
        reach = np.maximum(0.9, BEAM / self.half)  # under every place of the hook
        ends_of_beam = [(ahead, -reach, up), (ahead, reach, up)]
        beam = Line(self._face(ends_of_beam), "sill", "beam")
        line = Line(
            view.path(np.array((REAR, 0.0, HIGH)), np.array((2.0, 0.0, HIGH))),
            "reference",
            "centre-line",
        )
        return [
            Polygon(self._floor(HIGH), "body top", "floor").standing(0.1),
            *marks,
            *rails,
            beam.standing(0.6),
            line.standing(0.3),
        ]

    def shown(self, force: Array) -> Array:
        """Return a force (..., 3) as long as it is drawn. [m]"""
        return LONG * force / self.solved.tension[..., None]

    def clamps(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw each clamp on its post, with its force on the body and its name."""
        solved, view = self.solved, self.view
        marks: list[Mark] = []
        for k, name in enumerate(CLAMPS):
            place = solved.places[..., k, :] + HIGH * UP
            near = np.sign(view.toward[..., 1]) * (1.0 if k % 2 == 0 else -1.0)
            seen = self.shown(solved.reactions[..., k, :])
            there = norm(seen) > 0.02
            at = view.at(place)
            warned = (solved.shares[..., k] > 1) | (solved.slip_shares[..., k] >= 1)
            marks += [
                Line(view.path(place * PLAN, place), "stand", f"post {name}").standing(
                    0.4 * near
                ),
                Marker(at, "square", "support", f"clamp {name}").standing(1.0),
                Arrow(
                    at,
                    view.at(place + seen),
                    "force support",
                    f"force {name}",
                    shown=there,
                ).standing(ABOVE),
                Marker(
                    at,
                    "triangle",
                    "past rating",
                    f"warning {name}",
                    shown=warned,
                ).standing(ABOVE + 1),
                FreeLabel(
                    at,
                    clamp_words(solved, k, system, brief=brief),
                    "support text",
                    name=f"label {name}",
                    rank="warning",
                    short=short_words(solved, k, system, brief=brief),
                ),
            ]
        return marks

    def tie(self, system: UnitSystem) -> list[Mark]:
        """Draw the tie, if there is one, and its force where it is tight."""
        solved, view = self.solved, self.view
        tie = solved.given.chosen("tie")
        if tie not in TIE_WAYS:
            return []
        place = solved.given.tie_place + HIGH * UP
        way = np.array(TIE_WAYS[tie])
        far = place + (TIE_LONG if tie == "back" else HIGH) * way
        tight = solved.tie > NOTHING * solved.tension
        words = say_of(
            ("tie", np.where(tight, "tight", "slack")), system, force=solved.tie
        )
        tip = place + self.shown(solved.tie[..., None] * way)
        marks: list[Mark] = [
            *chain(place, far, "second", "tie", view=view, depth=0.7),
            Marker(view.at(place), "diamond", "anchor", "tie hook").standing(1.2),
            Arrow(
                view.at(place), view.at(tip), "force second", "force tie", shown=tight
            ).standing(ABOVE),
            FreeLabel(
                view.at(far),
                words,
                "second text",
                name="label tie",
                rank="force",
                along=view.path(place, far),
            ),
        ]
        if tie == "back":
            post = Line(view.path(far * PLAN, far), "post", "post of tie")
            marks.insert(0, post.standing(0.65))
        return marks

    def pull(self, system: UnitSystem, *, brief: bool) -> list[Mark]:
        """Draw the pull, how far it is off the centre-line and how it rises."""
        solved, view = self.solved, self.view
        rise, off = solved.given.array("rise_deg"), solved.given.array("side_mm")
        hook, tip = view.at(self.hook), view.at(self.tip)
        there = self.hook + BESIDE * np.array((1.0, 0.0, 0.0))
        beside = view.path(there * (1.0, 0.0, 1.0), there)
        turn = rise[..., None] * TURNS
        bow = self.hook[..., None, :] + BOW * direction(side_angle=0.0, rise=turn)
        rises, aside = np.abs(rise) > LEAST, np.abs(off) > 0
        level = self.hook + BOW * 1.15 * np.array((1.0, 0.0, 0.0))
        length = Amount(np.abs(off), "length", system.show)
        return [
            Line(view.path(self.hook * PLAN, self.hook), "drop", "drop").standing(-0.5),
            Line(beside, "part", "side", shown=aside).standing(ABOVE - 1),
            Line(
                view.path(self.hook, level), "reference", "level", shown=rises
            ).standing(ABOVE - 2),
            Line(view.along(bow), "angle", "rise", shown=rises).standing(ABOVE - 1),
            Arrow(hook, tip, "force pull", "pull").standing(ABOVE),
            Marker(hook, "square", "clamp", "hook").standing(ABOVE + 0.5),
            FreeLabel(
                tip,
                Amount(solved.tension, "force", system.show),
                "pull text",
                name="label pull",
                rank="force",
                along=view.path(self.hook, self.tip),
            ),
            FreeLabel(
                view.at(there),
                length if brief else side_said(off, system),
                "angle text",
                name="label side",
                rank="angle",
                along=beside,
                short=length,
                shown=aside,
            ),
            FreeLabel(
                view.along(bow)[..., len(TURNS) // 2, :],
                Amount(np.abs(rise), "angle", system.show),
                "angle text",
                name="label rise",
                rank="angle",
                shown=rises,
            ),
        ]

    def ghost(
        self, letter: str, other: SolvedAnchoring, system: UnitSystem
    ) -> list[Mark]:
        """Show a frozen pull, and what the clamps carried then."""
        then, view, name = _Anchored(other, self.view), self.view, f"ghost {letter}"
        marks: list[Mark] = [
            Line(view.path(*_ends(other)), "ghost", name).standing(ABOVE - 3),
            FreeLabel(
                view.at(then.tip),
                say_of(("ghost",), system, letter=letter),
                "ghost text",
                name=f"label {name}",
                short=letter,
            ),
        ]
        for k, clamp in enumerate(CLAMPS):
            place = other.places[..., k, :] + HIGH * UP
            end = place + then.shown(other.reactions[..., k, :])
            line = Line(view.path(place, end), "ghost", f"{name} {clamp}")
            marks.append(line.standing(ABOVE - 3))
        return marks
