"""Predict first: an explorer's controls are held until a prediction is locked."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from math import isnan
from typing import TYPE_CHECKING, Any

from widgets.card import Card
from workbook.course.predictions import NONE, explained, givens, options, outcome_of
from workbook.course.readings import compare
from workbook.figures.drawing.expected import Expected
from workbook.figures.pictures import subjects
from workbook.figures.sketches.sketches import sketch
from workbook.language import entries, say, text
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from workbook.course.lesson import Exploration
    from workbook.course.readings import Comparison
    from workbook.figures.drawing.marks import Sheet
    from workbook.reader.record import Record
    from workbook.reader.record_lines import Line

KNOWN = "known"  # kind of a line of the record
OWN, LOOK = "own", "look"  # boxes to type in
MOST_DRAWN = 8  # times what is shown; more is not drawn to its scale


class PredictionLock(Card):
    """Asks, locks the answer, keeps it in sight, then asks what was seen.

    A part that an explorer takes: it shows ``widget``, holds its controls while
    ``answer`` is ``None`` and puts what lets them go in ``on_lock``.

    ``answer`` is the locked text, ``outcome`` what it stands for, ``seen`` what
    the reader typed after looking; each is ``None`` until then. Whoever says that
    they know it answers that. What is found in the reader's record holds from the
    start. On the page the card tells how far it is, in ``data-pw-state``: ``open``,
    ``locked``, ``seen`` once an amount was typed that can be compared with what the
    explorer shows, or ``known``.

    Parameters
    ----------
    one : Exploration
        The explorer that it is about, with what is asked and what is read off.
    now : callable
        Returns what that explorer shows at present, if it is there.
    record : Record, optional
        The reader's record; by default the one in the present folder.

    Attributes
    ----------
    on_lock : callable
        Called once a prediction is locked, or came back with its reader.
    """

    def __init__(
        self,
        one: Exploration,
        *,
        now: Callable[[], Any] = lambda: None,
        record: Record | None = None,
    ) -> None:
        assert one.predict is not None, "nothing is asked"
        self.one, self.prediction, self.now = one, one.predict, now
        self.answer: str | None = None
        self.outcome: str | None = None
        self.seen: str | None = None
        self._read_of: str | None = None  # of which answer is ``_read``
        self._read: Comparison | None = None
        self.on_lock: Callable[[], None] = lambda: None
        self.plain = say("prediction", "plain")
        super().__init__(record=record)
        self.add_class("pw-predict")
        self._restore()
        self.show()

    @property
    def widget(self) -> PredictionLock:
        """What goes on the page."""
        return self

    @property
    def sketch(self) -> Sheet | None:
        """The sketch of what is asked, where the explorer's picture is hidden."""
        variant = self.prediction.variant if self.one.curtain else None
        return sketch(variant, system=unit_system()) if variant else None

    @property
    def expected(self) -> Expected | None:
        """The amount that was locked, to be drawn in the picture; ``None`` if none.

        One out of all proportion, or less than nothing, would leave no room for what
        is shown.
        """
        if self.answer is None or self.outcome is None or self.one.observe is None:
            return None
        if self._read_of != self.answer:
            self._read_of = self.answer
            self._read = self._beside(self.answer, first=True)
        read = self._read
        if read is None or read.told is None:
            return None
        if not 0 <= read.read <= MOST_DRAWN * abs(read.shown):
            return None
        return Expected(
            amount=self.one.observe.amount,
            value=read.read,
            kind=read.kind,
            within=self.one.observe.within,
        )

    @property
    def state(self) -> str:
        """How far it is: ``open``, ``locked``, ``seen`` or ``known``."""
        if self.answer is None:
            return "open"
        if self.seen is not None and self._is_read(self.seen):
            return "seen"
        return KNOWN if self.outcome is None else "locked"

    # What a reader does ------------------------------------------------------

    def lock(self, choice: str | None, *, own: str = "") -> None:
        """Lock a choice by its name, or an answer of one's own."""
        own = own.strip()
        if choice is None and own:
            choice = NONE
        if choice not in (*self._offered(), NONE) or (choice == NONE and not own):
            self.note = say("prediction", "choose")
            return self.show()
        if choice == NONE:  # typed, but maybe what a choice stands for
            self.answer, self.outcome = own, outcome_of(self.prediction, own)
        else:
            self.answer, self.outcome = self._offered()[choice], choice
        self._keep("prediction", choice=self.answer, outcome=self.outcome)
        self._let_go(focus="form")

    def know(self) -> None:
        """Pass it by: the reader knows this. It is kept, and nothing is held."""
        self.answer = say("prediction", "known")
        self._keep(KNOWN)
        self._let_go(focus="form")

    def look(self, typed: str) -> None:
        """Keep what was seen, and compare it with what the explorer shows."""
        typed = typed.strip()
        if not typed:
            self.note = say("typed", "blank")
            return self.show()
        self.seen = typed
        kept = self._lines("observation", "typed")
        if not kept or kept[-1]["typed"] != typed:
            self._keep("observation", typed=typed)
        self.show()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        return {
            "lock": lambda sent: self.lock(
                sent.get("choice"), own=str(sent["typed"][OWN])
            ),
            "know": lambda _: self.know(),
            "look": lambda sent: self.look(str(sent["typed"][LOOK])),
        }

    # What stands on it -------------------------------------------------------

    def parts(self) -> dict[str, Any]:
        """Return question and choices; then what was locked, and what was seen."""
        told = {"state": self.state, "whose": self.record.whose}
        asked = {"intro": [self.prediction.question]}
        if self.answer is None:
            return {
                **told,
                **asked,
                "title": say("prediction", "first"),
                "givens": self._givens(),
                "form": {
                    "act": "lock",
                    "legend": say("prediction", "legend"),
                    "choices": [*map(list, self._offered().items()), self._own()],
                    "fields": [{"name": OWN, "label": say("prediction", "own_place")}],
                    "submit": say("prediction", "lock"),
                    "beside": [{"act": "know", "text": say("prediction", "know")}],
                },
            }
        known = self.outcome is None
        drawn = self.expected is not None and self.expected.amount in self._drawn
        yours = say("prediction", "drawn" if drawn else "yours", answer=self.answer)
        title = self.answer if known else yours
        return {
            **told,
            **asked,
            "title": title,
            "form": {
                "act": "look",
                "fields": [{"name": LOOK, "label": self._to_type()}],
                "submit": say("prediction", "looked"),
            },
            "result": self._result(),
            "because": None if known or not self._looked else self._because(),
        }

    @property
    def _drawn(self) -> Collection[str]:
        """Numbers that the explorer's picture shows as they are expected."""
        return subjects()[self.one.subject].expects

    def _offered(self) -> dict[str, str]:
        """Return the choices by name, in this reader's order: a letter tells nothing.

        The one that is left out is an answer of one's own.
        """
        reader = self.record.reader
        offered = options(
            self.prediction,
            class_key=reader.class_key,
            student=reader.student,
            system=unit_system(),
        )
        return {option.name: option.text for option in offered[:-1]}

    def _own(self) -> list[str]:
        return [NONE, say("prediction", "own")]

    def _givens(self) -> list[list[str]] | None:
        fields = subjects()[self.one.subject].fields
        told = givens(self.prediction, fields, self.one.start, system=unit_system())
        return [[*pair] for pair in told] or None

    def _to_type(self) -> str:
        look, observe = say("prediction", "look"), self.one.observe
        if observe is None:
            return look
        named = say("prediction", "named", amount=text("amount", observe.amount))
        within = say("prediction", "within", share=observe.within)
        return f"{look} {named} {within}"

    def _result(self) -> dict[str, Any] | None:
        """Return what was typed beside what is shown, in words and in numbers."""
        if self.seen is None:
            return None
        if not re.search(r"\d", self.seen):
            return {"sign": "", "lines": [say("prediction", "number_missing")]}
        beside = self._beside(self.seen)
        if beside is None or self.one.observe is None:
            return {"sign": "", "lines": [say("prediction", "kept")]}
        if beside.told is None:
            return {
                "sign": "",
                "lines": [say("prediction", "asked", why=beside.sentence)],
            }
        lines = [self._on_screen(beside)]
        if beside.told in {"sign", "now", "beside"}:
            lines.append(beside.sentence)
        return {"sign": "", "lines": lines}

    def _on_screen(self, beside: Comparison) -> str:
        """Return what was typed beside what the screen shows, or showed for it."""
        assert self.one.observe is not None
        near = self.one.observe.within * abs(beside.present)
        shows_it = abs(beside.read - beside.present) <= near
        asked_for = beside.told == "there" and not shows_it
        shown = beside.shown if asked_for or isnan(beside.present) else beside.present
        screen = say(
            "prediction",
            "screen_then" if asked_for and not isnan(beside.present) else "screen",
            amount=text("amount", self.one.observe.amount),
            shown=unit_system().show(shown, beside.kind),
        )
        return f"{screen} {_said('typed', beside, shown)}"

    @property
    def _looked(self) -> bool:
        """Tell whether it was read right, or tried again: a first guess tells none."""
        kept = {line["typed"] for line in self._lines("observation", "typed")}
        beside = self._beside(self.seen or "")
        right = beside is None or beside.told == "there"
        return self.state == "seen" and (right or sum(map(self._is_read, kept)) > 1)

    def _because(self) -> dict[str, Any]:
        """Return one line on the prediction, which opens what it came from."""
        beside = self._beside(self.answer or "", first=True)
        if self.outcome == "right":
            line = say("prediction", "expected_same")
        elif beside is None or beside.told in (None, "there"):
            line = say("prediction", "expected", answer=self.answer)
        else:
            line = _said("expected", beside, beside.shown)
        said = explained(self.prediction, self.outcome or "")
        return {"summary": line, "lines": [*said]}

    def _beside(self, typed: str, *, first: bool = False) -> Comparison | None:
        """Return typed text beside the screen; ``first``: as the question has it."""
        observe = self.one.observe
        if observe is None:
            return None
        if first:
            observe = replace(observe, at=observe.at[:1])
        return compare(typed, observe, self.one, now=None if first else self.now())

    def _is_read(self, typed: str) -> bool:
        """Tell whether an amount of what is to be read can be made out."""
        beside = self._beside(typed)
        if beside is None:
            return re.search(r"\d", typed) is not None
        return beside.told is not None

    # The record --------------------------------------------------------------

    def told(self, line: Line) -> None:
        """Give a new reader the choices in their order, or their own prediction."""
        if line["kind"] != "identity":
            return
        held = self.answer is None
        if held:
            self._restore()
        if held and self.answer is not None:
            return self._let_go()
        self.show()

    def _let_go(self, *, focus: str = "") -> None:
        """Let the controls go, then say so: who reads on finds them free."""
        self.on_lock()
        self.show(focus=focus)

    def _restore(self) -> None:
        """Lock again what this reader locked before."""
        locked, known = self._lines("prediction", "choice"), self._lines(KNOWN)
        if locked:
            self.answer = locked[-1]["choice"]
            self.outcome = str(locked[-1].get("outcome"))
        elif known:
            self.answer = say("prediction", "known")
        else:
            return
        seen = self._lines("observation", "typed")
        if seen:
            self.seen = seen[-1]["typed"]
            self.drafts = {**self.drafts, LOOK: self.seen}

    def _lines(self, kind: str, text: str = "kind") -> list[Line]:
        lines = self.record.mine(kind)
        return [x for x in lines if isinstance(x.get(text), str) and self._is_of(x)]

    def _is_of(self, line: Line) -> bool:
        """Tell whether a line is about this prediction.

        Lines of the first versions name no explorer: their question tells. What was
        read off elsewhere in the lesson has a box of its own.
        """
        if "reading" in line:
            return False
        asked = self.prediction
        if "explorer" in line:
            return (line.get("lesson"), line["explorer"]) == (
                asked.lesson,
                asked.explorer,
            )
        said = entries()["lesson"][asked.lesson]["explorer"][asked.explorer]
        of_lesson = str(line.get("lesson")).split(" ")[0] == asked.lesson
        return of_lesson and line.get("question") == said["predict"]

    def _keep(self, kind: str, **values: object) -> None:
        asked = self.prediction
        about = {"lesson": asked.lesson, "explorer": asked.explorer}
        self.record.share(kind, **about, question=asked.question, **values)


def _said(who: str, beside: Comparison, shown: float) -> str:
    """Say how far from what is shown something is: as read, or as expected."""
    show = partial(unit_system().show, kind=beside.kind)
    if show(beside.read) == show(shown):
        return say("prediction", f"{who}_same")
    if beside.told in {"there", "now"}:
        return say("prediction", f"{who}_near", typed=show(beside.read))
    more = "more" if beside.read > shown else "less"
    return say("prediction", f"{who}_{more}", difference=show(abs(beside.read - shown)))
