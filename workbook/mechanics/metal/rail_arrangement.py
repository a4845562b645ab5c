"""Rails, crossmember, clamps, pulls and springs, checked and turned into arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import Name, called, finite, magnitude, refuse_where
from workbook.mechanics.metal.rail_links import Placed, place
from workbook.mechanics.metal.rail_parts import (
    Crossmember,
    FrontEnd,
    Node,
    Rail,
    RailPull,
)
from workbook.mechanics.vectors import Array, norm, unit

# A crossmember fits between its nodes to within this share of its length.
FIT = 1e-6
# The two halves of a crossmember face each other: of their axes, the third agrees.
FACING = np.diag([-1.0, -1.0, 1.0])


@dataclass(frozen=True, kw_only=True)
class Arrangement:
    """Chains of links, ties and pulls as arrays: m chains, t ties, k pulls, p points.

    Chains are the rails and, last, the two halves of a crossmember. Ties are the
    joint of those halves, if any, in four rows, and then the springs.

    Attributes
    ----------
    root : ndarray, shape (m, 3)
    frame : ndarray, shape (m, 3, 3)
    link_length : ndarray, shape (m, n)
    stiffness, yield_load, hardening : ndarray, shape (m, n, 3)
    parent : ndarray of int, shape (b, 2)
        Rail and node that the last b chains branch off.
    point_rail, point_node : ndarray of int, shape (p,)
        Where the pulls are, and then the ends of the ties.
    point_offset : ndarray, shape (p, 3)
        How far off its node a point is, along the axes of the link before it. [m]
    gap_of : ndarray, shape (t, p - k)
        The gap of each tie, as a sum of the points after the pulls.
    spring_stiffness : ndarray, shape (t, 3)
        Of the ties. [N/m]
    head : ndarray, shape (k, 3)
        Fixed point a pull runs to [m], or its fixed direction [-].
    to_head : ndarray of bool, shape (k,)
        Which of the two.
    """

    root: Array
    frame: Array
    link_length: Array
    stiffness: Array
    yield_load: Array
    hardening: Array
    parent: NDArray[np.intp]
    point_rail: NDArray[np.intp]
    point_node: NDArray[np.intp]
    point_offset: Array
    gap_of: Array
    spring_stiffness: Array
    head: Array
    to_head: NDArray[np.bool_]

    @cached_property
    def carried(self) -> Array:
        """1 where a hinge carries a point, shape (p, m, n)."""
        return self._carried(self.point_rail, self.point_node)

    @cached_property
    def in_line(self) -> Array:
        """1 where one of two hinges carries the other, shape (m n, m n)."""
        m, n = self.link_length.shape
        carried = self._carried(*np.divmod(np.arange(m * n), n) + np.array([[0], [1]]))
        square = carried.reshape(m * n, m * n)
        return np.maximum(square, square.T)

    def placed(self, deformation: Array) -> Placed:
        """Place every link."""
        return place(
            deformation,
            root=self.root,
            frame=self.frame,
            link_length=self.link_length,
            parent=self.parent,
        )

    def points(self, placed: Placed) -> Array:
        """Return where the points are, shape (p, 3). [m]"""
        at = self.point_rail, self.point_node
        off = placed.frames[at] @ self.point_offset[..., None]
        return np.asarray(placed.nodes[at] + off[..., 0])

    def _carried(self, rail: NDArray[np.intp], node: NDArray[np.intp]) -> Array:
        m, n = self.link_length.shape
        rooted = m - len(self.parent)
        branch = np.full((m, 2), -1)
        branch[rooted:] = self.parent
        carried = np.zeros((len(rail), m, n))
        for chain, last in ((rail, node), branch[rail].T):
            same = chain[:, None, None] == np.arange(m)[:, None]
            carried += same & (np.arange(n) < last[:, None, None])
        return carried


@lru_cache(maxsize=32)
def arrange(front_end: FrontEnd) -> Arrangement:
    """Check a front end and turn it into arrays.

    Raises
    ------
    OutOfRangeError
        If any of it makes no sense.
    """
    rails = [_checked(rail) for rail in front_end.rails]
    member = front_end.crossmember
    halves = _halves(member, rails) if member else []
    chains = [*rails, *halves]
    counts = [len(chain["link_length"]) for chain in chains]
    if len(set(counts)) != 1:
        raise OutOfRangeError("rail.unequal", counts=counts)
    _refuse_nonsense(front_end)
    springs = front_end.springs.values()
    # The bench end of a spring is a root, which does not move.
    nodes = [
        *(front_end.clamps[pull.clamp].node for pull in front_end.pulls.values()),
        *(spring.node for spring in springs),
        *(spring.other or (0, 0) for spring in springs),
    ]
    for node in [*nodes, *(clamp.node for clamp in front_end.clamps.values())]:
        _refuse_missing(node, rails=len(chains), links=counts[0])
    faces = [(chain, counts[0]) for chain in range(len(rails), len(chains))]
    nodes += [face for face in faces for _ in range(4)]
    rail, number = np.array(nodes, dtype=np.intp).reshape(-1, 2).T
    gap_of, offset, stiffness = _joined(member, springs=len(springs))
    to_head = [pull.head is not None for pull in front_end.pulls.values()]
    return Arrangement(
        **{name: np.stack([one[name] for one in chains]) for name in chains[0]},
        parent=np.array(member.ends if member else [], dtype=np.intp).reshape(-1, 2),
        point_rail=rail,
        point_node=number,
        point_offset=np.concatenate([np.zeros((len(nodes) - len(offset), 3)), offset]),
        gap_of=gap_of,
        spring_stiffness=np.array(
            [
                *stiffness,
                *(
                    _not_negative(spring.stiffness, 3, "spring_stiffness", "N/m")
                    for spring in springs
                ),
            ]
        ).reshape(-1, 3),
        head=_heads(front_end.pulls),
        to_head=np.array(to_head, dtype=bool),
    )


def _refuse_nonsense(front_end: FrontEnd) -> None:
    for name, pull in front_end.pulls.items():
        if pull.clamp not in front_end.clamps:
            raise OutOfRangeError(
                "rail.no_clamp", name=pull.clamp, pull=name, known=[*front_end.clamps]
            )
        if (pull.head is None) == (pull.direction is None):
            raise OutOfRangeError("rail.head_or_direction", pull=name)
    for name, clamp in front_end.clamps.items():
        if not clamp.rating > 0:
            raise OutOfRangeError("rail.rating", clamp=name, rating=clamp.rating)


def _halves(
    member: Crossmember, rails: Sequence[dict[str, Array]]
) -> list[dict[str, Array]]:
    """Return the arrays of both halves, each as seen from the link it is welded to."""
    ends = []
    for end in member.ends:
        _refuse_missing(end, rails=len(rails), links=len(rails[0]["link_length"]))
        rail = rails[end[0]]
        reach = rail["link_length"][: end[1]].sum()
        ends.append(rail["root"] + reach * rail["frame"][:, 0])
    across = ends[1] - ends[0]
    given, between = 2 * float(np.sum(member.half.link_length)), float(norm(across))
    if not abs(given - between) <= FIT * between:
        raise OutOfRangeError("rail.crossmember_fit", length=given, between=between)
    halves = []
    for end, root, along in zip(member.ends, ends, (across, -across), strict=True):
        half = _checked(replace(member.half, root=root, along=along))
        frame = rails[end[0]]["frame"].T @ half["frame"]
        halves.append({**half, "frame": frame})
    return halves


def _joined(member: Crossmember | None, *, springs: int) -> tuple[Array, Array, Array]:
    """Return what every tie's gap is, and offsets and stiffness of the joint.

    The joint holds the middles of two faces together and keeps their axes in step:
    an axis is the difference of two points, one off the other by one metre, and
    the three of them are as stiff as makes up the stiffness about each.
    """
    of_springs = np.hstack([np.eye(springs), -np.eye(springs)])
    if member is None:
        return of_springs, np.empty((0, 3)), np.empty((0, 3))
    face = np.eye(4)
    face[1:, 0] = -1
    gap_of = np.zeros((4 + springs, 2 * springs + 8))
    gap_of[:4, 2 * springs :] = np.hstack([face, -face])
    gap_of[4:, : 2 * springs] = of_springs
    middle = np.zeros((1, 3))
    offset = np.concatenate([middle, np.eye(3), middle, FACING])
    *about, apart = _not_negative(member.joint, 4, "joint", "N m/rad")
    lateral, vertical, twist = about
    axes = sum(about) / 2 - np.array([twist, lateral, vertical])
    return gap_of, offset, np.tile([apart, *axes], (3, 1)).T


def _checked(rail: Rail) -> dict[str, Array]:
    """Return the arrays of one rail."""
    length = magnitude(np.atleast_1d(rail.link_length), name="link_length", unit="m")
    ratio = finite(rail.hardening_ratio, name="hardening_ratio")
    refuse_where((ratio < 0) | (ratio >= 1), "rail.hardening_ratio", ratio=ratio)
    stiffness = _not_negative(rail.stiffness, (len(length), 3), "stiffness", "N m/rad")
    limit = np.asarray(rail.yield_load, dtype=float)
    if limit.shape != (len(length), 3) or not np.all(limit > 0):
        raise OutOfRangeError("rail.yield_load")
    return {
        "root": _three(rail.root, name="root", unit="m"),
        "frame": _frame(rail),
        "link_length": length,
        "stiffness": stiffness,
        "yield_load": limit,
        # Hinge in series with its hardening: r k = k H / (k + H).
        "hardening": stiffness * ratio / (1 - ratio),
    }


def _frame(rail: Rail) -> Array:
    """Return columns along the rail, to its left and up."""
    forward = unit(_three(rail.along, name="rail_direction"))
    upward = unit(_three(rail.upward, name="rail_upward"))
    left = np.cross(upward, forward)
    if norm(left) < 1e-6:
        raise OutOfRangeError("rail.upper_side")
    left = unit(left)
    return np.stack([forward, left, np.cross(forward, left)], axis=1)


def _heads(pulls: Mapping[str, RailPull]) -> Array:
    """Return fixed heads and unit directions, shape (k, 3)."""
    rows = []
    for name, pull in pulls.items():
        if pull.head is not None:
            head = WorkbookError("rail.head_of", pull=name)
            rows.append(_three(pull.head, name=head, unit="m"))
            continue
        along = WorkbookError("rail.direction_of", pull=name)
        given = _three(pull.direction, name=along)
        if norm(given) == 0:
            raise OutOfRangeError("rail.no_direction", name=along)
        rows.append(unit(given))
    return np.array(rows, dtype=float).reshape(-1, 3)


def _three(value: ArrayLike | None, *, name: Name, unit: str = "") -> Array:
    array = finite(np.asarray(value, dtype=float), name=name, unit=unit)
    if array.shape != (3,):
        raise OutOfRangeError("rail.three", name=called(name), shape=array.shape)
    return array


def _not_negative(
    value: ArrayLike, shape: int | tuple[int, int], name: str, unit: str
) -> Array:
    array = finite(value, name=name, unit=unit)
    if array.shape != np.empty(shape).shape or np.any(array < 0):
        raise OutOfRangeError(
            "rail.not_negative", name=called(name), shape=shape, unit=unit
        )
    return array


def _refuse_missing(node: Node, *, rails: int, links: int) -> None:
    rail, place = node
    if not (0 <= rail < rails and 0 <= place <= links):
        raise OutOfRangeError(
            "rail.no_node", node=place, rail=rail, last_rail=rails - 1, last_node=links
        )
