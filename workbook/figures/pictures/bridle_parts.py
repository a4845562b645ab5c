"""What the plan of a bridle and its picture in space share: letters, refusals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import FreeLabel, Line, Mark, Marker
from workbook.figures.drawing.texts import said

if TYPE_CHECKING:
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.bridles import SolvedBridle


def letter_of(letter: str, at: Array) -> Mark:
    """Return the letter of a clamp."""
    return FreeLabel(at, letter, "strong text", name=f"label {letter}", rank="point")


def refused_at(solved: SolvedBridle) -> Array:
    """Return where the ring of a bridle that there is none of would lie, (..., 3)."""
    given, stands = solved.given, solved.stands
    out, off = 0.12 * given.array("spacing_mm"), given.array("shift_mm")
    place = np.stack(np.broadcast_arrays(out, off, 0.0), axis=-1)
    return np.where(stands[..., None], np.nan, place)


def refusal_marks(
    solved: SolvedBridle, at: Array, clamps: tuple[Array, Array], system: UnitSystem
) -> list[Mark]:
    """Mark the ring of a bridle that there is none of, with the reason.

    ``at`` and ``clamps`` are where ring and clamps are in the picture, (..., 2).
    """
    given = solved.given
    aside = np.abs(given.array("shift_mm")) >= given.array("spacing_mm") / 2
    key = np.where(aside, "outside", "flat")
    words = said("picture", "bridle", "refused", key, show=system.show)
    label = FreeLabel(at, words, "strong text", name="label refused", rank="warning")
    return [
        Line([clamps[0], at, clamps[1]], "refused", "as it would be"),
        Marker(at, "cross", "fails", "fails"),
        label,
    ]
