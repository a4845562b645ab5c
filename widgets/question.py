"""The exercise card: a question, a box to answer in, and what the checker says."""

from __future__ import annotations

import math
import time
from typing import TYPE_CHECKING, Any

from widgets.answer_box import answer_box, listed
from widgets.card import ASKED_BACK, CLOSE, HERE, RIGHT, WRONG, Card
from workbook.exercises import exercise, exercises_of, source_of, wording
from workbook.exercises.marking import CEILINGS
from workbook.exercises.sets import PRACTICE
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.boards import drawn_back
from workbook.figures.sketches.sketches import sketch
from workbook.language import STANDING, caution, say
from workbook.reader.opening import FIRST
from workbook.reader.record import Record, record_here
from workbook.reader.record_lines import Line
from workbook.reader.school import school_rules, told_of
from workbook.reader.settings import unit_system
from workbook.reader.task import Task

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.exercises.declaration import Exercise
    from workbook.exercises.replay import Work

READING_SECONDS = 5.0  # before the next hint
SIGNS = {"right": RIGHT, "close": CLOSE}


class ExerciseCard(Card):
    """One exercise: question, answer box, what the checker says, hints.

    Everything shown is worked out from the reader's record, so a lesson opened
    again, or on another computer with the record copied there, goes on where it
    was.

    Parameters
    ----------
    id : str
        Which exercise, such as ``"7.2"``.
    set : str
        One of `workbook.exercises.sets`: a marked set has three tries on one set of
        numbers, for a student who has signed in; else there are any number of tries,
        and new numbers.
    attempt : int, optional
        Which numbers; by default those worked on last.
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    _css = style_sheet() + (HERE / "card.css").read_text("utf-8")
    projects = True
    _hint_at = -math.inf  # when a hint was last opened

    def __init__(
        self,
        id: str,
        *,
        set: str = PRACTICE,
        attempt: int | None = None,
        record: Record | None = None,
    ) -> None:
        self.first, self._set, self._attempt = exercise(id), set, attempt
        self.plain = say("card", "exercise", id=id)
        self.record = record or record_here()
        self._open(self.first)
        super().__init__(record=self.record)
        self._draft()

    # What a reader does ------------------------------------------------------

    def answer(self, typed: str, *, seconds: float | None = None) -> None:
        """Check what was typed, keep it in the record and say what it comes to."""
        self.note = ""
        if self.record.catch_up():
            self.note = say("card", "other_reader", reader=self.called)
            return self.show()
        if self.task.work.asked_for_thinking:
            self.note = say("card", "thinking_first")
            return self.show(focus="ask")
        if not typed.strip() or self.task.closed:
            self.note = "" if self.task.closed else say("typed", "blank")
            return self.show()
        self.task.answer(typed, seconds=seconds)
        self.show(focus="ask" if self.task.work.asked_for_thinking else "")

    def think(self, choice: str | None) -> None:
        """Tell which thinking led to the last answer."""
        last = self.task.work.last
        if not self.task.work.asked_for_thinking or last is None:
            return
        if choice not in last.choices:
            self.note = say("card", "choose")
            return self.show(focus="ask")
        self.task.think(choice)
        self.show(focus="form")

    def hint(self) -> None:
        """Show the next hint, once the last one can have been read."""
        number = self.task.next_hint
        if number is None:
            return
        left = self._hint_at + READING_SECONDS - time.monotonic()
        if left > 0:
            self.note = say("card", "read_first", count=math.ceil(left))
        else:
            self._hint_at = time.monotonic()
            self.task.hint(number)
        self.show()

    def new_numbers(self) -> None:
        """Draw other numbers for the same question."""
        if not self.task.renewable:
            return
        self._hint_at = -math.inf
        self.task.new_numbers()
        self._draft()
        self.show(focus="form")

    def unmarked(self) -> None:
        """Ask the same of a reader who has not signed in, with numbers for practice."""
        self._open(self.first, set=PRACTICE)
        if self.task.work.solved or self.task.closed:
            self.task.new_numbers()
        self._draft()
        self.show(focus="form")

    def give_up_earlier(self) -> None:
        """Go on from the right answer of the part before, which then is shown."""
        self.task.give_up_earlier()
        self.show(focus="form")

    def worked_example(self) -> None:
        """Show the worked example whole."""
        self._whole_example = True
        self.task.worked()
        self.show()

    def easier(self) -> None:
        """Put an easier exercise in this one's place, until `back`."""
        self._open(exercise(self.task.exercise.easier))
        self._draft()
        self.show(focus="form")

    def back(self) -> None:
        """Go back to this card's own exercise."""
        self._open(self.first)
        self._draft()
        self.show(focus="form")

    def _open(self, one: Exercise, *, set: str = "") -> None:
        """Put an exercise before the reader; one that is not the card's is practice."""
        own = one is self.first and not set
        attempt, set = (self._attempt, self._set) if own else (None, PRACTICE)
        self.task = Task(self.record, one, set=set, attempt=attempt)
        self._whole_example = False
        self._hint_at = -math.inf

    # What stands on it -------------------------------------------------------

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        return {
            "answer": lambda sent: self.answer(
                str(sent["typed"][self._field]), seconds=_seconds(sent)
            ),
            "think": lambda sent: self.think(sent.get("choice")),
            "hint": lambda _: self.hint(),
            "worked": lambda _: self.worked_example(),
            "easier": lambda _: self.easier(),
            "back": lambda _: self.back(),
            "unmarked": lambda _: self.unmarked(),
            "give_up": lambda _: self.give_up_earlier(),
            "new": lambda _: self.new_numbers(),
        }

    def told(self, line: Line) -> None:
        """Follow a new reader, and what is done to the part this one goes on from."""
        carry, id = self.task.exercise.carry, line.get("exercise")
        if line["kind"] == "identity":
            self._open(self.task.exercise)
            self._draft()
            self.show()
        elif carry and id == carry.source:
            if line["kind"] == "numbers":
                self._open(self.task.exercise)
                self._draft()
            self.show()
        elif line["kind"] == "given_up" and id == self.task.exercise.id:
            self.show()

    def parts(self) -> dict[str, Any]:
        """Return question, sketch, example, box, outcome, hints, buttons, cautions."""
        one, work, system = self.task.exercise, self.task.work, unit_system()
        if self.task.waits:
            return self._waiting()
        carried = self.task.carried is not None
        over = drawn_back(work)
        drawn = sketch(work.variant, system=system, carried=carried, over=over)
        asked = wording.question(work.variant, system=system, carried=carried)
        closed = self.task.closed
        return {
            "title": f"{one.id} · {wording.title(one)}",
            "intro": [
                *asked.split("\n"),
                *(listed(work.variant, system) if closed else ()),
            ],
            "sketch": None if drawn is None else render(drawn),
            "worked": self._worked(),
            "wait": self._wait(),
            "form": None if closed else self._form(),
            "result": _result(work),
            "ask": _ask(work),
            "hints": _hints(work) or None,
            "tools": self._tools(),
            "foot": [] if self._nobody else self._feet(),
            "caution": {
                "summary": " ".join(caution(c) for c in STANDING["result"]),
                "lines": [*(caution(c) for c in one.cautions), *school_rules()],
            },
        }

    def _waiting(self) -> dict[str, Any]:
        """Return the parts of a card whose numbers would show another's answer."""
        one = self.task.exercise
        source = source_of(one)
        assert source is not None
        first = say("card", "first_do", id=source.id, title=wording.title(source))
        return {
            "title": f"{one.id} · {wording.title(one)}",
            "intro": [first],
            "tools": self._offered(give_up=say("card", "give_up", id=source.id)),
            "foot": [self._standing(), *(caution(c) for c in one.cautions)],
        }

    @property
    def _field(self) -> str:
        """Name of the answer box: each reader and set of numbers has one's own text."""
        student, task = self.record.reader.student, self.task
        return f"{student}/{task.exercise.id}/{task.set}/{task.attempt}"

    def _draft(self) -> None:
        """Put what was typed last into the box, unless something is there."""
        drafts = {name: text for name, text in self.drafts.items() if text}
        self.drafts = {self._field: self.task.work.typed, **drafts}

    def _form(self) -> dict[str, Any]:
        field = answer_box(self.task.variant, self._field, unit_system())
        check = "check_later" if self.task.work.asked_for_thinking else "check"
        return {"act": "answer", "fields": [field], "submit": say("card", check)}

    def _wait(self) -> dict[str, Any] | None:
        """Say why there is no box where nobody has signed in, and the ways out."""
        if not self._nobody:
            return None
        return {
            "text": say("card", "marked"),
            "link": {"text": say("card", "sign_in"), "file": FIRST},
        }

    @property
    def _nobody(self) -> bool:
        """Whether this is marked, and nobody has signed in."""
        return self.task.marked and not self.record.reader.signed_in

    def _worked(self) -> dict[str, Any] | None:
        """Return the worked example: whole if asked for, else fading from the end."""
        one = self.task.exercise
        left_out = exercises_of(one.lesson).index(exercise(one.id)) + 1
        if self._whole_example:
            left_out = 0
        elif left_out > 2:  # from the third exercise on, the whole problem
            return None
        steps = wording.worked_steps(self.task.variant, system=unit_system())
        your_turn = say("card", "your_turn")
        return {
            "summary": say("card", "worked_example"),
            "open": self._whole_example or not self.task.at_home,
            "steps": [
                {"text": step, "blank": your_turn if to_go <= left_out else ""}
                for step, to_go in zip(steps, range(len(steps), 0, -1), strict=True)
            ],
        }

    def _tools(self) -> list[dict[str, str]]:
        task, most = self.task, wording.hint_count(self.task.exercise)
        last = task.work.last
        done = task.work.solved or (last is not None and last.answer_shown)
        number = None if done else task.next_hint
        swap = self.swapping() if done or task.closed else None
        return [
            *filter(None, [swap]),
            *self._offered(
                unmarked=say("card", "unmarked") if self._nobody else "",
                hint=say("card", "hint", number=number, most=most) if number else "",
                worked="" if self._whole_example else say("card", "show_worked"),
            ),
        ]

    def _offered(self, **first: str) -> list[dict[str, str]]:
        """Return some buttons, and those that every card has."""
        task = self.task
        offered = {
            **first,
            "easier": say("card", "easier") if task.exercise.easier else "",
            "new": say("card", "new_numbers") if task.renewable else "",
            "back": ""
            if task.exercise is self.first
            else say("card", "back", id=self.first.id),
        }
        return [{"act": act, "text": text} for act, text in offered.items() if text]

    def _feet(self) -> list[str]:
        """Say whose work this is; of what is marked, what counts and when it is due."""
        if not self.task.marked:
            return [self._standing()]
        pair = self.record.reader.pair
        each = [say("card", "each_own", partner=pair)] if pair else []
        return [self._standing(), *each, *told_of(self.task.exercise.lesson)]

    def _standing(self) -> str:
        """Say whose work this is, in which mode, and how it stands."""
        task = self.task
        if not task.marked:
            return say("card", task.set, number=task.attempt, reader=self.called)
        return say(
            "card",
            task.set,
            count=min(task.work.history.tries, len(CEILINGS)),
            most=len(CEILINGS),
            share=f"{task.work.best:.0%}",
            reader=self.called,
        )


def _result(work: Work) -> dict[str, Any] | None:
    """Return what the last answer came to: a sign, and sentences."""
    if work.given_up:
        lines = wording.given_up(work.variant, system=unit_system())
        return {"sign": "", "lines": [*lines]}
    if work.last is None:
        return None
    last = work.last
    sign = ASKED_BACK if last.held else SIGNS.get(last.name, WRONG)
    if last.unit_problem and last.name == "right":
        sign = CLOSE
    lines = wording.feedback(last, work.variant, work.history, system=unit_system())
    typed = say("card", "typed", typed=work.typed, count=work.history.tries)
    if work.solved and last.name != "right":
        sign, lines = RIGHT, (say("outcome", "stays_right"), *lines)
    return {"sign": sign, "lines": [typed, *lines]}


def _ask(work: Work) -> dict[str, Any] | None:
    """Return the choice of thinking, where it has to be told before the next try."""
    if not work.asked_for_thinking or work.last is None:
        return None
    one = work.variant.exercise
    return {
        "act": "think",
        "legend": say("outcome", "thinking"),
        "choices": [[name, wording.thought(one, name)] for name in work.last.choices],
        "submit": say("card", "this_one"),
    }


def _hints(work: Work) -> list[str]:
    """Return the hints seen."""
    system = unit_system()
    return [
        say(
            "card",
            "hint_shown",
            number=number,
            hint=wording.hint(work.variant, number, system=system),
        )
        for number in range(1, work.history.hints + 1)
    ]


def _seconds(sent: dict[str, Any]) -> float | None:
    """Return the seconds a browser says an answer took, if it says."""
    seconds = sent.get("seconds")
    return round(seconds, 1) if isinstance(seconds, int | float) else None
