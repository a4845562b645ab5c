r"""Several rams on one supply: full pressure on each, flow shared, which moves.

Oil at rest has one pressure :math:`p` everywhere, so a ram of area :math:`A`
moves when :math:`p A` reaches its resistance, taken as :math:`R + k s` after a
stroke :math:`s`. The pump gives a constant flow until the supply pressure, where
it stalls. Left out: losses in hoses and valves, compression of the oil, friction
of the seals, weight. Nothing here moves back: resistances do not fall.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    pressure_from_force,
)
from workbook.mechanics.magnitudes import (
    called,
    finite,
    magnitude,
    more_than_zero,
    not_negative,
    numbers,
    one_number,
)
from workbook.mechanics.vectors import Array

Mask = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class Rams:
    """Rams on one line, each with what it works against.

    Parameters
    ----------
    areas : array_like, shape (n,)
        Areas the oil pushes on. [m^2]
    resistances : array_like, broadcast to (n,)
        Force at which each begins to move. [N]
    stiffness : array_like, broadcast to (n,)
        How the force grows with stroke; nought where it stays. [N/m]
    strokes : array_like, broadcast to (n,)
        Travel until the ram is fully out; without end if not given. [m]
    valves_open : array_like of bool, broadcast to (n,)
        False where a closed valve keeps the ram where it is.

    Raises
    ------
    OutOfRangeError
        If an area or stroke is not more than zero, a resistance or stiffness
        is negative, or a shape does not fit.

    Examples
    --------
    >>> Rams(areas=[1e-3, 2e-3], resistances=10e3).resistances.tolist()
    [10000.0, 10000.0]
    """

    areas: Array
    resistances: Array
    stiffness: Array = field(default_factory=lambda: np.array(0.0))
    strokes: Array = field(default_factory=lambda: np.array(np.inf))
    valves_open: Mask = field(default_factory=lambda: np.array(True))

    def __post_init__(self) -> None:
        areas = magnitude(self.areas, name="piston_area", unit="m^2")
        if areas.ndim != 1:
            raise OutOfRangeError("supply.one_a_ram", shape=areas.shape)
        given = {
            "areas": areas,
            "resistances": not_negative(self.resistances, name="resistance", unit="N"),
            "stiffness": not_negative(self.stiffness, name="stiffness", unit="N/m"),
            "strokes": more_than_zero(self.strokes, name="stroke", unit="m"),
            "valves_open": np.array(self.valves_open, dtype=bool),
        }
        for name, value in given.items():
            object.__setattr__(self, name, _one_a_ram(value, name, len(areas)))


def _one_a_ram(value: NDArray[Any], name: str, count: int) -> NDArray[Any]:
    """Give one value for all rams, or one for each, the shape (count,)."""
    try:
        return np.broadcast_to(value, (count,))
    except ValueError:
        raise OutOfRangeError(
            "supply.one_each", name=called(name), shape=value.shape, count=count
        ) from None


def greatest_forces(supply_pressure: ArrayLike, *, rams: Rams) -> Array:
    """Return the force each ram can reach: the full pressure on its own area.

    Parameters
    ----------
    supply_pressure : array_like, shape (...)
        Pressure at which the pump stalls. [Pa]
    rams : Rams

    Returns
    -------
    ndarray, shape (..., n)
        Nought where the valve is closed. [N]

    Raises
    ------
    OutOfRangeError
        If the pressure is negative.

    Examples
    --------
    >>> pair = Rams(areas=[1e-3, 2e-3], resistances=0)
    >>> greatest_forces(200e5, rams=pair).tolist()
    [20000.0, 40000.0]
    """
    pressure = numbers(supply_pressure, name="supply_pressure")[..., None]
    forces = force_from_pressure(pressure, piston_area=rams.areas)
    return np.where(rams.valves_open, forces, 0.0)


def moving_pressures(rams: Rams) -> Array:
    """Return the pressure at which each ram begins to move.

    Returns
    -------
    ndarray, shape (n,)
        Resistance over area, whether its valve is open or not. [Pa]

    Examples
    --------
    >>> moving_pressures(Rams(areas=[1e-3, 2e-3], resistances=[20e3, 30e3])).tolist()
    [20000000.0, 15000000.0]
    """
    return pressure_from_force(rams.resistances, piston_area=rams.areas)


def _one_pressure(value: Array) -> float:
    """Return the pressure of the one supply that all rams have."""
    return one_number(value, name="supply_pressure")


def order_of_movement(
    rams: Rams, *, supply_pressure: float = np.inf
) -> NDArray[np.intp]:
    """Return which rams move, first to last.

    The one that needs the least pressure moves first, whatever its size; rams
    that need the same are listed as they were given.

    Parameters
    ----------
    rams : Rams
    supply_pressure : float
        Rams that need this much or more do not move, for the pump stalls; nor do
        those whose valve is closed. [Pa]

    Returns
    -------
    ndarray of int, shape (k,), k <= n

    Raises
    ------
    OutOfRangeError
        If the pressure is not more than zero.

    Examples
    --------
    >>> three = Rams(areas=[2e-3, 1e-3, 1e-3], resistances=[30e3, 20e3, 10e3])
    >>> order_of_movement(three, supply_pressure=180e5).tolist()
    [2, 0]
    """
    limit = _one_pressure(
        more_than_zero(supply_pressure, name="supply_pressure", unit="Pa")
    )
    needed = moving_pressures(rams)
    order = np.argsort(needed, kind="stable")
    moves = rams.valves_open & (needed < limit)
    return order[moves[order]]


@dataclass(frozen=True, kw_only=True)
class RamTravel:
    """How rams come out, in k pieces with constant flows.

    A piece ends when a ram begins to move, is fully out, or the pump stalls. Its
    start and its end are a row each, so that a jump of pressure shows as two rows
    at one time; the last row is the stall.

    Attributes
    ----------
    times : ndarray, shape (2k + 1,)
        Since the pump began. [s]
    pressures : ndarray, shape (2k + 1,)
        Of the oil. [Pa]
    strokes : ndarray, shape (2k + 1, n)
        Of each ram. [m]
    flows : ndarray, shape (k, n)
        Oil into each ram during each piece. [m^3/s]
    fully_out : ndarray of bool, shape (n,)
        Rams that came to the end of their stroke.
    """

    times: Array
    pressures: Array
    strokes: Array
    flows: Array
    fully_out: Mask

    def strokes_at(self, times: ArrayLike) -> Array:
        """Return the strokes (..., n) [m] at times (...) [s]."""
        when = finite(times, name="time", unit="s")
        each = [np.interp(when, self.times, travel) for travel in self.strokes.T]
        return np.stack(each, axis=-1)

    def time_to_stroke(self, ram: int, *, stroke: float) -> float:
        """Return when a ram reaches a stroke [s]; refuse one it never reaches."""
        travel = self.strokes[:, ram]
        if not 0 <= stroke <= travel[-1]:
            raise OutOfRangeError(
                "supply.never_there", wanted=stroke, end=float(travel[-1])
            )
        end = max(1, int(np.searchsorted(travel, stroke)))
        piece = slice(end - 1, end + 1)
        return float(np.interp(stroke, travel[piece], self.times[piece]))


def extend_rams(rams: Rams, *, flow: float, supply_pressure: float) -> RamTravel:
    r"""Run the pump until it stalls.

    Exact between events. Rams against springs rise in pressure together and
    share the flow as :math:`A^2/k`; a ram against a constant force takes all of
    it until it is out, and several such rams that need the same pressure take
    equal shares, as through equal hoses.

    Parameters
    ----------
    rams : Rams
    flow : float
        Of the pump, constant below the supply pressure. [m^3/s]
    supply_pressure : float
        At which the pump stalls. [Pa]

    Returns
    -------
    RamTravel

    Raises
    ------
    OutOfRangeError
        If the flow or pressure is not more than zero, or a ram against a
        constant force has no end of stroke.

    Notes
    -----
    While rams move against springs, :math:`\dot p = Q / \sum (A_i^2 / k_i)` and
    :math:`\dot s_i = \dot p\, A_i / k_i`.

    Examples
    --------
    >>> pair = Rams(areas=[1e-3, 1e-3], resistances=[10e3, 15e3], strokes=0.1)
    >>> run = extend_rams(pair, flow=20e-6, supply_pressure=200e5)
    >>> run.times.tolist()
    [0.0, 5.0, 5.0, 10.0, 10.0]
    >>> (run.pressures / 1e5).round().tolist()
    [100.0, 100.0, 150.0, 150.0, 200.0]
    """
    oil = one_number(magnitude(flow, name="flow", unit="m^3/s"), name="flow")
    limit = _one_pressure(magnitude(supply_pressure, name="supply_pressure", unit="Pa"))
    begin = moving_pressures(rams)
    time, pressure, strokes = 0.0, 0.0, np.zeros(len(begin))
    rows: list[tuple[float, float, Array]] = []
    flows: list[Array] = []
    # Every piece ends with a ram that joins, a ram that is out, or the stall.
    while True:
        able = rams.valves_open & (strokes < rams.strokes)
        needed = np.where(able, begin, np.inf)
        pressure = max(pressure, float(needed.min()))
        if pressure >= limit:
            break
        rows.append((time, pressure, strokes))
        share, volume, pressure, strokes = _piece(
            rams, strokes, pressure=pressure, needed=needed, limit=limit
        )
        time += volume / oil
        flows.append(oil * share)
        rows.append((time, pressure, strokes))
    rows.append((time, limit, strokes))
    return RamTravel(
        times=np.array([row[0] for row in rows]),
        pressures=np.array([row[1] for row in rows]),
        strokes=np.array([row[2] for row in rows]),
        flows=np.array(flows).reshape(-1, len(strokes)),
        fully_out=strokes >= rams.strokes,
    )


def _piece(
    rams: Rams, strokes: Array, *, pressure: float, needed: Array, limit: float
) -> tuple[Array, float, float, Array]:
    """Run to the next event: shares of the oil, its volume, pressure and strokes."""
    # Pressures that differ by rounding only are one.
    moving = needed <= pressure * (1 + 1e-12)
    share, rise = _shares_of_oil(rams, moving)
    endless = np.full(len(share), np.inf)
    room = (rams.strokes - strokes) * rams.areas
    to_end = np.divide(room, share, out=endless, where=share > 0)
    goals = np.append(np.where(moving, np.inf, needed), limit)
    to_goal = (goals - pressure) / rise if rise > 0 else np.full(len(goals), np.inf)
    volume = float(min(to_end.min(), to_goal.min()))
    if volume == np.inf:
        raise OutOfRangeError("supply.without_end")
    goal = int(np.argmin(to_goal))
    reached = goals[goal] if to_goal[goal] <= volume else pressure + rise * volume
    moved = np.where(
        to_end <= volume * (1 + 1e-12),
        rams.strokes,
        strokes + share * volume / rams.areas,
    )
    return share, volume, float(reached), moved


def _shares_of_oil(rams: Rams, moving: Mask) -> tuple[Array, float]:
    """Return each ram's share (n,) of the oil, and the pressure a volume adds."""
    constant = moving & (rams.stiffness == 0)
    if np.any(constant):
        return constant / constant.sum(), 0.0
    # ds = A dp / k, so a ram takes A^2 / k of oil for each pascal.
    springs = np.where(moving, rams.stiffness, np.inf)
    oil_per_pascal = rams.areas**2 / springs
    total = float(oil_per_pascal.sum())
    return oil_per_pascal / total, 1 / total


@dataclass(frozen=True, kw_only=True)
class FirstLimit:
    """The part of any load path that reaches its rating first.

    ``ram`` and ``part`` are its places, ``ram_force`` [N] and ``pressure`` [Pa]
    what brings it there, and ``pressures`` (n, m) those of all parts, infinite
    for parts that carry nothing. No margin is taken off.
    """

    ram: int
    part: int
    ram_force: float
    pressure: float
    pressures: Array


def first_limit(
    factors: ArrayLike, *, ratings: ArrayLike, areas: ArrayLike
) -> FirstLimit:
    r"""Find the supply pressure at which the first part reaches its rating.

    Every ram on the line has the full pressure, so the first part of any of
    their load paths sets it for all.

    Parameters
    ----------
    factors : array_like, shape (n, m)
        Load on each part for one newton of its ram's force; nought where a
        path has fewer parts. [-]
    ratings : array_like, broadcast to (n, m)
        Of the parts. [N]
    areas : array_like, shape (n,)
        Piston areas of the rams. [m^2]

    Returns
    -------
    FirstLimit

    Raises
    ------
    OutOfRangeError
        If a factor is negative, a rating or area not more than zero, a shape
        does not fit, or no part carries anything.

    Notes
    -----
    Part j of ram i is at its rating at :math:`R_{ij} / (f_{ij} A_i)`.

    Examples
    --------
    >>> factors, ratings = [[1.09, 1.09, 0.63]], [40e3, 50e3, 30e3]
    >>> path = first_limit(factors, ratings=ratings, areas=[1e-3])
    >>> path.part, round(path.ram_force), round(path.pressure / 1e5)
    (0, 36697, 367)
    """
    loads = np.atleast_2d(not_negative(factors, name="load_per_ram_force"))
    rating = magnitude(ratings, name="rating", unit="N")
    area = magnitude(areas, name="piston_area", unit="m^2")
    try:
        rating = np.broadcast_to(rating, loads.shape)
        column = np.broadcast_to(area[:, None], (len(loads), 1))
    except (IndexError, ValueError):
        raise OutOfRangeError(
            "supply.shapes", factors=loads.shape, ratings=rating.shape, areas=area.shape
        ) from None
    carried = loads * column
    pressures = np.divide(
        rating, carried, out=np.full(loads.shape, np.inf), where=carried > 0
    )
    ram, part = np.unravel_index(np.argmin(pressures), pressures.shape)
    pressure = float(pressures[ram, part])
    if pressure == np.inf:
        raise OutOfRangeError("supply.nothing_carried")
    return FirstLimit(
        ram=int(ram),
        part=int(part),
        ram_force=float(pressure * column[ram, 0]),
        pressure=pressure,
        pressures=pressures,
    )
