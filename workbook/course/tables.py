"""Numbers side by side: set-ups of an explorer in rows, what comes of them beside."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from workbook.course.lesson import Changes, Exploration
from workbook.figures.pictures import subjects
from workbook.language import fill
from workbook.scenes import codes
from workbook.scenes.fields import Number, checked, si

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem

Amount = tuple[float, str]  # SI value and kind
Rows = list[tuple[Amount, ...]]


@dataclass(frozen=True, kw_only=True)
class Column:
    """What stands in a column of every row.

    ``of`` is an amount of the explorer, a field (what was set), or a function of
    what was solved; ``change`` is what this column sets otherwise.
    """

    of: str | Callable[[Any], Amount]
    change: Changes = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Table:
    """Set-ups of one explorer, side by side.

    Attributes
    ----------
    explorer : str
        Which of the lesson's explorers.
    rows : tuple of str or mapping
        Named set-ups, whose names then lead their rows, or changes of the start.
    columns : tuple of Column
        What is told of each.
    change : mapping
        What all rows change.
    held : str
        The field whose value is told as held fixed.
    noted : mapping of int to str
        A word behind the first cell of some rows, by its name among the lesson's.
    """

    explorer: str
    rows: tuple[str | Changes, ...]
    columns: tuple[Column, ...]
    change: Changes = field(default_factory=dict)
    held: str = ""
    noted: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class TableText:
    """A table as text: what is held fixed, the columns' heads and the rows."""

    held: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def __str__(self) -> str:
        """Return head and rows with their columns in line, the first to the left."""
        lines = [self.head, *self.rows]
        widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
        return "\n".join(
            "  ".join(
                cell.rjust(width) if place else cell.ljust(width)
                for place, (cell, width) in enumerate(zip(line, widths, strict=True))
            )
            for line in lines
        )


def solved(one: Exploration, set_up: str = "start", /, **changes: Any) -> Any:
    """Return what the engine makes of a set-up of an explorer.

    Raises
    ------
    WorkbookError
        If the engine refuses it.
    """
    subject = subjects()[one.subject]
    return subject.solve(checked(subject.fields, one.values(set_up, **changes)))


def code_of(one: Exploration, set_up: str = "start", /, **changes: Any) -> str:
    """Return the set-up code of a set-up of an explorer."""
    subject = subjects()[one.subject]
    values = checked(subject.fields, one.values(set_up, **changes))
    return codes.encode(subject.word, subject.fields, values)


def table_text(
    table: Table, one: Exploration, *, said: Mapping[str, Any], system: UnitSystem
) -> TableText:
    """Return a table as text.

    Parameters
    ----------
    table : Table
        Which set-ups, and what of them.
    one : Exploration
        The explorer it is about.
    said : mapping
        ``held``, ``head`` and the words of notes.
    system : UnitSystem
        The reader's units.
    """
    show = subjects()[one.subject].units(system).show
    rows = []
    for number, row in enumerate(table.rows):
        cells = [show(*amount) for amount in _amounts(table, one, row)]
        cells = [one.called(row), *cells] if isinstance(row, str) else cells
        if number in table.noted:
            cells[0] = f"{cells[0]}, {said[table.noted[number]]}"
        rows.append(tuple(cells))
    held = _field(one, table.held, table.change) if table.held else None
    amount = show(*held) if held else ""
    return TableText(
        held=fill(said.get("held", ""), amount=amount),
        head=tuple(fill(name, amount=amount) for name in said["head"]),
        rows=tuple(rows),
    )


def rows_text(rows: Rows, *, head: Sequence[str], system: UnitSystem) -> TableText:
    """Return rows of amounts as text, under the names of their columns."""
    told = (tuple(system.show(*amount) for amount in row) for row in rows)
    return TableText(held="", head=tuple(head), rows=tuple(told))


def _amounts(table: Table, one: Exploration, row: str | Changes) -> list[Amount]:
    named, own = (row, {}) if isinstance(row, str) else ("start", row)
    return [
        amount_of(
            column.of, one, named, change={**table.change, **own, **column.change}
        )
        for column in table.columns
    ]


def amount_of(
    of: str | Callable[[Any], Amount],
    one: Exploration,
    set_up: str = "start",
    *,
    change: Changes,
) -> Amount:
    """Return a field or an amount of an explorer, or a function of what it solves."""
    subject = subjects()[one.subject]
    if isinstance(of, str) and of in subject.fields:
        return _field(one, of, one.values(set_up, **change))
    result = solved(one, set_up, **change)
    return subject.told(result)[of] if isinstance(of, str) else of(result)


def _field(one: Exploration, name: str, changes: Changes) -> Amount:
    fields = subjects()[one.subject].fields
    number = fields[name]
    assert isinstance(number, Number)
    return si(number, checked(fields, one.values(**changes))[name]), number.kind
