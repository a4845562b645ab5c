"""A picture with lines of text under it, for a file that goes about by itself."""

from __future__ import annotations

from dataclasses import replace
from textwrap import wrap
from typing import TYPE_CHECKING

from workbook.figures.drawing.letters import width_of
from workbook.figures.drawing.marks import Drawing, Label, Panel
from workbook.figures.drawing.styles import STYLES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Sheet

ROLE, LINE, EDGE = "small text", 18.0, 8.0  # pixels of a line, and beside it


def with_notes(sheet: Sheet, notes: Sequence[str]) -> Sheet:
    """Return a picture with notes under it, long ones in several lines."""
    letter = width_of("n", STYLES[ROLE].size, False)
    letters = int((sheet.width - 2 * EDGE) / letter)
    lines = [line for note in notes for line in wrap(note, letters)]
    marks = [
        Label((0.0, -k - 0.5), line, ROLE, (EDGE, 0.0), "start", name=f"note {k}")
        for k, line in enumerate(lines)
    ]
    below = Panel(
        drawing=Drawing(
            caption="",
            window=(0.0, 1.0, -float(len(lines)), 0.0),
            still=marks,
            true_scale=False,
        ),
        left=0,
        top=sheet.height,
        width=sheet.width,
        height=LINE * len(lines),
    )
    return replace(
        sheet,
        panels=[*sheet.panels, below],
        height=sheet.height + below.height + EDGE,
    )
