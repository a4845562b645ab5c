"""The instructor's view: a lesson's ten minutes, one step and one picture at a time."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as ipw

from widgets.card import Card
from widgets.explorer import Explorer
from widgets.lesson import LessonParts
from widgets.question import ExerciseCard
from workbook import course
from workbook.course.predictions import asked_on_paper
from workbook.course.script import LONG, choices_of, script_of
from workbook.language import caution, say
from workbook.reader.class_votes import (
    CLASS_FILE,
    ROUNDS,
    ClassVotes,
    chosen,
    hands,
    scripted,
)
from workbook.reader.record_lines import PRACTICE
from workbook.reader.school import school_rules
from workbook.reader.settings import unit_system, use_language

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.course import Lesson
    from workbook.course.script import Offered, ScriptLine

VOTE, TALK, EXIT, STOP = "predict", "talk", "exit", "stop"


class ScriptCard(Card):
    """A lesson's script, a step at a time, with its clock and the votes of the class.

    Parameters
    ----------
    lesson : Lesson
        One that has a script.
    class_key : str
        It decides the order of the choices, as on the printed page.
    """

    projects = True

    def __init__(self, lesson: Lesson, *, class_key: str = PRACTICE) -> None:
        self.lesson, self.class_key = lesson, class_key
        self.plain = say("teach", "plain")
        self.votes = ClassVotes(Path.cwd() / CLASS_FILE, lesson.id)
        self.script = script_of(lesson)
        self.on_turn: list[Callable[[], None]] = []
        self.on_load: list[Callable[[str], None]] = []
        super().__init__()
        self.add_class("pw-teach")

    @property
    def line(self) -> ScriptLine:
        """The step of the script that is on."""
        return self.script[min(self.votes.line, len(self.script) - 1)]

    def begin(self) -> None:
        """Start the clock, at the first step, with no votes."""
        self.votes.begin()
        self._turned()

    def turn(self, by: int) -> None:
        """Go on to the next step, or back."""
        to = self.votes.line + by
        if self.votes.began is None:
            return self.begin()
        if 0 <= to < len(self.script):
            self.votes.turn_to(to)
            self._turned()

    def count(self, typed: Mapping[str, str]) -> None:
        """Keep the hands that were raised for each choice."""
        letters = [choice.letter for choice in self._choices()]
        self.votes.vote(hands({letter: typed.get(letter, "") for letter in letters}))
        self.drafts = {}
        self.show()

    def reveal(self) -> None:
        """Show which choice is right, and what each of the others tells."""
        self.votes.reveal()
        self._turned()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the instructor can do."""
        load = {key: lambda _, key=key: self._load(key) for key in "123456789"}
        return {
            "begin": lambda _: self.begin(),
            "on": lambda _: self.turn(1),
            "back": lambda _: self.turn(-1),
            "count": lambda sent: self.count(sent["typed"]),
            "reveal": lambda _: self.reveal(),
            **load,
        }

    def parts(self) -> dict[str, Any]:
        """Return the step, its clock, the votes, and the keys to press."""
        votes, line, last = self.votes, self.line, len(self.script) - 1
        began = votes.began
        voting = began is not None and line.name.startswith(VOTE)
        again_now = began is not None and line.name.startswith(TALK) and votes.rounds
        again = say("teach", "again" if began is not None else "begin")
        tools = {
            "begin": again if began is None or votes.line == last else "",
            "on": say("teach", "on") if began is not None and votes.line < last else "",
            "back": say("teach", "back") if began is not None and votes.line else "",
            "reveal": say("teach", "reveal")
            if voting and votes.rounds and not votes.revealed
            else "",
        }
        return {
            "title": self.lesson.title,
            "clock": self._clock() if began is not None else None,
            "intro": [
                *([] if began else [self._step()]),
                line.said,
                *line.keys,
                *(self._asked() if voting else self._voted()),
            ],
            "givens": self._counted() if voting else None,
            "form": self._form()
            if (voting or again_now) and len(votes.rounds) < ROUNDS
            else None,
            "tools": [
                {"act": act, "text": said} for act, said in tools.items() if said
            ],
            "foot": [say("teach", "keys"), say("script", "own")],
            "caution": {
                "summary": caution("short"),
                "lines": [caution("S0"), *school_rules()],
            },
            "keys": {"pagedown": "on", "pageup": "back", **{k: k for k in "123456789"}},
        }

    def _clock(self) -> dict[str, Any]:
        until = self.line.minutes.partition("–")[2]
        told = {"time": "{time}", "most": LONG, "step": self._step()}
        text = say("teach", "clock", **told)
        return {"began": self.votes.began, "until": int(until), "text": text}

    def _step(self) -> str:
        line = self.line
        return say("teach", "step", minutes=line.minutes, head=line.head)

    def _choices(self) -> tuple[Offered, ...]:
        asked = self.lesson.prediction
        if asked is None:
            return ()
        return choices_of(asked, class_key=self.class_key, system=unit_system())

    def _asked(self) -> list[str]:
        asked = self.lesson.prediction
        return [asked_on_paper(asked, system=unit_system())] if asked else []

    def _voted(self) -> list[str]:
        """Return both votes in a line, to stand beside what the class sees."""
        rounds = self.votes.rounds
        letters = [one.letter for one in self._choices()]
        each = {x: [str(votes.get(x, 0)) for votes in rounds] for x in letters}
        counts = [f"{letter} {' → '.join(hands)}" for letter, hands in each.items()]
        return [say("teach", "voted", counts=", ".join(counts))] if rounds else []

    def _counted(self) -> list[list[str]]:
        """Return each choice, with the hands of each round."""
        rows = []
        for one in self._choices():
            counted = [str(each.get(one.letter, 0)) for each in self.votes.rounds]
            told = (
                [say("teach", "hands", counts=" → ".join(counted))] if counted else []
            )
            told += [one.tells] if self.votes.revealed else []
            rows.append([f"{one.letter}  {one.text}", " · ".join(told)])
        return rows

    def _form(self) -> dict[str, Any]:
        first = not self.votes.rounds
        fields = [
            {"name": one.letter, "label": say("teach", "letter", letter=one.letter)}
            for one in self._choices()
        ]
        submit = say("teach", "first" if first else "second")
        return {"act": "count", "fields": fields, "submit": submit}

    def _load(self, key: str) -> None:
        for told in self.on_load:
            told(key)

    def _turned(self) -> None:
        for told in self.on_turn:
            told()
        self.show(focus="form")  # hands are typed at once, where they are asked for


class InstructorsView:
    """The script of a lesson, and below it the one thing that the class looks at.

    Parameters
    ----------
    lesson : str, optional
        Such as ``"L07"``, one with a script; by default the one chosen last.
    """

    def __init__(self, lesson: str = "") -> None:
        use_language()
        last, class_key = chosen(Path.cwd() / CLASS_FILE) or (scripted()[0], PRACTICE)
        self.lesson = course.lesson(lesson or last)
        self._page = LessonParts(self.lesson)
        self._made: dict[str, Any] = {}
        self.card = ScriptCard(self.lesson, class_key=class_key)
        self.card.on_turn.append(self._look)
        self.card.on_load.append(self._press)
        self.box = ipw.VBox([self.card])
        self._look()

    @property
    def on_stage(self) -> str:
        """What the class looks at: ``exit``, ``stop``, or the name of an explorer.

        Nothing before its prediction is over: the picture would give the answer away.
        """
        line = self.card.line
        names = [one.name for one in self.card.script]
        asked = next((k for k, n in enumerate(names) if n.startswith(VOTE)), -1)
        if names.index(line.name) <= asked and not self.card.votes.revealed:
            return ""
        if line.name in {EXIT, STOP}:
            return line.name
        return line.explorer

    def _look(self) -> None:
        name = self.on_stage
        if not name:
            self.box.children = [self.card]
            return
        if name not in self._made:
            self._made[name] = self._make(name)
        one = self._made[name]
        self.box.children = [self.card, getattr(one, "box", one)]

    def _make(self, name: str) -> Any:
        if name == EXIT:
            return ExerciseCard(self.lesson.exit)
        if name == STOP and self.lesson.gates:
            return self._page.gate()
        return self._page.explorer("" if name == STOP else name, free=True)

    def _press(self, key: str) -> None:
        """Load a named set-up of the explorer in sight, if it has so many."""
        one = self._made.get(self.on_stage)
        if isinstance(one, Explorer) and int(key) <= len(one.named):
            one.press(key)

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        steps = [f"{one.minutes}  {one.head}" for one in self.card.script]
        plain = "\n".join([say("card", "run_all", what=self.card.plain), *steps])
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": plain}
