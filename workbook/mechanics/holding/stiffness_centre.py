"""The stiffness centre of a group of clamps or bolts, and the torque about it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import MechanismError
from workbook.mechanics.holding.supports import Clamps, one_layout
from workbook.mechanics.holding.wrenches import (
    ORIGIN,
    direction_of,
    moment_about_line,
    one_vector,
)
from workbook.mechanics.vectors import Array


@dataclass(frozen=True, kw_only=True)
class StiffnessCentre:
    """Where a force in a plane moves the body without turning it in that plane.

    Attributes
    ----------
    point : ndarray, shape (3,)
        The centre, as high above the plane as the stiffness is on average. [m]
    normal : ndarray, shape (3,)
        Across the plane, one long.
    turning_stiffness : float
        Torque for one radian of turn about the normal there. [N m/rad]
    """

    point: Array
    normal: Array
    turning_stiffness: float

    def torque(self, wrench: ArrayLike, *, about: ArrayLike = ORIGIN) -> Array:
        """Return the torque of wrenches (..., 6) about the centre [N m].

        Plus by the right-hand rule about ``normal``; ``about`` (3,) is the point
        the wrenches are stated about [m].
        """
        return moment_about_line(
            wrench, about=about, point=self.point, direction=self.normal
        )


def stiffness_centre(clamps: Clamps, *, normal: ArrayLike) -> StiffnessCentre:
    r"""Find the stiffness centre of clamps for forces in one plane.

    Equal bolts have it at the middle of their places; a stiffer one draws it
    toward itself. A pull in the plane that misses it by an arm also turns the
    body, with the pull times the arm.

    Parameters
    ----------
    clamps : Clamps
    normal : array_like, shape (3,)
        Across the plane; any length.

    Returns
    -------
    StiffnessCentre

    Raises
    ------
    MechanismError
        If the clamps slide freely along a line of the plane.
    OutOfRangeError
        If the normal has no direction, or there are many layouts.

    Notes
    -----
    With :math:`\mathbf K_i` the stiffness of clamp i in the plane, a turn
    :math:`\mathbf n` about the centre :math:`\mathbf c` calls up no force:
    :math:`\sum \mathbf K_i\, \mathbf n \times (\mathbf r_i - \mathbf c) = 0`.

    Examples
    --------
    >>> pair = Clamps(positions=[[0, 0, 0], [3, 0, 0]], stiffness=[[1e6], [2e6]])
    >>> centre = stiffness_centre(pair, normal=[0, 0, 1])
    >>> centre.point.tolist(), round(centre.turning_stiffness)
    ([2.0, 0.0, 0.0], 6000000)
    >>> float(centre.torque([0, 5e3, 0, 0, 0, 0]))
    -10000.0
    """
    across = direction_of(one_vector(normal, name="plane", unit=""), name="plane")
    flat = np.linalg.svd(across[None])[2][1:]  # two unit vectors in the plane
    lines = one_layout(clamps).axes @ flat.T
    stiff = np.einsum("nij,ni,nik->njk", lines, clamps.stiffness, lines)
    whole = stiff.sum(axis=0)
    softest, hardest = np.linalg.eigvalsh(whole)
    if softest <= 1e-12 * hardest:
        raise MechanismError("anchoring.no_centre")
    weight = np.trace(stiff, axis1=1, axis2=2)
    middle = weight @ clamps.positions / weight.sum()
    # How each place moves in a turn of one about the middle, in the plane.
    swing = np.cross(across, clamps.positions - middle) @ flat.T
    slide = np.linalg.solve(whole, np.einsum("njk,nk->j", stiff, swing))
    point = middle - np.cross(across, slide @ flat)
    about_it = swing - slide
    own = clamps.turning_stiffness * (clamps.axes @ across) ** 2
    turning = np.einsum("nj,njk,nk->", about_it, stiff, about_it) + own.sum()
    return StiffnessCentre(
        point=point + 0.0, normal=across, turning_stiffness=float(turning)
    )
