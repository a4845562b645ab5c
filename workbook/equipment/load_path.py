"""One pull walked part by part: which part is nearest its own limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import called, finite, magnitude, refuse_where

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from workbook.equipment.shop import Ram
    from workbook.mechanics.vectors import Array

# In order; what a reader sees is their term below ``place``.
PLACES = ("ram", "head", "pull leg", "clamp", "anchor leg", "fork slot")


class Rated(Protocol):
    """A part with a name, a rating [N] or none, and where the rating comes from."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def rating(self) -> float | None:
        """What it may carry [N]."""

    @property
    def kind(self) -> str:
        """Where the rating comes from: ``standard``, ``invented`` ..."""

    @property
    def basis(self) -> str:
        """What the rating is for: ``lifting``, ``securing cargo``, ``invented`` ..."""


@dataclass(frozen=True, kw_only=True)
class PartLoad:
    """What one part of the load path carries.

    ``place`` in the path, ``name`` of the part, ``load`` (...) [N], ``rating`` [N],
    ``share`` (...) of the rating used [1], the ``kind`` of source the rating has and
    what it is for, its ``basis``.
    """

    place: str
    name: str
    load: Array
    rating: float
    share: Array
    kind: str
    basis: str


@dataclass(frozen=True, kw_only=True)
class LoadPath:
    """The parts of one pull from the ram to the clamp and to the fork slot.

    ``parts`` stand in the order of `PLACES`. ``governing`` (...) is the place of the
    part with the largest share, the first of equals, and ``largest_share`` (...) that
    share [1].
    ``highest_ram_force`` (...) [N] brings that part to its rating with the set-up
    held as it is, and ``highest_pressure`` (...) [Pa] gives that ram force.
    """

    parts: tuple[PartLoad, ...]
    governing: NDArray[np.str_]
    largest_share: Array
    highest_ram_force: Array
    highest_pressure: Array

    @property
    def has_invented_rating(self) -> bool:
        """Whether any rating in the path is invented for teaching."""
        return any(part.kind == "invented" for part in self.parts)


def load_path(
    *,
    ram_force: ArrayLike,
    pull_tension: ArrayLike,
    anchor_tension: ArrayLike,
    ram: Ram,
    head: Rated,
    pull_chain: Rated,
    clamp: Rated,
    anchor_chain: Rated,
    fork: Rated,
) -> LoadPath:
    r"""Give each part of a pull the share of its own rating that it uses.

    The head carries the ram force, the clamp the pull, the fork slot the anchor
    leg. Loads grow in step with the ram force while the set-up stays as it is:
    the weight of the parts and the drift of the head during the stroke are left out.

    Parameters
    ----------
    ram_force : array_like, shape (...)
        Force of the ram along its length. [N]
    pull_tension, anchor_tension : array_like, shape (...)
        Tension in the pull leg and in the anchor leg, at that ram force. [N]
    ram : Ram
        The ram; its bore turns the highest force into a pressure.
    head, pull_chain, clamp, anchor_chain, fork : Rated
        The other parts, each with its own rating.

    Returns
    -------
    LoadPath

    Raises
    ------
    OutOfRangeError
        If a part has no rating, the ram does not push, or a leg is pushed.

    Notes
    -----
    With load :math:`L_i` at ram force :math:`F` and rating :math:`R_i` the share is
    :math:`L_i / R_i`. The largest share governs, wherever the lowest rating stands,
    and the ram may push :math:`F / \max_i (L_i / R_i)`. That a securing is as strong
    as its weakest component in its place is the rule of 49 CFR 393.108 (a).

    Examples
    --------
    >>> from workbook.equipment import chain, pick, shop
    >>> leg = chain(standard="EN 818-2", grade="8", size_mm=10)
    >>> path = load_path(
    ...     ram_force=20e3, pull_tension=21.7e3, anchor_tension=12.7e3,
    ...     ram=pick(shop().rams, "ram 42"), head=pick(shop().heads, "large head"),
    ...     pull_chain=leg, clamp=pick(shop().clamps, "broad clamp"),
    ...     anchor_chain=leg, fork=pick(shop().forks, "long fork"),
    ... )
    >>> str(path.governing), round(float(path.largest_share), 3)
    ('pull leg', 0.702)
    >>> round(float(path.highest_ram_force))
    28471
    """
    force, pull, anchor = np.broadcast_arrays(
        magnitude(ram_force, name="ram_force", unit="N"),
        _tension(pull_tension, name="pull_tension"),
        _tension(anchor_tension, name="anchor_tension"),
    )
    loads = (force, force, pull, pull, anchor, anchor)
    chosen = (ram, head, pull_chain, clamp, anchor_chain, fork)
    parts = tuple(
        _part_load(place, part, load)
        for place, part, load in zip(PLACES, chosen, loads, strict=True)
    )
    shares = np.stack([part.share for part in parts])
    largest = shares.max(axis=0)
    highest = force / largest
    return LoadPath(
        parts=parts,
        governing=np.array(PLACES)[shares.argmax(axis=0)],
        largest_share=largest,
        highest_ram_force=highest,
        highest_pressure=ram.pressure_for(highest),
    )


def _tension(value: ArrayLike, *, name: str) -> Array:
    """Read a tension; refuse a chain that is pushed."""
    tension = finite(value, name=name, unit="N")
    refuse_where(tension < 0, "equipment.pushed", name=called(name), tension=tension)
    return tension


def _part_load(place: str, part: Rated, load: Array) -> PartLoad:
    """Return what ``part`` carries, or refuse it: no tag, no use."""
    rating = part.rating
    if rating is None or not 0 < rating < np.inf:
        raise OutOfRangeError(
            "equipment.no_rating", place=f"place.{place}", name=part.name
        )
    return PartLoad(
        place=place,
        name=part.name,
        load=load[()],
        rating=rating,
        share=np.asarray(load / rating)[()],
        kind=part.kind,
        basis=part.basis,
    )
