"""The front rails of the invented Kestrin 5, before the crash."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.language import say
from workbook.mechanics.metal.rail_parts import (
    Crossmember,
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    Spring,
    uniform_crossmember,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Mapping

SIDES = ("left", "right")
_STEEL = ("youngs_modulus", "yield_stress", "hardening_ratio")


def invented() -> str:
    """Return what a reader of any of these numbers must know."""
    return say("scene", "rail")


def kestrin_front_end(*, wall: float | None = None) -> FrontEnd:
    """Return the undamaged front end: rail 0 is the left one, rail 1 the right.

    All of it is invented (`invented` says so to a reader).

    Parameters
    ----------
    wall : float, optional
        Of both rails, where another car's is wanted. [m]

    Examples
    --------
    >>> front_end = kestrin_front_end()
    >>> sorted(front_end.springs)
    ['crossmember', 'left stand', 'right stand']
    """
    data = read_rail_data()
    tube = data["rail"] if wall is None else {**data["rail"], "wall": wall}
    return FrontEnd(
        rails=[_rail(tube, root=data["root_of"][side]) for side in SIDES],
        clamps={name: RailClamp(**_placed(row)) for name, row in data["clamp"].items()},
        pulls={name: RailPull(**row) for name, row in data["pull"].items()},
        springs={name: Spring(**_placed(row)) for name, row in data["spring"].items()},
    )


def kestrin_front(*, crossmember: bool = True) -> FrontEnd:
    """Return the undamaged metal of the bay; pulls and holds come with the acts.

    Parameters
    ----------
    crossmember : bool
        Whether it is on: a beam, where `kestrin_front_end` has a tie.

    Examples
    --------
    >>> from workbook.mechanics.metal.front import places, undamaged
    >>> front = kestrin_front()
    >>> places(front, undamaged(front))["left tip"].round(3).tolist()
    [1.54, 0.44, 0.42]
    """
    beam = kestrin_crossmember() if crossmember else None
    return replace(kestrin_front_end(), pulls={}, springs={}, crossmember=beam)


def kestrin_crossmember(*, bow_share: float | None = None) -> Crossmember:
    """Return the beam between the rails, of another bow where another car's is wanted.

    Parameters
    ----------
    bow_share : float, optional
        What the bow leaves of the tube along its length. [1]
    """
    data = read_rail_data()
    row = _placed(data["crossmember"])
    bow = {} if bow_share is None else {"bow_share": bow_share}
    return _crossmember({**row, **bow}, rails=data)


def kestrin_rail(side: str, *, wall: float | None = None) -> Rail:
    """Return one of the undamaged rails by itself, of another wall if given [m]."""
    data = read_rail_data()
    row = data["rail"] if wall is None else {**data["rail"], "wall": wall}
    return _rail(row, root=data["root_of"][side])


@cache
def read_rail_data() -> dict[str, Any]:
    """Return ``rail.toml``, every column that has a unit in SI."""
    text = files("workbook.scenes").joinpath("rail.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    unit = data["unit"]

    def in_si(name: str, value: Any) -> Any:
        if isinstance(value, dict):
            return {key: in_si(key, item) for key, item in value.items()}
        if name not in unit or isinstance(value, str):
            return value
        return (np.asarray(value) * factor(unit[name])).tolist()

    return {name: in_si(name, value) for name, value in data.items()}


def _rail(row: Mapping[str, Any], *, root: list[float]) -> Rail:
    """Return a tube whose crush beads leave a share of it along its length."""
    rail = uniform_rail(
        root=root,
        along=(1, 0, 0),
        length=row["length"],
        links=row["links"],
        **_tube(row),
    )
    return _weaker(rail, row["crush_share"])


def _crossmember(row: Mapping[str, Any], *, rails: Mapping[str, Any]) -> Crossmember:
    """Return a tube whose bow leaves a share of it along its length."""
    tube = _tube(row)
    beam = uniform_crossmember(
        ends=(row["node"], row["other"]),
        length=rails["root_of"]["left"][1] - rails["root_of"]["right"][1],
        links=rails["rail"]["links"],
        torsion_constant=tube["upright"].torsion_constant,
        shear_modulus=row["shear_modulus"],
        **tube,
    )
    return replace(beam, half=_weaker(beam.half, row["bow_share"]))


def _tube(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return section both ways and steel of a tube, as a uniform beam is given."""
    width, depth = row["width"], row["depth"]
    return {
        "upright": BoxSection(depth=depth, width=width, thickness=row["wall"]),
        "sideways": BoxSection(depth=width, width=depth, thickness=row["wall"]),
        **{name: row[name] for name in _STEEL},
    }


def _weaker(rail: Rail, share: float) -> Rail:
    """Return a rail of which a share is left along its length."""
    left = np.array([1, 1, share])
    return replace(
        rail,
        stiffness=left * np.asarray(rail.stiffness),
        yield_load=left * np.asarray(rail.yield_load),
    )


def _placed(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a row with its nodes as rail and node numbers."""
    nodes = {
        end: (SIDES.index(row[end][0]), row[end][1])
        for end in ("node", "other")
        if end in row
    }
    return {**row, **nodes}
