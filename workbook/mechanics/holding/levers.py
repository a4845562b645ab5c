"""A beam-like body seen from the side: what holds it from turning about a point."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.wrenches import components
from workbook.mechanics.magnitudes import alike
from workbook.mechanics.vectors import Array, norm, unit

NO_ARM = 1e-9  # an arm as short as this share of the hook's distance is none


@dataclass(frozen=True, kw_only=True)
class HeldLever:
    """A body in balance about a turning point, for set-ups of shape (...).

    Attributes
    ----------
    hold : ndarray, shape (...)
        Tension of the holding pull [N]; nan where a chain would have to push or has
        no arm.
    turning_point : ndarray, shape (..., 2)
        Force of the turning point on the body. [N]
    moment : ndarray, shape (...)
        Of the load about the turning point, plus from the first axis to the
        second. [N m]
    arm, hold_arm : ndarray, shape (...)
        Shortest distances from the turning point to the load's line and to the
        hold's. [m]
    """

    hold: Array
    turning_point: Array
    moment: Array
    arm: Array
    hold_arm: Array


def hold_lever(
    force: ArrayLike,
    *,
    at: ArrayLike,
    hook: ArrayLike,
    direction: ArrayLike,
    turning_point: ArrayLike = (0.0, 0.0),
) -> HeldLever:
    r"""Hold a body that a force would turn in its plane.

    The body is rigid; its turning point holds it both ways and does not resist
    turning. All points are along two axes of the plane.

    Parameters
    ----------
    force : array_like, shape (..., 2)
        The load on the body. [N]
    at : array_like, shape (..., 2)
        Where it acts. [m]
    hook, direction : array_like, shape (..., 2)
        Where the holding chain is hooked [m], and its way from there; any length.
    turning_point : array_like, shape (..., 2)
        The point the body turns about. [m]

    Returns
    -------
    HeldLever

    Raises
    ------
    OutOfRangeError
        If a number is not finite, shapes do not go together, or the chain has no
        direction.

    Notes
    -----
    A pull :math:`P` with arm :math:`a`, held with arm :math:`b`, is held by
    :math:`P a / b`. The turning point takes the rest of both.

    Examples
    --------
    >>> held = hold_lever([0, -18e3], at=[0.9, 0], hook=[-1.5, 0], direction=[0, -1])
    >>> round(float(held.hold)), held.turning_point.round().tolist()
    (10800, [0.0, 28800.0])
    """
    load = components(force, name="force", unit="N", count=2)
    there = components(at, name="point", count=2)
    hooked = components(hook, name="hook", count=2)
    about = components(turning_point, name="moment_point", count=2)
    along = unit(components(direction, name="holding_pull", unit="", count=2))
    alike(
        force=load[..., 0],
        point=there[..., 0],
        hook=hooked[..., 0],
        moment_point=about[..., 0],
        holding_pull=along[..., 0],
    )
    if not (norm(along) > 0).all():
        raise OutOfRangeError("holding.lever_no_direction")
    moment = _turning(there - about, load)
    own = _turning(hooked - about, along)
    reach = norm(hooked - about)
    has_arm = np.abs(own) > NO_ARM * reach
    tension = -moment / np.where(has_arm, own, np.nan)
    tension = np.where(tension >= 0, tension, np.nan) + 0.0
    size = norm(load)
    arm = np.abs(moment) / np.where(size > 0, size, np.nan)
    return HeldLever(
        hold=tension,
        turning_point=-(load + tension[..., None] * along) + 0.0,
        moment=moment,
        arm=arm,
        hold_arm=np.abs(own),
    )


def _turning(arm: Array, force: Array) -> Array:
    """Return the moment (...) of forces at arms (..., 2)."""
    return np.asarray(arm[..., 0] * force[..., 1] - arm[..., 1] * force[..., 0])
