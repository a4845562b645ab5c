"""The kinds of damage of a survey as a table and as fields for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.language import caution, text
from workbook.mechanics.survey.damage import KINDS
from workbook.quantities.tables import columns, signed
from workbook.reports.survey import fit_words, hint_words, notes
from workbook.scenes.surveys import SHOWN_AS, STANDS_OUT, is_clear, size_of

if TYPE_CHECKING:
    from workbook.mechanics.survey.damage import DamageFrame, DamageReading
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

UNITS = {kind: "rad" if kind == "twist" else "m" for kind in KINDS}


def damage_table(
    survey: Survey, reading: DamageReading, *, frame: DamageFrame, system: UnitSystem
) -> str:
    """Return the kinds of damage in the reader's units, cautions below them.

    Parameters
    ----------
    survey : Survey
        The survey that was read.
    reading : DamageReading
        What was read from it.
    frame : DamageFrame
        The planes it was read by.
    system : UnitSystem
        The reader's units.
    """
    sides = {"both": "both sides", "left": "the left side", "right": "the right side"}
    return "\n".join(
        [
            f"Damage of {survey.specification.name}, read from "
            f"{len(survey.points.ids)} points",
            "",
            fit_words(survey, system=system),
            hint_words(survey, system=system),
            f"Hinge plane at {system.show(frame.hinge_x, 'length')}, front plane at "
            f"{system.show(frame.front_x, 'length')}; mash is looked for on "
            f"{sides[frame.mash_side]}.",
            "",
            *columns(_rows(reading, system)),
            "",
            left_words(survey, reading, system=system),
            *(
                f"These points tell {one} from {other} only poorly."
                for one, other in reading.confusable
            ),
            f"Clear means more than {STANDS_OUT:g} standard errors. "
            "Kinds mix, and a size is a summary, not a plan.",
            "",
            *notes(survey),
        ]
    )


def _rows(reading: DamageReading, system: UnitSystem) -> list[list[str]]:
    rows = [["kind", "size", "standard error", "", ""]]
    for kind in reading.kinds:
        size, error = size_of(reading, kind)
        clear = is_clear(reading, kind)
        before = "" if size >= 0 else "the opposite of: "
        rows.append(
            [
                kind,
                signed(size, system, SHOWN_AS[kind]),
                system.show(error, SHOWN_AS[kind]),
                "clear" if clear else "in the scatter",
                before + text("damage", kind) if clear else "",
            ]
        )
    return rows


def left_words(survey: Survey, reading: DamageReading, *, system: UnitSystem) -> str:
    """Say what the kinds leave unexplained, and where most of it is."""
    worst = int(np.argmax(reading.unexplained))
    return (
        f"Left unexplained: {system.show(reading.share_unexplained, 'share')} of the "
        f"squared differences, {system.show(reading.rms_residual, 'small length')} a "
        f"reading (root mean square); most at {survey.points.ids[worst]}, "
        f"{system.show(float(reading.unexplained[worst]), 'small length')}."
    )


def damage_fields(
    survey: Survey, reading: DamageReading, *, frame: DamageFrame
) -> dict[str, Any]:
    """Return the kinds of damage in SI units; every name ends with its unit."""
    return {
        "form": 1,
        "specification": survey.specification.name,
        "base": list(survey.base),
        "hinge_m": frame.hinge_x,
        "front_m": frame.front_x,
        "width_m": frame.width,
        "mash_side": frame.mash_side,
        "kinds": [
            {
                "kind": kind,
                f"size_{UNITS[kind]}": size_of(reading, kind)[0],
                f"standard_error_{UNITS[kind]}": size_of(reading, kind)[1],
            }
            for kind in reading.kinds
        ],
        "share_unexplained_1": reading.share_unexplained,
        "rms_unexplained_m": reading.rms_residual,
        "unexplained_m": dict(
            zip(survey.points.ids, reading.residuals.tolist(), strict=True)
        ),
        "hard_to_tell_apart": [list(pair) for pair in reading.confusable],
        "caution": caution("S0"),
    }
