"""The invented shop: rams, extensions, heads, clamps, chain forks and its chains."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

import numpy as np

from workbook.equipment.chains import Chain, chain
from workbook.equipment.references import in_si, read_data
from workbook.errors import OutOfRangeError
from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    piston_area,
    pressure_from_force,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

    from workbook.mechanics.vectors import Array


@dataclass(frozen=True, kw_only=True)
class Part:
    """What every invented part has: a name, and the word that it is invented."""

    name: str
    kind: str
    source: str

    @property
    def basis(self) -> str:
        """What a rating of it rests on."""
        return self.kind


@dataclass(frozen=True, kw_only=True)
class Ram(Part):
    """A hydraulic ram in its swivelling socket base.

    ``closed_length``, ``full_stroke`` and ``bore`` [m], ``rated_force`` [N] and
    ``swivel_limit_from_vertical`` of the socket base [rad].
    """

    closed_length: float
    full_stroke: float
    bore: float
    rated_force: float
    swivel_limit_from_vertical: float

    @property
    def rating(self) -> float:
        """What it may push: the rated force [N]."""
        return self.rated_force

    @cached_property
    def area(self) -> Array:
        """Area that the oil presses on [m²]."""
        return piston_area(self.bore)

    def force_at(self, pressure: ArrayLike) -> Array:
        """Return the force at a gauge ``pressure`` (...) [Pa], shape (...) [N]."""
        return force_from_pressure(pressure, piston_area=self.area)

    def pressure_for(self, ram_force: ArrayLike) -> Array:
        """Return the gauge pressure for a ``ram_force`` (...) [N], shape (...) [Pa]."""
        return pressure_from_force(ram_force, piston_area=self.area)


@dataclass(frozen=True, kw_only=True)
class Extension(Part):
    """A tube that raises the ram's head by ``length`` [m]."""

    length: float


@dataclass(frozen=True, kw_only=True)
class Head(Part):
    """What holds the chain at the ram's top; ``rating`` [N]."""

    rating: float


@dataclass(frozen=True, kw_only=True)
class Clamp(Part):
    """What grips the metal; ``rating`` [N] and ``jaw_width`` [m]."""

    rating: float
    jaw_width: float


@dataclass(frozen=True, kw_only=True)
class ChainFork(Part):
    """The slotted bar on the bench; ``rating`` of one slot [N], ``slot_spacing`` [m].

    The number of ``slots`` is odd: one lies on the set-out line.
    """

    rating: float
    slot_spacing: float
    slots: int

    @property
    def slot_offsets(self) -> NDArray[np.float64]:
        """Fork offset of every slot, plus to the left, shape (slots,) [m]."""
        half = self.slots // 2
        return self.slot_spacing * np.arange(-half, half + 1, dtype=float)


@dataclass(frozen=True, kw_only=True)
class Shop:
    """Everything the invented shop has."""

    rams: tuple[Ram, ...]
    extensions: tuple[Extension, ...]
    heads: tuple[Head, ...]
    clamps: tuple[Clamp, ...]
    forks: tuple[ChainFork, ...]
    chains: tuple[Chain, ...]


class Named(Protocol):
    """Anything with a name."""

    @property
    def name(self) -> str:
        """What it is called."""


Kind = TypeVar("Kind", bound=Named)


def pick(parts: Sequence[Kind], name: str) -> Kind:
    """Return the part called ``name``.

    Parameters
    ----------
    parts : sequence
        Parts of one sort, such as ``shop().rams``.
    name : str
        Name of the part wanted.

    Raises
    ------
    OutOfRangeError
        If none of the parts is called so.

    Examples
    --------
    >>> pick(shop().clamps, "broad clamp").rating
    50000.0
    """
    for part in parts:
        if part.name == name:
            return part
    raise OutOfRangeError(
        "equipment.no_part", name=name, known=[part.name for part in parts]
    )


@cache
def shop() -> Shop:
    """Return the invented shop.

    Examples
    --------
    >>> [ram.name for ram in shop().rams]
    ['ram 30', 'ram 42', 'ram 48']
    >>> shop().forks[0].slot_offsets.tolist()
    [-0.1, -0.05, 0.0, 0.05, 0.1]
    """
    data = read_data("shop.toml")

    def made(part: type[Any], entries: str) -> tuple[Any, ...]:
        return tuple(
            part(
                kind=data["kind"],
                source=data["source"],
                **in_si(row, unit=data["unit"]),
            )
            for row in data[entries]
        )

    return Shop(
        rams=made(Ram, "ram"),
        extensions=made(Extension, "extension"),
        heads=made(Head, "head"),
        clamps=made(Clamp, "clamp"),
        forks=made(ChainFork, "fork"),
        chains=tuple(chain(**row) for row in data["chain"]),
    )
