r"""A body held by clamps and stands: what each of them carries.

The body is rigid and moves a little; each clamp is three springs, each stand
one spring that can only push. Every support is thus a set of springs along
lines :math:`\mathbf e` through points :math:`\mathbf r`, and a small motion
:math:`(\mathbf u, \boldsymbol\theta)` moves the body along a spring by
:math:`\mathbf e \cdot \mathbf u + (\mathbf r \times \mathbf e) \cdot
\boldsymbol\theta`. Left out: bending of body and bench, friction on stands,
preload. The force of a support is the one on the body.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import (
    MechanismError,
    NoConvergenceError,
    OutOfRangeError,
    WorkbookError,
)
from workbook.mechanics.holding.wrenches import (
    ORIGIN,
    components,
    direction_of,
    moved_wrench,
    net_wrench,
)
from workbook.mechanics.magnitudes import called, more_than_zero, not_negative
from workbook.mechanics.vectors import Array, dot, norm

Mask = NDArray[np.bool_]


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

    def __post_init__(self) -> None:
        points = _places(self.positions, name="clamp_positions")
        n = len(points)
        axes = _spread(self.axes, name="clamp_axes", shape=(n, 3, 3))
        if not np.allclose(axes @ np.swapaxes(axes, 1, 2), np.eye(3), atol=1e-6):
            raise OutOfRangeError("anchoring.axes")
        _keep(self, positions=points, axes=axes)
        _keep(self, stiffness=_spring_rates(self.stiffness, shape=(n, 3)))
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


@dataclass(frozen=True, kw_only=True)
class HeldBody:
    """What a load does to a held body, for loads of shape (...).

    Attributes
    ----------
    about : ndarray, shape (3,)
        The point the load was stated about. [m]
    displacement : ndarray, shape (..., 6)
        Movement of the body there [m], and its small turn [rad].
    clamp_forces : ndarray, shape (..., n, 3)
        Forces of the clamps on the body, along the vehicle's axes. [N]
    stand_forces : ndarray, shape (..., m, 3)
        Forces of the stands on the body. [N]
    stand_pushes : ndarray, shape (..., m)
        Their sizes, never negative; nought where the body has lifted off. [N]
    shares : ndarray, shape (..., n + m)
        Force over rating, clamps first, then stands. [-]
    slip_shares : ndarray, shape (..., n)
        Force in the plane of each flange over the clamp's slip limit: the jaws
        slide at 1. [-]
    governing : ndarray of int, shape (...)
        Place in ``shares`` of the greatest; the first if several are alike.
    lead : ndarray, shape (...)
        Greatest share over the next: 1 where two govern together, infinite
        where no other carries anything. [-]
    """

    about: Array
    displacement: Array
    clamp_forces: Array
    stand_forces: Array
    stand_pushes: Array
    shares: Array
    slip_shares: Array
    governing: NDArray[np.intp]
    lead: Array

    def movement_at(self, points: ArrayLike) -> Array:
        """Return how far the body moves at points (k, 3), shape (..., k, 3) [m]."""
        arms = np.atleast_2d(components(points, name="point")) - self.about
        slide, turn = self.displacement[..., None, :3], self.displacement[..., None, 3:]
        return np.asarray(slide + np.cross(turn, arms))


def share_load(
    wrench: ArrayLike,
    *,
    clamps: Clamps,
    stands: Stands | None = None,
    about: ArrayLike = ORIGIN,
    tolerance: float = 1e-6,
) -> HeldBody:
    r"""Share a load among the clamps and stands that hold a rigid body.

    The stiffness is factored once for all loads. Stands that would have to pull
    are let go one by one, and put back where the body comes down on them.

    Parameters
    ----------
    wrench : array_like, shape (..., 6)
        Everything that loads the body: force [N] and moment about ``about``
        [N m]; `net_wrench` adds up several pulls, weight included.
    clamps : Clamps
    stands : Stands, optional
    about : array_like, shape (3,)
        The point the wrench is stated about. [m]
    tolerance : float
        A motion held less than this share of the best held one is free. The
        share is of singular values, so of the root of a stiffness.

    Returns
    -------
    HeldBody

    Raises
    ------
    MechanismError
        If the layout, or what is left of it after lift-off, lets the body move.

    Notes
    -----
    With a row :math:`\sqrt{k}\,[\mathbf e, \mathbf r \times \mathbf e / L]` for
    each spring in :math:`A` (arms from the middle of the supports, :math:`L` their
    spread, :math:`k` over the greatest), balance is :math:`A^T x = -w` and the
    elastic answer is its shortest :math:`x`, the spring forces over
    :math:`\sqrt k`. Lift-off adds :math:`x_j \ge 0` for stands, solved by the dual
    method of Goldfarb and Idnani [1]_, which ends after finitely many steps.

    References
    ----------
    .. [1] D. Goldfarb and A. Idnani, "A numerically stable dual method for
       solving strictly convex quadratic programs", *Mathematical Programming*
       27 (1983), 1-33; from memory.

    Examples
    --------
    Four clamps alike and a pull through their middle: a quarter each.

    >>> corners = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]]
    >>> four = Clamps(positions=corners, stiffness=2e7, ratings=20e3)
    >>> held = share_load([24e3, 0, 0, 0, 0, 0], clamps=four)
    >>> held.clamp_forces[:, 0].round().tolist()
    [-6000.0, -6000.0, -6000.0, -6000.0]
    >>> round(float(held.shares.max()), 3)
    0.3
    """
    loads = components(wrench, name="wrench", unit="N, N m", count=6)
    origin = components(about, name="moment_point")
    springs = _Springs.of(clamps, stands)
    scaled = springs.scaled_loads(loads.reshape(-1, 6), origin)
    x, motion = _solve(springs, scaled, tolerance=tolerance)
    forces = (x * springs.root).reshape(*loads.shape[:-1], x.shape[1])
    motion = springs.unscaled_motion(motion, origin).reshape(loads.shape)
    return _held(forces, motion, origin, clamps, stands)


def _held(
    forces: Array, motion: Array, about: Array, clamps: Clamps, stands: Stands | None
) -> HeldBody:
    """Turn spring forces (..., 3n + m) into forces, shares and what governs."""
    n = len(clamps.positions)
    along = forces[..., : 3 * n].reshape(*forces.shape[:-1], n, 3)
    # Adding nought turns a minus nought into a plain one.
    pushes = np.maximum(forces[..., 3 * n :], 0.0) + 0.0
    clamp_forces = np.einsum("...ni,nij->...nj", along, clamps.axes) + 0.0
    shares = norm(clamp_forces) / clamps.ratings
    normals = np.zeros((0, 3))
    if stands is not None:
        normals = stands.normals
        stand_shares = pushes / stands.ratings
        shares = np.concatenate([shares, stand_shares], axis=-1)
    return HeldBody(
        about=about,
        displacement=motion,
        clamp_forces=clamp_forces,
        stand_forces=pushes[..., None] * normals,
        stand_pushes=pushes,
        shares=shares,
        slip_shares=np.hypot(along[..., 0], along[..., 2]) / clamps.slip_limits,
        governing=np.argmax(shares, axis=-1),
        lead=_lead(shares),
    )


def _lead(shares: Array) -> Array:
    """Return the greatest share over the next greatest."""
    second, first = np.moveaxis(np.sort(shares, axis=-1)[..., -2:], -1, 0)
    alone = np.where(first > 0, np.inf, 1.0)
    return np.asarray(np.divide(first, second, out=alone, where=second > 0))


@dataclass(frozen=True)
class _Springs:
    """All supports as springs, scaled so that their rank can be judged.

    ``rows`` (s, 6) is the matrix A of `share_load`, ``root`` (s,) the root of the
    scaled stiffness, ``one_way`` (s,) the stands.
    """

    rows: Array
    root: Array
    one_way: Mask
    stiffest: float
    centre: Array
    length: float

    @classmethod
    def of(cls, clamps: Clamps, stands: Stands | None) -> _Springs:
        points = np.repeat(clamps.positions, 3, axis=0)
        lines = np.reshape(clamps.axes, (-1, 3))
        rates = np.ravel(clamps.stiffness)
        one_way = np.zeros(len(rates), dtype=bool)
        if stands is not None:
            points = np.concatenate([points, stands.positions])
            lines = np.concatenate([lines, stands.normals])
            rates = np.concatenate([rates, stands.stiffness])
            one_way = np.arange(len(rates)) >= 3 * len(clamps.positions)
        stiffest = float(rates.max())
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


def _solve(springs: _Springs, loads: Array, *, tolerance: float) -> tuple[Array, Array]:
    """Return scaled spring forces (b, s) and motions (b, 6) of loads (b, 6)."""
    everything = np.ones(len(springs.root), dtype=bool)
    x, motion = _elastic(springs, loads, kept=everything, tolerance=tolerance)
    slack = 1e-12 * norm(x)[:, None]
    pulling = np.any(x[:, springs.one_way] < -slack, axis=1)
    for b in np.flatnonzero(pulling):
        kept = _stands_kept(springs, x[b], tolerance=tolerance)
        x[[b]], motion[[b]] = _elastic(
            springs, loads[[b]], kept=kept, tolerance=tolerance
        )
    return x, motion


def _elastic(
    springs: _Springs, loads: Array, *, kept: Mask, tolerance: float
) -> tuple[Array, Array]:
    """Solve with the springs ``kept`` (s,), all of them working both ways."""
    u, s, vt = np.linalg.svd(springs.rows * kept[:, None], full_matrices=True)
    held = int(np.sum(s > tolerance * s[0]))
    if held < 6:
        raise _mechanism(springs, vt[held:])
    along = loads @ vt.T / s
    return -along @ u[:, :6].T, along / s @ vt


def _stands_kept(springs: _Springs, x: Array, *, tolerance: float) -> Mask:
    """Return which springs (s,) still work once stands that pull are let go.

    ``x`` (s,) is the elastic answer with all of them. One stand at a time is
    lowered until it no longer pulls; a stand let go earlier is put back when its
    gap closes on the way.
    """
    x, rounding = x.copy(), 1e-12 * norm(x)
    let_go: list[int] = []
    gaps = np.zeros(0)
    lowered = -1
    for _ in range(100 * len(x)):
        if lowered < 0:
            pushes = np.where(springs.one_way, x, np.inf)
            pushes[let_go] = np.inf
            lowered, gap = int(np.argmin(pushes)), 0.0
            if pushes[lowered] >= -rounding:
                return ~np.isin(np.arange(len(x)), let_go)
        relief, closing = _lowering(springs.rows, lowered, let_go)
        reach = np.divide(
            gaps, closing, out=np.full(len(gaps), np.inf), where=closing > 1e-12
        )
        frees = -x[lowered] / relief[lowered] if relief[lowered] > 1e-12 else np.inf
        step = min(frees, reach.min(initial=np.inf))
        if step == np.inf:
            raise _lifted(springs, [*let_go, lowered])
        x, gaps, gap = x + step * relief, gaps - step * closing, gap + step
        if step == frees:
            let_go, gaps, lowered = [*let_go, lowered], np.append(gaps, gap), -1
        else:
            back = int(np.argmin(reach))
            let_go.pop(back)
            gaps = np.delete(gaps, back)
    raise NoConvergenceError("anchoring.without_end")


def _lowering(rows: Array, stand: int, let_go: list[int]) -> tuple[Array, Array]:
    """Return what lowering a stand does to forces (s,) and to the gaps let go."""
    unit = np.eye(len(rows))
    bound = np.concatenate([rows, unit[:, let_go]], axis=1)
    fit = np.linalg.lstsq(bound, unit[stand], rcond=None)[0]
    return unit[stand] - bound @ fit, fit[6:]


def _lifted(springs: _Springs, gone: list[int]) -> MechanismError:
    """Say which stands the load lifts the body off, and how it then moves."""
    kept = ~np.isin(np.arange(len(springs.root)), gone)
    _, s, vt = np.linalg.svd(springs.rows * kept[:, None])
    held = min(5, int(np.sum(s > 1e-6 * s[0])))
    first = int(np.argmax(springs.one_way))
    return MechanismError(
        "anchoring.lifted",
        stands=_one_and_another([g - first + 1 for g in sorted(gone)]),
        motion=_motions(springs, vt[held:]),
    )


def _mechanism(springs: _Springs, free: Array) -> MechanismError:
    """Say how a body moves that its supports leave free, from scaled motions."""
    return MechanismError("anchoring.free", motion=_motions(springs, free))


def _motions(springs: _Springs, free: Array) -> object:
    """Name the motions that the rows of ``free`` (k, 6) span, slides apart."""
    # Turns first, so that elimination leaves the slides with no turn in them.
    simple = _row_reduced(np.concatenate([free[:, 3:], free[:, :3]], axis=1))
    return _one_and_another([_motion(springs, row) for row in simple])


def _motion(springs: _Springs, row: Array) -> WorkbookError:
    """Name one motion, a scaled turn and slide (6,)."""
    turn, slide = row[:3] / springs.length, row[3:]
    if norm(row[:3]) < 1e-6 * norm(row):
        return WorkbookError("anchoring.slides", along=_axis_name(slide))
    point = springs.centre + np.cross(turn, slide) / dot(turn, turn)
    # Nanometres are rounding.
    x, y, z = (float(place) for place in np.round(point, 9) + 0.0)
    line = WorkbookError("anchoring.turns", x=x, y=y, z=z, along=_axis_name(turn))
    travel = abs(2 * np.pi * float(dot(turn, slide) / dot(turn, turn)))
    if travel <= 1e-6 * springs.length:
        return line
    return WorkbookError("anchoring.screws", turns=line, travel=travel)


def _one_and_another(things: Sequence[object]) -> object:
    """Return one thing, or all of them as a phrase."""
    *before, last = things
    if not before:
        return last
    return WorkbookError("anchoring.both", first=_one_and_another(before), then=last)


def _row_reduced(rows: Array, *, tolerance: float = 1e-6) -> Array:
    """Return rows (k, 6) of the same span with as many noughts as can be."""
    reduced, done = rows.copy(), 0
    for column in range(rows.shape[1]):
        pivot = done + int(np.argmax(np.abs(reduced[done:, column])))
        if abs(reduced[pivot, column]) < tolerance:
            continue
        reduced[[done, pivot]] = reduced[[pivot, done]]
        reduced[done] /= reduced[done, column]
        others = np.arange(len(rows)) != done
        reduced[others] -= np.outer(reduced[others, column], reduced[done])
        done += 1
        if done == len(rows):
            break
    return np.where(np.abs(reduced) < tolerance, 0.0, reduced)


def _axis_name(direction: Array) -> str:
    """Return x, y, z or the three components of a direction."""
    along = direction / norm(direction)
    for name, component in zip("xyz", along, strict=True):
        if abs(component) > 1 - 1e-6:
            return name
    return "({:.2f}, {:.2f}, {:.2f})".format(*along + 0.0)


def bench_balance(
    loads: Iterable[tuple[ArrayLike, ArrayLike]], *, about: ArrayLike = ORIGIN
) -> Array:
    """Add up all that bases, forks, rollers and clamps do to the bench.

    When everything stands on one bench the sum is nought: the bench feels only
    what is inside the loop. What is left over goes to the floor.

    Parameters
    ----------
    loads : iterable of (forces, points)
        Forces on the bench, (3,) or (k, 3) [N], and where they act [m]. A clamp
        or stand loads the bench with the opposite of its force on the body.
    about : array_like, shape (3,)
        The point that the moment is about. [m]

    Returns
    -------
    ndarray, shape (6,)
        Force [N] and moment [N m] left over.

    Raises
    ------
    OutOfRangeError
        If a force or point has not three finite components.

    Examples
    --------
    A ram upright between floor and body, both on the bench:

    >>> bench_balance(
    ...     [([0, 0, -5e3], [1, 0, 0]), ([[0, 0, 5e3]], [[1, 0, 0.8]])]
    ... ).tolist()
    [0.0, 0.0, 0.0, 0.0, 0.0, 0.0]
    """
    wrenches = [
        net_wrench(np.atleast_2d(forces), points=np.atleast_2d(points), about=about)
        for forces, points in loads
    ]
    return np.asarray(np.sum(wrenches, axis=0))


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
    array = np.asarray(value, dtype=float)
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
