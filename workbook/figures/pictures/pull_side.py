"""The side view of one pull: the rig in its own plane, in true shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Polygon,
    angle_mark,
    arc,
    parts,
    window_for,
)
from workbook.figures.drawing.scales import scale_bar
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.mechanics.pull.catenary import curve_points
from workbook.mechanics.vectors import dot, unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

UPRIGHT = 1e-3  # rad; a plane that leans less to the side is not called tilted
BASE = (0.0, 0.0)


class RigPlane:
    """The plane of one rig, or of many: outward along base to anchor, up across it.

    Parameters
    ----------
    solved : SolvedPull
        The set-ups, shape (...).
    """

    def __init__(self, solved: SolvedPull) -> None:
        rig = solved.rig
        self.base = rig.base
        out = unit(rig.anchor - rig.base)
        across = rig.clamp - rig.base
        up = unit(across - dot(across, out)[..., None] * out)
        self.axes = np.stack(np.broadcast_arrays(out, up), axis=-1)

    def flat(self, *points: Array) -> list[Array]:
        """Return where points (..., 3) lie in the plane, (..., 2) from the base."""
        stacked = np.stack(np.broadcast_arrays(*points), axis=-2)
        return [*np.moveaxis(self.along(stacked), -2, 0)]

    def along(self, points: Array) -> Array:
        """Return where a row of points (..., n, 3) lies in the plane, (..., n, 2)."""
        return self.parts(points - self.base[..., None, :])

    def parts(self, vectors: Array) -> Array:
        """Return the outward and upward parts (..., n, 2) of vectors (..., n, 3)."""
        return np.asarray(vectors @ self.axes)


def side_view(
    solved: SolvedPull,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SolvedPull]] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the rig in its own plane, in true shape, with its angles.

    A ``brief`` view leaves out what numbers beside it say, for large letters.
    """
    rig, plane = solved.rig, RigPlane(solved)
    clamp, head, anchor = plane.flat(rig.clamp, solved.pull.head, rig.anchor)
    reach = rig.take_up_length + rig.full_stroke
    box = window_for([clamp, head, anchor, (0.0, reach)], step=0.25, margin=0.14)
    left, right, low, top = box[0] - 0.25, box[1], -0.27, box[3]
    window = (left, right, low, top)
    bench = said("picture", "pull", "side", "bench", show=system.show)
    still = [
        Line([(left, 0.0), (right, 0.0)], "floor", "bench"),
        Label((left, 0.0), bench, "small text", (6, 12), "start", name="label bench"),
        *_body(clamp, left, system),
        *scale_bar(window, system),
    ]
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += ghost_marks(letter, RigPlane(other).flat(*skeleton(other)), system)
    moving += [
        *_swing(solved, plane),
        *_chains(solved, clamp, head, anchor),
        *_ram(solved, head, system),
        *_base(),
        Line([anchor, anchor - (0.0, 0.07)], "fork", "fork"),
        Marker(anchor, "diamond", "anchor", "anchor"),
        Label(anchor, "A", "strong text", (16, 16), name="label A"),
        Marker(head, "disc", "head", "head"),
        Label(head, "H", "strong text", (0, -17), name="label H"),
        Marker(clamp, "square", "clamp", "clamp"),
        Label(clamp, "C", "strong text", (0, 20), name="label C"),
        *_angles(clamp, head, anchor, system, brief=brief),
    ]
    upright = np.abs(solved.side_lean) < UPRIGHT
    view = "brief" if brief else np.where(upright, "upright", "tilted")
    return Drawing(
        caption=said("picture", "pull", "side", "caption", view, show=system.show),
        window=window,
        still=still,
        moving=moving,
    )


def skeleton(solved: SolvedPull) -> list[Array]:
    """Return the points of a rig in space that draw it in one stroke."""
    rig, head = solved.rig, solved.pull.head
    return [rig.clamp, head, rig.anchor, head, rig.base]


def ghost_marks(letter: str, points: list[Array], system: UnitSystem) -> list[Mark]:
    """Return a frozen rig with its letter, from the points of its skeleton."""
    name = f"ghost {letter}"
    words = said("picture", "pull", "ghost", show=system.show, letter=letter)
    return [
        Line(points, "ghost", name),
        Label(points[1], words, "ghost text", (16, -14), "start", name=f"label {name}"),
    ]


def _body(clamp: Array, left: Coordinate, system: UnitSystem) -> list[Mark]:
    """Draw a plain body shell behind the clamp: rail and sill."""
    x, z = parts(clamp)
    rail = [(left, z + 0.16), (x - 0.12, z + 0.16), (x, z + 0.05), (x, z - 0.05)]
    rail += [(x - 0.12, z - 0.09), (left, z - 0.09)]
    words = said("picture", "pull", "side", "vehicle", show=system.show)
    middle = ((left + x) / 2, z + 0.04)
    return [
        Polygon(rail, "body", "vehicle"),
        Label(middle, words, "small text", name="label vehicle"),
    ]


def _swing(solved: SolvedPull, plane: RigPlane) -> list[Mark]:
    """Show where the ram goes over its stroke, the clamp following."""
    if solved.roller:
        return []
    path = solved.path.pull
    heads = plane.along(path.head)
    # Past a place where it falls, a rig that stands again is of no use.
    reached = np.cumprod(path.stands, axis=-1).sum(axis=-1)
    count = path.stands.shape[-1]
    last = np.minimum(np.arange(count), np.maximum(reached, 1)[..., None] - 1)
    heads = np.take_along_axis(heads, last[..., None], axis=-2)
    shown = reached >= 2
    return [
        Line(heads, "reference", "way of the head", shown=shown),
        Line([BASE, heads[..., -1, :]], "swing", "ram at full stroke", shown=shown),
    ]


def _chains(solved: SolvedPull, clamp: Array, head: Array, anchor: Array) -> list[Mark]:
    return [
        Line(_hung(solved, clamp, head), "take-up", "chain at take-up"),
        Line([clamp, head], "pull leg", "pull leg"),
        Line([head, anchor], "anchor leg", "anchor leg"),
    ]


def _hung(solved: SolvedPull, clamp: Array, head: Array) -> Array:
    """Lay the chain at take-up under the straight line between its drawn ends."""
    chain = solved.at_take_up
    x, height = curve_points(chain, count=21)
    share = x / np.asarray(chain.span)[..., None]
    drop = height - share * np.asarray(chain.rise)[..., None]
    start, end = clamp[..., None, :], head[..., None, :]
    straight = start + share[..., None] * (end - start)
    return straight + np.stack([np.zeros_like(drop), drop], axis=-1)


def _ram(solved: SolvedPull, head: Array, system: UnitSystem) -> list[Mark]:
    """Draw ram body from the base, then the extension up to the head."""
    rig = solved.rig
    if solved.roller:
        words = said("picture", "pull", "side", "post", show=system.show)
        return [
            Line([BASE, head], "post", "post"),
            Label((0.0, 0.1), words, shift=(14, 0), align="start", name="label post"),
        ]
    body = np.asarray((rig.closed_length + rig.stroke) / rig.ram_length)
    joint = body[..., None] * head
    return [
        Line([BASE, joint], "ram", "ram"),
        Line([joint, head], "extension", "extension"),
    ]


def _base() -> list[Mark]:
    foot = [(-0.11, 0.0), (0.11, 0.0), (0.06, 0.05), (-0.06, 0.05)]
    return [
        Polygon(foot, "base", "foot"),
        Marker(BASE, "disc", "base", "base"),
        Label(BASE, "B", "strong text", (-17, 13), name="label B"),
    ]


def _angles(
    clamp: Array, head: Array, anchor: Array, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Name the three angles of the split, each with its reference line."""

    def named(key: str, angle: Coordinate) -> Text:
        if brief:
            return Amount(angle, "angle", system.show)
        return said("picture", "pull", "side", key, show=system.show, angle=angle)

    (ram, pull, leg), upright, r = _slopes(clamp, head, anchor), np.pi / 2, 0.3
    level, stands = clamp + np.array([0.5, 0.0]), np.isfinite(ram)
    # Large letters have no room under the bench.
    beside, lift = ((-0.3 * r, 0.12 * r), -6) if brief else ((-0.12, 0.0), 13)
    low, high = np.minimum(ram, upright), np.maximum(ram, upright)
    return [
        Line([BASE, (0.0, r + 0.1)], "reference", "upright"),
        Line(arc(BASE, r, low, high), "angle", "lean"),
        Label(
            (0.0, r),
            named("lean", upright - ram),
            "text",
            (-8, 0),
            "end",
            name="label lean",
            shown=stands,
        ),
        Line(arc(anchor, r, leg, np.pi), "angle", "anchor angle"),
        Label(
            anchor * (1.0, 0.0) + beside,
            named("anchor", np.pi - leg),
            "text",
            (0, lift),
            "end",
            name="label anchor leg",
            shown=stands,
        ),
        Line([clamp, level], "reference", "level"),
        *angle_mark(
            clamp,
            0.42,
            np.minimum(0.0, pull),
            np.maximum(0.0, pull),
            named("rise", pull),
            name="rise",
        ),
    ]


def _slopes(clamp: Array, head: Array, anchor: Array) -> Array:
    """Return the slopes of ram, pull leg and anchor leg, each seen from its foot."""
    feet = np.stack(np.broadcast_arrays(0.0 * head, clamp, anchor))
    up = head - feet
    return np.asarray(np.arctan2(up[..., 1], up[..., 0]))
