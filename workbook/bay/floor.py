"""The bay's floor: where rams, forks, chains, clamps and people can be."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.quantities.units import factor
from workbook.scenes.kestrin import read_kestrin_data
from workbook.scenes.kestrin_rail import SIDES
from workbook.scenes.planning import PlacedFork

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.mechanics.metal.rail_parts import Node
    from workbook.mechanics.vectors import Array


@dataclass(frozen=True, kw_only=True, eq=False)
class BayFloor:
    """Places by name, in the bench's frame: heights are above its top.

    Attributes
    ----------
    sockets, posts, stations : mapping of str to ndarray, shape (3,)
        Where a ram's base may stand, rings of the bench, and where the pinch
        welds take a clamp. [m]
    forks : mapping of str to PlacedFork
        Chain forks on the bench.
    post_rating : float
        Of one ring. [N]
    places : mapping of str to (int, int)
        Where the metal takes a clamp: rail and node.
    tear : float
        What the sheet stands there. [N]
    ties : mapping of str to str
        What a safety cable can be tied to, and what is wrong with it, if anything.
    people : mapping of str to (float, float)
        Who is in the bay, and where at first, in plan. [m]
    """

    sockets: Mapping[str, Array]
    forks: Mapping[str, PlacedFork]
    posts: Mapping[str, Array]
    post_rating: float
    stations: Mapping[str, Array]
    places: Mapping[str, Node]
    tear: float
    ties: Mapping[str, str]
    people: Mapping[str, tuple[float, float]]


@cache
def read_bay_data() -> dict[str, Any]:
    """Return ``bay.toml`` as it stands, in the units its names end with."""
    text = files(__package__).joinpath("bay.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def bay_floor() -> BayFloor:
    """Return the floor of the practice bay.

    Examples
    --------
    >>> floor = bay_floor()
    >>> floor.sockets["ahead left"].tolist(), floor.places["left tip"]
    ([2.56, 0.44, 0.0], (0, 8))
    """
    data, mm, kn = read_bay_data(), factor("mm"), factor("kN")
    to_side = {"left": np.array([1, 1, 1]), "right": np.array([1, -1, 1])}
    return BayFloor(
        sockets=_on_bench(data["socket"]),
        forks={
            name: PlacedFork(
                name=row["part"],
                middle=[*(mm * np.array(row["middle"], dtype=float)), 0.0],
                looking_out=row["looking_out_deg"] * factor("deg"),
            )
            for name, row in data["fork"].items()
        },
        posts=_on_bench(data["post"]["at"]),
        post_rating=data["post"]["rating_kn"] * kn,
        stations={
            f"{side} {name}": mm * np.array(at, dtype=float) * to_side[side]
            for name, at in data["station"]["at"].items()
            for side in SIDES
        },
        places={
            f"{side} {name}": (number, node)
            for number, side in enumerate(SIDES)
            for name, node in data["place"]["node"].items()
        },
        tear=data["place"]["tear_kn"] * kn,
        ties=data["cable"],
        people={name: (mm * at[0], mm * at[1]) for name, at in data["person"].items()},
    )


def bench_top() -> float:
    """Return how high the bench's top lies above the datum plane. [m]"""
    return float(read_kestrin_data()["bench"]["top_mm"] * factor("mm"))


def above_bench(points: Array) -> Array:
    """Return points of the car, heights above the datum plane, in the bench's frame."""
    return np.asarray(points - np.array([0.0, 0.0, bench_top()]))


def above_datum(points: Array) -> Array:
    """Return points of the bench's frame in the car's, heights above the datum."""
    return np.asarray(points + np.array([0.0, 0.0, bench_top()]))


def _on_bench(places: Mapping[str, list[float]]) -> dict[str, Array]:
    mm = factor("mm")
    return {name: np.array([mm * x, mm * y, 0.0]) for name, (x, y) in places.items()}
