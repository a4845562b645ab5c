"""The plain front of a body in space: an invented shell with its rails and sills."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from workbook.figures.drawing.kept import kept
from workbook.figures.drawing.marks import Coordinate, Line, Mark, Polygon
from workbook.figures.drawing.texts import common_shape
from workbook.mechanics.vectors import unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

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

Corner = tuple[float, Coordinate, float]


class Face(NamedTuple):
    """One flat face of the front, and where it is seen from."""

    name: str
    role: str
    corners: list[Corner]
    shown: ArrayLike
    depth: Coordinate


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

    def points(self, corners: Sequence[Corner]) -> Array:
        """Return points (..., n, 3): x and z from the tip, y from the car's middle."""
        x, y, z = zip(*corners, strict=True)
        shape = common_shape([self.middle, *y])
        found = np.empty((*shape, len(corners), 3))
        for k, across in enumerate(y):
            found[..., k, 1] = self.middle + across
        found[..., 0] = self.tip[..., None, 0] + np.array(x)
        height = self.tip[..., None, 2] + np.array(z)
        found[..., 2] = np.maximum(height, 0.02)  # over the bench
        return found

    def marks(self, view: Viewpoint, depth: float) -> list[Mark]:
        """Return the front as it is seen, round some depth."""
        return _drawn(self.tip, view, depth)

    def shadow(self, view: Viewpoint) -> list[Mark]:
        """Return what lies under it on the bench."""
        return _shadow(self.tip, view)

    def drawn(self, view: Viewpoint, depth: float) -> list[Mark]:
        """Draw the front as it is seen, round some depth."""
        ahead = view.toward[..., 0] > 0
        inner = depth + np.where(ahead, 0.5, -0.5)
        faces = [*self._shell(view, depth), *self._beam(view, inner)]
        seen = view.along(self.points([at for face in faces for at in face.corners]))
        marks, start = self._stands(view, depth - 1), 0
        for face in faces:
            end = start + len(face.corners)
            outline = seen[..., start:end, :]
            mark = Polygon(outline, face.role, face.name, shown=face.shown)
            marks.append(mark.standing(face.depth))
            start = end
        return marks

    def drawn_shadow(self, view: Viewpoint) -> list[Mark]:
        """Draw what lies under it on the bench."""
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

    def _shell(self, view: Viewpoint, depth: float) -> list[Face]:
        """Return the outside, its faces shown if they are turned to the viewer."""
        wide, faces = self.half_width, []
        for name, y, way in (("left", wide, 1.0), ("right", -wide, -1.0)):
            seen = way * view.toward[..., 1] > 0
            side, glass = ([(x, y, z) for x, z in part] for part in (_SIDE, _WINDOW))
            faces += [
                Face(f"{name} side", "body side", side, seen, depth),
                Face(f"{name} window", "body glass", glass, seen, depth),
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
            ends = [(low, -wide), (low, wide), (high, wide), (high, -wide)]
            corners = [(x, y, z) for (x, z), y in ends]
            normal = unit(np.array((z1 - z0, 0.0, x0 - x1)))
            seen = (normal * view.toward).sum(axis=-1) > 1e-9
            faces.append(Face(name, role, corners, seen, depth))
        inset = [(-0.72, -0.05), (0.72, -0.05), (0.72, 0.14), (-0.72, 0.14)]
        grille = [(NOSE, share * wide, z) for share, z in inset]
        ahead = view.toward[..., 0] > 0
        return [*faces, Face("opening", "body glass", grille, ahead, depth)]

    def _beam(self, view: Viewpoint, depth: Coordinate) -> list[Face]:
        """Return the rail ends and the crossmember between them."""
        near = np.sign(view.toward[..., 1])
        rail, faces = self.track, []
        for name, y in (("rail", self.side * rail), ("other rail", -self.side * rail)):
            at = depth + 0.1 * near * np.sign(y)
            faces += _box(
                *(view, name, (NOSE, 0.0), (y - 0.045, y + 0.045), 0.065), depth=at
            )
        across = (-rail + 0.045, rail - 0.045)
        beam = _box(view, "crossmember", (-0.12, -0.04), across, 0.045, depth=depth)
        return [*faces, *beam]

    def _stands(self, view: Viewpoint, depth: float) -> list[Mark]:
        corners, names = [], []
        for way, y in (("left", self.half_width), ("right", -self.half_width)):
            for place, x in (("front", -0.98), ("rear", -1.5)):
                corners.append((x, 0.97 * y, SILL))
                names.append(f"{way} {place} stand")
        tops = self.points(corners)
        ends = np.stack([view.along(tops * DOWN), view.along(tops)], axis=-2)
        lines = [Line(ends[..., k, :, :], "stand", n) for k, n in enumerate(names)]
        return [line.standing(depth) for line in lines]


@kept
def _drawn(tip: Array, view: Viewpoint, depth: float) -> list[Mark]:
    return CarFront(tip).drawn(view, depth)


@kept
def _shadow(tip: Array, view: Viewpoint) -> list[Mark]:
    return CarFront(tip).drawn_shadow(view)


def _box(
    view: Viewpoint,
    name: str,
    x: tuple[float, float],
    y: tuple[Coordinate, Coordinate],
    half: float,
    *,
    depth: Coordinate,
) -> list[Face]:
    """Return the faces of a box, shown if they are turned to the viewer."""
    (x0, x1), (y0, y1), (low, top) = x, y, (-half, half)
    left, ahead = view.toward[..., 1] > 0, view.toward[..., 0] > 0
    right = view.toward[..., 1] < 0
    sides: list[tuple[str, str, list[Corner], ArrayLike]] = [
        (
            *("top", "body top"),
            [(x0, y0, top), (x1, y0, top), (x1, y1, top), (x0, y1, top)],
            True,
        ),
        (
            *("left", "body side"),
            [(x0, y1, low), (x1, y1, low), (x1, y1, top), (x0, y1, top)],
            left,
        ),
        (
            *("right", "body side"),
            [(x0, y0, low), (x1, y0, low), (x1, y0, top), (x0, y0, top)],
            right,
        ),
        (
            *("end", "body front"),
            [(x1, y0, low), (x1, y1, low), (x1, y1, top), (x1, y0, top)],
            ahead,
        ),
    ]
    return [
        Face(f"{name} {side}", role, corners, shown, depth)
        for side, role, corners, shown in sides
    ]
