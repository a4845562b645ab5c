"""What a lesson is made of: one declaration that notebook, handout and tests read.

Here stand names and numbers; the sentences stand under the same names in the
lesson's file of the language, such as ``en/lesson/L08.toml``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

from workbook.course.predictions import Prediction
from workbook.exercises import exercises_of
from workbook.language import say, text

if TYPE_CHECKING:
    from workbook.course.handout import Handout
    from workbook.course.script import Minutes
    from workbook.course.tables import Rows, Table
    from workbook.course.worked import Worked
    from workbook.scenes.fields import Value

Changes = Mapping[str, "Value"]
Verdict = Literal["right", "wrong", "go"]

SAFETY_GATE = ("11.3", "11.5")
"""What lessons on pulls under load stand behind: who must move, and go or no-go."""


@dataclass(frozen=True, kw_only=True)
class Observation:
    """What a learner is to read off: an amount of the explorer, in some set-ups.

    Attributes
    ----------
    amount : str
        Which of the explorer's amounts.
    at : tuple of mapping
        Set-ups, each what is changed from the start; the first is the one that the
        prediction is about. What was typed is true if it is the amount in one.
    within : float
        Share of the amount by which a reading may be off.
    """

    amount: str
    at: tuple[Changes, ...]
    within: float = 0.02


@dataclass(frozen=True, kw_only=True)
class Exploration:
    """One explorer of a lesson: where it starts, what is asked before and after.

    Attributes
    ----------
    name : str
        Its name within the lesson.
    subject : str
        What it is about, such as ``"pull"``.
    start : mapping
        Values that differ from the fields' own start values: the rig.
    named : mapping of str to mapping
        Set-ups to load, by name: what each changes from the start.
    front : tuple of str
        Controls in front, if others than the subject's own; paired ones too.
    extras : tuple of str
        Which of the subject's further pictures are open from the start.
    telling : tuple of str
        The numbers told first, if others than the subject's own.
    first_beside : str
        Which of the further pictures stands beside the first one, on top.
    curtain : bool
        Whether the picture opens with the prediction: for a start that would give
        the answer away.
    predict : Prediction, optional
        What is asked before any control moves.
    observe : Observation, optional
        What is read off afterwards.
    readings : mapping of str to Observation
        What else the lesson asks to be read off, by name: each has its own box.
    """

    name: str
    subject: str
    start: Changes = field(default_factory=dict)
    named: Mapping[str, Changes] = field(default_factory=dict)
    front: tuple[str, ...] = ()
    extras: tuple[str, ...] = ()
    telling: tuple[str, ...] = ()
    first_beside: str = ""
    curtain: bool = False
    predict: Prediction | None = None
    observe: Observation | None = None
    readings: Mapping[str, Observation] = field(default_factory=dict)
    lesson: str = ""

    def asks(self, reading: str) -> str:
        """Return the question of one of the readings."""
        return say("lesson", self.lesson, "explorer", self.name, "readings", reading)

    def called(self, set_up: str) -> str:
        """Return a named set-up, or ``start``, as a reader sees it."""
        return say("lesson", self.lesson, "explorer", self.name, "named", set_up)

    def values(self, set_up: str = "start", /, **changes: Value) -> dict[str, Value]:
        """Return the start with a named set-up and changes over it."""
        named = {} if set_up == "start" else self.named[set_up]
        return {**self.start, **named, **changes}


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A question with its answer under a fold.

    ``values`` fill the places of both texts; ``of`` is the lesson that an old
    question comes from.
    """

    name: str
    of: str = ""
    values: Mapping[str, object] = field(default_factory=dict)
    lesson: str = ""

    @property
    def question(self) -> str:
        """What is asked."""
        return say("lesson", self.lesson, "asked", self.name, "question", **self.values)

    @property
    def answer(self) -> str:
        """What opens."""
        return say("lesson", self.lesson, "asked", self.name, "answer", **self.values)


@dataclass(frozen=True, kw_only=True)
class Gate:
    """A stop-and-think question before what could hurt someone.

    ``options`` gives each a verdict: ``right``; ``wrong``; or ``go``, which goes on
    where it must not.
    """

    name: str
    options: Mapping[str, Verdict]
    lesson: str = ""

    @property
    def question(self) -> str:
        """What is happening, and what is asked."""
        return say("lesson", self.lesson, "gate", self.name, "question")

    def option(self, name: str) -> str:
        """Return an option as the reader chooses it."""
        return say("lesson", self.lesson, "gate", self.name, name, "text")

    def why(self, name: str) -> str:
        """Return why an option is right or is not."""
        return say("lesson", self.lesson, "gate", self.name, name, "why")


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """One lesson; its parts learn here which lesson they are in.

    Attributes
    ----------
    id : str
        Such as ``"L08"``.
    minutes : int
        How long it takes.
    explorers : tuple of Exploration
        In their order; the first one's prediction is the lesson's.
    recall : tuple of Asked
        Questions from earlier lessons.
    by_hand : tuple of Asked
        Questions to be worked out on paper.
    shown : mapping of str to callable
        Rows of amounts that are told beside the explorers, by name.
    contrast : tuple of Table
        Set-ups that differ in one thing, side by side.
    worked : tuple of Worked
        Worked examples.
    gates : tuple of Gate
        Stop-and-think questions.
    script : tuple of Minutes
        Ten minutes of it with a class.
    exit : str
        Id of the exercise that ends the lesson.
    behind : tuple of str
        Ids of the exercises that have to be passed before the lesson opens.
    cautions : mapping of str to tuple of str
        Standing texts of the notebook, by how the heading of their part begins;
        ``""`` is the part above the first heading.
    handout : Handout, optional
        What is printed of it.
    """

    id: str
    minutes: int
    explorers: tuple[Exploration, ...]
    recall: tuple[Asked, ...] = ()
    by_hand: tuple[Asked, ...] = ()
    contrast: tuple[Table, ...] = ()
    shown: Mapping[str, Callable[[], Rows]] = field(default_factory=dict)
    worked: tuple[Worked, ...] = ()
    gates: tuple[Gate, ...] = ()
    script: tuple[Minutes, ...] = ()
    exit: str = ""
    behind: tuple[str, ...] = ()
    cautions: Mapping[str, tuple[str, ...]]
    handout: Handout | None = None

    def __post_init__(self) -> None:
        here = self.id
        explorers = tuple(_in_lesson(one, here) for one in self.explorers)
        object.__setattr__(self, "explorers", explorers)
        for name in ("recall", "by_hand", "gates"):
            parts = tuple(replace(part, lesson=here) for part in getattr(self, name))
            object.__setattr__(self, name, parts)

    @property
    def title(self) -> str:
        """Number and title, as the lesson's first line has them."""
        return str(text("lesson", self.id, "title"))

    @property
    def prediction(self) -> Prediction | None:
        """What the lesson asks first."""
        return self.explorers[0].predict

    @property
    def exercises(self) -> tuple[str, ...]:
        """Ids of its exercises, in the order of the bank."""
        return tuple(one.id for one in exercises_of(self.id))

    def explorer(self, name: str) -> Exploration:
        """Return one of the explorers by its name."""
        return next(one for one in self.explorers if one.name == name)


def _in_lesson(one: Exploration, lesson: str) -> Exploration:
    asked = one.predict
    if asked is not None:
        asked = replace(asked, lesson=lesson, explorer=one.name)
    return replace(one, lesson=lesson, predict=asked)
