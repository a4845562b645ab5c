"""Ten minutes with a class: what to say and do, and what to load on the screen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from workbook.exercises import exercise, wording
from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from workbook.course.lesson import Exploration, Lesson

LONG = 10  # minutes


@dataclass(frozen=True, kw_only=True)
class Minutes:
    """Some minutes of the script.

    Attributes
    ----------
    name : str
        Its text, under ``script`` among the lesson's sentences; without one there,
        what every lesson says under this name.
    until : int
        When they are over, counted from the start of the lesson.
    load : tuple of str
        Named set-ups of the lesson to load, in their order.
    explorer : str
        What is shown from here on, where no set-up to load tells.
    """

    name: str
    until: int
    load: tuple[str, ...] = ()
    explorer: str = ""


@dataclass(frozen=True, kw_only=True)
class ScriptLine:
    """A line of the script as an instructor reads it; ``keys`` say what to press.

    ``name`` is that of the `Minutes`, ``explorer`` what is shown meanwhile; ``numbers``
    are the keys alone.
    """

    name: str
    explorer: str
    minutes: str
    head: str
    said: str
    keys: tuple[str, ...]
    numbers: tuple[int, ...]


def script_of(lesson: Lesson) -> tuple[ScriptLine, ...]:
    """Return a lesson's script, line by line.

    Examples
    --------
    >>> from workbook.course import lessons
    >>> first, *_, last = script_of(lessons()["L08"])
    >>> first.minutes, last.minutes, last.keys
    ('0–1', '9–10', ())
    """
    return tuple(_lines(lesson))


def _lines(lesson: Lesson) -> Iterator[ScriptLine]:
    own, shared = text("lesson", lesson.id, "script"), text("script", "said")
    start, explorer = 0, lesson.explorers[0].name
    for part in lesson.script:
        where = (
            ("lesson", lesson.id, "script")
            if part.name in own
            else ("script", "said")
        )  # fmt: skip
        assert part.name in {**own, **shared}
        shown = [_showing(lesson, set_up).name for set_up in part.load]
        explorer = part.explorer or [explorer, *shown][-1]
        yield ScriptLine(
            name=part.name,
            explorer=explorer,
            minutes=f"{start}–{part.until}",
            head=say("script", "head", part.name.split("_")[0]),
            said=say(*where, part.name, **_exit(lesson)),
            keys=tuple(_key(lesson, set_up) for set_up in part.load),
            numbers=tuple(_number(lesson, set_up) for set_up in part.load),
        )
        start = part.until


def _exit(lesson: Lesson) -> dict[str, str]:
    return {"exit": lesson.exit, "title": wording.title(exercise(lesson.exit))}


def _showing(lesson: Lesson, set_up: str) -> Exploration:
    return next(one for one in lesson.explorers if set_up in one.named)


def _key(lesson: Lesson, set_up: str) -> str:
    """Return the key that loads a set-up, and the set-up's name."""
    called = _showing(lesson, set_up).called(set_up)
    return say("script", "key", key=_number(lesson, set_up), called=called)


def _number(lesson: Lesson, set_up: str) -> int:
    return [*_showing(lesson, set_up).named].index(set_up) + 1
