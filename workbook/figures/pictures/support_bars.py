"""Bars of what each clamp and stand carries, against its own rating and slip limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.letters import width_of
from workbook.figures.drawing.marks import Drawing, Label, Line, Mark, Polygon, path
from workbook.figures.drawing.scales import AIR, LEAST_BAR
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.texts import forms_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate
    from workbook.figures.drawing.texts import Text

LONGEST = 1.2  # ratings; a bar of more is cut off there
UPPER, LOWER, HALF = 0.21, -0.21, 0.13  # of a row: middles of its bars, half a bar
ABOVE, BELOW = 1.4, 0.6  # rows, over the first and under the last


@dataclass(frozen=True, kw_only=True)
class SupportRow:
    """One support: what stands before its bars and behind them, and their lengths.

    ``share`` (...) is of its rating, ``slip`` (...) of its slip limit if it has one.
    """

    name: str
    words: str | Text
    value: str | Text
    share: Coordinate
    slip: Coordinate | None = None


def support_bars(
    rows: Sequence[SupportRow],
    *,
    caption: str | Text,
    limit: str,
    wide: float,
    letters: float = 1.0,
) -> Drawing:
    """Return two bars a support, from zero, with the line that neither should pass.

    Parameters
    ----------
    rows : sequence of SupportRow
        From the top.
    caption : str or Text
        What the bars are.
    limit : str
        What the line is called; nothing leaves it without a name.
    wide : float
        Width for words, bars and values together. [px]
    letters : float
        How many times as large as on a page the letters are.
    """

    def room_for(texts: Sequence[str | Text]) -> float:
        style = STYLES["text"]
        size = style.size * letters
        said = [form for one in texts for form in forms_of(one)]
        return AIR + max(width_of(form, size, style.bold) for form in said)

    names, values = (
        room_for([row.words for row in rows]),
        room_for([row.value for row in rows]),
    )
    one = max(wide - names - values, LEAST_BAR * letters) / LONGEST
    marks: list[Mark] = []
    for k, row in enumerate(rows):
        marks += _bar(UPPER - k, row.share, "bar support", row.name)
        if row.slip is not None:
            marks += _bar(LOWER - k, row.slip, "bar slip", f"slip of {row.name}")
        marks += [
            Label((0, -k), row.words, "text", (-8, 0), "end", name=f"label {row.name}"),
            Label(
                (LONGEST, -k),
                row.value,
                "text",
                (6, 0),
                "start",
                name=f"value {row.name}",
            ),
        ]
    last = 1.0 - len(rows)
    still: list[Mark] = [Line([(1.0, last - 0.5), (1.0, 0.55)], "limit", "limit")]
    if limit:
        at = (1.0, last - 0.5)
        still.append(Label(at, limit, "small text", (0, 9 * letters), name="of limit"))
        last -= BELOW
    return Drawing(
        caption=caption,
        window=(-names / one, LONGEST + values / one, last - BELOW, ABOVE),
        still=still,
        moving=marks,
        true_scale=False,
    )


def _bar(y: float, share: Coordinate, role: str, name: str) -> list[Mark]:
    """Return one bar, which looks otherwise where it is past the line."""
    end, over = np.minimum(share, LONGEST), np.asarray(share) > 1
    low, high = y - HALF, y + HALF
    box = path([(0, low), (end, low), (end, high), (0, high)])
    return [
        Polygon(box, role, f"bar {name}", shown=~over),
        Polygon(box, "bar over", f"bar over {name}", shown=over),
    ]
