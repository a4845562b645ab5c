"""The angle card and the quick checks as text, in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from workbook.language import STANDING, caution, left_out, say, text
from workbook.quantities.tables import columns
from workbook.quantities.units import factor, figures, with_unit
from workbook.scenes.quick import LEAVES_OUT, SPAN, angle_card

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.quick import QuickCheck


@dataclass(frozen=True, kw_only=True)
class CardTable:
    """One table of the angle card: its title, the heads of its columns, its rows."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def card_tables(system: UnitSystem) -> tuple[CardTable, ...]:
    """Return the tables of the angle card.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> card_tables(METRIC)[1].rows[3]
    ('120°', '× 1.00', '× 1.00')
    """
    card = angle_card()
    off, between = _degrees(card.off_line), _degrees(card.between)
    return (
        _table(
            "off",
            {
                "off_line": off,
                "useful": _per_cent(card.useful),
                "sideways": _per_cent(card.sideways),
                "tension": _times(card.tension),
            },
        ),
        _table(
            "between",
            {
                "between": between,
                "leg": _times(card.leg),
                "anchor": _times(card.anchor),
            },
        ),
        _table(
            "slack",
            {
                "slack": _lengths(card.slack, system),
                "sag": _lengths(card.sag, system),
            },
            system=system,
        ),
    )


def card_text(system: UnitSystem, *, rules: Sequence[str] = ()) -> str:
    """Return the angle card as lines for a terminal, with the rules of a school."""
    blocks = [[say("quick", "card", "title")]]
    for table in card_tables(system):
        rows = [(*row, "") for row in (table.heads, *table.rows)]
        blocks.append([table.title, *columns(rows)])
    blocks.append([*text("quick", "card", "foot"), say("quick", "card", "print")])
    blocks += [[*rules], [caution("S0")]]
    return "\n\n".join("\n".join(block) for block in blocks if block)


def result_lines(
    check: QuickCheck, found: Mapping[str, float], system: UnitSystem
) -> list[str]:
    """Return what a quick check comes to: each number, what is held, the short line.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> from workbook.scenes.quick import CHECKS
    >>> result_lines(CHECKS["redirect"], {"anchor": 19283.6}, METRIC)[0]
    "load on the roller's anchor: 19.3 kN"
    """
    amounts = [
        say(
            "quick",
            "result",
            name=check.name_of(name),
            amount=_shown(found[name], kind, system),
        )
        for name, kind in check.gives.items()
    ]
    held = say("explorer", "held", what=check.name_of(check.held))
    return [*amounts, held, *(caution(name) for name in STANDING["result"])]


def check_text(
    check: QuickCheck,
    found: Mapping[str, float],
    system: UnitSystem,
    *,
    rules: Sequence[str] = (),
) -> str:
    """Return a quick check as lines for a terminal, with what the model leaves out."""
    foot = say("report", "report", "foot", left_out=left_out(LEAVES_OUT))
    lines = [check.says, *result_lines(check, found, system), *rules]
    return "\n".join([*lines, "", foot, caution("S0")])


def _shown(value: float, kind: str, system: UnitSystem) -> str:
    """Return an amount to three figures at most."""
    unit = system.unit[kind]
    return with_unit(figures(value / factor(unit)), unit)


def _table(
    name: str, rows: Mapping[str, list[str]], system: UnitSystem | None = None
) -> CardTable:
    show = None if system is None else system.show
    return CardTable(
        title=say("quick", "card", f"{name}_title"),
        heads=tuple(say("quick", "card", head, show=show, span=SPAN) for head in rows),
        rows=tuple(zip(*rows.values(), strict=True)),
    )


def _degrees(angles: Array) -> list[str]:
    return [with_unit(f"{angle / factor('deg'):.0f}", "deg") for angle in angles]


def _per_cent(shares: Array) -> list[str]:
    return [with_unit(f"{100 * share:.0f}", "%") for share in shares]


def _times(ratios: Array) -> list[str]:
    return [say("quick", "card", "times", number=f"{ratio:.2f}") for ratio in ratios]


def _lengths(lengths: Array, system: UnitSystem) -> list[str]:
    return [system.show(length, "length") for length in lengths]
