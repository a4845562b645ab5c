"""What holds a body on the bench: clamps both ways, stands that only push.

The places of one layout are (n, 3), those of many layouts at once (..., n, 3).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.holding.wrenches import components, direction_of, moved_wrench
from workbook.mechanics.magnitudes import called, more_than_zero, not_negative, numbers
from workbook.mechanics.vectors import Array, norm


@dataclass(frozen=True, kw_only=True)
class Clamps:
    """Clamps that hold the body both ways in three directions.

    Parameters
    ----------
    positions : array_like, shape (..., n, 3)
        Middle of each jaw. [m]
    stiffness : array_like, broadcast to (..., n, 3)
        Along the clamp's three axes; nought where it slides freely. [N/m]
    axes : array_like, broadcast to (..., n, 3, 3)
        Rows are unit vectors: along the flange, the way the jaws squeeze, and
        across both. The vehicle's own axes if not given, as on a pinch weld
        that runs along x.
    ratings : array_like, broadcast to (..., n)
        Greatest force on each clamp; none if not given. [N]
    slip_limits : array_like, broadcast to (..., n)
        Force in the plane of the flange at which the jaws slide. [N]
    turning_stiffness : array_like, broadcast to (..., n, 3)
        Against turning about the clamp's three axes, as a built-in end has it;
        none if not given. [N m/rad]

    Raises
    ------
    OutOfRangeError
        If a shape does not fit, a stiffness is negative, a limit is not more
        than zero, or the axes are not at right angles.

    Examples
    --------
    >>> Clamps(positions=[[0, 0, 0], [1, 0, 0]], stiffness=2e6).stiffness.shape
    (2, 3)
    """

    positions: Array
    stiffness: Array
    axes: Array = field(default_factory=lambda: np.eye(3))
    ratings: Array = field(default_factory=lambda: np.array(np.inf))
    slip_limits: Array = field(default_factory=lambda: np.array(np.inf))
    turning_stiffness: Array = field(default_factory=lambda: np.array(0.0))

    def __post_init__(self) -> None:
        points = _places(self.positions, name="clamp_positions")
        each = points.shape[:-1]
        axes = _spread(self.axes, (3, 3), name="clamp_axes", each=each)
        if not np.allclose(axes @ np.swapaxes(axes, -1, -2), np.eye(3), atol=1e-6):
            raise OutOfRangeError("anchoring.axes")
        _keep(self, positions=points, axes=axes)
        _keep(self, stiffness=_spring_rates(self.stiffness, (3,), each=each))
        turning = not_negative(
            self.turning_stiffness, name="turning_stiffness", unit="N m/rad"
        )
        turning = _spread(turning, (3,), name="turning_stiffness", each=each)
        _keep(self, turning_stiffness=turning)
        _keep(self, ratings=_limits(self.ratings, name="rating", each=each))
        _keep(self, slip_limits=_limits(self.slip_limits, name="slip_limit", each=each))


@dataclass(frozen=True, kw_only=True)
class Stands:
    """Stands and blocks: they push the body and cannot pull it.

    Parameters
    ----------
    positions : array_like, shape (..., m, 3)
        Where each touches the body. [m]
    normals : array_like, broadcast to (..., m, 3)
        The way each pushes the body, any length; up if not given. A slack chain
        does the same, along its own line.
    stiffness : array_like, broadcast to (..., m)
        Along the normal. [N/m]
    ratings : array_like, broadcast to (..., m)
        Greatest push; none if not given. [N]

    Raises
    ------
    OutOfRangeError
        If a shape does not fit, a normal has no direction, or a number is out
        of range.

    Examples
    --------
    >>> Stands(positions=[[0, 0, 0]], stiffness=5e6).normals.tolist()
    [[0.0, 0.0, 1.0]]
    """

    positions: Array
    stiffness: Array
    normals: Array = field(default_factory=lambda: np.array([0.0, 0.0, 1.0]))
    ratings: Array = field(default_factory=lambda: np.array(np.inf))

    def __post_init__(self) -> None:
        points = _places(self.positions, name="stand_positions")
        each = points.shape[:-1]
        normals = _spread(self.normals, (3,), name="stand_normals", each=each)
        _keep(self, positions=points, normals=direction_of(normals, name="stand"))
        _keep(self, stiffness=_spring_rates(self.stiffness, (), each=each))
        _keep(self, ratings=_limits(self.ratings, name="rating", each=each))


@dataclass(frozen=True)
class Springs:
    """All supports as springs, scaled so that their rank can be judged.

    ``rows`` (..., s, 6) is the matrix A of `anchoring.share_load`, ``root`` (..., s)
    the root of the scaled stiffness, ``one_way`` (s,) the stands. ``stiffest`` (...),
    ``centre`` (..., 3) and ``length`` (...) are what they are scaled by.
    """

    rows: Array
    root: Array
    one_way: NDArray[np.bool_]
    stiffest: Array
    centre: Array
    length: Array

    @classmethod
    def of(cls, clamps: Clamps | None, stands: Stands | None) -> Springs:
        """Return the springs of clamps, three each, of stands, one each.

        Last come the turning springs of the clamps, three each, if there are any.
        """
        points, lines, rates, one_way = _laid_out(clamps, stands)
        stiffest = rates.max(axis=-1, initial=0.0)
        nothing = stiffest == 0
        if nothing.ndim == 0 and nothing:
            raise MechanismError("anchoring.no_stiffness")
        stiffest = np.where(nothing, 1.0, stiffest)
        working = (rates > 0)[..., None]
        count = np.maximum(working.sum(axis=-2), 1)
        centre = (points * working).sum(axis=-2) / count
        away = (points - centre[..., None, :]) * working
        spread = np.sqrt((norm(away) ** 2).sum(axis=-1) / count[..., 0])
        # Supports all in one place: no length of their own, only rounding.
        farthest = np.abs(points * working).max(axis=(-2, -1))
        length = np.where(spread > 1e-9 * farthest, spread, 1.0)
        arms = np.cross(
            (points - centre[..., None, :]) / length[..., None, None], lines
        )
        root = np.sqrt(rates / stiffest[..., None])
        rows = root[..., None] * np.concatenate([lines, arms], axis=-1)
        if clamps is not None and np.any(clamps.turning_stiffness):
            each = (*rates.shape[:-1], *clamps.stiffness.shape[-2:])
            own = np.broadcast_to(clamps.turning_stiffness, each)
            axes = np.broadcast_to(clamps.axes, (*each, 3))
            flat = (*rates.shape[:-1], -1)
            turning = np.sqrt(own.reshape(flat) / stiffest[..., None])
            scaled = turning / length[..., None]
            about = axes.reshape(*flat, 3)
            turns = np.concatenate([np.zeros_like(about), about], axis=-1)
            rows = np.concatenate([rows, scaled[..., None] * turns], axis=-2)
            root = np.concatenate([root, turning], axis=-1)
            one_way = np.append(one_way, np.zeros(turns.shape[-2], dtype=bool))
        return cls(rows, root, one_way, stiffest, centre, length)

    def one(self, index: tuple[int, ...]) -> Springs:
        """Return the springs of one of many layouts."""
        return Springs(
            self.rows[index],
            self.root[index],
            self.one_way,
            self.stiffest[index],
            self.centre[index],
            self.length[index],
        )

    def scaled_loads(self, loads: Array, about: Array) -> Array:
        """Move loads (..., 6) to the centre, moments over the length."""
        moved = moved_wrench(loads, from_point=about, to_point=self.centre)
        force, moment = moved[..., :3], moved[..., 3:]
        return np.concatenate([force, moment / self.length[..., None]], axis=-1)

    def unscaled_motion(self, motion: Array, about: Array) -> Array:
        """Return motions (..., 6) in metres and radians, slide at ``about``."""
        real = motion / self.stiffest[..., None]
        turn = real[..., 3:] / self.length[..., None]
        slide = real[..., :3] + np.cross(turn, about - self.centre)
        return np.concatenate([slide, turn], axis=-1)


def one_layout(clamps: Clamps) -> Clamps:
    """Return clamps of one layout; refuse those of many.

    Raises
    ------
    OutOfRangeError
        If there are many layouts.

    Examples
    --------
    >>> len(one_layout(Clamps(positions=[[0, 0, 0]], stiffness=1e7)).positions)
    1
    """
    if clamps.positions.ndim > 2:
        raise OutOfRangeError("anchoring.one_layout", shape=clamps.positions.shape)
    return clamps


def _laid_out(
    clamps: Clamps | None, stands: Stands | None
) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
    """Return places (..., s, 3), lines (..., s, 3), rates (..., s), one-way (s,)."""
    held = [part for part in (clamps, stands) if part is not None]
    try:
        many = np.broadcast_shapes(*(part.positions.shape[:-2] for part in held))
    except ValueError:
        raise OutOfRangeError(
            "anchoring.layouts", shapes=[part.positions.shape for part in held]
        ) from None
    points, lines = [np.zeros((*many, 0, 3))], [np.zeros((*many, 0, 3))]
    rates, one_way = [np.zeros((*many, 0))], [np.zeros(0, dtype=bool)]
    for part in held:
        pushes = isinstance(part, Stands)
        times = 1 if pushes else 3
        n = part.positions.shape[-2] * times
        places = np.repeat(part.positions, times, axis=-2)
        points.append(np.broadcast_to(places, (*many, n, 3)))
        along = part.normals if isinstance(part, Stands) else part.axes
        along = along.reshape(*part.positions.shape[:-2], n, 3)
        lines.append(np.broadcast_to(along, (*many, n, 3)))
        rate = part.stiffness.reshape(*part.positions.shape[:-2], n)
        rates.append(np.broadcast_to(rate, (*many, n)))
        one_way.append(np.full(n, pushes))
    return (
        np.concatenate(points, axis=-2),
        np.concatenate(lines, axis=-2),
        np.concatenate(rates, axis=-1),
        np.concatenate(one_way),
    )


def _keep(target: Clamps | Stands, **values: Array) -> None:
    """Set fields of a frozen dataclass while it is being made."""
    for name, value in values.items():
        object.__setattr__(target, name, value)


def _places(value: ArrayLike, *, name: str) -> Array:
    """Read points of shape (..., n, 3)."""
    points = components(value, name=name)
    if points.ndim < 2 or not points.size:
        raise OutOfRangeError("anchoring.points", name=called(name), shape=points.shape)
    return points


def _spread(
    value: ArrayLike, of_one: tuple[int, ...], *, name: str, each: tuple[int, ...]
) -> Array:
    """Give one value for all, or one for each (..., n), the shape of all."""
    array = numbers(value, name=name)
    try:
        return np.broadcast_to(array, (*each, *of_one))
    except ValueError:
        raise OutOfRangeError(
            "anchoring.spread", name=called(name), shape=array.shape, count=each[-1]
        ) from None


def _spring_rates(
    value: ArrayLike, of_one: tuple[int, ...], *, each: tuple[int, ...]
) -> Array:
    """Read stiffnesses; nought is a direction that slides."""
    rates = not_negative(value, name="stiffness", unit="N/m")
    return _spread(rates, of_one, name="stiffness", each=each)


def _limits(value: ArrayLike, *, name: str, each: tuple[int, ...]) -> Array:
    """Read ratings or slip limits [N]; infinity stands for none."""
    limits = _spread(value, (), name=name, each=each)
    return more_than_zero(limits, name=name, unit="N")
