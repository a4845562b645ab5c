"""Tomorrow's opener as a page to project: a mistake, what breaks it, what shows it.

One file for any browser, without a script and without a name in it. Each screen is
1280 by 720 in size, and grows with the window; the smallest letters are 28 px there.
Page Down goes on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from workbook.course.shows import ShownBy, shown_by
from workbook.course.tables import solved
from workbook.exercises import wording
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.svg import standalone
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.language import caution, language, say, text
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from workbook.classroom.mistakes import MistakeCount
    from workbook.classroom.voted import Vote

OPENER = 3  # mistakes that tomorrow's lesson begins with
MOST_VOTES = 2  # questions that are voted on again
LONGEST_TYPED = 40  # characters of a sample that can be read from the last row


def opener_page(
    mistakes: Sequence[MistakeCount], *, lesson: str = "", votes: Sequence[Vote] = ()
) -> str:
    """Return the opener as a page of HTML.

    Parameters
    ----------
    mistakes : sequence of MistakeCount
        Those to begin with, each with its refutation.
    lesson : str
        Whose it is; empty for all.
    votes : sequence of Vote
        Questions that the class has voted on, and is to vote on again.
    """
    style = files(__package__).joinpath("opener.css").read_text("utf-8")
    screens = [_first(mistakes, lesson)]
    for number, one in enumerate(mistakes, start=1):
        screens += _screens(one, number, len(mistakes))
    for vote in votes[:MOST_VOTES]:
        screens += _voted(vote)
    title = escape(f"{_say('title')} {lesson}".strip())
    spoken = escape(language())
    return (
        f'<!doctype html>\n<html lang="{spoken}"><head><meta charset="utf-8">'
        f"<title>{title}</title><style>\n{style}</style></head>\n<body>\n"
        + "\n".join(screens)
        + "\n</body></html>\n"
    )


def _first(mistakes: Sequence[MistakeCount], lesson: str) -> str:
    """Return the screen that says what comes, with what this workbook is not for."""
    rows = "".join(f"<li>{escape(_thought(one))}</li>" for one in mistakes)
    told = f"<ol>{rows}</ol>" if rows else _p(_say("none"))
    return _screen(f"{_say('title')} {lesson}".strip(), told, foot=caution("S0"))


def _screens(one: MistakeCount, number: int, of: int) -> Iterator[str]:
    """Yield a mistake's screens: what was typed, what breaks it, what shows it."""
    head = _say("head", number=number, of=of, count=one.students)
    sample = one.sample
    typed = sample.typed
    if len(typed) > LONGEST_TYPED:
        typed = typed[: LONGEST_TYPED - 1] + "…"
    question = wording.question(sample.variant)
    yield _screen(
        head,
        _p(_say("question", exercise=sample.exercise.id, question=question)),
        _p(_say("typed", typed=typed), "typed"),
        _p(_say("vote")),
    )
    right = _say("right", right=sample.right)
    refuted = "".join(_p(sentence) for sentence in one.refutation)
    yield _screen(_thought(one), refuted, _p(right, "typed"))
    shown = shown_by(sample.variant, one.name)
    if shown is not None:
        yield _shown(shown)


def _voted(vote: Vote) -> Iterator[str]:
    """Yield the screens of a vote: the question with its hands, and what breaks it."""
    common = vote.common
    assert common is not None  # it is unsettled
    rows = "".join(
        f"<dt>{escape(f'{one.letter}  {one.text}')}</dt>"
        f"<dd>{escape(say('classroom', 'voted', 'hands', hands=hands))}</dd>"
        for one, hands in vote.hands
    )
    head = say("classroom", "voted", "asked", lesson=vote.lesson)
    yield _screen(head, _p(vote.poll.question), f"<dl>{rows}</dl>")
    right = say(
        "classroom", "voted", "right", letter=vote.right.letter, text=vote.right.text
    )
    refuted = "".join(_p(sentence) for sentence in vote.refutation)
    head = say("classroom", "voted", "broken", thought=common.tells)
    yield _screen(head, refuted, _p(right, "typed"))


def _shown(shown: ShownBy) -> str:
    """Return the screen with the picture of what shows it, and its code."""
    subject = subjects()[shown.explorer.subject]
    look: Look[Any] = Look(system=METRIC, room=ROOMS["projector"])
    sheets = subject.sheets(solved(shown.explorer, **shown.change), look)
    pictures = "".join(
        standalone(sheet) for sheet in (sheets.picture, sheets.beside) if sheet
    )
    head = _say(shown.how, lesson=shown.explorer.lesson, code=shown.code)
    return _screen(head, f'<div class="seen">{pictures}</div>')


def _thought(one: MistakeCount) -> str:
    """Return the thought behind a mistake, in the words of who has it."""
    entry = text("mistake", one.name)
    return str(entry.get("thought", entry["did"]))


def _screen(head: str, *parts: str, foot: str = "") -> str:
    foot = foot or caution("short")
    return (
        f"<section><h1>{escape(head)}</h1>{''.join(parts)}"
        f"<footer>{escape(foot)}</footer></section>"
    )


def _p(sentence: str, role: str = "") -> str:
    named = f' class="{role}"' if role else ""
    return f"<p{named}>{escape(sentence)}</p>"


def _say(entry: str, **values: object) -> str:
    return say("classroom", "opener", entry, **values)
