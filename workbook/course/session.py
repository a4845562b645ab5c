"""The session plan: what a school asks of one class, in one file that all read.

It is TOML, ``session.toml``, beside the class list and beside the lessons. Everything
in it may be left out; what is left out is as if there were no plan::

    form = 1
    title = "Autumn class"

    [school]
    margin = 0.8        # greatest share of a part's rating, 0.1 to 1
    bridle_deg = 90     # largest angle between two legs, 1 to 179
    zone_deg = 40       # line of fire to either side of a chain, 5 to 85
    rules = ["Nobody works on the bench alone after five."]
    font = "fonts/ours.ttf"   # or a folder: for names with letters that ours lack

    [lessons.L08]
    due = 2026-12-04T18:00:00   # by the clock of whoever reads it, if it names no zone
    counts = ["8.1", "8.3"]     # the exercises that make the mark; else all of them
    points = 20                 # of the full mark in gradebooks, else 100: per cent
    drop = ["8.3"]              # exercises that make no mark after all

    [lessons.L08.accept]        # what is right after all, for everybody
    "8.1" = ["12 kN", "M14_bridle_half"]    # a value, or a mistake by its name

Without an entry all is as before: take it out, and `pullwright remark` marks from what
was typed, and lists each mark that goes back.

The school's rules stand beside the cautions. They take no caution away. The explorers
of a pull and of a bridle say what is past the margin and the angle; the practice bay
begins with the margin and the line of fire.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from math import nan
from pathlib import Path
from typing import Any

from workbook.course import lessons
from workbook.errors import FormError
from workbook.exercises import exercise, exercises_of
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.declaration import Exercise, Numbers
from workbook.files import read_at_most
from workbook.language import say, shown, text
from workbook.scenes.forms import LONGEST_FILE, read_form, refuse_unknown

FILE = "session.toml"
MOST_RULES, LONGEST_RULE = 5, 120  # characters; a page has room for these
MOST_POINTS = 1000.0
MOST_ACCEPTED = 20  # values and names of one exercise
LIMITS: Mapping[str, tuple[float, float]] = {
    "margin": (0.1, 1.0),
    "bridle_deg": (1.0, 179.0),
    "zone_deg": (5.0, 85.0),
}


@dataclass(frozen=True, kw_only=True)
class Session:
    """What a school asks of one class.

    Attributes
    ----------
    title : str
        Free text.
    school : mapping of str to float
        Those of `LIMITS` that the school sets.
    own_rules : tuple of str
        Local rules, in the school's own words.
    font : Path, optional
        A font to print names with, or a folder of several.
    due_times : mapping of str to datetime
        By lesson, when its answers are due.
    counted : mapping of str to tuple of str
        By lesson, the exercises that make its mark.
    worth : mapping of str to float
        By lesson, the points of its full mark.
    dropped : mapping of str to tuple of str
        By lesson, the exercises that make no mark after all.
    accepted : mapping of str to tuple of str
        By exercise, what is right after all: a value as typed, or a mistake's name.
    """

    title: str = ""
    school: Mapping[str, float] = field(default_factory=dict)
    own_rules: tuple[str, ...] = ()
    font: Path | None = None
    due_times: Mapping[str, datetime] = field(default_factory=dict)
    counted: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    worth: Mapping[str, float] = field(default_factory=dict)
    dropped: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    accepted: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def rules(self) -> tuple[str, ...]:
        """All that the school asks besides the cautions, as sentences."""
        limits = (say("session", k, value=f"{v:g}") for k, v in self.school.items())
        return (*limits, *self.own_rules)

    def counts(self, lesson: str) -> tuple[str, ...]:
        """Return ids of the exercises that make a lesson's mark."""
        every = tuple(one.id for one in exercises_of(lesson))
        dropped = self.dropped.get(lesson, ())
        return tuple(x for x in self.counted.get(lesson, every) if x not in dropped)

    def points(self, lesson: str) -> float:
        """Return the points of a lesson's full mark: 100, per cent, if none are set."""
        return self.worth.get(lesson, 100.0)

    def told(self, lesson: str) -> tuple[str, ...]:
        """Say which exercises of a lesson count and when it is due, if it is set."""
        due, said = self.due(lesson), []
        if lesson in {*self.counted, *self.dropped}:
            said.append(say("session", "counts", ids=self.counts(lesson)))
        if due is not None:
            said.append(say("session", "due", time=f"{due:%Y-%m-%d %H:%M}"))
        return tuple(said)

    def due(self, lesson: str) -> datetime | None:
        """Return when a lesson's answers are due, with its zone; none if never."""
        time = self.due_times.get(lesson)
        return time and time.astimezone()


NO_PLAN = Session()


def session_from(plan: str | bytes) -> Session:
    r"""Read a session plan.

    Parameters
    ----------
    plan : str or bytes
        What the file holds.

    Raises
    ------
    FormError
        If it is not TOML of this form, or anything in it is unknown or cannot be.

    Examples
    --------
    >>> session_from('form = 1\n[lessons.L02]\ncounts = ["2.1"]').counts("L02")
    ('2.1',)
    """
    title, tables = read_form(plan, what="session", tables=("school", "lessons"))
    school = _table(tables.get("school", {}), "school", (*LIMITS, "rules", "font"))
    own = school.pop("rules", [])
    _check_rules(own)
    font = _font(school.pop("font", None))
    planned = _table(tables.get("lessons", {}), "lessons", lessons())
    due_times, counted, worth, dropped = {}, {}, {}, {}
    accepted: dict[str, tuple[str, ...]] = {}
    for id, given in planned.items():
        known = ("due", "counts", "points", "drop", "accept")
        entry = _table(given, f"lessons.{id}", known)
        if "due" in entry:
            due_times[id] = _time(entry["due"], id)
        if "counts" in entry:
            counted[id] = _ids(entry["counts"], id, "counts")
        if "drop" in entry:
            dropped[id] = _ids(entry["drop"], id, "drop")
        accepted |= _accepted(entry.get("accept", {}), id)
        if "points" in entry:
            worth[id] = _points(entry["points"], id)
    session = Session(
        title=title,
        school={name: _number(name, value) for name, value in school.items()},
        own_rules=tuple(own),
        font=font,
        due_times=due_times,
        counted=counted,
        worth=worth,
        dropped=dropped,
        accepted=accepted,
    )
    for id in dropped:
        if not session.counts(id):
            raise FormError("session.all_dropped", lesson=id)
    return session


def session_beside(place: Path) -> Session:
    """Return the session plan of a folder; one that asks for nothing if it has none.

    Raises
    ------
    FormError
        If there is one and it cannot be read.
    """
    return read_session(place / FILE) if (place / FILE).is_file() else NO_PLAN


def read_session(path: Path) -> Session:
    """Read the file of a session plan; a refusal names it.

    Raises
    ------
    FormError
        If it is no session plan.
    OSError
        If it cannot be read.
    """
    try:
        made = session_from(read_at_most(path, LONGEST_FILE + 1))
        return replace(made, font=made.font and path.parent / made.font)
    except FormError as refusal:
        name = shown(path.name)
        raise FormError("session.of", file=name, refusal=refusal) from None


def _table(entry: object, name: str, known: Any) -> dict[str, Any]:
    if not isinstance(entry, dict):
        raise FormError("forms.one_table", name=name)
    refuse_unknown(entry, known, "forms.unknown_key_of", where=f"[{name}]")
    return dict(entry)


def _number(name: str, value: object) -> float:
    low, high = LIMITS[name]
    if not low <= (number := _plain(value)) <= high:
        raise FormError("session.number", name=name, low=f"{low:g}", high=f"{high:g}")
    return number


def _points(value: object, lesson: str) -> float:
    if not 0 < (number := _plain(value)) <= MOST_POINTS:
        raise FormError("session.points", lesson=lesson, most=f"{MOST_POINTS:g}")
    return number


def _plain(value: object) -> float:
    """Return a number, or nan for what is none; a yes is a number to Python."""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if number else nan  # type: ignore[arg-type]


def _check_rules(rules: object) -> None:
    texts = isinstance(rules, list) and all(
        isinstance(rule, str)
        and 0 < len(rule.strip()) <= len(rule) <= LONGEST_RULE
        and rule.isprintable()
        for rule in rules
    )
    if not texts or len(rules) > MOST_RULES:  # type: ignore[arg-type]
        raise FormError("session.rules", most=MOST_RULES, longest=LONGEST_RULE)


def _font(value: object) -> Path | None:
    if value is None:
        return None
    if not isinstance(value, str) or not value.strip() or not value.isprintable():
        raise FormError("session.font")
    return Path(value)


def _time(value: object, lesson: str) -> datetime:
    if not isinstance(value, datetime):
        raise FormError("session.due", lesson=lesson)
    return value


def _ids(value: object, lesson: str, name: str) -> tuple[str, ...]:
    known = _known(lesson)
    if not isinstance(value, list) or not value:
        raise FormError("session.ids", lesson=lesson, name=name)
    for id in value:
        if id not in known:
            wrong = shown(str(id)[:20])
            raise FormError("session.exercise", lesson=lesson, id=wrong, known=known)
    return tuple(one for one in known if one in value)


def _accepted(value: object, lesson: str) -> dict[str, tuple[str, ...]]:
    entries = _table(value, f"lessons.{lesson}.accept", _known(lesson))
    return {id: _texts(texts, exercise(id), lesson) for id, texts in entries.items()}


def _known(lesson: str) -> list[str]:
    return [one.id for one in exercises_of(lesson)]


def _texts(value: object, one: Exercise, lesson: str) -> tuple[str, ...]:
    """Return what an exercise takes after all, all of which can be told."""
    if not isinstance(value, list) or not value or len(value) > MOST_ACCEPTED:
        raise FormError("session.accept", lesson=lesson, id=one.id, most=MOST_ACCEPTED)
    for entry in value:
        typed = isinstance(entry, str) and 0 < len(entry) <= LONGEST_RULE
        if not typed or (entry not in outcomes(one) and value_of(one, entry) is None):
            text = shown(str(entry)[:LONGEST_RULE])
            raise FormError("session.accepted", lesson=lesson, id=one.id, text=text)
    return tuple(dict.fromkeys(value))


def outcomes(one: Exercise) -> set[str]:
    """Return the names of what may be right after all: close, and known mistakes."""
    slips = (name for name in text("mistake") if name.startswith("slip_"))
    own = (mistake.name for mistake in one.mistakes)
    return {"close", *own, *one.answer.also, *slips}


def value_of(one: Exercise, typed: str) -> float | None:
    """Return a value that an exercise may be answered with; none if it is none. [SI]

    Examples
    --------
    >>> value_of(exercise("2.1"), "12 kN"), value_of(exercise("2.1"), "12 mm")
    (12000.0, None)
    """
    if not isinstance(one.answer, Quantity):
        return None
    read = one.answer.read(typed, Numbers())
    return None if read.problem else read.value
