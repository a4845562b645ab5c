"""A rig set out from the shop's own measures: lengths and angles to points."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, numbers, triples
from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.vectors import Array, norm, unit


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
    c = triples(clamp, name="clamp")
    sizes = {
        "chain_angle": chain_angle,
        "clamp_distance": clamp_distance,
        "fork_distance": fork_distance,
        "fork_offset": fork_offset,
        "closed_length": closed_length,
        "extension": extension,
        "lean": 0.0 if lean is None else lean,
    }
    read = {name: numbers(given, name=name) for name, given in sizes.items()}
    alike(clamp=c[..., 0], **read)
    angle, D, f, offset, closed, more, tipped = read.values()
    # What is not finite goes through as nan, and the solver refuses it.
    with np.errstate(invalid="ignore", over="ignore"):
        out = _stack(np.cos(angle), np.sin(angle), 0.0)
        left = _stack(-np.sin(angle), np.cos(angle), 0.0)
        base = c * (1.0, 1.0, 0.0) + D[..., None] * out
        anchor = base + f[..., None] * out + offset[..., None] * left
        if lean is not None:
            head = _head_for_lean(
                tipped, length=closed + more, height=c[..., 2], D=D, f=f, offset=offset
            )
            anchor_leg = norm(_stack(f, offset, 0.0) - head)
    return Rig(
        clamp=c,
        base=base,
        anchor=anchor,
        closed_length=closed,
        extension=more,
        stroke=numbers(stroke, name="stroke"),
        full_stroke=numbers(full_stroke, name="full_stroke"),
        anchor_leg=numbers(anchor_leg, name="anchor_leg"),
        swivel=numbers(swivel, name="swivel"),
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
