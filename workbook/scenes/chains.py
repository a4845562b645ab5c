"""The chain of a set-up: which one it is, and how it hangs."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, TypedDict

import numpy as np

from workbook.equipment import Chain, chain
from workbook.errors import OutOfRangeError
from workbook.mechanics.pull.catenary import HangingChain
from workbook.mechanics.pull.tension_length_sag import from_tension, least_tension

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from workbook.mechanics.vectors import Array

CHAIN_GRADES: Mapping[str, tuple[str, str | None]] = {
    "EN 818-2 grade 8": ("EN 818-2", "8"),
    "EN 818-3 grade 4": ("EN 818-3", "4"),
    "49 CFR 393.108 unmarked": ("49 CFR 393.108", None),
    "49 CFR 393.108 grade 43": ("49 CFR 393.108", "43"),
    "49 CFR 393.108 grade 70": ("49 CFR 393.108", "70"),
    "49 CFR 393.108 grade 80": ("49 CFR 393.108", "80"),
    "49 CFR 393.108 grade 100": ("49 CFR 393.108", "100"),
}


ENOUGH = 1e6  # N; holds any chain between ends that are filled in for none


class Ends(TypedDict):
    """What carries and weighs a chain: distances (...) [m] and weight [N/m]."""

    span: Array
    rise: Array
    weight_per_length: float


def graded_chain(grade: str, size: str) -> Chain:
    """Return the chain of a key of `CHAIN_GRADES` and of a nominal size."""
    standard, named = CHAIN_GRADES[grade]
    return chain(standard=standard, grade=named, size=size)


def hang_where(
    tension: Array, ends: Ends, *, where: bool | NDArray[np.bool_] = True
) -> HangingChain:
    """Hang chains by the tension at their upper ends.

    Parameters
    ----------
    tension : ndarray, shape (...)
        Tension at the upper end. [N]
    ends : Ends
        What carries and weighs the chains.
    where : ndarray of bool, shape (...)
        Which of them to hang.

    Returns
    -------
    HangingChain
        With nan where nothing is to hang, or the tension does not hold the chain's
        own weight.
    """
    tension = np.where(where, tension, ENOUGH)
    try:
        return masked(from_tension(tension, **ends), where)
    except OutOfRangeError:  # some are too heavy: find out which
        least = least_tension(**ends)
        holds = where & (tension >= least)
        hung = from_tension(np.where(holds, tension, 2 * least), **ends)
        return masked(hung, holds)


def masked(hung: HangingChain, keep: bool | NDArray[np.bool_]) -> HangingChain:
    """Return chains with nan in place of those that are not to be kept."""
    parts = {field.name: getattr(hung, field.name) for field in fields(hung)}
    return HangingChain(**{n: np.where(keep, v, np.nan) for n, v in parts.items()})


def apart(hung: HangingChain, index: int) -> HangingChain:
    """Return chains of one index of the first axis."""
    parts = {field.name: getattr(hung, field.name) for field in fields(hung)}
    return HangingChain(**{name: v[index] for name, v in parts.items()})
