"""The instructor's view: a lesson's ten minutes, one step and one picture at a time."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import ipywidgets as ipw

from widgets.explorer import Explorer
from widgets.from_paper import FromPaper
from widgets.lesson import LessonParts
from widgets.question import ExerciseCard
from widgets.script_card import EXIT, STOP, VOTE, ScriptCard
from widgets.wall import LOADING, Wall
from workbook import course
from workbook.language import say
from workbook.reader.class_votes import CLASS_FILE, Chosen, chosen, scripted
from workbook.reader.record_lines import PRACTICE
from workbook.reader.school import use_session
from workbook.reader.settings import use_language

REVEAL = "r"  # where the class votes; else it resets the explorer
ACTS = {"v": "vote", "e": "ask", "on": "on", "back": "back"}


class InstructorsView:
    """The script of a lesson, and below it the one thing that the class looks at.

    Parameters
    ----------
    lesson : str, optional
        Such as ``"L07"``, one with a script; by default the one chosen last.
    """

    def __init__(self, lesson: str = "") -> None:
        use_language()
        kept = chosen(Path.cwd() / CLASS_FILE)
        last = kept or Chosen(lesson=scripted()[0], class_key=PRACTICE)
        use_session(Path(last.session) if last.session else None)
        self.lesson = course.lesson(lesson or last.lesson)
        self._page = LessonParts(self.lesson)
        self._made: dict[str, Any] = {}
        self._done: tuple[str, set[int]] = ("", set())  # keys pressed at a step
        self.card = ScriptCard(
            self.lesson, class_key=last.class_key, students=last.students
        )
        self.wall = Wall(on_act=self.act)
        self.box = ipw.VBox([self.wall, self.card]).add_class("pw-class")
        self.card.on_show.append(self._look)
        self._listed = Path(last.class_file) if last.class_file else None
        self._look()

    def from_paper(self) -> FromPaper:
        """Return the form for the class's answers from paper to this lesson."""
        return FromPaper(self.lesson.id, self._listed)

    @property
    def on_stage(self) -> str:
        """What the class looks at: ``exit``, ``stop``, or the name of an explorer.

        Nothing before its prediction is over: the picture would give the answer away.
        Nothing but the question while an exercise is voted on.
        """
        line = self.card.line
        names = [one.name for one in self.card.script]
        asked = next((k for k, n in enumerate(names) if n.startswith(VOTE)), -1)
        revealed = self.card.votes.revealed_of("")
        if self.card.votes.about or (names.index(line.name) <= asked and not revealed):
            return ""
        if line.name in {EXIT, STOP}:
            return line.name
        return line.explorer

    def act(self, key: str) -> None:
        """Do what a key stands for that was pressed anywhere on the page."""
        if key in ACTS:
            self.card.press(ACTS[key])
        elif key == REVEAL and self.card.voting:
            self.card.press("reveal")
        elif key in LOADING:
            self._press(key)

    def _look(self) -> None:
        name = self.on_stage
        shown = [self.wall, self.card]
        if name:
            if name not in self._made:
                self._made[name] = self._make(name)
            one = self._made[name]
            shown.append(getattr(one, "box", one))
        if [*self.box.children] != shown:
            self.box.children = shown
        self._tell()

    def _tell(self) -> None:
        """Show the line over the picture: clock, votes, the key to press next."""
        card = self.card
        self.wall.show(
            {
                "clock": card.clock("strip"),
                "voted": card.voted(),
                "next": self._next(),
                "said": card.line.said,
                "step": f"{card.votes.about}/{card.step}",
                "staged": bool(self.on_stage) and not (card.voting or card.counting),
                "counting": f"{card.votes.about}/{card.counting}"
                if card.counting
                else "",
            }
        )

    def _next(self) -> dict[str, str]:
        """Return the key to press next: of a set-up to load, or of the next step."""
        card = self.card
        step, pressed = self._done
        done = pressed if step == card.line.name else set()
        for number, told in zip(card.line.numbers, card.line.keys, strict=True):
            if number not in done:
                return {"act": str(number), "text": say("teach", "next", key=told)}
        if card.step == len(card.script):
            return {"act": "", "text": ""}
        head = card.script[card.step].head
        return {"act": "on", "text": say("teach", "next_step", head=head)}

    def _make(self, name: str) -> Any:
        if name == EXIT:
            return ExerciseCard(self.lesson.exit)
        if name == STOP and self.lesson.gates:
            return self._page.gate()
        return self._page.explorer("" if name == STOP else name, free=True)

    def _press(self, key: str) -> None:
        """Do what a key of the explorer in sight stands for."""
        one = self._made.get(self.on_stage)
        if not isinstance(one, Explorer):
            return
        one.press(key)
        if key.isdigit():
            step, pressed = self._done
            here = self.card.line.name
            self._done = here, {*(pressed if step == here else ()), int(key)}
            self._tell()

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        steps = [f"{one.minutes}  {one.head}" for one in self.card.script]
        plain = "\n".join([say("card", "run_all", what=self.card.plain), *steps])
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": plain}
