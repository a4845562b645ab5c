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

from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import MechanismError, OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import alike, numbers, triples
from workbook.mechanics.vectors import Array, dot, norm, rise_of, side_angle_of, unit

PLACES = ("clamp", "base", "anchor")
"""The fields of a `Rig` that are points."""


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
        sizes = {}
        for field in fields(self):
            name, given = field.name, getattr(self, field.name)
            # Sizes that are not finite go through: the solver refuses them.
            read = triples if name in PLACES else numbers
            object.__setattr__(self, name, read(given, name=name))
            array = getattr(self, name)
            sizes[name] = array[..., 0] if name in PLACES else array
        alike(**sizes)

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
class Plane:
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


def head_in_plane(d: Array, *, ram: Array, anchor_leg: Array) -> tuple[Array, Array]:
    """Return where circles of the ram about B and the leg about A meet."""
    # Not R² - La² + d²: with R near La the squares would cancel.
    along = ((ram - anchor_leg) / d * (ram + anchor_leg) + d) / 2
    return along, np.sqrt(ram - along) * np.sqrt(ram + along)


def plane_of(rig: Rig) -> Plane:
    """Lay the plane through A, B and C, find the head and share the force."""
    to_anchor = rig.anchor - rig.base
    to_clamp = rig.clamp - rig.base
    d = norm(to_anchor)
    u = to_anchor / d[..., None]
    clamp_u = dot(to_clamp, u)
    across = to_clamp - clamp_u[..., None] * u
    clamp_w = norm(across)
    R, La = rig.ram_length, rig.anchor_leg
    head = head_in_plane(d, ram=R, anchor_leg=La)
    to_c = (clamp_u - head[0], clamp_w - head[1])
    pull_leg = np.hypot(*to_c)
    ram = (head[0] / R, head[1] / R)
    pull = (to_c[0] / pull_leg, to_c[1] / pull_leg)
    anchor = ((d - head[0]) / La, -head[1] / La)
    # F p + T c + Ta a = 0, crossed with a and with c.
    turn = _cross(pull, anchor)
    return Plane(
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
    rig: Rig, plane: Plane, *, tilt: Array, ram_force: Array
) -> NDArray[np.int8]:
    """Say for every rig the first reason why it does not stand."""
    R, La, d, stroke = rig.ram_length, rig.anchor_leg, plane.d, rig.stroke
    size = R + La + d + norm(rig.clamp) + norm(rig.base)
    # A leg carries up to a million ram forces, and that must be a number too.
    finite = np.isfinite(size + 1e6 * ram_force + rig.full_stroke + rig.swivel)
    in_range = (rig.closed_length > 0) & (rig.extension >= 0) & (La > 0)
    pull = plane.pull_share
    tests = {
        Refusal.NOT_FINITE: ~(finite & in_range & (d > 1e-9 * size) & (ram_force > 0)),
        Refusal.PAST_STROKE: ~((stroke >= 0) & (stroke <= rig.full_stroke)),
        Refusal.CLAMP_ON_LINE: ~(plane.clamp[1] > 1e-6 * size),
        Refusal.CLAMP_TOO_LOW: ~(plane.w[..., 2] > 1e-6),
        Refusal.LEGS_DO_NOT_CLOSE: ~(plane.head[1] > 1e-9 * R),
        Refusal.NO_PULL_LEG: ~(plane.pull_leg > 1e-6 * (R + La)),
        # A chain straight over the head would carry any number of ram forces, as much
        # in the one leg as in the other.
        Refusal.PULL_LEG_PUSHED: ~((pull > 0) & (pull < 1e6)),
        Refusal.ANCHOR_LEG_PUSHED: ~(plane.anchor_share >= 0),
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
    force = numbers(ram_force, name="ram_force")
    alike(ram_force=force, clamp=rig.clamp[..., 0], stroke=rig.stroke)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        plane = plane_of(rig)
        ram = plane.in_space(plane.ram)
        outward = -plane.in_space(plane.pull)
        anchor = plane.in_space(plane.anchor)
        tilt = _tilt_of(ram)
        refusal = _refusals(rig, plane, tilt=tilt, ram_force=force)
        stands = refusal == Refusal.STANDS
        force = np.where(stands, force, np.nan)
        tension, anchor_tension = force * plane.pull_share, force * plane.anchor_share
        numbers_of = {
            "side_angle": side_angle_of(outward),
            "rise": rise_of(outward),
            "lean": np.arctan2(dot(ram, _outward(rig)), ram[..., 2]),
            "tilt": tilt,
            "anchor_angle": -rise_of(anchor),
            "pull_leg": plane.pull_leg,
            "travel_ratio": 1 / plane.pull_share,
        }
        head = rig.base + plane.in_space(plane.head)
        return Pull(
            head=np.where(stands[..., None], head, np.nan),
            direction=np.where(stands[..., None], outward, np.nan),
            ram_force=force,
            pull_tension=tension,
            anchor_tension=anchor_tension,
            force_on_clamp=tension[..., None] * outward,
            base_on_bench=-force[..., None] * ram,
            anchor_on_bench=-anchor_tension[..., None] * anchor,
            refusal=refusal,
            **{
                name: np.where(stands, value, np.nan)
                for name, value in numbers_of.items()
            },
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

    >>> from workbook.mechanics.pull.setting_out import lay_out
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
        plane = plane_of(rig)
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
