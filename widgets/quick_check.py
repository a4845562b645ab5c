"""What a technician opens: the angle card, and a quick check to type two numbers in."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import ipywidgets as ipw

from widgets.card import Card
from widgets.tools import units_choice
from workbook.errors import WorkbookError
from workbook.language import caution, left_out, say, text
from workbook.quantities.units import SYSTEMS
from workbook.reader.school import school_rules
from workbook.reader.settings import (
    remember_units,
    unit_system,
    use_language,
    watch_units,
)
from workbook.reports.quick import card_tables, card_text, result_lines
from workbook.scenes.quick import CHECKS, LEAVES_OUT

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.reports.quick import CardTable

STYLE = """
.pw-angle-card { display: flex; flex-wrap: wrap; gap: 8px 32px; max-width: 1100px;
  font-size: 16px; line-height: 1.4; }
.pw-angle-card table { border-collapse: collapse; margin: 0 0 8px; font-size: inherit; }
.pw-angle-card caption { font-weight: 600; text-align: left; padding: 4px 0; }
.pw-angle-card :is(th, td) { border: 1px solid var(--jp-border-color0, #767676);
  padding: 3px 10px; text-align: right; max-width: 130px; white-space: normal; }
.pw-gloves .pw-units button { min-height: 12mm; font-size: 16px; }
.pw-gloves .pw-units { margin: 4px 0; }
.pw-angle-card p { flex: 1 1 100%; margin: 0; font-weight: 600; }"""


class AngleTables:
    """The angle card on its page, and the one control of its units."""

    def __init__(self) -> None:
        use_language()
        self.tables = ipw.HTML()
        self.units = units_choice(unit_system().name, _use_units)
        above = ipw.HBox(
            [Ways(), self.units],
            layout={"flex_flow": "row wrap", "align_items": "center"},
        )
        self.box = ipw.VBox([above, self.tables]).add_class("pw-gloves")
        self._show()
        watch_units(self._show)

    def _show(self) -> None:
        system = unit_system()
        self.units.value = system.name
        self._text = card_text(system, rules=school_rules())
        first, *others = map(_table, card_tables(system))
        foot = [*text("quick", "card", "foot"), say("quick", "card", "print")]
        lines = [" ".join(foot), *school_rules()]
        self.tables.value = (
            f'<style>{STYLE}</style><div class="pw-angle-card">'
            f"<div>{first}</div><div>{''.join(others)}</div>"
            f"{''.join(f'<p>{escape(line)}</p>' for line in lines)}</div>"
        )

    def __repr__(self) -> str:
        return self._text

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": self._text}


def _use_units(name: str) -> None:
    if name != unit_system().name:
        remember_units(SYSTEMS[name])


def _table(table: CardTable) -> str:
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in table.heads)
    rows = "".join(
        f'<tr><th scope="row">{escape(first)}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in rest)
        + "</tr>"
        for first, *rest in table.rows
    )
    caption = f"<caption>{escape(table.title)}</caption>"
    return f"<table>{caption}<tr>{heads}</tr>{rows}</table>"


class Ways(Card):
    """The ways from the angle card to what else is on its page, first by keyboard."""

    def __init__(self) -> None:
        self.plain = say("quick", "ways", "plain")
        super().__init__()
        self.add_class("pw-gloves")

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return nothing: the page itself goes there."""
        return {}

    def parts(self) -> dict[str, Any]:
        """Return the places of the other cards, each with what it is called."""
        names = ("check", "refresh", "entry")
        places = [[name, say("quick", "ways", name)] for name in names]
        return {"nearby": {"called": say("quick", "ways", "called"), "choices": places}}


class QuickCheckCard(Card):
    """Two numbers in, the third out; nothing of it is kept in the record."""

    def __init__(self) -> None:
        use_language()
        self.plain = say("quick", "plain")
        self.check = CHECKS["straight"]
        self.lines: list[str] = []
        super().__init__()
        self.add_class("pw-gloves")

    def choose(self, name: str) -> None:
        """Take another check; what was typed for this one stays."""
        self.check, self.lines = CHECKS[name], []
        self.show(focus="form")

    def work_out(self, typed: Mapping[str, str]) -> None:
        """Say what follows from what was typed."""
        system = unit_system()
        mine = {name: typed.get(self._field(name), "") for name in self.check.asks}
        self.lines = []
        try:
            found = self.check.answer(mine, system=system)
        except WorkbookError as refusal:
            self.note = refusal.spoken(system.show)
        else:
            self.lines = result_lines(self.check, found, system)
        self.show()

    def other_units(self) -> None:
        """Ask anew: a bare number now is in the units that were chosen."""
        self.lines = []
        super().other_units()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        choose = {name: lambda _, name=name: self.choose(name) for name in CHECKS}
        return {"work_out": lambda sent: self.work_out(sent["typed"]), **choose}

    def parts(self) -> dict[str, Any]:
        """Return the checks to choose from, the boxes, and what follows."""
        fields = [
            {"name": self._field(name), "label": self._label(name, kind)}
            for name, kind in self.check.asks.items()
        ]
        return {
            "place": "check",
            "title": f"{say('quick', 'title')} · {self.check.called}",
            "intro": [self.check.says],
            "form": {
                "act": "work_out",
                "fields": fields,
                "submit": say("quick", "work_out"),
            },
            "result": {"lines": self.lines} if self.lines else None,
            "tools": [
                {"act": name, "text": one.called}
                for name, one in CHECKS.items()
                if one is not self.check
            ],
            "foot": [say("quick", "invented")],
            "caution": {
                "summary": caution("short"),
                "lines": [
                    caution("S0"),
                    say("report", "report", "foot", left_out=left_out(LEAVES_OUT)),
                    caution("S6"),
                    caution("S7"),
                    *school_rules(),
                ],
            },
        }

    def _field(self, name: str) -> str:
        return f"{self.check.name}/{name}"

    def _label(self, name: str, kind: str) -> str:
        unit = unit_system().unit[kind]
        return say("explorer", "label", name=self.check.name_of(name), unit=unit)
