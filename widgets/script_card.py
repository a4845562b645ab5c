"""A lesson's script on a card: a step at a time, its clock, the votes of the class."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from widgets.card import Card
from widgets.stage import styles
from workbook.course.polls import Poll, poll_of, voted_on
from workbook.course.script import LONG, script_of
from workbook.errors import FormError
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.sketches import sketch
from workbook.language import caution, say
from workbook.reader.class_votes import CLASS_FILE, ROUNDS, ClassVotes, hands
from workbook.reader.record_lines import PRACTICE
from workbook.reader.school import school_rules, told_of
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from workbook.course import Lesson
    from workbook.course.script import ScriptLine

VOTE, TALK, EXIT, STOP = "predict", "talk", "exit", "stop"


class ScriptCard(Card):
    """A lesson's script, a step at a time, with its clock and the votes of the class.

    Parameters
    ----------
    lesson : Lesson
        One that has a script.
    class_key : str
        It decides the order of the choices, as on the printed page.
    students : int
        How many are on the class list; 0 if there is none.
    """

    _css = style_sheet() + styles("card.css", "teach.css")
    projects = True

    def __init__(
        self, lesson: Lesson, *, class_key: str = PRACTICE, students: int = 0
    ) -> None:
        self.lesson, self.class_key, self.students = lesson, class_key, students
        self.plain = say("teach", "plain")
        self.votes = ClassVotes(Path.cwd() / CLASS_FILE, lesson.id)
        self.script = script_of(lesson)
        self.polls = ("", *voted_on(lesson))
        self.counting = 0  # which round is being counted, if one is
        self._doubted: object = None  # counts of more hands than there are students
        self.on_show: list[Callable[[], None]] = []
        super().__init__()
        self.add_class("pw-teach")
        self._count_if_asked()

    @property
    def line(self) -> ScriptLine:
        """The step of the script that is on."""
        return self.script[min(self.votes.line, len(self.script) - 1)]

    @property
    def step(self) -> int:
        """Number of that step, counted from 1."""
        return self.script.index(self.line) + 1

    @property
    def poll(self) -> Poll:
        """What hands go up for."""
        about, system = self.votes.about, unit_system()
        return poll_of(self.lesson, about, class_key=self.class_key, system=system)

    @property
    def voting(self) -> bool:
        """Whether the question and its choices are what the class looks at."""
        asked = bool(self.votes.about) or self.line.name.startswith(VOTE)
        return asked and self.votes.began is not None

    @property
    def can_vote(self) -> bool:
        """Whether hands may go up now."""
        talked = self.line.name.startswith(TALK) and bool(self.votes.rounds)
        return self.voting or (talked and self.votes.began is not None)

    # What an instructor does -----------------------------------------------------

    def begin(self) -> None:
        """Start the clock, at the first step, with no votes."""
        self.votes.about = ""
        self.votes.begin()
        self._turned()

    def turn(self, by: int) -> None:
        """Go on to the next step, or back; from an exercise, back to the script."""
        to = self.votes.line + by
        if self.votes.began is None:
            return self.begin()
        if self.votes.about:
            self.votes.about = ""
        elif 0 <= to < len(self.script):
            self.votes.turn_to(to)
        self._turned()

    def ask(self) -> None:
        """Put an exercise up to be voted on, each time the next one."""
        if self.votes.began is None:
            self.votes.begin()
        at = self.polls.index(self.votes.about) + 1
        self.votes.about = self.polls[at % len(self.polls)]
        self._turned()

    def vote(self) -> None:
        """Ask for hands: of the next round, or of the last once more."""
        if self.can_vote:
            self.correct(min(len(self.votes.rounds) + 1, ROUNDS))

    def correct(self, number: int) -> None:
        """Ask for the hands of a round; those that are kept stand there already."""
        rounds = self.votes.rounds
        if number > len(rounds) + 1:
            return
        kept = rounds[number - 1] if number <= len(rounds) else {}
        typed = {self._field(x, number): str(count) for x, count in kept.items()}
        self.drafts = {**typed, **self._typed()}
        self.counting = number
        self.show(focus="form")

    def leave(self) -> None:
        """Ask for no hands after all."""
        self.drafts, self.counting = {}, 0
        self.show()

    def count(self, typed: Mapping[str, str]) -> None:
        """Keep the hands that were raised for each choice."""
        number = self.counting or min(len(self.votes.rounds) + 1, ROUNDS)
        named = {self._field(x, number): x for x in self._letters()}
        counts = hands({x: typed.get(name, "") for name, x in named.items()})
        self._doubt(counts)
        self.votes.vote(counts, number=number)
        self.drafts, self.counting = {}, 0
        self.show()

    def _doubt(self, counts: Mapping[str, int]) -> None:
        """Ask once whether more hands than students are meant."""
        total = sum(counts.values())
        if 0 < self.students < total and self._doubted != counts:
            self._doubted = counts
            raise FormError("votes.too_many", count=self.students, hands=total)
        self._doubted = None

    def reveal(self) -> None:
        """Show which choice is right, and what each of the others tells."""
        if self.voting and self.votes.rounds:
            self.counting = 0
            self.votes.reveal()
            self.show()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the instructor can do."""
        return {
            "begin": lambda _: self.begin(),
            "on": lambda _: self.turn(1),
            "back": lambda _: self.turn(-1),
            "count": lambda sent: self.count(sent["typed"]),
            "reveal": lambda _: self.reveal(),
            "ask": lambda _: self.ask(),
            "vote": lambda _: self.vote(),
            "leave": lambda _: self.leave(),
            "correct_1": lambda _: self.correct(1),
            "correct_2": lambda _: self.correct(2),
        }

    def press(self, act: str) -> None:
        """Do what a key stands for, with the care that all acts of a card are done."""
        self._heard({"act": act})

    # What stands on it -----------------------------------------------------------

    def parts(self) -> dict[str, Any]:
        """Return the step, its clock, the votes, and the keys to press."""
        began, poll = self.votes.began, self.poll
        voting = self.voting
        steps = [] if began else [self._head()]
        said = [*steps, self.line.said, *self.line.keys, *self._voted()]
        return {
            "title": poll.title or self.lesson.title,
            "clock": None if began is None else self.clock("clock"),
            "intro": [*self._to_do(), *poll.question.split("\n")] if voting else said,
            "sketch": self._sketch(poll) if voting else None,
            "form": self._form(poll) if self.counting else None,
            "givens": self._counted(poll) if voting and not self.counting else None,
            "tools": [
                {"act": act, "text": said} for act, said in self._tools() if said
            ],
            "foot": [
                say("teach", "keys"), *told_of(self.lesson.id), say("script", "own")
            ],
            "caution": {
                "summary": caution("short"),
                "lines": [caution("S0"), *school_rules()],
            },
        }  # fmt: skip

    def show(self, *, focus: str = "") -> None:
        """Send the card's parts, and tell what follows it."""
        super().show(focus=focus)
        for told in self.on_show:
            told()

    def clock(self, entry: str) -> dict[str, Any]:
        """Return the clock, in the words of an entry."""
        until = self.line.minutes.partition("–")[2]
        told = {"time": "{time}", "most": LONG, "of": len(self.script)}
        text = say("teach", entry, number=self.step, head=self._head(), **told)
        return {"began": self.votes.began or 0, "until": int(until), "text": text}

    def voted(self) -> str:
        """Return both votes in a line, to stand beside what the class sees.

        What nobody took is left out.
        """
        rounds = self.votes.rounds
        each = {x: [votes.get(x, 0) for votes in rounds] for x in self._letters()}
        return ", ".join(
            f"{letter} {'→'.join(map(str, counts))}"
            for letter, counts in each.items()
            if any(counts)
        )

    def _to_do(self) -> list[str]:
        """Return what the script says to do, until it has been done or tried."""
        done = self.votes.rounds or self.votes.about or self.note
        return [] if done else [self.line.said]

    def _head(self) -> str:
        line = self.line
        return say("teach", "step", minutes=line.minutes, head=line.head)

    def _tools(self) -> Iterator[tuple[str, str]]:
        votes, last = self.votes, len(self.script) - 1
        began, here = votes.began is not None, votes.line
        if not began:
            yield "begin", say("teach", "begin")
            return
        if self.counting:
            yield "leave", say("teach", "leave") if votes.rounds else ""
        elif self.can_vote:
            kept = len(votes.rounds)
            yield (
                "reveal",
                self._if(self.voting and kept and not votes.revealed, "reveal"),
            )
            yield "vote", self._if(kept < ROUNDS, "vote" if kept else "count")
            yield "correct_1", self._if(kept >= 1, "correct_1")
            yield "correct_2", self._if(kept >= 2, "correct_2")
        if votes.about:
            yield "on", say("teach", "script_again")
        else:
            yield "on", self._if(here < last, "on")
            yield "back", self._if(here, "back")
            yield "begin", self._if(here == last, "again")
        more = self.polls.index(votes.about) + 1 < len(self.polls)
        yield "ask", self._if(more, "another" if votes.about else "ask")

    def _if(self, so: object, entry: str) -> str:
        return say("teach", entry) if so else ""

    def _sketch(self, poll: Poll) -> str | None:
        """Return the sketch of an exercise, until the room is for what is told."""
        if not poll.about or poll.variant is None or self.votes.revealed:
            return None
        drawn = sketch(poll.variant, system=unit_system())
        return None if drawn is None else render(drawn)

    def _letters(self) -> list[str]:
        return [one.letter for one in self.poll.choices]

    def _voted(self) -> list[str]:
        return [say("teach", "voted", counts=self.voted())] if self.votes.rounds else []

    def _counted(self, poll: Poll) -> list[list[str]]:
        """Return each choice, with the hands of each round."""
        rows = []
        for one in poll.choices:
            counted = [str(each.get(one.letter, 0)) for each in self.votes.rounds]
            entry = "hands" if self.votes.revealed else "hands_alone"
            told = [say("teach", entry, counts=" → ".join(counted))] if counted else []
            told += [one.tells] if self.votes.revealed else []
            rows.append([f"{one.letter}  {one.text}", " · ".join(told)])
        return rows

    def _form(self, poll: Poll) -> dict[str, Any]:
        """Return a box for the hands of each choice, beside it."""
        number = self.counting
        fields = [
            {
                "name": self._field(one.letter, number),
                "label": say("teach", "letter", letter=one.letter, text=one.text),
            }
            for one in poll.choices
        ]
        submit = say("teach", "first" if number == 1 else "second")
        return {"act": "count", "fields": fields, "submit": submit}

    def _field(self, letter: str, number: int) -> str:
        """Name of a box: what was typed for one question stays off the next."""
        return f"{self.votes.about}/{number}/{letter}"

    def _typed(self) -> dict[str, str]:
        return {name: text for name, text in self.drafts.items() if text}

    def _turned(self) -> None:
        self.counting = 0
        self._count_if_asked()
        self.show(focus="form")  # hands are typed at once, where they are asked for

    def _count_if_asked(self) -> None:
        """Ask for the first hands where the script, or an exercise, asks for them."""
        if self.voting and not self.votes.rounds:
            self.counting = 1
            self.show(focus="form")
