"""The practice bay on the page: a picture, a panel of acts, readings and the log."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
import traitlets

from widgets.bay_forms import ASKS, DRAWN, act_of, panel, title_of, why_closed
from widgets.bay_hand import Ahead, floor_from, look_ahead
from widgets.card import Card
from widgets.hand import Held, Move, spatial
from widgets.play import STILLS
from widgets.stage import module, styles
from workbook.bay.data import as_data, floor_data
from workbook.bay.log import BayLog
from workbook.bay.wording import fault_words
from workbook.errors import FormError
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.rooms import PAGE, ROOMS
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures.practice_bay import (
    ALL,
    places_drawn,
    practice_bay_sheet,
)
from workbook.language import STANDING, caution, say, text
from workbook.quantities.units import factor, figures, with_unit
from workbook.reader.record import FILE, Record, record_here
from workbook.reader.school import school_rules
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from workbook.bay.state import Bay
    from workbook.figures.drawing.labels import Places
    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.drawing.views import Viewpoint
    from workbook.quantities.units import UnitSystem

WORDS = "practice_bay"
STEP = "step"  # of the metal's last way, played
LONGEST_VALUE = 60  # letters of a value in the list of what was done


class PracticeBay(Card):
    """The whole job on the invented Kestrin 5, act by act.

    Every act is kept at once in a file beside the reader's record, and the job is gone
    on with where it was. ``drafts`` has what is typed in each form, done or not;
    ``opened`` is the act whose form is open, ``given`` what stands in it: what of that
    has a place is taken in the picture. ``space`` is what the page needs to turn it.

    Parameters
    ----------
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    _esm = module("bay.js")
    _css = style_sheet() + styles("card.css", "hand.css", "bay.css")
    space = traitlets.Dict().tag(sync=True)
    projects = True
    quiet = ("move", "play", "fit")

    def __init__(self, *, record: Record | None = None) -> None:
        self.record = record or record_here()
        self.plain = say(WORDS, "plain")
        self.jobs = BayLog(self.record)
        self.room, self.done = PAGE.name, ""
        self.step: int | None = None
        self.opened, self.given = "", dict[str, object]()
        self.hand: Held[bool] = Held(flat=(ALL,))
        self.ahead = Ahead()
        self._places: Places | None = None
        self._shown: Bay | None = None
        super().__init__(record=self.record)
        self.says = {**self.says, **text("hand", "page"), **text(WORDS, "seen")}
        self.space = spatial(WORDS, flat=(ALL,))

    # What a reader does ------------------------------------------------------

    def do(self, act: Mapping[str, Any]) -> None:
        """Do one act and show what came of it; one that is refused changes nothing."""
        self._same_reader()
        before = len(self.jobs.job.bay.faults)
        bay = self.jobs.do(act)
        self.step, self.note = None, ""
        self.hand.stop()
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

    def fit(self, room: str) -> None:
        """Draw for the room there is on the page."""
        if room in ROOMS and room != self.room:
            self.room = room
            self.show()

    def open_form(self, name: str, given: Mapping[str, object]) -> None:
        """Open the form of an act with what stands in it, or with no name shut it."""
        self.opened, self.given = (name, dict(given)) if name in ASKS else ("", {})
        self.show()

    def move(self, move: Move) -> None:
        """Do what a hand in the picture, or in the open form, has done."""
        self.hand.hear(move, here=True)
        for name, value in move.values.items():
            if name == STEP:
                self.step = int(value)
            elif name in self.ahead.grips:
                self.given |= self.ahead.grips[name].puts[int(value)]
            else:
                self.given[name] = value
        self.show()

    def play(self, wish: Mapping[str, Any]) -> None:
        """Send pictures of the metal on its way that the page asks for, or stills."""
        most, run = self._most, wish.get("run")
        if "stills" in wish:
            between = np.linspace(0, most, STILLS).round().astype(int).tolist()
            self.send({"stills": {"sketch": self._picture(between)}})
            return
        here, first, steps = self.step, int(wish["first"]), int(wish["steps"])
        for value in range(first, min(first + steps, most + 1)):
            self.step = value
            shown = {"sketch": self._picture(), "value": value}
            self.send({"run": run, "step": shown})
        self.step = here
        if first + steps > most:
            self.send({"run": run, "over": True})

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
            "open": lambda sent: self.open_form(str(sent["name"]), sent["given"]),
            "move": lambda sent: self.move(Move(**sent["move"])),
            "play": self.play,
            "another": lambda _: self.another(),
        }

    def _heard(self, content: dict[str, Any]) -> None:
        """Hear an act; what moves in the picture is told as in an explorer."""
        if "move" in content:
            content = {**content, "act": "move"}
        elif "stills" in content or "play" in content:
            content = {**content, "act": "play"}
        super()._heard(content)

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
        if bay is not self._shown:  # else only what is seen of it has changed
            self._shown, self.data = bay, as_data(bay)
        data = self.data
        step = None if self.step is None else max(0, min(self.step, self._most))
        self.step = step if self._most else None
        if self.opened and why_closed(bay, self.opened):
            self.opened, self.given = "", {}
        self.ahead = look_ahead(
            bay,
            self.opened,
            self.given,
            places=places_drawn(data, _floor(), self.step),
            system=system,
        )
        sheet = self._sheet()
        return {
            **named,
            "intro": [
                self.called,
                *filter(None, [broken, self.jobs.doubt, self.record.trouble]),
            ],
            "sketch": self._drawn(sheet),
            "floor": self._floor_of(sheet),
            "opened": self.opened,
            "given": self.given if self.opened in DRAWN else {},
            "ahead": self.ahead.words,
            **self._in_hand(sheet),
            "done": self.done,
            "did": job.acts[-1]["act"] if job.acts else "",
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
                "lines": [say("bay", "invented"), caution("S0"), *school_rules()],
            },
        }

    @property
    def _most(self) -> int:
        """The number of the last step of the metal's last way; nought without one."""
        way = self.data["metal"]["steps"]
        return len(way["progress_1"]) - 1 if way else 0

    @property
    def _view(self) -> Viewpoint:
        return self.hand.view or VIEWS["above"]

    def _sheet(self, stills: Sequence[int] = ()) -> Sheet:
        return practice_bay_sheet(
            self.data,
            _floor(),
            system=unit_system(),
            view=self.hand.view,
            step=self.step,
            stills=stills,
            plan=self.ahead.plan,
            room=ROOMS[self.room],
        )

    def _drawn(self, sheet: Sheet) -> str:
        """Return a picture; while something moves its labels stay where they were."""
        keep = self.hand.moving
        before = self._places if keep else None
        settled, self._places = settle(sheet, before=before, keep=keep)
        return render(settled)

    def _picture(self, stills: Sequence[int] = ()) -> str:
        return self._drawn(self._sheet(stills))

    def _floor_of(self, sheet: Sheet) -> list[list[float]] | None:
        """Return what makes a place on the floor [mm] of one on the picture."""
        found = floor_from(self._view, sheet)
        return found and [[at / factor("mm") for at in row] for row in found]

    def _in_hand(self, sheet: Sheet) -> dict[str, Any]:
        """Return what the page needs of the hand in the picture."""
        told = [one.told(self._view, sheet) for one in self.ahead.grips.values()]
        grips = [grip for grip in told if grip is not None]
        most = self._most
        now = most if self.step is None else self.step
        return {
            "answers": self.hand.answers,
            "view": self.hand.seen,
            "values": {grip["field"]: grip["value"] for grip in grips},
            "grips": grips,
            "stroke": _stroke(now, most) if most else None,
            "still": False,
            "moving": self.hand.moving,
        }


@cache
def _floor() -> dict[str, Any]:
    return floor_data()


def _stroke(now: int, most: int) -> dict[str, Any]:
    """Return the steps of the metal as the page plays them."""
    return {
        "field": STEP,
        "label": say(WORDS, "seen", "stroke"),
        "step": 1,
        "stride": 1,
        "grain": 1,
        "low": 0,
        "high": most,
        "value": now,
        "shown": {"per": 1, "places": 0, "ending": say(WORDS, "of_steps", most=most)},
        "ways": [["", ""]],
        "way": "",
    }


def _page_words() -> dict[str, str]:
    names = (
        *("do", "undo", "undo_label", "another", "another_label", "panel", "log"),
        *("readings", "shares", "faults", "click", "arrows"),
    )
    words = text(WORDS)
    return {name: words[name] for name in names}


def _gauges(bay: Bay, data: Mapping[str, Any], system: UnitSystem) -> Iterator[Any]:
    """Yield what the gauges say, how the body is held, who is in the way."""
    told = text(WORDS, "told")
    show = system.show
    unit = system.unit["pressure"]  # finer than of oil: it is turned up in small steps
    yield told["air"], with_unit(figures(bay.air / factor(unit), least=1), unit)
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
            [_bare(last["limits_m"][point], system), False],
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
