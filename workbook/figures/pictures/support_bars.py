"""Bars of what each clamp and stand carries, against its own rating and slip limit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.expected import Expected, expected_bar
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


@dataclass(frozen=True, kw_only=True)
class ExpectedRow:
    """What a reader expects of the most loaded one, against a rating (...) [N]."""

    expected: Expected
    rating: Coordinate
    words: str | Text
    value: str | Text

    def bar(self, y: float) -> list[Mark]:
        """Return its hollow bar, cut off where the others are."""
        shown = np.minimum(self.expected.value, LONGEST * self.rating)
        return expected_bar(y, self.rating, replace(self.expected, value=shown))


def support_bars(
    rows: Sequence[SupportRow],
    *,
    caption: str | Text,
    limit: str,
    wide: float,
    letters: float = 1.0,
    expected: ExpectedRow | None = None,
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
    expected : ExpectedRow, optional
        What a reader expects of one of them; it stands below the last.
    """

    def room_for(texts: Sequence[str | Text]) -> float:
        style = STYLES["text"]
        size = style.size * letters
        said = [form for one in texts for form in forms_of(one)]
        return AIR + max(width_of(form, size, style.bold) for form in said)

    every: list[SupportRow | ExpectedRow] = [*rows]
    every += [] if expected is None else [expected]
    names = room_for([row.words for row in every])
    values = room_for([row.value for row in every])
    one = max(wide - names - values, LEAST_BAR * letters) / LONGEST
    marks: list[Mark] = []
    for k, row in enumerate(rows):
        marks += _bar(UPPER - k, row.share, "bar support", row.name)
        if row.slip is not None:
            marks += _bar(LOWER - k, row.slip, "bar slip", f"slip of {row.name}")
        marks += _texts(-k, row, row.name)
    if expected is not None:
        marks += [*expected.bar(-len(rows)), *_texts(-len(rows), expected, "expected")]
    last = 1.0 - len(every)
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


def _texts(y: float, row: SupportRow | ExpectedRow, name: str) -> list[Mark]:
    """Return the words before a row's bars, and its value behind them all."""
    before, behind = f"label {name}", f"value {name}"
    return [
        Label((0, y), row.words, "text", (-8, 0), "end", name=before),
        Label((LONGEST, y), row.value, "text", (6, 0), "start", name=behind),
    ]


def _bar(y: float, share: Coordinate, role: str, name: str) -> list[Mark]:
    """Return one bar, which looks otherwise where it is past the line."""
    end, over = np.minimum(share, LONGEST), np.asarray(share) > 1
    low, high = y - HALF, y + HALF
    box = path([(0, low), (end, low), (end, high), (0, high)])
    return [
        Polygon(box, role, f"bar {name}", shown=~over),
        Polygon(box, "bar over", f"bar over {name}", shown=over),
    ]
