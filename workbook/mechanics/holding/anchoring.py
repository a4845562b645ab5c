r"""A body held by clamps and stands: what each of them carries.

The body is rigid and moves a little; each clamp is three springs, and three more
where it resists turning; each stand is one spring that can only push. Every support
is thus a set of springs along lines :math:`\mathbf e` through points
:math:`\mathbf r`, and a small motion :math:`(\mathbf u, \boldsymbol\theta)` moves
the body along a spring by :math:`\mathbf e \cdot \mathbf u + (\mathbf r \times
\mathbf e) \cdot \boldsymbol\theta`. Left out: bending of body and bench,
friction on stands, preload. The force of a support is the one on the body.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import MechanismError, NoConvergenceError, OutOfRangeError
from workbook.mechanics.holding.free_motion import motions, one_and_another
from workbook.mechanics.holding.supports import Clamps, Springs, Stands
from workbook.mechanics.holding.wrenches import ORIGIN, components, net_wrench
from workbook.mechanics.vectors import Array, norm

Mask = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class HeldBody:
    """What a load does to a held body, for loads and layouts of shape (...).

    Of many layouts, every number is nan where one lets the body move.

    Attributes
    ----------
    about : ndarray, shape (3,)
        The point the load was stated about. [m]
    displacement : ndarray, shape (..., 6)
        Movement of the body there [m], and its small turn [rad].
    clamp_forces : ndarray, shape (..., n, 3)
        Forces of the clamps on the body, along the vehicle's axes. [N]
    clamp_moments : ndarray, shape (..., n, 3)
        Moments of clamps that resist turning, on the body; else nought. [N m]
    stand_forces : ndarray, shape (..., m, 3)
        Forces of the stands on the body. [N]
    stand_pushes : ndarray, shape (..., m)
        Their sizes, never negative; nought where the body has lifted off. [N]
    shares : ndarray, shape (..., n + m)
        Force over rating, clamps first, then stands; moments do not count. [-]
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
    clamp_moments: Array
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
    clamps: Clamps | None = None,
    stands: Stands | None = None,
    about: ArrayLike = ORIGIN,
    tolerance: float = 1e-6,
) -> HeldBody:
    r"""Share a load among the clamps and stands that hold a rigid body.

    Loads and layouts may be many; they broadcast. The stiffness of one layout is
    factored once for all loads. Stands that would have to pull are let go one by
    one, and put back where the body comes down on them.

    Parameters
    ----------
    wrench : array_like, shape (..., 6)
        Everything that loads the body: force [N] and moment about ``about``
        [N m]; `net_wrench` adds up several pulls, weight included.
    clamps : Clamps, optional
    stands : Stands, optional
        Either may be left out: smooth stands alone hold a body if they stop it
        every way and the load presses it on them.
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
        If a single layout, or what is left of it after lift-off, lets the body move.
    OutOfRangeError
        If there are not as many loads as layouts, or one of either.

    Notes
    -----
    With a row :math:`\sqrt{k}\,[\mathbf e, \mathbf r \times \mathbf e / L]` for
    each spring in :math:`A` (arms from the middle of the supports, :math:`L` their
    spread, :math:`k` over the greatest), and :math:`\sqrt{k}\,[0, \mathbf e / L]` for
    one that resists turning, balance is :math:`A^T x = -w` and the
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
    springs = Springs.of(clamps, stands)
    layouts = springs.stiffest.shape
    try:
        batch = np.broadcast_shapes(loads.shape[:-1], layouts)
    except ValueError:
        raise OutOfRangeError(
            "anchoring.loads", shape=loads.shape[:-1], layouts=layouts
        ) from None
    loads = np.broadcast_to(loads, (*batch, 6))
    x, motion = _solve(
        springs, springs.scaled_loads(loads, origin), tolerance=tolerance
    )
    motion = springs.unscaled_motion(motion, origin)
    return _held(x * springs.root, motion, origin, clamps, stands)


def _held(
    forces: Array,
    motion: Array,
    about: Array,
    clamps: Clamps | None,
    stands: Stands | None,
) -> HeldBody:
    """Turn forces (..., s), as `Springs` lists them, into what each support does."""
    n = 0 if clamps is None else clamps.positions.shape[-2]
    m = 0 if stands is None else stands.positions.shape[-2]
    along, up, about_axes = np.split(forces, [3 * n, 3 * n + m], axis=-1)
    batch = forces.shape[:-1]
    # Adding nought turns a minus nought into a plain one.
    pushes = np.maximum(up, 0.0) + 0.0
    clamp_forces = clamp_moments = np.zeros((*batch, n, 3))
    slip_shares, shares = np.zeros((*batch, n)), np.zeros((*batch, 0))
    if clamps is not None:
        along = along.reshape(*batch, n, 3)
        clamp_forces = np.einsum("...ni,...nij->...nj", along, clamps.axes) + 0.0
        if about_axes.shape[-1]:
            turning = about_axes.reshape(*batch, n, 3)
            clamp_moments = np.einsum("...ni,...nij->...nj", turning, clamps.axes) + 0.0
        shares = norm(clamp_forces) / clamps.ratings
        slip_shares = np.hypot(along[..., 0], along[..., 2]) / clamps.slip_limits
    normals = np.zeros((0, 3))
    if stands is not None:
        normals = stands.normals
        shares = np.concatenate([shares, pushes / stands.ratings], axis=-1)
    return HeldBody(
        about=about,
        displacement=motion,
        clamp_forces=clamp_forces,
        clamp_moments=clamp_moments,
        stand_forces=pushes[..., None] * normals,
        stand_pushes=pushes,
        shares=shares,
        slip_shares=slip_shares,
        governing=np.argmax(shares, axis=-1),
        lead=_lead(shares),
    )


def _lead(shares: Array) -> Array:
    """Return the greatest share over the next greatest."""
    nobody = np.zeros((*shares.shape[:-1], 1))
    ranked = np.sort(np.concatenate([nobody, shares], axis=-1), axis=-1)
    second, first = np.moveaxis(ranked[..., -2:], -1, 0)
    alone = np.where(first > 0, np.inf, 1.0)
    return np.asarray(np.divide(first, second, out=alone, where=second > 0))


def _solve(springs: Springs, loads: Array, *, tolerance: float) -> tuple[Array, Array]:
    """Return scaled spring forces (..., s) and motions (..., 6) of loads (..., 6)."""
    everything = np.ones(len(springs.one_way), dtype=bool)
    x, motion = _elastic(springs, loads, kept=everything, tolerance=tolerance)
    slack = 1e-12 * norm(x)[..., None]
    pulling = np.any(x[..., springs.one_way] < -slack, axis=-1)
    many = springs.stiffest.ndim > 0
    for b in map(tuple, np.argwhere(pulling)):
        one = springs.one(_broadcast_index(b, springs.stiffest.shape))
        try:
            kept = _stands_kept(one, x[b], tolerance=tolerance)
            x[b], motion[b] = _elastic(one, loads[b], kept=kept, tolerance=tolerance)
        except MechanismError:
            if not many:
                raise
            x[b], motion[b] = np.nan, np.nan
    return x, motion


def _broadcast_index(index: tuple[int, ...], shape: tuple[int, ...]) -> tuple[int, ...]:
    """Return the place in an array of a shape that a broadcast index stands for."""
    last = index[len(index) - len(shape) :]
    return tuple(i if size > 1 else 0 for i, size in zip(last, shape, strict=True))


def _elastic(
    springs: Springs, loads: Array, *, kept: Mask, tolerance: float
) -> tuple[Array, Array]:
    """Solve with the springs ``kept`` (s,), all of them working both ways.

    Nan where one of many layouts lets the body move.
    """
    rows = springs.rows * kept[:, None]
    # Six springs at least: what is missing holds nothing.
    missing = np.zeros((*rows.shape[:-2], max(0, 6 - rows.shape[-2]), 6))
    rows = np.concatenate([rows, missing], axis=-2)
    u, s, vt = np.linalg.svd(rows, full_matrices=False)
    held = np.sum(s > tolerance * s[..., :1], axis=-1)
    if held.ndim == 0 and held < 6:
        raise _mechanism(springs, vt[int(held) :])
    s = np.where(held[..., None] < 6, np.nan, s)
    along = np.einsum("...ij,...j->...i", vt, loads) / s
    x = -np.einsum("...si,...i->...s", u, along)[..., : len(kept)]
    return x, np.einsum("...ij,...i->...j", vt, along / s)


def _stands_kept(springs: Springs, x: Array, *, tolerance: float) -> Mask:
    """Return which springs (s,) still work once stands that pull are let go.

    ``x`` (s,) is the elastic answer with all of them. One stand at a time is
    lowered until it no longer pulls; a stand let go earlier is put back when its
    gap closes on the way.
    """
    x, rounding = x.copy(), 1e-12 * norm(x)
    let_go: list[int] = []
    gaps = np.zeros(0)
    lowered: int | None = None
    for _ in range(100 * len(x)):
        if lowered is None:
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
            let_go, gaps, lowered = [*let_go, lowered], np.append(gaps, gap), None
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


def _lifted(springs: Springs, gone: list[int]) -> MechanismError:
    """Say which stands the load lifts the body off, and how it then moves."""
    kept = ~np.isin(np.arange(len(springs.root)), gone)
    vt = np.linalg.svd(springs.rows * kept[:, None])[2]
    first = int(np.argmax(springs.one_way))
    return MechanismError(
        "anchoring.lifted",
        stands=one_and_another([g - first + 1 for g in sorted(gone)]),
        # All six ways were held before the last stand went; it held one.
        motion=motions(springs, vt[5:]),
    )


def _mechanism(springs: Springs, free: Array) -> MechanismError:
    """Say how a body moves that its supports leave free, from scaled motions."""
    return MechanismError("anchoring.free", motion=motions(springs, free))


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
