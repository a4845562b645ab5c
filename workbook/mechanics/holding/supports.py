"""What holds a body on the bench: clamps both ways, stands that only push."""

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
    positions : array_like, shape (n, 3)
        Middle of each jaw. [m]
    stiffness : array_like, broadcast to (n, 3)
        Along the clamp's three axes; nought where it slides freely. [N/m]
    axes : array_like, broadcast to (n, 3, 3)
        Rows are unit vectors: along the flange, the way the jaws squeeze, and
        across both. The vehicle's own axes if not given, as on a pinch weld
        that runs along x.
    ratings : array_like, broadcast to (n,)
        Greatest force on each clamp; none if not given. [N]
    slip_limits : array_like, broadcast to (n,)
        Force in the plane of the flange at which the jaws slide. [N]
    turning_stiffness : array_like, broadcast to (n, 3)
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
        n = len(points)
        axes = _spread(self.axes, name="clamp_axes", shape=(n, 3, 3))
        if not np.allclose(axes @ np.swapaxes(axes, 1, 2), np.eye(3), atol=1e-6):
            raise OutOfRangeError("anchoring.axes")
        _keep(self, positions=points, axes=axes)
        _keep(self, stiffness=_spring_rates(self.stiffness, shape=(n, 3)))
        turning = not_negative(
            self.turning_stiffness, name="turning_stiffness", unit="N m/rad"
        )
        turning = _spread(turning, name="turning_stiffness", shape=(n, 3))
        _keep(self, turning_stiffness=turning)
        _keep(self, ratings=_limits(self.ratings, name="rating", count=n))
        _keep(self, slip_limits=_limits(self.slip_limits, name="slip_limit", count=n))


@dataclass(frozen=True, kw_only=True)
class Stands:
    """Stands and blocks: they push the body and cannot pull it.

    Parameters
    ----------
    positions : array_like, shape (m, 3)
        Where each touches the body. [m]
    normals : array_like, broadcast to (m, 3)
        The way each pushes the body, any length; up if not given.
    stiffness : array_like, broadcast to (m,)
        Along the normal. [N/m]
    ratings : array_like, broadcast to (m,)
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
        m = len(points)
        normals = _spread(self.normals, name="stand_normals", shape=(m, 3))
        _keep(self, positions=points, normals=direction_of(normals, name="stand"))
        _keep(self, stiffness=_spring_rates(self.stiffness, shape=(m,)))
        _keep(self, ratings=_limits(self.ratings, name="rating", count=m))


@dataclass(frozen=True)
class Springs:
    """All supports as springs, scaled so that their rank can be judged.

    ``rows`` (s, 6) is the matrix A of `anchoring.share_load`, ``root`` (s,) the root
    of the scaled stiffness, ``one_way`` (s,) the stands.
    """

    rows: Array
    root: Array
    one_way: NDArray[np.bool_]
    stiffest: float
    centre: Array
    length: float

    @classmethod
    def of(cls, clamps: Clamps | None, stands: Stands | None) -> Springs:
        """Return the springs of clamps, three each, of stands, one each.

        Last come the turning springs of the clamps, three each, if there are any.
        """
        points, lines, rates = np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0)
        if clamps is not None:
            points = np.repeat(clamps.positions, 3, axis=0)
            lines = np.reshape(clamps.axes, (-1, 3))
            rates = np.ravel(clamps.stiffness)
        one_way = np.zeros(len(rates), dtype=bool)
        if stands is not None:
            points = np.concatenate([points, stands.positions])
            lines = np.concatenate([lines, stands.normals])
            rates = np.concatenate([rates, stands.stiffness])
            one_way = np.append(one_way, np.ones(len(stands.stiffness), dtype=bool))
        stiffest = float(rates.max(initial=0.0))
        if stiffest == 0:
            raise MechanismError("anchoring.no_stiffness")
        working = points[rates > 0]
        centre = working.mean(axis=0)
        spread = float(np.sqrt(np.mean(norm(working - centre) ** 2)))
        # Supports all in one place: no length of their own, only rounding.
        length = spread if spread > 1e-9 * np.abs(working).max() else 1.0
        arms = np.cross((points - centre) / length, lines)
        root = np.sqrt(rates / stiffest)
        rows = root[:, None] * np.concatenate([lines, arms], axis=1)
        if clamps is not None and np.any(clamps.turning_stiffness):
            turning = np.sqrt(np.ravel(clamps.turning_stiffness) / stiffest) / length
            axes = np.reshape(clamps.axes, (-1, 3))
            turns = turning[:, None] * np.pad(axes, ((0, 0), (3, 0)))
            rows = np.concatenate([rows, turns])
            root = np.append(root, turning * length)
            one_way = np.append(one_way, np.zeros(len(turns), dtype=bool))
        return cls(rows, root, one_way, stiffest, centre, length)

    def scaled_loads(self, loads: Array, about: Array) -> Array:
        """Move loads (b, 6) to the centre, moments over the length."""
        moved = moved_wrench(loads, from_point=about, to_point=self.centre)
        return np.asarray(moved / np.repeat([1.0, self.length], 3))

    def unscaled_motion(self, motion: Array, about: Array) -> Array:
        """Return motions (b, 6) in metres and radians, slide at ``about``."""
        real = motion / self.stiffest
        turn = real[:, 3:] / self.length
        slide = real[:, :3] + np.cross(turn, about - self.centre)
        return np.concatenate([slide, turn], axis=1)


def _keep(target: Clamps | Stands, **values: Array) -> None:
    """Set fields of a frozen dataclass while it is being made."""
    for name, value in values.items():
        object.__setattr__(target, name, value)


def _places(value: ArrayLike, *, name: str) -> Array:
    """Read points of shape (n, 3)."""
    points = components(value, name=name)
    if points.ndim != 2 or not len(points):
        raise OutOfRangeError("anchoring.points", name=called(name), shape=points.shape)
    return points


def _spread(value: ArrayLike, *, name: str, shape: tuple[int, ...]) -> Array:
    """Give one value for all, or one for each, the shape of all."""
    array = numbers(value, name=name)
    try:
        return np.broadcast_to(array, shape)
    except ValueError:
        raise OutOfRangeError(
            "anchoring.spread", name=called(name), shape=array.shape, count=shape[0]
        ) from None


def _spring_rates(value: ArrayLike, *, shape: tuple[int, ...]) -> Array:
    """Read stiffnesses; nought is a direction that slides."""
    rates = not_negative(value, name="stiffness", unit="N/m")
    return _spread(rates, name="stiffness", shape=shape)


def _limits(value: ArrayLike, *, name: str, count: int) -> Array:
    """Read ratings or slip limits [N]; infinity stands for none."""
    limits = _spread(value, name=name, shape=(count,))
    return more_than_zero(limits, name=name, unit="N")
