"""The instructor's page of a lesson: ten minutes, the choices, where to stop."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from workbook.classroom.press import Press
from workbook.course import lessons
from workbook.course.polls import choices_of
from workbook.course.predictions import RIGHT, asked_on_paper
from workbook.course.script import script_of
from workbook.course.tables import code_of
from workbook.language import STANDING, caution, say, text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from workbook.course import Lesson
    from workbook.course.lesson import Exploration
    from workbook.quantities.units import UnitSystem


def script_pdf(
    lesson: str,
    *,
    class_key: str,
    paper: str,
    system: UnitSystem,
    rules: Sequence[str] = (),
) -> bytes:
    """Return the instructor's page of a lesson as PDF.

    Parameters
    ----------
    lesson : str
        Such as ``"L07"``, one that is printed.
    class_key : str
        It decides the order in which the class votes.
    paper : {"a4", "us-letter"}
        Size of the page.
    system : UnitSystem
        Units of the question and its choices.
    rules : sequence of str
        Those of the school, which stand below the cautions.
    """
    one = lessons()[lesson]
    return Press(_template(), {}).pages(
        {
            "title": say("script", "title", title=one.title),
            "words": text("script"),
            "paper": paper,
            "s0": caution("S0"),
            "lines": [vars(line) for line in script_of(one)],
            **_predict(one, class_key, system),
            "stops": [*_stops(one)],
            "codes": [row for each in one.explorers for row in _codes(each)],
            "cautions": [
                say("handout", "caution", name=name) + " " + caution(name)
                for name in STANDING[lesson]
            ]
            + [*rules],
        }
    )


@cache
def _template() -> bytes:
    return files(__package__).joinpath("script.typ").read_bytes()


def _predict(one: Lesson, class_key: str, system: UnitSystem) -> dict[str, Any]:
    asked = one.prediction
    assert asked is not None  # a printed lesson begins with a prediction
    offered = choices_of(asked, class_key=class_key, system=system)
    return {
        "predict": asked_on_paper(asked, system=system),
        "choices": [vars(choice) for choice in offered],
    }


def _stops(one: Lesson) -> Iterator[dict[str, str]]:
    for gate in one.gates:
        right = next(name for name, is_ in gate.options.items() if is_ == RIGHT)
        answer, why = gate.option(right), gate.why(right)
        yield {
            "question": gate.question,
            "answer": say("script", "answer", answer=answer, why=why),
        }


def _codes(one: Exploration) -> Iterator[tuple[str, str]]:
    """Yield each set-up of an explorer by name, with its code."""
    yield say("script", "start"), code_of(one)
    for set_up in one.named:
        yield one.called(set_up), code_of(one, set_up)
