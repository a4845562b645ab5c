"""The practice bay on the page: a picture, a panel of acts, readings and the log."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from widgets.bay_forms import act_of, panel, title_of
from widgets.card import HERE, Card
from widgets.stage import module
from workbook.bay.data import as_data, floor_data
from workbook.bay.log import BayLog
from workbook.bay.wording import fault_words
from workbook.errors import FormError
from workbook.figures.drawing.rooms import PAGE, ROOMS
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.drawing.windows import placed
from workbook.figures.pictures.practice_bay import SEEN, practice_bay_sheet
from workbook.language import STANDING, caution, say, text
from workbook.quantities.units import factor
from workbook.reader.record import FILE, Record, record_here
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from workbook.bay.state import Bay
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem

WORDS = "practice_bay"
LONGEST_VALUE = 60  # letters of a value in the list of what was done


class PracticeBay(Card):
    """The whole job on the invented Kestrin 5, act by act.

    Every act is kept at once in a file beside the reader's record, and the job is gone
    on with where it was. ``drafts`` has what is typed in each form, done or not.

    Parameters
    ----------
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    _esm = module("bay.js")
    _css = style_sheet() + "".join(
        (HERE / name).read_text("utf-8") for name in ("card.css", "bay.css")
    )
    projects = True

    def __init__(self, *, record: Record | None = None) -> None:
        self.record = record or record_here()
        self.plain = say(WORDS, "plain")
        self.jobs = BayLog(self.record)
        self.view, self.room, self.done = SEEN[0], PAGE.name, ""
        self.step: int | None = None
        super().__init__(record=self.record)

    # What a reader does ------------------------------------------------------

    def do(self, act: Mapping[str, Any]) -> None:
        """Do one act and show what came of it; one that is refused changes nothing."""
        self._same_reader()
        before = len(self.jobs.job.bay.faults)
        bay = self.jobs.do(act)
        self.step, self.note = None, ""
        new = [fault_words(fault) for fault in bay.faults[before:]]
        done = say(WORDS, "done", what=title_of(str(act["act"])))
        over = [say(WORDS, "over")] if bay.stopped is not None else []
        self.done = " ".join([done, *new, *over])
        self.show()

    def fill_in(self, name: str, given: Mapping[str, object]) -> None:
        """Do the act that a filled-in form stands for."""
        self._same_reader()
        bay = self.jobs.job.bay
        self.do(act_of(bay, name, given, system=unit_system()))

    def see(self, view: str) -> None:
        """See the bay another way."""
        if view in SEEN:
            self.view = view
            self.show()

    def fit(self, room: str) -> None:
        """Draw for the room there is on the page."""
        if room in ROOMS and room != self.room:
            self.room = room
            self.show()

    def go_to(self, step: int) -> None:
        """Draw the metal at a step of its last way; past the last one, as it is now."""
        steps = self.jobs.job.bay.steps
        if steps is not None:
            self.step = max(0, min(int(step), len(steps.history.progress) - 1))
            self.show()

    def another(self) -> None:
        """Begin another job on the same car; this one stays in the file."""
        self._same_reader()
        self.jobs.begin_another()
        self.step, self.done = None, ""
        self.show()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        return {
            "do": lambda sent: self.fill_in(str(sent["name"]), sent["given"]),
            "undo": lambda _: self.do({"act": "undo"}),
            "fit": lambda sent: self.fit(str(sent["room"])),
            "see": lambda sent: self.see(str(sent["view"])),
            "go": lambda sent: self.go_to(sent["step"]),
            "another": lambda _: self.another(),
        }

    def told(self, line: dict[str, Any]) -> None:
        """Follow a new reader."""
        if line["kind"] == "identity":
            self.step, self.done = None, ""
        super().told(line)

    def _same_reader(self) -> None:
        """See who works with the record now."""
        self.record.catch_up()

    # What stands on it -------------------------------------------------------

    def parts(self) -> dict[str, Any]:
        """Return picture, panel, readings, shares, faults, log; or what is wrong."""
        reader, system = self.record.reader, unit_system()
        titled = (
            say(WORDS, "title", student=reader.student)
            if reader.signed_in
            else say(WORDS, "nobody")
        )
        named = {"title": titled}
        broken = ""
        self._same_reader()
        try:
            job = self.jobs.job
        except FormError as refusal:
            broken = f"{refusal.spoken(system.show)} {say(WORDS, 'broken')}"
            self.jobs.begin_another()
            job = self.jobs.job
        bay = job.bay
        data = as_data(bay)
        steps = data["metal"]["steps"]
        sheet = practice_bay_sheet(
            data,
            _floor(),
            system=system,
            view=self.view,
            step=self.step,
            room=ROOMS[self.room],
        )
        most = len(steps["progress_1"]) - 1 if steps else 0
        return {
            **named,
            "intro": [
                self.called,
                *filter(None, [broken, self.jobs.doubt, self.record.trouble]),
            ],
            "sketch": render(sheet),
            "floor": _corners(sheet),
            "views": [[name, say(WORDS, "view", name)] for name in SEEN],
            "view": self.view,
            "way": {"step": most if self.step is None else self.step, "most": most}
            if most
            else None,
            "done": self.done,
            "panel": panel(bay, system=system),
            "givens": [*_gauges(bay, data, system)],
            "readings": _readings(data, system),
            "shares": _shares(data, system),
            "faults": [
                say(WORDS, "fault", act=fault.act, fault=fault_words(fault))
                for fault in bay.faults
            ],
            "log": [_line(k, act) for k, act in enumerate(job.acts, 1)],
            "may_undo": data["may_undo"],
            "words": _page_words(),
            "kept": say(WORDS, "kept", file=FILE),
            "caution": {
                "summary": " ".join(caution(c) for c in STANDING["result"]),
                "lines": [say("bay", "invented"), caution("S0")],
            },
        }


@cache
def _floor() -> dict[str, Any]:
    return floor_data()


def _corners(sheet: Sheet) -> list[list[float]]:
    """Return where the picture's sides lie on the floor from above: x, then y. [mm]"""
    x0, y0, kx, ky = placed(sheet.panels[0])
    x, y = ((0 - x0) / kx, (sheet.width - x0) / kx), (y0 / ky, (y0 - sheet.height) / ky)
    return [[at / factor("mm") for at in pair] for pair in (x, y)]


def _page_words() -> dict[str, str]:
    names = (
        *("do", "undo", "undo_label", "another", "another_label", "panel", "log"),
        *("seen", "play", "pause", "back", "on", "way", "at_step", "readings"),
        *("shares", "faults", "click"),
    )
    words = text(WORDS)
    return {name: words[name] for name in names}


def _gauges(bay: Bay, data: Mapping[str, Any], system: UnitSystem) -> Iterator[Any]:
    """Yield what the gauges say, how the body is held, who is in the way."""
    told = text(WORDS, "told")
    show = system.show
    yield told["air"], show(bay.air, "pressure")
    yield told["oil"], show(bay.pressure, "pressure")
    yield told["body"], told["free" if data["body"]["free_because"] else "held"]
    people = ", ".join(data["in_line_of_fire"]) or told["nobody"]
    yield told["zone"], people


def _readings(data: Mapping[str, Any], system: UnitSystem) -> dict[str, Any]:
    """Return the last readings as a table; what is outside its limit is marked."""
    if not data["readings"]:
        return {"rows": [], "note": say(WORDS, "no_readings")}
    last = data["readings"][-1]
    rows = [
        [
            point,
            *(
                [_bare(value, system), outside]
                for value, outside in zip(off, last["outside"][point], strict=True)
            ),
        ]
        for point, off in last["differences_m"].items()
    ]
    return {
        "heads": text(WORDS, "points"),
        "rows": rows,
        "note": say(WORDS, "under_load") if last["under_load"] else "",
        "unit": say(WORDS, "in_unit", unit=system.unit["small length"]),
        "outside": say(WORDS, "outside"),
    }


def _bare(value: float, system: UnitSystem) -> str:
    """Return a small length without its unit, which stands over the table."""
    shown = system.show(value, "small length")
    return shown.removesuffix(system.unit["small length"]).strip()


def _shares(data: Mapping[str, Any], system: UnitSystem) -> list[dict[str, Any]]:
    """Return what each loaded part carries of its rating, the most loaded first."""
    loaded = [
        (share, part, ram["name"])
        for ram in data["rams"]
        for part, share in (ram["shares_1"] or {}).items()
        if share > 0
    ]
    if loaded or any(hold["tension_N"] for hold in data["holds"]):
        loaded += [
            (one["share_1"], "clamp", one["name"]) for one in data["body"]["supports"]
        ]
    return [
        {
            "share": min(share, 1.0),
            "text": say(
                WORDS, "part_share", show=system.show, part=part, of=of, share=share
            ),
            "margin": data["rules"]["margin_1"],
        }
        for share, part, of in sorted(loaded, reverse=True)
    ]


def _line(number: int, act: Mapping[str, Any]) -> str:
    """Return one act of the log in words."""
    values = [*_told([value for key, value in act.items() if key != "act"])]
    entry = "line_with" if values else "line"
    called = title_of(act["act"])
    return say(WORDS, entry, number=number, act=called, values=values)


def _told(values: list[Any]) -> Iterator[str]:
    for value in values:
        if isinstance(value, dict):
            yield from (str(key) for key in value)
        elif isinstance(value, list):
            yield from _told(value)
        elif not isinstance(value, bool) and value != "":
            said = str(value)
            yield said if len(said) <= LONGEST_VALUE else f"{said[:LONGEST_VALUE]}…"
