"""What a class got wrong: mistakes by name, over all variants, most common first."""

from __future__ import annotations

import textwrap
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from workbook.classroom import gradebook
from workbook.classroom.files import shown, write_all
from workbook.classroom.gradebook import Answer
from workbook.classroom.keys import numbers_text
from workbook.classroom.roll import ClassList
from workbook.errors import FormError
from workbook.exercises import wording
from workbook.exercises.engine import Variant
from workbook.figures.drawing.marks import Drawing, Label, Mark, Panel, Sheet
from workbook.figures.drawing.scales import bar
from workbook.figures.drawing.svg import standalone
from workbook.language import caution, text
from workbook.quantities.typed import LONGEST

OPENER = 3  # mistakes that tomorrow's lesson begins with
NO_MISTAKE = {"right", "close"}
WIDTH = 76  # characters of a line of the report


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One typed answer, with the numbers it was typed to."""

    exercise: str
    numbers: str
    typed: str
    right: str


@dataclass(frozen=True, kw_only=True)
class Mistake:
    """A mistake of a class: how many made it, how often, one sample, what to say.

    ``refutation`` is empty for what is no known mistake.
    """

    name: str
    students: int
    answers: int
    exercises: tuple[str, ...]
    sample: Sample
    refutation: tuple[str, ...]


def mistakes_in(answers: Iterable[Answer]) -> list[Mistake]:
    """Return the mistakes of a class, most common first.

    Parameters
    ----------
    answers : iterable of Answer
        As a `workbook.classroom.gradebook.Kept` has them.

    Returns
    -------
    list of Mistake
        In the order of how many students made them, then how often; known
        mistakes stand before what was not recognised or could not be read.
    """
    found: dict[str, list[Answer]] = defaultdict(list)
    for answer in answers:
        for name in answer.names:
            if name not in NO_MISTAKE:
                found[name].append(answer)
    mistakes = [_mistake(name, cases) for name, cases in found.items()]
    return sorted(
        mistakes,
        key=lambda m: (not m.refutation, -m.students, -m.answers, m.name),
    )


def _mistake(name: str, cases: Sequence[Answer]) -> Mistake:
    ids = sorted({answer.exercise.id for answer in cases}, key=_in_order)
    # The sample is the same whoever handed in first.
    one = min(cases, key=lambda a: (_in_order(a.exercise.id), a.code))
    sample = Sample(
        exercise=one.exercise.id,
        numbers=numbers_text(Variant(one.exercise, one.numbers)),
        typed=shown(one.typed[:LONGEST]),
        right=one.right,
    )
    known = "did" in text("mistake").get(name, {})
    return Mistake(
        name=name,
        students=len({answer.code for answer in cases}),
        answers=len(cases),
        exercises=tuple(ids),
        sample=sample,
        refutation=wording.refutation(one.exercise, name) if known else (),
    )


def _in_order(id: str) -> tuple[int, str]:
    lesson, _, rest = id.partition(".")
    return int(lesson), rest


# ------------------------------------------------------------------------- report


def write_report(
    class_list: ClassList, out: Path, *, lesson: str = ""
) -> tuple[list[Path], list[Mistake]]:
    """Write the report of what a marking kept, as text and as a picture.

    Parameters
    ----------
    class_list : ClassList
        The students.
    out : Path
        Where the marks are, and the report goes.
    lesson : str
        Only this lesson's exercises; by default all.

    Returns
    -------
    list of Path, list of Mistake
        The files, and the mistakes in their order.

    Raises
    ------
    FormError
        If there are no answers.
    """
    kept = gradebook.read_kept(out / gradebook.MARKS, class_list)
    answers = [a for a in kept.answers if lesson in {"", a.exercise.lesson}]
    if not answers:
        to = f" to {shown(lesson)}" if lesson else ""
        msg = f"{shown(str(out))} holds no answers{to}: mark a folder first"
        raise FormError(msg)
    mistakes = mistakes_in(answers)
    students = len({answer.code for answer in answers})
    name = f"report {lesson}".strip()
    files = {
        f"{name}.txt": report_text(
            mistakes, students=students, listed=len(class_list.students)
        ).encode(),
        f"{name}.svg": standalone(chart(mistakes, students)).encode(),
    }
    return write_all(out, files), mistakes


def report_text(mistakes: Sequence[Mistake], *, students: int, listed: int) -> str:
    """Return the report as text: tomorrow's opener first, then every mistake.

    Parameters
    ----------
    mistakes : sequence of Mistake
        In their order.
    students, listed : int
        How many handed in answers, of how many on the class list.
    """
    known = [mistake for mistake in mistakes if mistake.refutation]
    rest = [mistake for mistake in mistakes if not mistake.refutation]
    lines = [
        f"{students} of {listed} students handed in answers.",
        "",
        "TOMORROW'S OPENER",
        "",
    ]
    for number, mistake in enumerate(known[:OPENER], start=1):
        lines += [f"{number}. {_heading(mistake)}", *_told(mistake), ""]
    if not known:
        lines += ["No known mistake was made.", ""]
    lines += ["ALL MISTAKES BY NAME, MOST COMMON FIRST", ""]
    for mistake in known[OPENER:]:
        lines += [_heading(mistake), *_told(mistake), ""]
    if len(known) <= OPENER:
        lines += ["They are those above.", ""]
    if rest:
        lines += ["NOT RECOGNISED, OR NOT READ", ""]
        lines += [
            line
            for mistake in rest
            for line in (_heading(mistake), *_told(mistake), "")
        ]
    lines += [*textwrap.wrap(caution("S0"), WIDTH), ""]
    return "\n".join(lines)


def _heading(mistake: Mistake) -> str:
    students = f"{mistake.students} student" + "s" * (mistake.students != 1)
    return (
        f"{mistake.name}: {students}, {mistake.answers}× "
        f"in {', '.join(mistake.exercises)}"
    )


def _told(mistake: Mistake) -> list[str]:
    """Return the sample and the refutation, indented and wrapped."""
    sample = mistake.sample
    first = (
        f"Typed in {sample.exercise}: {sample.typed}   "
        f"(numbers: {sample.numbers}; right: {sample.right})"
    )
    said = [first, " ".join(mistake.refutation)]
    return [
        line
        for part in filter(None, said)
        for line in textwrap.wrap(
            part, WIDTH, initial_indent="   ", subsequent_indent="   "
        )
    ]


def chart(mistakes: Sequence[Mistake], students: int) -> Sheet:
    """Return bars of how many students made each mistake.

    Parameters
    ----------
    mistakes : sequence of Mistake
        In their order.
    students : int
        How many handed in; the longest possible bar.

    Returns
    -------
    Sheet
        Known mistakes are filled, the rest is an empty frame.
    """
    rows = max(len(mistakes), 1)
    marks: list[Mark] = []
    for place, mistake in enumerate(mistakes):
        role = "bar part" if mistake.refutation else "bar frame"
        share = mistake.students / max(students, 1)
        marks += bar(-place, share, mistake.name, str(mistake.students), role)
    if not mistakes:
        marks.append(Label((0.0, 0.0), "no mistakes", "text", (0, 0), "start"))
    drawing = Drawing(
        caption=f"students who made each mistake, of {students}",
        window=(-0.75, 1.15, 0.5 - rows, 1.2),
        moving=marks,
        true_scale=False,
    )
    high = 26.0 * (rows + 0.7) + 20
    panel = Panel(drawing=drawing, left=0, top=20, width=760, height=high - 20)
    words = "; ".join(f"{m.name} {m.students}" for m in mistakes) or "no mistakes"
    return Sheet(width=760, height=high, text=f"Students: {words}.", panels=(panel,))
