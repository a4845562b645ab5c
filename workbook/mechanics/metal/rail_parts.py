"""Rails, clamps, pulls, springs and stages, checked and turned into arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import (
    Name,
    called,
    finite,
    magnitude,
    numbers,
    one_number,
    refuse_where,
)
from workbook.mechanics.metal.rail_balance import Arrangement
from workbook.mechanics.metal.sections import Section
from workbook.mechanics.vectors import Array, norm, unit

Node = tuple[int, int]
"""A rail and one of its nodes: 0 is the root, n the tip."""


@dataclass(frozen=True, kw_only=True)
class Rail:
    """A chain of links before any damage; see `uniform_rail` for a steel tube.

    Parameters
    ----------
    root : array_like, shape (3,)
        Where the rail is built in. [m]
    along, upward : array_like, shape (3,)
        Directions of the straight rail and of its upper side. [-]
    link_length : array_like, shape (n,)
        From the root to the tip. [m]
    stiffness : array_like, shape (n, 3)
        Of each link's hinge about the lateral axis and about the vertical axis,
        and along the link. [N m/rad, N m/rad, N/m]
    yield_load : array_like, shape (n, 3)
        Where each of them begins to yield. [N m, N m, N]
    hardening_ratio : array_like, broadcast to shape (n, 3)
        Slope past yield over elastic slope, from 0 to below 1. [1]
    """

    root: ArrayLike
    along: ArrayLike
    upward: ArrayLike = (0.0, 0.0, 1.0)
    link_length: ArrayLike
    stiffness: ArrayLike
    yield_load: ArrayLike
    hardening_ratio: ArrayLike

    def __post_init__(self) -> None:
        _read(self, *(part.name for part in fields(self)))


@dataclass(frozen=True, kw_only=True)
class Spring:
    """An elastic tie from a node to the bench or to a node of the other rail.

    Parameters
    ----------
    node : (int, int)
        Rail and node it holds.
    other : (int, int), optional
        Rail and node of its other end; without it, the bench.
    stiffness : array_like, shape (3,)
        Against movement along x, y and z. [N/m]
    in_place : bool
        False if a stage fits it later, where the nodes are then.
    """

    node: Node
    other: Node | None = None
    stiffness: ArrayLike
    in_place: bool = True

    def __post_init__(self) -> None:
        _read(self, "stiffness")


@dataclass(frozen=True, kw_only=True)
class RailClamp:
    """A place to pull at: its ``node`` and the ``rating`` [N] at which it tears."""

    node: Node
    rating: float = np.inf


@dataclass(frozen=True, kw_only=True)
class RailPull:
    """A force at a clamp: toward a fixed ``head`` [m], or in one ``direction``."""

    clamp: str
    head: ArrayLike | None = None
    direction: ArrayLike | None = None

    def __post_init__(self) -> None:
        _read(self, *(n for n in ("head", "direction") if getattr(self, n) is not None))


@dataclass(frozen=True, kw_only=True)
class FrontEnd:
    """Rails with the same number of links, and all that holds and pulls them."""

    rails: Sequence[Rail]
    clamps: Mapping[str, RailClamp] = field(default_factory=dict)
    pulls: Mapping[str, RailPull] = field(default_factory=dict)
    springs: Mapping[str, Spring] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _keep(self, "clamps", "pulls", "springs")


@dataclass(frozen=True, kw_only=True)
class Relief:
    """Hammering of a rail's ``hinges`` while a stage lasts.

    By its end, the yield limit and the locked-in load are down by ``fraction``;
    then the yield limit comes back. Hinge 0 is at the root.
    """

    rail: int
    hinges: Sequence[int]
    fraction: float


@dataclass(frozen=True, kw_only=True)
class RailStage:
    """What happens next, all of it ramping up together; the rest stays as it is.

    Parameters
    ----------
    name : str
        For the history and for refusals.
    forces : mapping of str to float
        Pulls driven by force, and the force at the end of the stage. [N]
    travels : mapping of str to float
        Pulls driven by travel, and how much further their clamps are drawn along
        the pull in this stage; 0 locks the chain. A locked chain stays locked
        until a force is named, and can go slack. [m]
    fit, take_out : sequence of str
        Springs fitted at the start, or cut away in the course, of the stage.
    relief : sequence of Relief
        Hinges hammered in the course of the stage.
    """

    name: str
    forces: Mapping[str, float] = field(default_factory=dict)
    travels: Mapping[str, float] = field(default_factory=dict)
    fit: Sequence[str] = ()
    take_out: Sequence[str] = ()
    relief: Sequence[Relief] = ()

    def __post_init__(self) -> None:
        _keep(self, "forces", "travels")


def uniform_rail(
    *,
    root: ArrayLike,
    along: ArrayLike,
    length: float,
    links: int,
    upright: Section,
    sideways: Section,
    youngs_modulus: float,
    yield_stress: float,
    hardening_ratio: ArrayLike,
    upward: ArrayLike = (0.0, 0.0, 1.0),
) -> Rail:
    """Cut a uniform tube into links.

    Each hinge bends as the tube between the middles of its two links does, the
    root hinge as half a link; a hinge yields at the plastic moment.

    Parameters
    ----------
    root, along, upward
        As for `Rail`.
    length : float
        Of the tube. [m]
    links : int
        Into which it is cut.
    upright, sideways : Section
        The section for bending about the lateral and the vertical axis.
    youngs_modulus, yield_stress : float
        Of the metal. [Pa]
    hardening_ratio : array_like, broadcast to shape (links, 3)
        Slope past yield over elastic slope. [1]

    Returns
    -------
    Rail
        With ``links`` equal links.

    Notes
    -----
    Hinges at the nodes of the trapezoid rule for unit-load integration: elastic
    deflections converge with the square of the link length.

    Examples
    --------
    >>> from workbook.mechanics.metal.sections import BoxSection
    >>> tube = BoxSection(width=0.06, depth=0.06, thickness=0.002)
    >>> rail = uniform_rail(
    ...     root=(0, 0, 0), along=(1, 0, 0), length=0.6, links=6, upright=tube,
    ...     sideways=tube, youngs_modulus=210e9, yield_stress=300e6,
    ...     hardening_ratio=0.02,
    ... )
    >>> np.shape(rail.stiffness)
    (6, 3)
    """
    count, length = one_number(links, name="links"), one_number(length, name="length")
    magnitude(length, name="length", unit="m")
    magnitude([youngs_modulus, yield_stress], name="modulus_or_yield_stress", unit="Pa")
    if not (1 <= count < np.inf and count == int(count)):
        raise OutOfRangeError("rail.no_links", count=count)
    link = length / links
    bending = youngs_modulus * np.array([upright.second_moment, sideways.second_moment])
    stiffness = np.empty((links, 3))
    stiffness[:, :2] = bending / link
    stiffness[0, :2] = bending / (link / 2)
    stiffness[:, 2] = youngs_modulus * upright.area / link
    limits = [
        upright.plastic_section_modulus,
        sideways.plastic_section_modulus,
        upright.area,
    ]
    return Rail(
        root=root,
        along=along,
        upward=upward,
        link_length=np.full(links, link),
        stiffness=stiffness,
        yield_load=yield_stress * np.tile(limits, (links, 1)),
        hardening_ratio=hardening_ratio,
    )


def pull_hold_release(
    pull: str, *, force: float
) -> tuple[RailStage, RailStage, RailStage]:
    """Return the three stages of one pull driven to ``force`` [N]."""
    return (
        RailStage(name=f"pull {pull}", forces={pull: force}),
        RailStage(name=f"hold {pull}"),
        RailStage(name=f"release {pull}", forces={pull: 0.0}),
    )


def arrange(front_end: FrontEnd) -> Arrangement:
    """Check a front end and turn it into arrays.

    Raises
    ------
    OutOfRangeError
        If any of it makes no sense.
    """
    rails = [_checked(rail) for rail in front_end.rails]
    counts = [len(rail["link_length"]) for rail in rails]
    if len(set(counts)) != 1:
        raise OutOfRangeError("rail.unequal", counts=counts)
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
    springs = front_end.springs.values()
    # The bench end of a spring is a root, which does not move.
    nodes = [
        *(front_end.clamps[pull.clamp].node for pull in front_end.pulls.values()),
        *(spring.node for spring in springs),
        *(spring.other or (0, 0) for spring in springs),
    ]
    for node in [*nodes, *(clamp.node for clamp in front_end.clamps.values())]:
        _refuse_missing(node, rails=len(rails), links=counts[0])
    rail, place = np.array(nodes, dtype=np.intp).reshape(-1, 2).T
    to_head = [pull.head is not None for pull in front_end.pulls.values()]
    return Arrangement(
        **{name: np.stack([one[name] for one in rails]) for name in rails[0]},
        point_rail=rail,
        point_node=place,
        spring_stiffness=np.array(
            [_not_negative(s.stiffness, 3, "spring_stiffness", "N/m") for s in springs]
        ).reshape(-1, 3),
        head=_heads(front_end.pulls),
        to_head=np.array(to_head, dtype=bool),
    )


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


def _read(part: Rail | Spring | RailPull, *names: str) -> None:
    """Read fields of a part while it is being made, as arrays of its own."""
    for name in names:
        array = numbers(getattr(part, name), name=_CALLED.get(name, name))
        object.__setattr__(part, name, array)


def _keep(part: FrontEnd | RailStage, *names: str) -> None:
    """Keep mappings of a part while it is being made, as they are now."""
    for name in names:
        kept = MappingProxyType(dict(getattr(part, name)))
        object.__setattr__(part, name, kept)


# What a field is called where its own name is another quantity's.
_CALLED = {"along": "rail_direction", "upward": "rail_upward", "direction": "pull"}


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
