"""How wide words are, and where a text stands so that no edge cuts it off."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Label
from workbook.figures.drawing.styles import STYLES

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Panel, Sheet

Pixels = tuple[float, float]

# Widths of letters in sizes of the text, those of DejaVu Sans and DejaVu Sans Bold,
# which are wide as such letters go. What is not listed counts as wide.
_WIDE = 1.0
_PLAIN_WIDTHS = {
    0.29: "'ijlIJ",
    0.34: " ,.·/:;\\|",
    0.4: "f-()[]t!",
    0.46: 'r"',
    0.53: "*_`°–sz?",
    0.58: "cLFk",
    0.64: "vxyPTYaoeESbdghnpqu$0123456789{}",
    0.7: "KAVBRXZC",
    0.79: "UHNDG&OQ",
    0.84: "w#+<=>^~−×",
}
_BOLD_WIDTHS = {
    0.35: "'ijl ",
    0.4: "/IJ\\|,.·:;",
    0.46: "-f!()[]",
    0.52: 'tr_`°–"*',
    0.6: "?zcs",
    0.67: "Lvxyak",
    0.73: "EFTeo$0123456789hnu{}SYbdgpqCPZ",
    0.77: "BAKRVX",
    0.85: "UGD#+<=>HN^~−×OQ",
    0.92: "&w",
    1.1: "%@MmW",
}
_WIDTHS = {
    bold: {letter: width for width, letters in table.items() for letter in letters}
    for bold, table in ((False, _PLAIN_WIDTHS), (True, _BOLD_WIDTHS))
}
HALF_HEIGHT = 0.58  # of a line of text, in sizes


@lru_cache(maxsize=4096)
def width_of(text: str, size: float, bold: bool) -> float:
    """Return how wide a text of some size is. [px]

    Examples
    --------
    >>> width_of("17.7 kN", 10, False)
    39.7
    """
    widths = _WIDTHS[bold]
    return round(size * sum([widths.get(letter, _WIDE) for letter in text]), 6)


def caption_of(panel: Panel, letters: float) -> tuple[Label, Pixels]:
    """Return the caption of a panel, and where it stands: at its upper left."""
    caption = str(panel.drawing.caption)
    label = Label((0, 0), caption, "small text", name="caption", align="start")
    return label, (panel.left + 4, panel.top + 8.5 * letters)


def fit_inside(label: Label, at: Pixels, sheet: Sheet) -> tuple[Pixels, float]:
    """Return where a text goes and its size, so that no side of the sheet cuts it off.

    It is moved inside, and made smaller where it is wider than the sheet.
    """
    style, width = STYLES[label.role], sheet.width
    size, bold = style.size * sheet.letters, style.bold
    wide = width_of(label.text, size, bold)
    if wide > width - 4:
        size *= (width - 4) / wide
        wide = width - 4
    dx, dy = label.shift.tolist()
    x = at[0] + dx
    before = {"start": 0.0, "middle": wide / 2, "end": wide}[str(label.align)]
    x = max(min(x, width - 2 - wide + before), 2 + before)
    half = HALF_HEIGHT * size
    return (x, max(min(at[1] + dy, sheet.height - half), half)), size
