"""The angle card on paper: one page, with room for the shop's own limits."""

from __future__ import annotations

from importlib.resources import files
from math import ceil
from typing import TYPE_CHECKING

from workbook.classroom.press import Press
from workbook.language import caution, say, text
from workbook.reports.quick import card_tables

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem


ROWS = 7  # to write in, where no rules stand
RULE_ROOM = 0.5  # of a row, for each line of a rule
RULE_LENGTH = 90  # characters of a rule on a line


def card_pdf(*, paper: str, system: UnitSystem, rules: Sequence[str] = ()) -> bytes:
    """Return the angle card as a PDF of one page.

    Parameters
    ----------
    paper : {"a4", "us-letter"}
        Size of the page.
    system : UnitSystem
        Units of slack and chain sag.
    rules : sequence of str
        What the school asks; each takes the room of the lines it is long.
    """
    taken = sum(RULE_ROOM * ceil(len(rule) / RULE_LENGTH) for rule in rules)
    template = files(__package__).joinpath("angle_card.typ").read_bytes()
    return Press(template, {}).pages(
        {
            "title": say("quick", "card", "title"),
            "paper": paper,
            "tables": [vars(table) for table in card_tables(system)],
            "foot": text("quick", "card", "foot"),
            "own": say("quick", "card", "own"),
            "lines": text("quick", "card", "lines"),
            "rules": [*rules],
            "rows": max(1, ROWS - ceil(taken)),
            "cautions": [caution(name) for name in ("S6", "S7")],
            "s0": caution("S0"),
        }
    )
