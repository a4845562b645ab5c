"""The repair record on its page: the worked one with its gap, and the reader's own."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as ipw

from workbook.bay.log import BayLog
from workbook.bay.repair_record import field_names, filled_record, worked_record
from workbook.errors import WorkbookError
from workbook.files import write_whole
from workbook.language import caution, say
from workbook.reader.record import record_here
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

STYLE = """
.pw-record { max-width: 980px; font-size: 15px; line-height: 1.5; }
.pw-record table { border-collapse: collapse; width: 100%; margin: 0; }
.pw-record :is(th, td) { border: 1px solid var(--jp-border-color0, #767676);
  padding: 4px 10px; text-align: left; vertical-align: top; white-space: normal;
  overflow-wrap: anywhere; font-size: inherit; }
.pw-record td { white-space: pre-line; }
.pw-record th { width: 28%; font-weight: 600; }
.pw-record p { margin: 0 0 8px; }
@media (max-width: 600px) {
  .pw-record :is(th, td) { display: block; width: auto; }
  .pw-record th { border-bottom: 0; }
  .pw-record td { border-top: 0; }
}"""
LINES = 3  # of a field to write in


class RepairRecord:
    """The worked record to find the gap in, and the record of the reader's own job.

    Parameters
    ----------
    log : BayLog, optional
        The jobs of the practice bay; by default those of the reader's record.
    """

    def __init__(self, log: BayLog | None = None) -> None:
        self.log = log or BayLog(record_here())
        self.note = ipw.HTML()
        self.fields: dict[str, ipw.Textarea] = {}
        self.box = ipw.VBox([*self._worked(), *self._own(), self.note])

    def _worked(self) -> list[ipw.Widget]:
        shown = worked_record(system=unit_system())
        table = ipw.HTML(f"<style>{STYLE}</style>{_table(say_of('worked'), shown)}")
        return [table, self._saves("worked", lambda: shown)]

    def _own(self) -> list[ipw.Widget]:
        try:
            job = self.log.job
        except WorkbookError as refusal:
            return [_paragraph(refusal.spoken(unit_system().show))]
        if not job.acts:
            return [_paragraph(say_of("none"))]
        filled = filled_record(job, system=unit_system())
        for name, label in field_names().items():
            box = ipw.Textarea(
                value=filled[name],
                rows=LINES,
                continuous_update=False,
                layout=ipw.Layout(width="auto", max_width="980px"),
            )
            box.tooltip = label
            box.observe(lambda change, name=name: self._write(name, change), "value")
            self.fields[name] = box
        rows = [
            part
            for name, label in field_names().items()
            for part in (_paragraph(label), self.fields[name])
        ]
        return [_paragraph(say_of("own")), *rows, self._saves("own", self.written)]

    def written(self) -> dict[str, str]:
        """Return what stands in the reader's own record."""
        return {name: box.value.strip() for name, box in self.fields.items()}

    def _write(self, name: str, change: Mapping[str, Any]) -> None:
        """Keep one field in the log of the job, as the practice bay does."""
        try:
            act = {"act": "record", "field": name, "text": str(change["new"])}
            self.log.do(act)
        except WorkbookError as refusal:
            self._say(refusal.spoken(unit_system().show))
        else:
            self._say(self.log.record.trouble or say_of("kept"))

    def _saves(self, which: str, fields: Callable[[], Mapping[str, str]]) -> ipw.Button:
        button = ipw.Button(
            description=say_of(f"save_{which}"),
            layout=ipw.Layout(width="auto", align_self="flex-start"),
        )
        button.on_click(lambda _: self.save(which, fields()))
        return button

    def save(self, which: str, fields: Mapping[str, str]) -> None:
        """Write a record as PDF beside the lessons, to be printed."""
        # Every lesson loads this file, and few readers print: the press comes late.
        from workbook.classroom.record_paper import record_pages

        path = Path(say_of(f"file_{which}"))
        try:
            write_whole(path, record_pages(fields, intro=say_of(which)))
        except (OSError, WorkbookError) as refusal:
            told = getattr(refusal, "spoken", None)
            self._say(told(unit_system().show) if told else str(refusal))
        else:
            self._say(say_of("saved", file=path.name))

    def _say(self, words: str) -> None:
        self.note.value = f'<p role="status">{escape(words)}</p>'

    def __repr__(self) -> str:
        return say("card", "run_all", what=say_of("title"))

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": repr(self)}


def say_of(key: str, **values: Any) -> str:
    """Return a sentence of the repair record."""
    return say("repair_record", key, **values)


def _table(intro: str, fields: Mapping[str, str]) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(label)}</th>'
        f"<td>{escape(fields[name] or say_of('gap'))}</td></tr>"
        for name, label in field_names().items()
    )
    foot = f"{escape(caution('S15'))} {escape(say_of('no_certificate'))}"
    inside = f"<p>{escape(intro)}</p><table>{rows}</table><p>{foot}</p>"
    return f'<div class="pw-record">{inside}</div>'


def _paragraph(words: str) -> ipw.HTML:
    return ipw.HTML(f'<div class="pw-record"><p>{escape(words)}</p></div>')
