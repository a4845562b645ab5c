"""A pull followed through the ram's stroke: how it drifts, and where its clamp goes."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, numbers, one_number
from workbook.mechanics.pull.linkage import (
    PLACES,
    Plane,
    Pull,
    Rig,
    head_in_plane,
    plane_of,
    solve_pulls,
)
from workbook.mechanics.vectors import Array


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
    counts = [one_number(n, name="points.points") for n in (points, substeps)]
    whole = all(1 <= n < np.inf and n == int(n) for n in counts)
    if clamp not in {"stays", "follows"} or not whole:
        raise OutOfRangeError(
            "linkage.path", clamp=clamp, points=points, substeps=substeps
        )
    force = numbers(ram_force, name="ram_force")
    alike(ram_force=force, clamp=rig.clamp[..., 0], stroke=rig.stroke)
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
    points = {name: values.pop(name) for name in PLACES}
    return points, values


def _broadcast(rig: Rig, shape: tuple[int, ...]) -> Rig:
    """Return the rigs with every field of one shape."""
    points, numbers = _parts(rig)
    shapes = [v.shape[:-1] for v in points.values()]
    shapes += [v.shape for v in numbers.values()]
    shape = np.broadcast_shapes(shape, *shapes)
    if all(own == shape for own in shapes):
        return rig
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
        plane = plane_of(rig)
        theta = np.arctan2(-plane.pull[1], -plane.pull[0]) + np.pi
        count = (stroke.shape[-1] - 1) * substeps
        # A step asks for the head's rate at its start, its middle and its end.
        halves = np.linspace(stroke[..., 0], stroke[..., -1], 2 * count + 1)
        rate = _rate_of_head(rig, plane, halves)
        step = (stroke[..., -1] - stroke[..., 0]) / max(count, 1)
        angles = [theta]
        for k in range(count):
            theta = _turned(theta, rate[:, 2 * k : 2 * k + 3], step)
            if (k + 1) % substeps == 0:
                angles.append(theta)
        turn = np.stack(angles, axis=-1)
        head = head_in_plane(
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


def _rate_of_head(rig: Rig, plane: Plane, stroke: Array) -> Array:
    """Return the head's way per stroke along u and w, in pull legs: (2, n, ...)."""
    R, d = rig.take_up_length + stroke, plane.d
    t, height = head_in_plane(d, ram=R, anchor_leg=rig.anchor_leg)
    return np.stack([R / d, R * (1 - t / d) / height]) / plane.pull_leg


def _turned(theta: Array, rate_of_head: Array, step: Array) -> Array:
    """Take one Runge-Kutta step of the pull leg's angle."""
    start, middle, end = (rate_of_head[:, k] for k in range(3))

    def rate(head: Array, angle: Array) -> Array:
        return np.asarray(np.sin(angle) * head[0] - np.cos(angle) * head[1])

    k1 = rate(start, theta)
    k2 = rate(middle, theta + step / 2 * k1)
    k3 = rate(middle, theta + step / 2 * k2)
    k4 = rate(end, theta + step * k3)
    return np.asarray(theta + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4))
