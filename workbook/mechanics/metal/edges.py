"""Where a clamp pulls on the edge of a sheet: a teaching estimate of its tearing."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from workbook.mechanics.magnitudes import alike, magnitude
from workbook.mechanics.vectors import Array

EDGES = 2
"""Lines along which the metal behind a jaw shears, one at either side of it."""


def tear_out(
    *, edge_distance: ArrayLike, thickness: ArrayLike, shear_strength: ArrayLike
) -> Array:
    r"""Return the pull that shears a strip as wide as the jaw out of a sheet's edge.

    The strip leaves along two straight lines from the jaw to the edge, each of the
    edge distance: :math:`F = 2\,e\,t\,\tau`. It is a teaching estimate. It knows no
    slipping jaw, no bent or cracked edge, no weld, no earlier damage, and no pull that
    runs askew; it approves no pull.

    Parameters
    ----------
    edge_distance : array_like, shape (...)
        From the jaw to the edge, along the pull. [m]
    thickness : array_like, shape (...)
        Of the sheet. [m]
    shear_strength : array_like, shape (...)
        Shear stress at which it shears. [Pa]

    Returns
    -------
    ndarray, shape (...)
        The pull. [N]

    Raises
    ------
    OutOfRangeError
        If one of them is not more than zero.

    References
    ----------
    .. [1] R. L. Brockenbrough and F. S. Merritt, *Structural Steel Designer's
       Handbook*, 4th ed., McGraw-Hill, 2006, section 3: a bolt tears out of a
       plate at :math:`1.2\,L_c\,t\,F_u`, two lines of strength :math:`0.6\,F_u`.

    Examples
    --------
    >>> pull = tear_out(edge_distance=0.025, thickness=1.2e-3, shear_strength=220e6)
    >>> round(float(pull))
    13200
    """
    along = magnitude(edge_distance, name="edge_distance", unit="m")
    thick = magnitude(thickness, name="thickness", unit="m")
    strength = magnitude(shear_strength, name="shear_strength", unit="Pa")
    alike(edge_distance=along, thickness=thick, shear_strength=strength)
    return np.asarray(EDGES * along * thick * strength)
