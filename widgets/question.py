"""The exercise card: a question, a box to answer in, and what the checker says."""

from __future__ import annotations

import math
import time
from typing import TYPE_CHECKING, Any

from widgets.card import ASKED_BACK, CLOSE, HERE, RIGHT, WRONG, Card
from workbook.exercises import exercise, exercises_of, wording
from workbook.exercises.marking import CEILINGS
from workbook.exercises.replay import Work, replay, seed_of, variant_of
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.sketches import sketch
from workbook.language import caution, say
from workbook.reader.record import Line, Record, record_here
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.exercises.declaration import Exercise
    from workbook.exercises.engine import Variant

READING_SECONDS = 5.0  # before the next hint
WORKED_ON = ("answer", "hint", "thinking", "numbers")


class ExerciseCard(Card):
    """One exercise: question, answer box, what the checker says, hints.

    Everything shown is worked out from the reader's record, so a lesson opened
    again, or on another computer with the record copied there, goes on where it
    was.

    Parameters
    ----------
    id : str
        Which exercise, such as ``"7.2"``.
    marked : bool
        A marked set: three tries on the first numbers, for a student who has
        signed in. Else practice: any number of tries, and new numbers.
    attempt : int, optional
        Which numbers; by default those worked on last.
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    _css = style_sheet() + (HERE / "card.css").read_text("utf-8")

    def __init__(
        self,
        id: str,
        *,
        marked: bool = False,
        attempt: int | None = None,
        record: Record | None = None,
    ) -> None:
        self.first, self.marked_set, self._attempt = exercise(id), marked, attempt
        self.plain = say("card", "exercise", id=id)
        self._hint_at = -math.inf
        self.exercise, self.attempt = self.first, 1
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
        if self.work.asked_for_thinking:
            self.note = say("card", "thinking_first")
            return self.show(focus="ask")
        if not typed.strip() or self.closed:
            self.note = "" if self.closed else say("typed", "blank")
            return self.show()
        self._keep_answer(typed, seconds)
        self.show(focus="ask" if self.work.asked_for_thinking else "")

    def think(self, choice: str | None) -> None:
        """Tell which thinking led to the last answer."""
        last = self.work.last
        if not self.work.asked_for_thinking or last is None:
            return
        if choice not in last.choices:
            self.note = say("card", "choose")
            return self.show(focus="ask")
        self._keep("thinking", choice=choice)
        self.show(focus="form")

    def hint(self) -> None:
        """Show the next hint, once the last one can have been read."""
        number = self.work.history.hints + 1
        if number > wording.hint_count(self.exercise):
            return
        left = self._hint_at + READING_SECONDS - time.monotonic()
        if left > 0:
            self.note = say("card", "read_first", seconds=math.ceil(left))
        else:
            self._hint_at = time.monotonic()
            self._keep("hint", number=number)
        self.show()

    def new_numbers(self) -> None:
        """Draw other numbers for the same question."""
        if self.marked:
            return
        self.attempt += 1
        self._hint_at = -math.inf
        self._keep("numbers")
        self._draft()
        self.show(focus="form")

    def worked_example(self) -> None:
        """Show the worked example whole."""
        self._whole_example = True
        self._keep("worked")
        self.show()

    def easier(self) -> None:
        """Put an easier exercise in this one's place, until `back`."""
        self._open(exercise(self.exercise.easier))
        self._draft()
        self.show(focus="form")

    def back(self) -> None:
        """Go back to this card's own exercise."""
        self._open(self.first)
        self._draft()
        self.show(focus="form")

    # What it stands on -------------------------------------------------------

    @property
    def marked(self) -> bool:
        """Whether tries are counted; an easier exercise in its place is practice."""
        return self.marked_set and self.exercise is self.first

    @property
    def variant(self) -> Variant:
        """The exercise with this reader's numbers."""
        return variant_of(self.exercise, **self._keys())

    @property
    def work(self) -> Work:
        """What the reader has done with these numbers, from the record."""
        return self._work_on(self.exercise)

    @property
    def closed(self) -> bool:
        """Whether no more answers are taken."""
        if not self.marked:
            return False
        done = self.work.solved or self.work.history.tries >= len(CEILINGS)
        return done or not self.record.reader.signed_in

    @property
    def carried(self) -> float | None:
        """The reader's own earlier answer that this exercise goes on from. [SI]"""
        carry = self.exercise.carry
        return self._work_on(exercise(carry.source)).value if carry else None

    def _open(self, one: Exercise) -> None:
        self.exercise = one
        self._whole_example = False
        self._hint_at = -math.inf
        first = one is self.first
        self.attempt = (first and self._attempt) or self._last_attempt(one)
        if self.marked:
            self.attempt = 1

    def _last_attempt(self, one: Exercise) -> int:
        """Return the attempt worked on last; a later part follows the earlier one."""
        lines = self.record.mine(*WORKED_ON, exercise=one.id, version=one.version)
        attempts = [x["attempt"] for x in lines if counts(x.get("attempt"))]
        if not attempts and one.carry:
            return self._last_attempt(exercise(one.carry.source))
        return max(attempts, default=1)

    def _keys(self) -> dict[str, Any]:
        reader = self.record.reader
        return {
            "class_key": reader.class_key,
            "student": reader.student,
            "attempt": self.attempt,
        }

    def _work_on(self, one: Exercise, *more: Line) -> Work:
        """Return the work on an exercise, as if these lines were in the record too."""
        lines = self.record.mine(
            *WORKED_ON, exercise=one.id, version=one.version, attempt=self.attempt
        )
        return replay(
            variant_of(one, **self._keys()),
            [*lines, *more],
            marked_set=self.marked and one is self.exercise,
        )

    def _keep(self, kind: str, **fields: object) -> None:
        one = self.exercise
        about = {"lesson": one.lesson, "exercise": one.id, "version": one.version}
        self.record.append(kind, **about, attempt=self.attempt, **fields)

    def _keep_answer(self, typed: str, seconds: float | None) -> None:
        own = {} if self.carried is None else {"carried": self.carried}
        given = {"kind": "answer", "typed": typed, **own}
        hints = self.work.history.hints
        after = self._work_on(self.exercise, given)
        outcome = after.outcomes[-1]
        self._keep(
            "answer",
            seed=seed_of(self.exercise, **self._keys()).hex(),
            typed=typed,
            value=outcome.value,
            unit=outcome.unit,
            outcome=outcome.name,
            score=outcome.score,
            held=outcome.held,
            hints=hints,
            seconds=seconds,
            marked=self.marked,
            **{"try": after.history.tries},
            **own,
        )

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
            "new": lambda _: self.new_numbers(),
        }

    def told(self, line: Line) -> None:
        """Follow a new reader, and an answer that this exercise goes on from."""
        carry = self.exercise.carry
        if line["kind"] == "identity":
            self._open(self.exercise)
            self._draft()
            self.show()
        elif carry and line.get("exercise") == carry.source:
            self.show()

    def parts(self) -> dict[str, Any]:
        """Return question, sketch, example, box, outcome, hints, buttons, cautions."""
        one, work = self.exercise, self.work
        return {
            "title": f"{one.id} · {wording.title(one)}",
            "intro": [self._question()],
            "sketch": self._sketch(),
            "worked": self._worked(),
            "form": None if self.closed else self._form(),
            "result": _result(self.variant, work) if work.outcomes else None,
            "ask": self._ask(work),
            "hints": self._hints(work) or None,
            "tools": self._tools(work),
            "foot": [self._standing(work), *(caution(c) for c in one.cautions)],
        }

    @property
    def _field(self) -> str:
        """Name of the answer box: each reader and set of numbers has one's own text."""
        return f"{self.record.reader.student}/{self.exercise.id}/{self.attempt}"

    def _draft(self) -> None:
        """Put what was typed last into the box, unless something is there."""
        drafts = {name: text for name, text in self.drafts.items() if text}
        self.drafts = {self._field: self.work.typed, **drafts}

    def _question(self) -> str:
        carried = self.carried is not None
        return wording.question(self.variant, system=unit_system(), carried=carried)

    def _sketch(self) -> str | None:
        """Return the sketch of the question as SVG."""
        carried = self.carried is not None
        drawn = sketch(self.variant, system=unit_system(), carried=carried)
        return None if drawn is None else render(drawn)

    def _form(self) -> dict[str, Any]:
        unit = self.exercise.answer.unit
        example = "2.5" if unit == "1" else f"12.4 {unit}"
        label = say("card", "answer_label", example=example)
        field = {"name": self._field, "label": label}
        return {"act": "answer", "fields": [field], "submit": say("card", "check")}

    def _ask(self, work: Work) -> dict[str, Any] | None:
        if not work.asked_for_thinking or work.last is None:
            return None
        thought = wording.thought
        return {
            "act": "think",
            "legend": say("outcome", "thinking"),
            "choices": [[n, thought(self.exercise, n)] for n in work.last.choices],
            "submit": say("card", "this_one"),
        }

    def _hints(self, work: Work) -> list[str]:
        system, seen = unit_system(), range(1, work.history.hints + 1)
        hints = [wording.hint(self.variant, n, system=system) for n in seen]
        return [
            say("card", "hint_shown", number=n, hint=hint)
            for n, hint in enumerate(hints, 1)
        ]

    def _worked(self) -> dict[str, Any] | None:
        """Return the worked example: whole if asked for, else fading from the end."""
        blanks = {id: k for k, id in enumerate(_ids(self.exercise.lesson), 1)}
        left_out = blanks[self.exercise.id]
        if self._whole_example:
            left_out = 0
        elif left_out > 2:  # from the third exercise on, the whole problem
            return None
        steps = wording.worked_steps(self.variant, system=unit_system())
        your_turn = say("card", "your_turn")
        return {
            "summary": say("card", "worked_example"),
            "open": self._whole_example or not self._at_home(),
            "steps": [
                {"text": step, "blank": your_turn if to_go <= left_out else ""}
                for step, to_go in zip(steps, range(len(steps), 0, -1), strict=True)
            ],
        }

    def _at_home(self) -> bool:
        """Tell whether the last two answers here were right at once, without a hint."""
        lines = self.record.mine("answer", lesson=self.exercise.lesson, held=False)
        at_once = [
            x.get("outcome") == "right" and x.get("try") == 1 and x.get("hints") == 0
            for x in lines
        ]
        return len(at_once) >= 2 and all(at_once[-2:])

    def _tools(self, work: Work) -> list[dict[str, str]]:
        most = wording.hint_count(self.exercise)
        number = work.history.hints + 1
        numbered = say("card", "hint", number=number, most=most)
        first = self.exercise is self.first
        offered = {
            "hint": numbered if number <= most and not work.solved else "",
            "worked": "" if self._whole_example else say("card", "show_worked"),
            "easier": say("card", "easier") if self.exercise.easier else "",
            "new": "" if self.marked else say("card", "new_numbers"),
            "back": "" if first else say("card", "back", id=self.first.id),
        }
        return [{"act": act, "text": text} for act, text in offered.items() if text]

    def _standing(self, work: Work) -> str:
        """Say whose work this is, in which mode, and how it stands."""
        if not self.marked:
            return say("card", "practice", number=self.attempt, reader=self.called)
        if not self.record.reader.signed_in:
            return say("card", "sign_in_first")
        return say(
            "card",
            "marked",
            tries=min(work.history.tries, len(CEILINGS)),
            most=len(CEILINGS),
            share=f"{work.best:.0%}",
            reader=self.called,
        )


def _result(variant: Variant, work: Work) -> dict[str, Any]:
    """Return what the last answer came to: a sign, and sentences."""
    last = work.outcomes[-1]
    sign = (
        ASKED_BACK
        if last.held
        else {"right": RIGHT, "close": CLOSE}.get(last.name, WRONG)
    )
    lines = wording.feedback(last, variant, work.history, system=unit_system())
    typed = say("card", "typed", typed=work.typed, count=work.history.tries)
    return {"sign": sign, "lines": [typed, *lines]}


def _ids(lesson: str) -> list[str]:
    return [one.id for one in exercises_of(lesson)]


def counts(attempt: object) -> bool:
    """Tell whether a value from the record can be the number of an attempt."""
    return type(attempt) is int and 1 <= attempt < 10**6


def _seconds(sent: dict[str, Any]) -> float | None:
    """Return the seconds a browser says an answer took, if it says."""
    seconds = sent.get("seconds")
    return round(seconds, 1) if isinstance(seconds, int | float) else None
