"""The side view of one pull: the rig in its own plane, in true shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    Polygon,
    parts,
)
from workbook.figures.drawing.named import angle_mark
from workbook.figures.drawing.scales import scale_bar
from workbook.figures.drawing.texts import Amount, said
from workbook.figures.drawing.windows import moved, window_for
from workbook.figures.pictures.pull_parts import (
    places_of,
    rating_marks,
    refusal_marks,
    would_be_head,
)
from workbook.mechanics.pull.catenary import curve_points
from workbook.mechanics.vectors import direction, dot, unit

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Path, Point, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

RADIUS = {"lean": 0.3, "anchor angle": 0.3, "rise": 0.42}  # m, of the arcs
GONE = 1e-4  # m; a clamp that has followed by less is where it was
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
    rest: SolvedPull | None = None,
) -> Drawing:
    """Draw the rig in its own plane, in true shape, with its angles.

    A ``brief`` view leaves out what numbers beside it say, for large letters. ``rest``
    is the set-up that a hand started from: scale and clamp stay as they were there.
    """
    rig, plane = solved.rig, RigPlane(solved)
    clamp, head, anchor = plane.flat(rig.clamp, solved.pull.head, rig.anchor)
    (hooked,) = plane.flat(solved.setup.clamp)
    window = _window(solved, hooked, solved if rest is None else rest)
    left, right, _, _ = window
    bench = said("picture", "pull", "side", "bench", show=system.show)
    still = [
        Line([(left, 0.0), (right, 0.0)], "floor", "bench"),
        FreeLabel(
            (left, 0.0),
            bench,
            "small text",
            name="label bench",
            along=[(left, 0.0), (left + 0.4, 0.0)],
        ),
        *_body(hooked, left, system),
        *([] if brief else scale_bar(window, system)),
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
        point_label("A", anchor),
        Marker(head, "disc", "head", "head"),
        point_label("H", head),
        Marker(clamp, "square", "clamp", "clamp"),
        point_label("C", clamp),
        *_angles(clamp, head, anchor, system, brief=brief),
    ]
    moving += rated(solved, plane.along, system)
    moving += refused(solved, plane.along, system)
    upright = np.abs(solved.side_lean) < UPRIGHT
    view = "brief" if brief else np.where(upright, "upright", "tilted")
    return Drawing(
        caption=said("picture", "pull", "side", "caption", view, show=system.show),
        window=window,
        still=still,
        moving=moving,
    )


def _window(solved: SolvedPull, hooked: Array, rest: SolvedPull) -> Window:
    """Return the window of a set-up at rest, moved along with where the clamp is."""
    there, head, anchor = RigPlane(rest).flat(
        rest.setup.clamp, rest.pull.head, rest.rig.anchor
    )
    reach = rest.rig.take_up_length + rest.rig.full_stroke
    box = window_for([there, head, anchor, (0.0, reach)], step=0.25, margin=0.14)
    window = (box[0] - 0.25, box[1], -0.27, box[3])
    if rest is solved:
        return window
    return moved(window, ((hooked - there)[..., 0], 0.0))


def rated(
    solved: SolvedPull, along: Callable[[Array], Array], system: UnitSystem
) -> list[Mark]:
    """Mark what governs and what is past its rating in a flat view.

    ``along`` tells where rows of points (..., n, 3) are in it, (..., n, 2).
    """
    return rating_marks(
        solved, _seen(places_of(solved, solved.pull.head), along), system, brief=True
    )


def refused(
    solved: SolvedPull, along: Callable[[Array], Array], system: UnitSystem
) -> list[Mark]:
    """Draw a rig that does not stand as far as it goes, in a flat view."""
    head, rig = would_be_head(solved), solved.rig
    places = {**places_of(solved, head), "base": rig.base}
    row = np.stack(
        np.broadcast_arrays(rig.clamp, head, rig.anchor, head, rig.base), axis=-2
    )
    line = Line(along(row), "refused", "as it would be")
    return [line, *refusal_marks(solved, _seen(places, along), system)]


def _seen(
    places: Mapping[str, Array], along: Callable[[Array], Array]
) -> dict[str, Array]:
    row = along(np.stack(np.broadcast_arrays(*places.values()), axis=-2))
    return dict(zip(places, np.moveaxis(row, -2, 0), strict=True))


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
        FreeLabel(points[1], words, "ghost text", name=f"label {name}", short=letter),
    ]


def expected_head(
    solved: SolvedPull,
    expected: Expected,
    seen: Callable[[Array], Array],
    system: UnitSystem,
) -> list[Mark]:
    """Show where the head is expected, so far to the left of the set-out line.

    ``seen`` tells where rows of points (..., n, 3) are in the picture, (..., n, 2).
    """
    angle = solved.setup.array("chain_angle_deg")
    left = direction(side_angle=angle + np.pi / 2, rise=0.0)
    head, base = solved.pull.head, solved.rig.base
    on_line = head - solved.head_shift[..., None] * left
    low, high = (on_line + value * left for value in expected.band)
    there = on_line + expected.value * left
    row = np.stack(np.broadcast_arrays(base, there, low, high), axis=-2)
    flat = seen(row)
    at = flat[..., 1, :]
    return [
        Line(flat[..., 2:, :], "expected band", "near enough"),
        Line(flat[..., :2, :], "expected", "expected"),
        Marker(at, "ring", "expected", "head expected"),
        expected.label(at, system, shown=solved.stands),
    ]


def vehicle_label(along: Path, system: UnitSystem) -> Label:
    """Return the word that stands on a body, somewhere along a line over it."""
    _, end = along
    words = said("picture", "pull", "side", "vehicle", show=system.show)
    return FreeLabel(
        end, words, "small text", name="label vehicle", along=along, within=True
    )


def point_label(letter: str, at: Point) -> Label:
    """Return the letter of a point."""
    return FreeLabel(at, letter, "strong text", name=f"label {letter}", rank="point")


def _body(clamp: Array, left: Coordinate, system: UnitSystem) -> list[Mark]:
    """Draw a plain body shell behind the clamp: rail and sill."""
    x, z = parts(clamp)
    rail = [(left, z + 0.16), (x - 0.12, z + 0.16), (x, z + 0.05), (x, z - 0.05)]
    rail += [(x - 0.12, z - 0.09), (left, z - 0.09)]
    return [
        Polygon(rail, "body", "vehicle"),
        vehicle_label([(left, z + 0.04), (x - 0.1, z + 0.04)], system),
    ]


def way_of_head(solved: SolvedPull) -> tuple[Array, NDArray[np.bool_]]:
    """Return where the head goes over its stroke, the clamp following, (..., n, 3).

    And whether it goes anywhere: past a place where the rig falls, one that stands
    again is of no use.
    """
    path = solved.path.pull
    reached = np.cumprod(path.stands, axis=-1).sum(axis=-1)
    count = path.stands.shape[-1]
    last = np.minimum(np.arange(count), np.maximum(reached, 1)[..., None] - 1)
    heads = np.take_along_axis(path.head, last[..., None], axis=-2)
    return heads, np.asarray(reached >= 2)


def way_of_clamp(solved: SolvedPull) -> Array:
    """Return the way that the clamp has followed its pull, nan if none, (..., n, 3)."""
    path, stroke = solved.path, solved.setup.array("stroke_mm")
    there = path.stroke <= stroke[..., None]
    way = np.where(there[..., None], path.clamp, solved.rig.clamp[..., None, :])
    gone = solved.stands & (solved.followed > GONE)
    return np.where(gone[..., None, None], way, np.nan)


def _swing(solved: SolvedPull, plane: RigPlane) -> list[Mark]:
    """Show where the ram goes over its stroke, the clamp following."""
    if solved.roller:
        return []
    way, shown = way_of_head(solved)
    heads = plane.along(way)
    return [
        Line(plane.along(way_of_clamp(solved)), "reference", "way of the clamp"),
        Line(heads, "reference", "way of the head", shown=shown),
        Line([BASE, heads[..., -1, :]], "swing", "ram at full stroke", shown=shown),
    ]


def _chains(solved: SolvedPull, clamp: Array, head: Array, anchor: Array) -> list[Mark]:
    return [
        Line(_hung(solved, clamp, head), "take-up", "chain at take-up"),
        Line([clamp, head], "pull leg", "pull leg"),
        Line([head, anchor], "anchor leg", "anchor leg"),
    ]


def hanging(solved: SolvedPull) -> tuple[Array, Array]:
    """Return the chain at take-up: shares of its way and drops below it, (..., n)."""
    chain = solved.at_take_up
    x, height = curve_points(chain, count=21)
    share = x / np.asarray(chain.span)[..., None]
    return share, height - share * np.asarray(chain.rise)[..., None]


def _hung(solved: SolvedPull, clamp: Array, head: Array) -> Array:
    """Lay the chain at take-up under the straight line between its drawn ends."""
    share, drop = hanging(solved)
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
            FreeLabel((0.0, 0.1), words, name="label post", along=[BASE, head]),
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
        point_label("B", BASE),
    ]


def _angles(
    clamp: Array, head: Array, anchor: Array, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Name the three angles of the split, each with its reference line."""

    def marked(
        name: str, key: str, at: Point, between: tuple[Coordinate, Coordinate]
    ) -> list[Mark]:
        low, high = np.minimum(*between), np.maximum(*between)
        size = high - low if key == "anchor" else between[1] - between[0]
        short = Amount(size, "angle", system.show)
        words = said("picture", "pull", "side", key, show=system.show, angle=size)
        return angle_mark(
            at,
            RADIUS[name],
            low,
            high,
            short if brief else words,
            name=name,
            short=short,
            shown=stands,
        )

    ram, pull, leg = _slopes(clamp, head, anchor)
    level, stands = clamp + np.array([0.5, 0.0]), np.isfinite(ram)
    return [
        Line([BASE, (0.0, RADIUS["lean"] + 0.1)], "reference", "upright"),
        *marked("lean", "lean", BASE, (ram, np.pi / 2)),
        *marked("anchor angle", "anchor", anchor, (leg, np.pi)),
        Line([clamp, level], "reference", "level"),
        *marked("rise", "rise", clamp, (0.0, pull)),
    ]


def _slopes(clamp: Array, head: Array, anchor: Array) -> Array:
    """Return the slopes of ram, pull leg and anchor leg, each seen from its foot."""
    feet = np.stack(np.broadcast_arrays(0.0 * head, clamp, anchor))
    up = head - feet
    return np.asarray(np.arctan2(up[..., 1], up[..., 0]))
