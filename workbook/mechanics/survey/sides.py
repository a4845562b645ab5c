"""Damage that both sides should share, read on the left and on the right alone.

Sag is both sides low, and sidesway both rails pushed over: one size for both hides
a corner that alone was driven down. Here the kind is read once more with a size for
each side, everything else as before.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.survey.least_squares import LinearFit

STANDS_OUT = 3.0
"""A size of more standard errors than this is clear: more than scatter. [1]"""

FINEST = 1e-4
"""No survey reads finer: less than this is nothing. [m, twist rad]"""


@dataclass(frozen=True, kw_only=True)
class Sides:
    """The size of one kind on either side, with standard errors, shape (...). [m]

    ``difference_error`` is the standard error of left less right.
    """

    left: NDArray[np.float64]
    right: NDArray[np.float64]
    left_error: NDArray[np.float64]
    right_error: NDArray[np.float64]
    difference_error: NDArray[np.float64]

    @property
    def differ(self) -> NDArray[np.bool_]:
        """Where the sides are farther apart than scatter explains, shape (...)."""
        return stands_out(self.left - self.right, self.difference_error)

    @property
    def only(self) -> Literal["left", "right"] | None:
        """The one side that is damaged, where the other shows nothing, of one survey.

        Examples
        --------
        >>> error = np.array(3e-4)
        >>> Sides(
        ...     left=np.array(8e-3), right=np.array(0.0), left_error=error,
        ...     right_error=error, difference_error=np.array(4e-4),
        ... ).only
        'left'
        """
        left = stands_out(self.left, self.left_error)
        right = stands_out(self.right, self.right_error)
        if not self.differ or left == right:
            return None
        return "left" if left else "right"


def stands_out(
    size: NDArray[np.float64], error: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Tell where a size is clear: more than its scatter, and more than nothing."""
    return np.asarray(np.abs(size) > np.maximum(STANDS_OUT * error, FINEST))


def side_columns(
    column: NDArray[np.float64], *, y: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return a column (n, 3) on the left and on the right alone, shape (n, 3, 2).

    Points on the centre plane move half with either side.
    """
    left = np.heaviside(y, 0.5)[:, None]
    return np.stack([column * left, column * (1 - left)], axis=2)


def sides_of(fit: LinearFit) -> Sides:
    """Return the sizes of the two sides from a fit whose first columns they are."""
    left, right = np.moveaxis(fit.coefficients[..., :2], -1, 0)
    spread = fit.covariance
    apart = spread[..., 0, 0] + spread[..., 1, 1] - 2 * spread[..., 0, 1]
    return Sides(
        left=left,
        right=right,
        left_error=np.sqrt(spread[..., 0, 0]),
        right_error=np.sqrt(spread[..., 1, 1]),
        difference_error=np.sqrt(np.maximum(apart, 0.0)),
    )
