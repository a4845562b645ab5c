r"""One pull: a ram, the chain locked in its head, the clamp and the fork.

The ram stands pinned in a swivelling base B and pushes its head H; a chain
locked in the head runs to the clamp C (pull leg) and down to the fork slot A
(anchor leg). With ram length R and anchor leg :math:`L_a`, the head is free on
a circle round the line AB; a taut pull leg draws it to the point of the circle
nearest C, so the four points lie in one plane:

.. math::

    d = |AB|,\quad t = \frac{R^2 - L_a^2 + d^2}{2 d},\quad
    H = B + t\,u + \sqrt{R^2 - t^2}\,w

with u along AB and w the part of C - B across u, made one long. Balance of the
three forces at H then gives both tensions (rule of sines in that plane).

Left out: friction, weight of chain and ram, play, give of the bench.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from enum import IntEnum
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import MechanismError, OutOfRangeError, WorkbookError
from workbook.mechanics.vectors import Array, dot, norm, rise_of, side_angle_of, unit

UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, kw_only=True)
class Rig:
    """Where the parts of one pull stand; every field broadcasts over rigs.

    Parameters
    ----------
    clamp, base, anchor : array_like, shape (..., 3)
        Points C, B and A. [m]
    closed_length : array_like, shape (...)
        Ram length, pin to head, with no extension and no stroke. [m]
    extension : array_like, shape (...)
        Length of tube added to the ram. [m]
    stroke, full_stroke : array_like, shape (...)
        Ram travel since take-up, and the most the ram has. [m]
    anchor_leg : array_like, shape (...)
        Length of chain locked between head and anchor point. [m]
    swivel : array_like, shape (...)
        Largest angle of the ram from the vertical that its base allows. [rad]
    """

    clamp: Array
    base: Array
    anchor: Array
    closed_length: Array
    extension: Array
    stroke: Array
    full_stroke: Array
    anchor_leg: Array
    swivel: Array

    def __post_init__(self) -> None:
        for field in fields(self):
            object.__setattr__(self, field.name, _floats(getattr(self, field.name)))

    @property
    def ram_length(self) -> Array:
        """Length from pin to head, shape (...) [m]."""
        return np.asarray(self.take_up_length + self.stroke)

    @property
    def take_up_length(self) -> Array:
        """Length from pin to head before any stroke, shape (...) [m]."""
        return np.asarray(self.closed_length + self.extension)


class Refusal(IntEnum):
    """Why a rig does not stand; ``STANDS`` where it does."""

    STANDS = 0
    NOT_FINITE = 1
    PAST_STROKE = 2
    CLAMP_ON_LINE = 3
    CLAMP_TOO_LOW = 4
    LEGS_DO_NOT_CLOSE = 5
    NO_PULL_LEG = 6
    PULL_LEG_PUSHED = 7
    ANCHOR_LEG_PUSHED = 8
    PAST_SWIVEL = 9


@dataclass(frozen=True, kw_only=True)
class Pull:
    """What one rig, or each of many, does under its ram force.

    Arrays have the shape (...) of the rigs, points and forces (..., 3). In an
    array call ``refusal`` says which rigs do not stand; their numbers are nan.

    Attributes
    ----------
    head : Array
        Point H. [m]
    direction : Array
        Unit vector from C to H: the pull direction.
    side_angle, rise : Array
        Its angle in plan from x, plus left, and from the level, plus up. [rad]
    lean : Array
        Ram from the vertical in the side view, plus away from the clamp. [rad]
    tilt : Array
        Ram from the vertical in space, never negative. [rad]
    anchor_angle : Array
        Anchor leg from the level, at the anchor point. [rad]
    pull_leg : Array
        Length of chain from H to C. [m]
    ram_force, pull_tension, anchor_tension : Array
        Force in the ram and in the two legs. [N]
    force_on_clamp : Array
        Force of the chain on the clamp: forward, sideways, upward. [N]
    base_on_bench, anchor_on_bench : Array
        Forces on the bench at the base and at the fork. [N]
    travel_ratio : Array
        Movement along the pull leg for a small stroke, over that stroke. [-]
    refusal : NDArray
        Values of `Refusal`.
    """

    head: Array
    direction: Array
    side_angle: Array
    rise: Array
    lean: Array
    tilt: Array
    anchor_angle: Array
    pull_leg: Array
    ram_force: Array
    pull_tension: Array
    anchor_tension: Array
    force_on_clamp: Array
    base_on_bench: Array
    anchor_on_bench: Array
    travel_ratio: Array
    refusal: NDArray[np.int8]

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the rigs that stand, shape (...)."""
        return np.asarray(self.refusal == Refusal.STANDS)


@dataclass(frozen=True, kw_only=True)
class _Plane:
    """A rig in its own plane: axes u (B to A) and w (up), origin B.

    ``ram``, ``pull`` and ``anchor`` are unit vectors (u, w parts) from B to H,
    H to C and H to A; ``pull_share`` and ``anchor_share`` the tensions for a
    ram force of one.
    """

    u: Array
    w: Array
    d: Array
    clamp: tuple[Array, Array]
    head: tuple[Array, Array]
    ram: tuple[Array, Array]
    pull: tuple[Array, Array]
    anchor: tuple[Array, Array]
    pull_leg: Array
    pull_share: Array
    anchor_share: Array

    def in_space(self, part: tuple[Array, Array]) -> Array:
        """Turn u and w parts into a vector (..., 3)."""
        return part[0][..., None] * self.u + part[1][..., None] * self.w


def _cross(a: tuple[Array, Array], b: tuple[Array, Array]) -> Array:
    return np.asarray(a[0] * b[1] - a[1] * b[0])


def _head_in_plane(d: Array, *, ram: Array, anchor_leg: Array) -> tuple[Array, Array]:
    """Return where circles of the ram about B and the leg about A meet."""
    # Not R² - La² + d²: with R near La the squares would cancel.
    along = ((ram - anchor_leg) / d * (ram + anchor_leg) + d) / 2
    return along, np.sqrt(ram - along) * np.sqrt(ram + along)


def _plane(rig: Rig) -> _Plane:
    """Lay the plane through A, B and C, find the head and share the force."""
    to_anchor = rig.anchor - rig.base
    to_clamp = rig.clamp - rig.base
    d = norm(to_anchor)
    u = to_anchor / d[..., None]
    clamp_u = dot(to_clamp, u)
    across = to_clamp - clamp_u[..., None] * u
    clamp_w = norm(across)
    R, La = rig.ram_length, rig.anchor_leg
    head = _head_in_plane(d, ram=R, anchor_leg=La)
    to_c = (clamp_u - head[0], clamp_w - head[1])
    pull_leg = np.hypot(*to_c)
    ram = (head[0] / R, head[1] / R)
    pull = (to_c[0] / pull_leg, to_c[1] / pull_leg)
    anchor = ((d - head[0]) / La, -head[1] / La)
    # F p + T c + Ta a = 0, crossed with a and with c.
    turn = _cross(pull, anchor)
    return _Plane(
        u=u,
        w=across / clamp_w[..., None],
        d=d,
        clamp=(clamp_u, clamp_w),
        head=head,
        ram=ram,
        pull=pull,
        anchor=anchor,
        pull_leg=pull_leg,
        pull_share=_cross(anchor, ram) / turn,
        anchor_share=_cross(ram, pull) / turn,
    )


def _outward(rig: Rig) -> Array:
    """Return the level direction from clamp to base, or else on to the anchor."""
    level = (1.0, 1.0, 0.0)
    out, on = (rig.base - rig.clamp) * level, (rig.anchor - rig.base) * level
    return unit(np.where((out == 0).all(axis=-1, keepdims=True), on, out))


def _tilt_of(ram: Array) -> Array:
    return np.asarray(np.arctan2(np.hypot(ram[..., 0], ram[..., 1]), ram[..., 2]))


def _refusals(
    rig: Rig, plane: _Plane, *, tilt: Array, ram_force: Array
) -> NDArray[np.int8]:
    """Say for every rig the first reason why it does not stand."""
    R, La, d, stroke = rig.ram_length, rig.anchor_leg, plane.d, rig.stroke
    size = R + La + d + norm(rig.clamp) + norm(rig.base)
    # A leg carries up to a million ram forces, and that must be a number too.
    finite = np.isfinite(size + 1e6 * ram_force + rig.full_stroke + rig.swivel)
    in_range = (rig.closed_length > 0) & (rig.extension >= 0) & (La > 0)
    pull, anchor = plane.pull_share, plane.anchor_share
    tests = {
        Refusal.NOT_FINITE: ~(finite & in_range & (d > 1e-9 * size) & (ram_force > 0)),
        Refusal.PAST_STROKE: ~((stroke >= 0) & (stroke <= rig.full_stroke)),
        Refusal.CLAMP_ON_LINE: ~(plane.clamp[1] > 1e-6 * size),
        Refusal.CLAMP_TOO_LOW: ~(plane.w[..., 2] > 1e-6),
        Refusal.LEGS_DO_NOT_CLOSE: ~(plane.head[1] > 1e-9 * R),
        Refusal.NO_PULL_LEG: ~(plane.pull_leg > 1e-6 * (R + La)),
        # A chain straight over the head would carry any number of ram forces.
        Refusal.PULL_LEG_PUSHED: ~((pull > 0) & (pull < 1e6) & (anchor < 1e6)),
        Refusal.ANCHOR_LEG_PUSHED: ~(anchor >= 0),
        # A ram set out at the limit of its swivel stands, whatever the rounding.
        Refusal.PAST_SWIVEL: ~(tilt <= rig.swivel + 1e-9),
    }
    failed = np.stack(np.broadcast_arrays(*tests.values()))
    codes = np.array([*tests], dtype=np.int8)
    first = codes[np.argmax(failed, axis=0)]
    return np.where(failed.any(axis=0), first, 0).astype(np.int8)


def solve_pulls(rig: Rig, *, ram_force: ArrayLike) -> Pull:
    """Solve every rig of an array at once; refuse one by one.

    Parameters
    ----------
    rig : Rig
        Rigs of shape (...).
    ram_force : array_like, shape (...)
        Thrust of the ram. [N]

    Returns
    -------
    Pull
        With nan and a `Refusal` where a rig does not stand.

    Notes
    -----
    In the plane, with p, c and a the unit vectors from B to H, from H to C and
    from H to A, balance F p + T c + Ta a = 0 gives
    T = F (a x p)/(c x a) and Ta = F (p x c)/(c x a). In the upright plane,
    with the ram at phi, the anchor leg at alpha and the pull leg at beta from
    the floor, this is T = F sin(phi + alpha)/sin(alpha + beta) and
    Ta = F sin(phi - beta)/sin(alpha + beta).

    References
    ----------
    .. [1] F. P. Beer and E. R. Johnston, *Vector Mechanics for Engineers:
       Statics*, equilibrium of a particle in a plane; from memory.
    """
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        plane = _plane(rig)
        ram = plane.in_space(plane.ram)
        outward = -plane.in_space(plane.pull)
        anchor = plane.in_space(plane.anchor)
        tilt = _tilt_of(ram)
        force = np.asarray(ram_force, dtype=float)
        refusal = _refusals(rig, plane, tilt=tilt, ram_force=force)
        force = np.where(refusal == Refusal.STANDS, force, np.nan)
        tension, anchor_tension = force * plane.pull_share, force * plane.anchor_share
        out = _outward(rig)
        gone = np.where(refusal == Refusal.STANDS, 0.0, np.nan)
        return Pull(
            head=rig.base + plane.in_space(plane.head) + gone[..., None],
            direction=outward + gone[..., None],
            side_angle=side_angle_of(outward) + gone,
            rise=rise_of(outward) + gone,
            lean=np.arctan2(dot(ram, out), ram[..., 2]) + gone,
            tilt=tilt + gone,
            anchor_angle=-rise_of(anchor) + gone,
            pull_leg=plane.pull_leg + gone,
            ram_force=force,
            pull_tension=tension,
            anchor_tension=anchor_tension,
            force_on_clamp=tension[..., None] * outward,
            base_on_bench=-force[..., None] * ram,
            anchor_on_bench=-anchor_tension[..., None] * anchor,
            travel_ratio=1 / plane.pull_share + gone,
            refusal=refusal,
        )


def solve_pull(rig: Rig, *, ram_force: float) -> Pull:
    """Solve one rig, or raise with the reason why it does not stand.

    Parameters
    ----------
    rig : Rig
        One rig, fields of shape () and (3,).
    ram_force : float
        Thrust of the ram. [N]

    Returns
    -------
    Pull
        With fields of shape () and (3,).

    Raises
    ------
    OutOfRangeError
        A length, force, stroke or swivel outside what the rig allows.
    MechanismError
        A rig that would fall: see `Refusal`.

    Examples
    --------
    Ram 35 degrees from the vertical, legs at 45 and 20 degrees from the floor:

    >>> rig = lay_out(
    ...     clamp=(0, 0, 0.5), chain_angle=0.0, clamp_distance=0.3034,
    ...     fork_distance=1.3927, lean=np.radians(35), closed_length=1.0,
    ...     full_stroke=0.15, swivel=np.radians(45),
    ... )
    >>> pull = solve_pull(rig, ram_force=40e3)
    >>> [f"{leg / 1e3:.1f} kN" for leg in (pull.pull_tension, pull.anchor_tension)]
    ['43.5 kN', '25.3 kN']
    """
    pull = solve_pulls(rig, ram_force=ram_force)
    if pull.refusal.ndim:
        raise OutOfRangeError("linkage.one_rig")
    if pull.refusal != Refusal.STANDS:
        raise _explain(rig, Refusal(int(pull.refusal)), ram_force=ram_force)
    return pull


def _explain(rig: Rig, refusal: Refusal, *, ram_force: float) -> WorkbookError:
    """Return the reason of one refused rig, with every measure it may speak of."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        plane = _plane(rig)
        values = {
            "ram": rig.ram_length,
            "closed": rig.closed_length,
            "extension": rig.extension,
            "stroke": rig.stroke,
            "full": rig.full_stroke,
            "leg": rig.anchor_leg,
            "apart": plane.d,
            "pull": plane.pull_leg,
            "across": plane.clamp[1],
            "higher": rig.clamp[2] - rig.base[2],
            "shortest": abs(rig.ram_length - plane.d),
            "longest": rig.ram_length + plane.d,
            "tilt": _tilt_of(plane.in_space(plane.ram)),
            "swivel": rig.swivel,
            "force": ram_force,
        }
    kind = OutOfRangeError if refusal in _OUT_OF_RANGE else MechanismError
    reason = f"linkage.{refusal.name.lower()}"
    return kind(reason, **{k: float(v) for k, v in values.items()})


_OUT_OF_RANGE = {Refusal.NOT_FINITE, Refusal.PAST_STROKE, Refusal.PAST_SWIVEL}


def _floats(value: ArrayLike | None) -> Array:
    return np.asarray(value, dtype=float)


def lay_out(
    *,
    clamp: ArrayLike,
    chain_angle: ArrayLike,
    clamp_distance: ArrayLike,
    fork_distance: ArrayLike,
    fork_offset: ArrayLike = 0.0,
    closed_length: ArrayLike,
    extension: ArrayLike = 0.0,
    stroke: ArrayLike = 0.0,
    full_stroke: ArrayLike,
    swivel: ArrayLike,
    lean: ArrayLike | None = None,
    anchor_leg: ArrayLike | None = None,
) -> Rig:
    """Set a rig out from the shop's own measures, on a bench at height zero.

    Parameters
    ----------
    clamp : array_like, shape (..., 3)
        Clamp point C; its height is above the bench. [m]
    chain_angle : array_like, shape (...)
        Set-out line in plan, from x, plus to the left. [rad]
    clamp_distance, fork_distance : array_like, shape (...)
        In plan along that line: clamp to base, and base on to the fork. [m]
    fork_offset : array_like, shape (...)
        Anchor point to the left of the line, looking out from the clamp. [m]
    closed_length, extension, stroke, full_stroke, swivel : array_like
        As in `Rig`. [m], [rad]
    lean : array_like, shape (...), optional
        Lean of the ram in the side view at take-up, plus outward; it fixes the
        anchor leg. [rad]
    anchor_leg : array_like, shape (...), optional
        Length of the anchor leg, if no lean is given. [m]

    Returns
    -------
    Rig

    Raises
    ------
    OutOfRangeError
        Unless exactly one of ``lean`` and ``anchor_leg`` is given.
    """
    if (lean is None) == (anchor_leg is None):
        raise OutOfRangeError("linkage.lean_or_leg")
    c, f, D = _floats(clamp), _floats(fork_distance), _floats(clamp_distance)
    offset, angle = _floats(fork_offset), _floats(chain_angle)
    # What is not finite goes through as nan, and the solver refuses it.
    with np.errstate(invalid="ignore", over="ignore"):
        out = _stack(np.cos(angle), np.sin(angle), 0.0)
        left = _stack(-np.sin(angle), np.cos(angle), 0.0)
        base = c * (1.0, 1.0, 0.0) + D[..., None] * out
        anchor = base + f[..., None] * out + offset[..., None] * left
        if lean is not None:
            length = _floats(closed_length) + _floats(extension)
            head = _head_for_lean(
                _floats(lean), length=length, height=c[..., 2], D=D, f=f, offset=offset
            )
            anchor_leg = norm(_stack(f, offset, 0.0) - head)
    return Rig(
        clamp=c,
        base=base,
        anchor=anchor,
        closed_length=_floats(closed_length),
        extension=_floats(extension),
        stroke=_floats(stroke),
        full_stroke=_floats(full_stroke),
        anchor_leg=_floats(anchor_leg),
        swivel=_floats(swivel),
    )


def _head_for_lean(
    lean: Array, *, length: Array, height: Array, D: Array, f: Array, offset: Array
) -> Array:
    """Return H - B as outward, left and up parts for a lean in the side view."""
    fork = unit(np.stack(np.broadcast_arrays(f, offset), axis=-1))
    clamp = unit(np.stack(np.broadcast_arrays(D, height), axis=-1))
    out, up = np.sin(lean), np.cos(lean)
    # The plane through A, B and C: left = offset/f (outward + up D/height), with
    # both sides times f and height, which may be nothing.
    scale = fork[..., 0] * clamp[..., 1]
    left = fork[..., 1] * (out * clamp[..., 1] + up * clamp[..., 0])
    head = np.copysign(1.0, scale)[..., None] * _stack(out * scale, left, up * scale)
    return np.asarray(length[..., None] * unit(head))


def _stack(out: ArrayLike, left: ArrayLike, up: ArrayLike) -> Array:
    return np.stack(np.broadcast_arrays(out, left, up), axis=-1).astype(float)


def ram_force_for_tension(rig: Rig, *, pull_tension: ArrayLike) -> Array:
    """Return the ram force that puts a wanted tension in the pull leg.

    Parameters
    ----------
    rig : Rig
        Rigs of shape (...).
    pull_tension : array_like, shape (...)
        Wanted tension in the pull leg. [N]

    Returns
    -------
    ndarray, shape (...)
        Ram force, nan where a rig of an array does not stand. [N]

    Raises
    ------
    OutOfRangeError
        If a wanted tension is negative or not finite.
    OutOfRangeError, MechanismError
        If a single rig does not stand.
    """
    return _wanted(pull_tension) * _for_ram_force_of_one(rig).travel_ratio


def ram_force_for_useful_pull(
    rig: Rig, *, useful_pull: ArrayLike, line: ArrayLike
) -> Array:
    """Return the ram force whose pull has a wanted part along a line.

    Parameters
    ----------
    rig : Rig
        Rigs of shape (...).
    useful_pull : array_like, shape (...)
        Wanted part of the pull along ``line``. [N]
    line : array_like, shape (..., 3)
        Direction in which the pull is wanted; any length.

    Returns
    -------
    ndarray, shape (...)
        Ram force, nan where a rig of an array does not stand. [N]

    Raises
    ------
    MechanismError
        If the chain runs across the wanted line or against it.
    OutOfRangeError
        If a wanted pull is negative or not finite, or a line has no direction.
    OutOfRangeError, MechanismError
        If a single rig does not stand.
    """
    wanted, pull = _wanted(useful_pull), _for_ram_force_of_one(rig)
    wanted_line = unit(line)
    if not np.all(norm(wanted_line) > 0):
        raise OutOfRangeError("linkage.no_line")
    along = dot(pull.direction, wanted_line)
    if np.any(along < 1e-6):
        off = float(np.arccos(np.nanmin(along)))
        raise MechanismError("linkage.across_the_line", off=off)
    return np.asarray(wanted / along * pull.travel_ratio)


def _wanted(force: ArrayLike) -> Array:
    """Read a wanted tension or pull; a chain can give none below zero."""
    wanted = _floats(force)
    bad = ~(np.isfinite(wanted) & (wanted >= 0))
    if bad.any():
        raise OutOfRangeError("linkage.wanted_pull", force=float(wanted[bad][0]))
    return wanted


def _for_ram_force_of_one(rig: Rig) -> Pull:
    """Solve for a ram force of 1 N: raise for one rig, mask for many."""
    pull = solve_pulls(rig, ram_force=1.0)
    return solve_pull(rig, ram_force=1.0) if pull.refusal.ndim == 0 else pull


@dataclass(frozen=True, kw_only=True)
class StrokePath:
    """A pull followed through the ram's stroke.

    Attributes
    ----------
    stroke : Array
        Ram travel since take-up, shape (..., n). [m]
    clamp : Array
        Clamp point, shape (..., n, 3). [m]
    pull : Pull
        The rig at each stroke, fields of shape (..., n) and (..., n, 3).
    """

    stroke: Array
    clamp: Array
    pull: Pull


def stroke_path(
    rig: Rig,
    *,
    ram_force: ArrayLike,
    clamp: Literal["stays", "follows"] = "follows",
    points: int = 61,
    substeps: int = 4,
) -> StrokePath:
    """Follow a rig from its present stroke to the end of the ram's stroke.

    A clamp that ``stays`` gives no way: only the chain stretches. A clamp that
    ``follows`` moves along the pull leg as far as the leg draws it. Either way
    the anchor leg keeps its length, so the head goes round the anchor point.

    Parameters
    ----------
    rig : Rig
        Rigs of shape (...).
    ram_force : array_like, shape (...)
        Thrust of the ram, the same all the way. [N]
    clamp : {"stays", "follows"}
        What the clamp does.
    points : int
        Strokes reported, ends included.
    substeps : int
        Runge-Kutta steps between two reported strokes; the error of the
        clamp's way falls with the fourth power of their size.

    Returns
    -------
    StrokePath
        Refused all along for a rig whose stroke is already past the ram's.

    Raises
    ------
    OutOfRangeError
        If ``clamp`` is another word, or a count is below one.

    Notes
    -----
    A following clamp stays in the plane of the rig. With the pull leg of fixed
    length l at angle theta from u, seen from the head, and n across it, the
    clamp moves along the leg only, so d theta/ds = -(n . dH/ds)/l: a tractrix
    drawn by a point on a circle.
    """
    if clamp not in {"stays", "follows"} or points < 1 or substeps < 1:
        raise OutOfRangeError(
            "linkage.path", clamp=clamp, points=points, substeps=substeps
        )
    force = _floats(ram_force)
    rig = _broadcast(rig, force.shape)
    with np.errstate(invalid="ignore", over="ignore"):
        end = np.maximum(rig.stroke, rig.full_stroke)
        stroke = np.linspace(rig.stroke, end, points, axis=-1)
    start = _with_new_axis(rig)
    where = np.broadcast_to(start.clamp, (*stroke.shape, 3))
    if clamp == "follows":
        where = _followed(rig, stroke, substeps)
    moved = replace(start, clamp=where, stroke=stroke)
    return StrokePath(
        stroke=stroke, clamp=where, pull=solve_pulls(moved, ram_force=force[..., None])
    )


def _parts(rig: Rig) -> tuple[dict[str, Array], dict[str, Array]]:
    """Return the fields that are points, and the fields that are numbers."""
    values = {f.name: getattr(rig, f.name) for f in fields(rig)}
    points = {name: values.pop(name) for name in ("clamp", "base", "anchor")}
    return points, values


def _broadcast(rig: Rig, shape: tuple[int, ...]) -> Rig:
    """Return the rigs with every field of one shape."""
    points, numbers = _parts(rig)
    shapes = [v.shape[:-1] for v in points.values()]
    shapes += [v.shape for v in numbers.values()]
    shape = np.broadcast_shapes(shape, *shapes)
    return Rig(
        **{k: np.broadcast_to(v, (*shape, 3)) for k, v in points.items()},
        **{k: np.broadcast_to(v, shape) for k, v in numbers.items()},
    )


def _with_new_axis(rig: Rig) -> Rig:
    """Return the rigs with one more axis, for strokes, behind the others."""
    points, numbers = _parts(rig)
    return Rig(
        **{k: v[..., None, :] for k, v in points.items()},
        **{k: v[..., None] for k, v in numbers.items()},
    )


def _followed(rig: Rig, stroke: Array, substeps: int) -> Array:
    """Integrate the way of a clamp that follows, shape (..., n, 3)."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        plane = _plane(rig)
        theta = np.arctan2(-plane.pull[1], -plane.pull[0]) + np.pi
        angles = [theta]
        for k in range(stroke.shape[-1] - 1):
            step = (stroke[..., k + 1] - stroke[..., k]) / substeps
            for i in range(substeps):
                theta = _turned(rig, plane, stroke[..., k] + i * step, theta, step)
            angles.append(theta)
        turn = np.stack(angles, axis=-1)
        head = _head_in_plane(
            plane.d[..., None],
            ram=rig.take_up_length[..., None] + stroke,
            anchor_leg=rig.anchor_leg[..., None],
        )
        leg = plane.pull_leg[..., None]
        u, w = head[0] + leg * np.cos(turn), head[1] + leg * np.sin(turn)
        return np.asarray(
            rig.base[..., None, :]
            + u[..., None] * plane.u[..., None, :]
            + w[..., None] * plane.w[..., None, :]
        )


def _turned(rig: Rig, plane: _Plane, stroke: Array, theta: Array, step: Array) -> Array:
    """Take one Runge-Kutta step of the pull leg's angle."""

    def rate(s: Array, angle: Array) -> Array:
        R, d = rig.take_up_length + s, plane.d
        t, height = _head_in_plane(d, ram=R, anchor_leg=rig.anchor_leg)
        du, dw = R / d, R * (1 - t / d) / height
        across = -np.sin(angle) * du + np.cos(angle) * dw
        return np.asarray(-across / plane.pull_leg)

    k1 = rate(stroke, theta)
    k2 = rate(stroke + step / 2, theta + step / 2 * k1)
    k3 = rate(stroke + step / 2, theta + step / 2 * k2)
    k4 = rate(stroke + step, theta + step * k3)
    return np.asarray(theta + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4))


def free_running_chain(rig: Rig) -> None:
    """Refuse a chain that runs freely over the head of a swivelling ram.

    With equal tension both sides the ram could stand only along the bisector
    of the runs. With R the ram, l1 and l2 the runs and psi the angle between the
    ram and either, the path A-H-C is there the longest in their plane while
    R cos(psi) (1/l1 + 1/l2) < 2, so for any runs longer than the ram: a touch
    lets it shorten, and the ram falls. Shorter, steeper runs are refused too:
    what they hold is a place that the chain chose, not the one set out.

    Raises
    ------
    MechanismError
        Always, with the way out: lock the chain, or use a fixed roller
        (`workbook.mechanics.pull.rigging.redirect`).
    """
    raise MechanismError("linkage.runs_freely")
