"""The plain front of a body in space: an invented shell with its rails and sills."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Line, Mark, Polygon
from workbook.mechanics.vectors import unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

    from workbook.figures.drawing.marks import Coordinate
    from workbook.figures.drawing.views import Viewpoint
    from workbook.mechanics.vectors import Array

# Along x from the rail's tip and up from the rail, in metres.
NOSE, COWL, CUT = -0.2, -1.02, -1.6  # front of the shell, foot of the screen, end
ARCH, ARCH_RADIUS = -0.62, 0.3
SILL = -0.2  # underside
LEAST_TRACK = 0.4  # between a rail and the middle of the car
BESIDE = 0.3  # from a rail to the side of the shell
DOWN = np.array((1.0, 1.0, 0.0))  # onto the bench
_ON_ARCH = np.linspace(np.pi, 0.0, 13)
_NOSE_TOP, _BONNET, _COWL_TOP = (NOSE, 0.2), (-0.32, 0.29), (COWL, 0.42)
_SCREEN_TOP, _ROOF = (-1.34, 0.78), (CUT, 0.82)
_SIDE = [
    (CUT, SILL),
    *zip(
        ARCH + ARCH_RADIUS * np.cos(_ON_ARCH),
        SILL + ARCH_RADIUS * np.sin(_ON_ARCH),
        strict=True,
    ),
    (NOSE, SILL),
    *(_NOSE_TOP, _BONNET, _COWL_TOP, _SCREEN_TOP, _ROOF),
]
_WINDOW = [(-1.14, 0.44), (-1.36, 0.7), (CUT, 0.73), (CUT, 0.44)]


class CarFront:
    """The front of a car whose rail ends at a point.

    Parameters
    ----------
    tip : Array, shape (..., 3)
        End of the rail that is pulled. [m]
    """

    def __init__(self, tip: Array) -> None:
        self.tip = tip
        y = tip[..., 1]
        self.side = np.where(y >= 0, 1.0, -1.0)
        self.track = np.maximum(np.abs(y), LEAST_TRACK)
        self.middle = y - self.side * self.track
        self.half_width = self.track + BESIDE

    def points(self, corners: Sequence[tuple[float, Coordinate, float]]) -> Array:
        """Return points (..., n, 3): x and z from the tip, y from the car's middle."""
        x, y, z = zip(*corners, strict=True)
        across = np.stack(np.broadcast_arrays(self.middle, *y)[1:], axis=-1)
        found = np.empty((*across.shape, 3))
        found[..., 0] = self.tip[..., None, 0] + np.array(x)
        found[..., 1] = self.middle[..., None] + across
        height = self.tip[..., None, 2] + np.array(z)
        found[..., 2] = np.maximum(height, 0.02)  # over the bench
        return found

    def marks(self, view: Viewpoint, depth: float) -> list[Mark]:
        """Return the front as it is seen, round some depth."""
        ahead = view.toward[..., 0] > 0
        inner = depth + np.where(ahead, 0.5, -0.5)
        return [
            *self._stands(view, depth - 1),
            *(m.standing(depth) for m in self._shell(view)),
            *self._beam(view, inner),
        ]

    def shadow(self, view: Viewpoint) -> list[Mark]:
        """Return what lies under it on the bench."""
        wide, rail = self.half_width, self.track
        corners = [(CUT, -wide), (NOSE, -wide), (NOSE, wide), (CUT, wide)]
        marks: list[Mark] = [
            Polygon(self._flat(view, corners), "shade", "shadow of vehicle")
        ]
        for name, y in (("rail", self.side * rail), ("other rail", -self.side * rail)):
            ends = [(NOSE, y), (0.0, y)]
            marks.append(Line(self._flat(view, ends), "shadow", f"shadow of {name}"))
        return marks

    def _flat(self, view: Viewpoint, corners: list[tuple[float, Coordinate]]) -> Array:
        return view.along(self.points([(x, y, 0.0) for x, y in corners]) * DOWN)

    def _shell(self, view: Viewpoint) -> list[Mark]:
        """Return the faces that are turned to the viewer."""
        wide, marks = self.half_width, []
        for name, y, way in (("left", wide, 1.0), ("right", -wide, -1.0)):
            seen = way * view.toward[..., 1] > 0
            side = view.along(self.points([(x, y, z) for x, z in _SIDE]))
            glass = view.along(self.points([(x, y, z) for x, z in _WINDOW]))
            marks += [
                Polygon(side, "body side", f"{name} side", shown=seen),
                Polygon(glass, "body glass", f"{name} window", shown=seen),
            ]
        strips = [
            ("nose", (NOSE, SILL + 0.08), _NOSE_TOP, "body front"),
            ("edge", _NOSE_TOP, _BONNET, "body top"),
            ("bonnet", _BONNET, _COWL_TOP, "body top"),
            ("screen", _COWL_TOP, _SCREEN_TOP, "body glass"),
            ("roof", _SCREEN_TOP, _ROOF, "body top"),
        ]
        for name, low, high, role in strips:
            (x0, z0), (x1, z1) = low, high
            corners = [(low, -wide), (low, wide), (high, wide), (high, -wide)]
            face = view.along(self.points([(x, y, z) for (x, z), y in corners]))
            normal = unit(np.array((z1 - z0, 0.0, x0 - x1)))
            seen = (normal * view.toward).sum(axis=-1) > 1e-9
            marks.append(Polygon(face, role, name, shown=seen))
        inset = [(-0.72, -0.05), (0.72, -0.05), (0.72, 0.14), (-0.72, 0.14)]
        grille = view.along(self.points([(NOSE, s * wide, z) for s, z in inset]))
        ahead = view.toward[..., 0] > 0
        return [*marks, Polygon(grille, "body glass", "opening", shown=ahead)]

    def _beam(self, view: Viewpoint, depth: Coordinate) -> list[Mark]:
        """Return the rail ends and the crossmember between them."""
        near = np.sign(view.toward[..., 1])
        rail, marks = self.track, []
        for name, y in (("rail", self.side * rail), ("other rail", -self.side * rail)):
            box = self._box(view, name, (NOSE, 0.0), (y - 0.045, y + 0.045), 0.065)
            at = depth + 0.1 * near * np.sign(y)
            marks += [mark.standing(at) for mark in box]
        across = (-rail + 0.045, rail - 0.045)
        beam = self._box(view, "crossmember", (-0.12, -0.04), across, 0.045)
        return [*marks, *(mark.standing(depth) for mark in beam)]

    def _box(
        self,
        view: Viewpoint,
        name: str,
        x: tuple[float, float],
        y: tuple[Coordinate, Coordinate],
        half: float,
    ) -> list[Mark]:
        """Return the faces of a box that are turned to the viewer."""
        (x0, x1), (y0, y1), (low, top) = x, y, (-half, half)
        toward = view.toward
        sides = [
            ("top", [(x0, y0, top), (x1, y0, top), (x1, y1, top), (x0, y1, top)]),
            ("left", [(x0, y1, low), (x1, y1, low), (x1, y1, top), (x0, y1, top)]),
            ("right", [(x0, y0, low), (x1, y0, low), (x1, y0, top), (x0, y0, top)]),
            ("end", [(x1, y0, low), (x1, y1, low), (x1, y1, top), (x1, y0, top)]),
        ]
        seen: dict[str, ArrayLike] = {
            "top": True,
            "left": toward[..., 1] > 0,
            "right": toward[..., 1] < 0,
            "end": toward[..., 0] > 0,
        }
        roles = {"top": "body top", "end": "body front"}
        return [
            Polygon(
                view.along(self.points(corners)),
                roles.get(face, "body side"),
                f"{name} {face}",
                shown=seen[face],
            )
            for face, corners in sides
        ]

    def _stands(self, view: Viewpoint, depth: float) -> list[Mark]:
        marks: list[Mark] = []
        for way, y in (("left", self.half_width), ("right", -self.half_width)):
            for place, x in (("front", -0.98), ("rear", -1.5)):
                top = self.points([(x, 0.97 * y, SILL)])
                foot_to_top = np.concatenate([top * DOWN, top], axis=-2)
                name = f"{way} {place} stand"
                line = Line(view.along(foot_to_top), "stand", name)
                marks.append(line.standing(depth))
        return marks
