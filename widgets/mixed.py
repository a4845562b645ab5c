"""Mixed questions one after the other on one card: the entry check and the refresh."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from widgets.card import RIGHT
from widgets.question import ExerciseCard
from workbook import course
from workbook.exercises import wording
from workbook.language import say, text
from workbook.reader.mixed import Round, entry_round, refresh_round
from workbook.reader.opening import lesson_file
from workbook.reader.record import Record, record_here
from workbook.reader.settings import use_language

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.reader.record_lines import Line


class MixedQuestions(ExerciseCard):
    """Asks one question at a time, and at the end says what they came to.

    By keyboard: Enter checks, and Enter again goes on. Whatever was answered is in
    the record, so that it goes on where it was.

    Parameters
    ----------
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    name = ""  # of its sentences
    projects = False

    def __init__(self, *, record: Record | None = None) -> None:
        use_language()
        self.record = record or record_here()
        self._begin()
        task = self.round.tasks[0]
        super().__init__(
            task.exercise.id, set=task.set, attempt=task.attempt, record=self.record
        )
        self.plain = say("mixed", self.name, "plain")
        self.add_class("pw-gloves")
        self._go_to(self._place)

    def choose(self) -> Round:
        """Return the questions of whoever works now."""
        raise NotImplementedError

    # What a reader does ------------------------------------------------------

    def go_on(self) -> None:
        """Take the next question; after the last one, say what they came to."""
        self._go_to(self._place + 1, focus=True)

    def go_back(self) -> None:
        """Take the question before."""
        self._go_to(max(0, self._place - 1), focus=True)

    def stop(self) -> None:
        """Say what they came to so far."""
        self._go_to(len(self.round.tasks), focus=True)

    def give_up(self) -> None:
        """Show the answer of a question that one does not know."""
        if not self.round.came_to(self._place):
            self.task.give_up()
        self.show()

    def go_to_open(self) -> None:
        """Take the first question that waits for an answer, else the first."""
        self._go_to(next(iter(self.round.open), 0), focus=True)

    def again(self) -> None:
        """Ask the same questions with other numbers."""
        self.round.again()
        self._go_to(0, focus=True)

    def _begin(self) -> None:
        self.round = self.choose()
        self._place = next(iter(self.round.open), len(self.round.tasks))

    def _go_to(self, place: int, *, focus: bool = False) -> None:
        self._place = place
        if not self._over:
            task = self.round.tasks[place]
            self.first, self._attempt = task.exercise, task.attempt
            self._open(self.first)
            self._draft()
        to = "links" if self._over else "form"
        self.show(focus=to if focus else "")

    @property
    def _over(self) -> bool:
        return self._place >= len(self.round.tasks)

    # What stands on it -------------------------------------------------------

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        asked = super().acts()
        return {
            **{name: asked[name] for name in ("answer", "think", "hint")},
            "next": lambda _: self.go_on(),
            "before": lambda _: self.go_back(),
            "skip": lambda _: self.give_up(),
            "stop": lambda _: self.stop(),
            "open": lambda _: self.go_to_open(),
            "again": lambda _: self.again(),
        }

    def told(self, line: Line) -> None:
        """Take the questions of a new reader."""
        if line["kind"] == "identity":
            self._begin()
            self._go_to(self._place)

    def parts(self) -> dict[str, Any]:
        """Return one question, or what all of them came to."""
        if self._over:
            return self._summed_up()
        parts, count = super().parts(), len(self.round.tasks)
        number = say("mixed", "number", number=self._place + 1, count=count)
        came = self.round.came_to(self._place)
        settled = came in {"right", "helped"} or self.task.work.solved
        return {
            **parts,
            "place": self.name,
            "title": f"{number} · {parts['title'].partition(' · ')[2]}",
            "worked": None,
            "form": None if settled else parts["form"],
        }

    def _tools(self) -> list[dict[str, str]]:
        came = self.round.came_to(self._place)
        last = self._place + 1 == len(self.round.tasks)
        most, number = wording.hint_count(self.task.exercise), self.task.next_hint
        hinted = number is not None and came not in {"right", "helped", "unknown"}
        offered = {
            "next": say("mixed", "see" if last else "next") if came else "",
            "skip": "" if came else say("mixed", "skip"),
            "hint": say("card", "hint", number=number, most=most) if hinted else "",
            "before": say("mixed", "before") if self._place else "",
            "stop": "" if last else say("mixed", "stop"),
        }
        return [{"act": act, "text": text} for act, text in offered.items() if text]

    def _summed_up(self) -> dict[str, Any]:
        count, open = len(self.round.tasks), len(self.round.open)
        done = say("mixed", "done", right=self.round.all.count("right"), count=count)
        left = say("mixed", "left", count=open) if open else ""
        all_right = not open and not self.round.missed
        return {
            "place": self.name,
            "title": say("mixed", self.name, "came_to"),
            "result": {
                "sign": RIGHT if all_right else "",
                "lines": [*filter(None, (done, left)), *self.advice()],
            },
            "links": self.links(),
            "tools": [
                {"act": "open", "text": say("mixed", "go_on" if open else "look")},
                {"act": "again", "text": say("mixed", "again")},
            ],
            "foot": [self.called],
        }

    def advice(self) -> list[str]:
        """Return what follows from the answers, in sentences."""
        raise NotImplementedError

    def links(self) -> list[dict[str, str]]:
        """Return the lessons to open."""
        raise NotImplementedError

    def _link(self, place: int, *, tells: str = "") -> dict[str, str]:
        lesson = course.lesson(self.round.tasks[place].exercise.lesson)
        called = f"{lesson.id[1:]} {text('lesson', lesson.id, 'listed')['title']}"
        minutes = say("mixed", "minutes", count=lesson.minutes)
        return {
            "text": called,
            "file": lesson_file(lesson.id),
            "tells": " · ".join(filter(None, (tells, minutes))),
        }


class EntryCheck(MixedQuestions):
    """Eight questions, and a link to each lesson that is worth the time."""

    name = "entry"

    def choose(self) -> Round:
        """Return the eight questions."""
        return entry_round(self.record)

    def advice(self) -> list[str]:
        """Return which lessons to take: none, some or all."""
        missed, open = self.round.missed, self.round.open
        if not missed:
            return [] if open else [say("mixed", "entry", "none")]
        all = len(missed) == len(self.round.tasks)
        return [say("mixed", "entry", "all" if all else "some")]

    def links(self) -> list[dict[str, str]]:
        """Return the lessons missed, in the order they are taught, and why."""
        tasks = self.round.tasks
        missed = sorted(self.round.missed, key=lambda p: tasks[p].exercise.lesson)
        return [
            self._link(
                place,
                tells=say("mixed", "why", self.round.came_to(place), number=place + 1),
            )
            for place in missed
        ]


class Refresh(MixedQuestions):
    """Five questions, and the one idea to look at."""

    name = "refresh"

    def choose(self) -> Round:
        """Return the five of today."""
        return refresh_round(self.record, date.today())

    def advice(self) -> list[str]:
        """Return the idea of the first question missed."""
        missed, open = self.round.missed, self.round.open
        if not missed:
            return [] if open else [say("mixed", "refresh", "none")]
        one = self.round.tasks[missed[0]].exercise
        idea = {"title": wording.title(one), "rule": wording.rule(one)}
        lines = [say("mixed", "refresh", "idea", **idea)]
        if len(missed) == len(self.round.tasks):
            lines.append(say("mixed", "refresh", "all"))
        return lines

    def links(self) -> list[dict[str, str]]:
        """Return the lesson of that idea."""
        return [self._link(place) for place in self.round.missed[:1]]
