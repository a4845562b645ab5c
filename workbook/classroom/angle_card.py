"""The angle card on paper: one page, with room for the shop's own limits."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

from workbook.classroom.press import Press
from workbook.language import caution, say, text
from workbook.reports.quick import card_tables

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem


def card_pdf(*, paper: str, system: UnitSystem) -> bytes:
    """Return the angle card as a PDF of one page.

    Parameters
    ----------
    paper : {"a4", "us-letter"}
        Size of the page.
    system : UnitSystem
        Units of slack and chain sag.
    """
    template = files(__package__).joinpath("angle_card.typ").read_bytes()
    return Press(template, {}).pages(
        {
            "title": say("quick", "card", "title"),
            "paper": paper,
            "tables": [vars(table) for table in card_tables(system)],
            "foot": text("quick", "card", "foot"),
            "own": say("quick", "card", "own"),
            "lines": text("quick", "card", "lines"),
            "cautions": [caution(name) for name in ("S6", "S7")],
            "s0": caution("S0"),
        }
    )
