"""Rigid links on elastic-plastic hinges: where they are and what the hinges do.

A rail is a chain of links. Each link hangs on the one before it by a universal
joint, which turns first about the lateral and then about the vertical axis, and
can stretch. These three movements of a link are its *deformation* [rad, rad, m]; the
*load* in it, [N m, N m, N], does work on them. A chain is rooted, or branches off a
node of another one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.vectors import Array

# (a @ SKEW).reshape(3, 3) @ b is a x b.
SKEW = np.cross(np.eye(3)[:, None], np.eye(3)[None]).swapaxes(1, 2).reshape(3, 9)

# A hinge at rest on its limit is beyond it by rounding only.
ROUNDING = 1e-12


@dataclass(frozen=True, kw_only=True)
class Placed:
    """Where the links of ``m`` rails of ``n`` links lie.

    Attributes
    ----------
    nodes : ndarray, shape (m, n + 1, 3)
        Root, then the end of each link. [m]
    frames : ndarray, shape (m, n + 1, 3, 3)
        Columns along, to the left and up: of the root, then of each link. [-]
    axes : ndarray, shape (m, n, 3, 3)
        For each link, the directions about which its hinge turns (lateral,
        vertical) and along which it stretches. [-]
    """

    nodes: Array
    frames: Array
    axes: Array


def place(
    deformation: Array,
    *,
    root: Array,
    frame: Array,
    link_length: Array,
    parent: NDArray[np.intp] | None = None,
) -> Placed:
    """Place every link exactly, however far the hinges have turned.

    Parameters
    ----------
    deformation : ndarray, shape (m, n, 3)
        About the lateral axis, about the vertical axis, along the link.
        [rad, rad, m]
    root : ndarray, shape (m, 3)
        Where each rail starts; not asked for of a chain that branches off. [m]
    frame : ndarray, shape (m, 3, 3)
        Columns along the undeformed rail, to its left, and up; of a chain that
        branches off, as seen from the link it branches off. [-]
    link_length : ndarray, shape (m, n)
        Unstretched. [m]
    parent : ndarray of int, shape (b, 2), optional
        Rail and node that each of the last b chains branches off, by the link
        that ends there.

    Returns
    -------
    Placed
        Nodes and hinge axes.

    Examples
    --------
    >>> bent = np.zeros((1, 2, 3))
    >>> bent[0, 0, 1] = np.pi / 2  # a quarter turn to the left at the root
    >>> start = {"root": np.zeros((1, 3)), "frame": np.eye(3)[None]}
    >>> placed = place(bent, link_length=np.ones((1, 2)), **start)
    >>> placed.nodes[0, -1].round(9).tolist()
    [0.0, 2.0, 0.0]
    """
    m, n, _ = deformation.shape
    cos, sin = np.cos(deformation), np.sin(deformation)
    ca, cb, sa, sb = cos[..., 0], cos[..., 1], sin[..., 0], sin[..., 1]
    # The universal joint: R_y(a) R_z(b).
    turn = np.zeros((m, n, 3, 3))
    turn[..., 0, 0], turn[..., 0, 1], turn[..., 0, 2] = ca * cb, -ca * sb, sa
    turn[..., 1, 0], turn[..., 1, 1] = sb, cb
    turn[..., 2, 0], turn[..., 2, 1], turn[..., 2, 2] = -sa * cb, sa * sb, ca

    frames, nodes = np.empty((m, n + 1, 3, 3)), np.empty((m, n + 1, 3))
    frames[:, 0], nodes[:, 0] = frame, root
    length = (link_length + deformation[..., 2])[..., None]

    def string(chains: slice) -> None:
        for i in range(n):
            frames[chains, i + 1] = frames[chains, i] @ turn[chains, i]
        reach = length[chains] * frames[chains, 1:, :, 0]
        nodes[chains, 1:] = nodes[chains, :1] + np.cumsum(reach, axis=1)

    rooted = m if parent is None else m - len(parent)
    string(slice(rooted))
    if parent is not None and len(parent):
        rail, node = parent.T
        nodes[rooted:, 0] = nodes[rail, node]
        frames[rooted:, 0] = frames[rail, node] @ frame[rooted:]
        string(slice(rooted, m))

    axes = np.empty((m, n, 3, 3))
    axes[..., 0, :] = frames[:, :-1, :, 1]
    axes[..., 1, :] = frames[:, 1:, :, 2]
    axes[..., 2, :] = frames[:, 1:, :, 0]
    return Placed(nodes=nodes, frames=frames, axes=axes)


def point_jacobian(placed: Placed, *, points: Array, carried: Array) -> Array:
    """Return how points on the rails move with every deformation.

    Parameters
    ----------
    placed : Placed
        Where the links lie.
    points : ndarray, shape (p, 3)
        Nodes of interest. [m]
    carried : ndarray, shape (p, m, n)
        1 where a link's hinge carries the point, else 0. [-]

    Returns
    -------
    ndarray, shape (p, 3, m n 3)
        Movement per unit of deformation.
    """
    p, m, n = carried.shape
    jacobian = np.empty((p, 3, m, n, 3))
    arm = (points[:, None, None] - placed.nodes[:, :-1]) * carried[..., None]
    # A turn w of a hinge moves a point by w x arm, a stretch along its link.
    cross = (placed.axes[..., :2, :] @ SKEW).reshape(m, n, 2, 3, 3)
    jacobian[..., :2] = np.einsum("mnkab,pmnb->pamnk", cross, arm)
    jacobian[..., 2] = np.einsum("pmn,mna->pamn", carried, placed.axes[..., 2, :])
    return jacobian.reshape(p, 3, m * n * 3)


def load_stiffness(
    placed: Placed, *, points: Array, forces: Array, carried: Array, in_line: Array
) -> Array:
    r"""Return how the work of constant forces curves with the deformations.

    Parameters
    ----------
    placed, points, carried
        As for `point_jacobian`.
    forces : ndarray, shape (p, 3)
        On the points. [N]
    in_line : ndarray, shape (m n, m n)
        1 where one of two hinges carries the other, or both are the same. [-]

    Returns
    -------
    ndarray, shape (m n 3, m n 3)
        Second derivative of the sum of force times position; symmetric.

    Notes
    -----
    For a turn about w of a hinge nearer the root than movement r (or its own),
    :math:`\partial_r \partial_w x = w \times \partial_r x`, so the entry is
    :math:`w \cdot \sum \partial_r x \times F`. With
    :math:`Q = \sum arm\,F^T`, that sum is :math:`(Q - I\,tr Q) w_r` for a
    turn and :math:`u \times \sum F` for a stretch.
    """
    p, m, n = carried.shape
    outer = (points[:, :, None] * forces[:, None, :]).reshape(p, 9)
    mask = carried.reshape(p, m * n).T
    total = mask @ forces
    hinge = placed.nodes[:, :-1].reshape(m * n, 3)
    q = (mask @ outer).reshape(m * n, 3, 3) - hinge[:, :, None] * total[:, None, :]
    trace = q[:, 0, 0] + q[:, 1, 1] + q[:, 2, 2]
    q -= trace[:, None, None] * np.eye(3)

    axes = placed.axes.reshape(m * n, 3, 3)
    moment = axes @ q.swapaxes(1, 2)
    cross = (axes[:, 2] @ SKEW).reshape(-1, 3, 3)
    moment[:, 2] = (cross @ total[:, :, None])[..., 0]
    turning = axes.copy()
    turning[:, 2] = 0
    all_pairs = turning.reshape(-1, 3) @ moment.reshape(-1, 3).T
    # Of two movements the nearer to the root turns, and chains follow their parents.
    nearer = np.tri(m * n * 3, dtype=bool)
    all_pairs = np.where(nearer, all_pairs.T, all_pairs)
    blocks = all_pairs.reshape(m * n, 3, m * n, 3) * in_line[:, None, :, None]
    return blocks.reshape(m * n * 3, m * n * 3)


@dataclass(frozen=True, kw_only=True)
class HingeResponse:
    """What the hinges carry at the end of a step; each of shape (m, n, 3).

    Attributes
    ----------
    load : ndarray
        Moment about each axis and force along the link. [N m, N m, N]
    tangent : ndarray
        Slope of ``load`` over the deformation, consistent with the step.
    plastic : ndarray
        The part of the deformation that stays. [rad, rad, m]
    back_load : ndarray
        Locked-in load: the middle of the elastic range. [N m, N m, N]
    """

    load: Array
    tangent: Array
    plastic: Array
    back_load: Array


def return_to_yield(
    deformation: Array,
    *,
    plastic: Array,
    back_load: Array,
    stiffness: Array,
    yield_load: Array,
    hardening: Array,
) -> HingeResponse:
    """Return each hinge to its yield limit, in closed form.

    Each movement yields on its own, with linear kinematic hardening: flow
    carries the elastic range along, so a kinked place yields back first.

    Parameters
    ----------
    deformation : ndarray, shape (m, n, 3)
        At the end of the step. [rad, rad, m]
    plastic, back_load : ndarray, shape (m, n, 3)
        At its start.
    stiffness, yield_load, hardening : ndarray, shape (m, n, 3)
        Elastic slope, half the elastic range, and back load per plastic
        deformation.

    Returns
    -------
    HingeResponse
        Loads, slopes and what stays.

    References
    ----------
    .. [1] J. C. Simo and T. J. R. Hughes, *Computational Inelasticity*,
       Springer, 1998, Box 1.5: return mapping for one-dimensional kinematic
       hardening (from memory).

    Examples
    --------
    >>> one = np.ones((1, 1, 3))
    >>> response = return_to_yield(
    ...     3 * one, plastic=0 * one, back_load=0 * one,
    ...     stiffness=one, yield_load=one, hardening=one / 3,
    ... )
    >>> response.load[0, 0].tolist(), response.plastic[0, 0].tolist()
    ([1.5, 1.5, 1.5], [1.5, 1.5, 1.5])
    """
    trial = stiffness * (deformation - plastic)
    beyond = trial - back_load
    excess = np.abs(beyond) - yield_load
    flowing = excess > ROUNDING * yield_load
    softness = np.divide(1, stiffness + hardening, out=np.zeros_like(trial),
                         where=flowing)  # fmt: skip
    flow = np.sign(beyond) * np.where(flowing, excess, 0) * softness
    return HingeResponse(
        load=trial - stiffness * flow,
        tangent=stiffness * (1 - stiffness * softness),
        plastic=plastic + flow,
        back_load=back_load + hardening * flow,
    )
