"""What a notebook puts on its page: the parts of its lesson, as the course has them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

import ipywidgets as ipw

from widgets.card import Card
from widgets.explorer import Explorer
from widgets.gate import SafetyGate
from widgets.partner import PartnerGame
from widgets.practice_bay import PracticeBay
from widgets.prediction import PredictionLock
from widgets.question import ExerciseCard
from widgets.reading import Reading
from widgets.repair_record import RepairRecord
from widgets.reveal import Reveal
from widgets.way_in import WayInCard
from widgets.words import WordList
from widgets.worked import WorkedExample
from workbook import course
from workbook.course.tables import code_of, rows_text, solved, table_text
from workbook.course.worked import worked_text
from workbook.exercises.sets import EXIT
from workbook.figures.pictures import subjects
from workbook.language import say, text
from workbook.reader.record import record_here
from workbook.reader.settings import unit_system, use_language
from workbook.reader.way_in import WayIn
from workbook.reader.works import works_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from workbook.course import Lesson
    from workbook.course.lesson import Asked, Exploration
    from workbook.course.tables import TableText

OneCard = TypeVar("OneCard", bound=Card)


def lesson(id: str) -> LessonParts:
    """Return the parts of a lesson for its notebook, in the reader's language.

    Examples
    --------
    >>> lesson("00").by_hand(2)
    The ram leans minus 5°. Which way? | Toward the vehicle. As it strokes it swings out and straightens.
    """  # noqa: E501
    use_language()
    return LessonParts(course.lesson(id))


class LessonParts:
    """The parts of one lesson, made where the notebook asks for them.

    Questions are counted from 1.
    """

    def __init__(self, declared: Lesson) -> None:
        self.lesson = declared
        self._made: dict[str, Explorer[Any]] = {}  # what stands on the page already
        self._way_in = WayIn(declared, record_here()) if declared.behind else None

    def way_in(self) -> WayInCard:
        """Return what tells whether a lesson behind a gate is open."""
        assert self._way_in is not None, "nothing is asked before"
        return WayInCard(self._way_in)

    def explorer(self, name: str = "", *, free: bool = False) -> Explorer[Any]:
        """Return an explorer of the lesson, the first if none is named.

        A ``free`` one asks for no prediction first.
        """
        one = self._exploration(name)
        lock = None
        if one.predict and not free:
            lock = self._behind(PredictionLock(one, now=self._now(one)))
        subject = subjects()[one.subject]
        explorer = Explorer(
            replace(subject, telling=one.telling, first_beside=one.first_beside),
            one.start,
            named={one.called(set_up): values for set_up, values in one.named.items()},
            lock=lock,
            curtain=one.curtain and not free,
            front=one.front or None,
            extras=one.extras,
        )
        self._made[one.name] = explorer
        return explorer

    def reading(self, *names: str, explorer: str = "") -> Cards:
        """Return a box for each reading of an explorer, the first if none is named."""
        one = self._exploration(explorer)
        now = self._now(one)
        return self._cards([Reading(one, name, now=now) for name in names], "readings")

    def words(self) -> WordList:
        """Return the parts of one pull as a picture, with the words of it."""
        return WordList()

    def recall(self, number: int) -> Reveal:
        """Return a question from an earlier lesson."""
        return _folded(self.lesson.recall[number - 1])

    def by_hand(self, number: int) -> Reveal:
        """Return a question to be worked out on paper."""
        return _folded(self.lesson.by_hand[number - 1])

    def exercises(self) -> Cards:
        """Return a card for every exercise of the lesson."""
        cards = [ExerciseCard(id) for id in self.lesson.exercises]
        return self._cards(cards, "exercises")

    def contrast(self, number: int = 1) -> SideBySide:
        """Return set-ups that differ in one thing, with their numbers."""
        table = self.lesson.contrast[number - 1]
        said = text("lesson", self.lesson.id, "contrast")[number - 1]
        one = self.lesson.explorer(table.explorer)
        return SideBySide(table_text(table, one, said=said, system=unit_system()))

    def shown(self, name: str) -> SideBySide:
        """Return what the engine says of something beside the explorers."""
        head = text("lesson", self.lesson.id, "shown", name)
        rows = self.lesson.shown[name]()
        return SideBySide(rows_text(rows, head=head, system=unit_system()))

    def worked(self, name: str) -> WorkedExample:
        """Return a worked example, folded away for who answers at once without it."""
        one = next(one for one in self.lesson.worked if one.name == name)
        known = works_of(record_here()).at_home(self.lesson.id)
        words = worked_text(one, self.lesson, system=unit_system())
        return WorkedExample(words, folded=known)

    def solved(self, set_up: str = "start", *, explorer: str = "") -> Any:
        """Return what the engine makes of a named set-up, or of the start.

        Lessons print its numbers while the reader's controls stay held.
        """
        return solved(self._exploration(explorer), set_up)

    def code(self, set_up: str = "start", *, explorer: str = "") -> str:
        """Return the code of a named set-up, or of the start."""
        return code_of(self._exploration(explorer), set_up)

    def gate(self, number: int = 1) -> SafetyGate:
        """Return a stop-and-think question."""
        return self._behind(SafetyGate(self.lesson.gates[number - 1]))

    def partner_game(self) -> PartnerGame:
        """Return the game in which one mixes kinds of damage, the other names them."""
        return PartnerGame()

    def practice_bay(self) -> PracticeBay:
        """Return the practice bay, with the reader's job in it."""
        return self._behind(PracticeBay())

    def repair_record(self) -> RepairRecord:
        """Return the worked repair record, and that of the reader's own job."""
        return RepairRecord()

    def exit_question(self) -> ExerciseCard:
        """Return the exercise that ends the lesson, and counts."""
        return self._behind(ExerciseCard(self.lesson.exit, set=EXIT))

    def _cards(self, cards: Sequence[Card], what: str) -> Cards:
        return Cards([self._behind(card) for card in cards], what)

    def _behind(self, card: OneCard) -> OneCard:
        """Return a card, which asks nothing while the lesson is not open."""
        if self._way_in is not None:
            card.stand_behind(self._way_in)
        return card

    def _now(self, one: Exploration) -> Callable[[], Any]:
        """Return what tells what an explorer shows at present, if it is there."""
        made = self._made
        return lambda: made[one.name].result if one.name in made else None

    def _exploration(self, name: str) -> Exploration:
        return self.lesson.explorer(name) if name else self.lesson.explorers[0]


class SideBySide:
    """A table in a notebook: plain text, its columns in line."""

    def __init__(self, table: TableText) -> None:
        self.table = table

    def __repr__(self) -> str:
        return str(self.table)


class Cards:
    """Cards, one under the other; ``what`` names them where no kernel runs."""

    def __init__(self, cards: Sequence[Card], what: str) -> None:
        self.cards, self.what = cards, what
        self.box = ipw.VBox(cards)

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        plain = say("card", "run_all", what=say("card", self.what))
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": plain}


def _folded(asked: Asked) -> Reveal:
    return Reveal(asked.question, asked.answer)
