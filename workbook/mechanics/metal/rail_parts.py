"""Rails and a crossmember, clamps, pulls, springs and stages, as they are given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import magnitude, numbers, one_number
from workbook.mechanics.metal.sections import Section

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
class Crossmember:
    """A beam from rail to rail, in two halves; see `uniform_crossmember`.

    Each half is a chain of links like a rail's, welded to the link that ends at its
    node and joined to the other half by an elastic joint in the middle. Stage and
    acts call it "crossmember": once taken out, it stays out.

    Parameters
    ----------
    ends : ((int, int), (int, int))
        Rail and node at either end, on two rails.
    half : Rail
        Links from a rail to the middle, as many as a rail has. Where it is rooted
        and where it runs follow from the ends. As chains with nodes, the halves
        come after the rails, in the order of ``ends``.
    joint : array_like, shape (4,)
        Stiffness of the joint about the lateral axis, about the vertical axis, in
        twist, and against coming apart. [N m/rad, N m/rad, N m/rad, N/m]
    """

    ends: tuple[Node, Node]
    half: Rail
    joint: ArrayLike

    def __post_init__(self) -> None:
        _read(self, "joint")


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


@dataclass(frozen=True, kw_only=True, eq=False)
class FrontEnd:
    """Rails with the same number of links, and all that holds and pulls them."""

    rails: Sequence[Rail]
    crossmember: Crossmember | None = None
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


def uniform_crossmember(
    *,
    ends: tuple[Node, Node],
    length: float,
    links: int,
    upright: Section,
    sideways: Section,
    torsion_constant: float,
    youngs_modulus: float,
    shear_modulus: float,
    yield_stress: float,
    hardening_ratio: ArrayLike,
) -> Crossmember:
    """Cut a uniform tube into two halves of links between two rails.

    The joint bends as the tube between the middles of its two links does, twists
    as the whole tube, and comes apart no easier than one link stretches.

    Parameters
    ----------
    ends : ((int, int), (int, int))
        Rail and node at either end.
    length : float
        Between them. [m]
    links : int
        Of each half: as many as a rail has.
    upright, sideways, youngs_modulus, yield_stress, hardening_ratio
        As for `uniform_rail`.
    torsion_constant : float
        Of the section. [m^4]
    shear_modulus : float
        Of the metal. [Pa]

    Returns
    -------
    Crossmember

    Examples
    --------
    >>> from workbook.mechanics.metal.sections import BoxSection
    >>> tube = BoxSection(width=0.06, depth=0.06, thickness=0.002)
    >>> beam = uniform_crossmember(
    ...     ends=((0, 5), (1, 5)), length=0.8, links=6, upright=tube, sideways=tube,
    ...     torsion_constant=tube.torsion_constant, youngs_modulus=210e9,
    ...     shear_modulus=81e9, yield_stress=300e6, hardening_ratio=0.02,
    ... )
    >>> [f"{stiffness:.3g}" for stiffness in beam.joint]
    ['8.2e+05', '8.2e+05', '3.95e+04', '1.46e+09']
    """
    constant = one_number(torsion_constant, name="torsion_constant")
    modulus = one_number(shear_modulus, name="shear_modulus")
    magnitude(constant, name="torsion_constant", unit="m^4")
    magnitude(modulus, name="shear_modulus", unit="Pa")
    length = one_number(length, name="length")
    half = uniform_rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        length=length / 2,
        links=links,
        upright=upright,
        sideways=sideways,
        youngs_modulus=youngs_modulus,
        yield_stress=yield_stress,
        hardening_ratio=hardening_ratio,
    )
    bending, stretch = np.split(np.asarray(half.stiffness)[-1], [2])
    if links == 1:  # whose only hinge is the half one at the rail
        bending = bending / 2
    twist = modulus * constant / length
    return Crossmember(ends=ends, half=half, joint=[*bending, twist, *stretch])


def pull_hold_release(
    pull: str, *, force: float
) -> tuple[RailStage, RailStage, RailStage]:
    """Return the three stages of one pull driven to ``force`` [N]."""
    return (
        RailStage(name=f"pull {pull}", forces={pull: force}),
        RailStage(name=f"hold {pull}"),
        RailStage(name=f"release {pull}", forces={pull: 0.0}),
    )


def _read(part: Rail | Crossmember | Spring | RailPull, *names: str) -> None:
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
