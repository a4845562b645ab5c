"""Weighted least squares whose refusals name the columns at fault."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from workbook.errors import OutOfRangeError


@dataclass(frozen=True, kw_only=True)
class LinearFit:
    """A weighted least-squares fit, of one list of observations or of many (...).

    Attributes
    ----------
    coefficients : NDArray[np.float64], shape (..., k)
        Best coefficients.
    covariance : NDArray[np.float64], shape (..., k, k)
        Their covariance, from the residuals.
    correlation : NDArray[np.float64], shape (k, k)
        Their correlation, from the design alone. [1]
    residuals : NDArray[np.float64], shape (..., m)
        Observed minus fitted.
    residual_deviation : NDArray[np.float64], shape (...)
        Standard deviation of an observation of weight one.
    """

    coefficients: NDArray[np.float64]
    covariance: NDArray[np.float64]
    correlation: NDArray[np.float64]
    residuals: NDArray[np.float64]
    residual_deviation: NDArray[np.float64]


def weighted_least_squares(
    design: NDArray[np.float64],
    *,
    observed: NDArray[np.float64],
    weights: NDArray[np.float64],
    names: Sequence[str],
    confusion_tolerance: float = 0.01,
) -> LinearFit:
    """Fit coefficients of named columns to observations, with standard errors.

    Parameters
    ----------
    design : NDArray[np.float64], shape (m, k)
        One column for each unknown.
    observed : NDArray[np.float64], shape (..., m)
        What was read: one list, or many under the same design.
    weights : NDArray[np.float64], shape (m,)
        Weights; an observation of weight 0 does not count. [1]
    names : sequence of str
        Terms by which a refusal calls the columns.
    confusion_tolerance : float, optional
        Least singular value of the columns scaled to unit length. [1]

    Returns
    -------
    LinearFit
        Coefficients, covariance, correlation and residuals.

    Raises
    ------
    OutOfRangeError
        If a column is empty, columns cannot be told apart, or no observation
        is left over to judge the error.

    Examples
    --------
    >>> line = np.column_stack([np.ones(3), np.arange(3.0)])
    >>> fit = weighted_least_squares(
    ...     line, observed=np.array([1.0, 3.0, 5.0]), weights=np.ones(3),
    ...     names=("level", "slope"),
    ... )
    >>> fit.coefficients.round(6).tolist()
    [1.0, 2.0]
    """
    root_weight = np.sqrt(weights)
    columns = root_weight[:, None] * design
    size = np.linalg.norm(columns, axis=0)
    _require_seen(size, names, reach=1e-9 * float(np.linalg.norm(root_weight)))
    spare = int((weights > 0).sum()) - len(names)
    if spare < 1:
        raise OutOfRangeError(
            "damage.nothing_over", count=spare + len(names), sizes=len(names)
        )

    u, s, vt = np.linalg.svd(columns / size, full_matrices=False)
    if s[-1] < confusion_tolerance:
        raise _confusion(names, vt[-1])
    scaled = vt.T / s
    coefficients = ((root_weight * observed) @ u) @ scaled.T / size
    residuals = observed - coefficients @ design.T
    deviation = np.linalg.norm(root_weight * residuals, axis=-1) / np.sqrt(spare)
    spread = scaled @ scaled.T
    root = np.sqrt(np.diag(spread))
    return LinearFit(
        coefficients=coefficients,
        covariance=deviation[..., None, None] ** 2 * spread / np.outer(size, size),
        correlation=spread / np.outer(root, root),
        residuals=residuals,
        residual_deviation=np.asarray(deviation),
    )


def _confusion(names: Sequence[str], direction: NDArray[np.float64]) -> OutOfRangeError:
    """Refusal that names the columns that cancel in ``direction``."""
    share = np.abs(direction) / np.abs(direction).max()
    mixed = [name for name, part in zip(names, share, strict=True) if part > 0.2]
    return OutOfRangeError("damage.alike", some=mixed[:-1], last=mixed[-1])


def _require_seen(
    size: NDArray[np.float64], names: Sequence[str], reach: float
) -> None:
    """Refuse columns in which nothing moves."""
    unseen = [name for name, length in zip(names, size, strict=True) if length <= reach]
    if unseen:
        raise OutOfRangeError("damage.unseen", kinds=unseen)
