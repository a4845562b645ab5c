"""What a class got wrong: mistakes by name, over all variants, most common first."""

from __future__ import annotations

import textwrap
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from workbook.classroom.bays import bay_lines
from workbook.classroom.files import write_all
from workbook.classroom.kept import MARKS, KeptAnswer, read_kept
from workbook.classroom.keys import numbers_text
from workbook.classroom.roll import ClassList
from workbook.errors import FormError
from workbook.exercises import wording
from workbook.exercises.engine import Variant
from workbook.figures.drawing.marks import Drawing, Label, Mark, Panel, Sheet
from workbook.figures.drawing.scales import bar
from workbook.figures.drawing.svg import standalone
from workbook.language import caution, say, shown, text
from workbook.quantities.typed import LONGEST

OPENER = 3  # mistakes that tomorrow's lesson begins with
NO_MISTAKE = {"right", "close"}
BAY_LESSON = "L17"
WIDTH = 76  # characters of a line of the report


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One typed answer, with the numbers it was typed to."""

    exercise: str
    numbers: str
    typed: str
    right: str


@dataclass(frozen=True, kw_only=True)
class MistakeCount:
    """A mistake of a class: how many made it, how often, one sample, what to say.

    ``refutation`` is empty for what is no known mistake; ``held`` is what is asked
    back and not marked, at least the first time.
    """

    name: str
    students: int
    answers: int
    exercises: tuple[str, ...]
    sample: Sample
    refutation: tuple[str, ...]
    held: bool


def mistakes_in(answers: Iterable[KeptAnswer]) -> list[MistakeCount]:
    """Return the mistakes of a class, most common first.

    Parameters
    ----------
    answers : iterable of KeptAnswer
        As a `workbook.classroom.kept.Kept` has them.

    Returns
    -------
    list of MistakeCount
        In the order of how many students made them, then how often; known
        mistakes stand before what was not recognised, and that before what was held.
    """
    found: dict[str, list[KeptAnswer]] = defaultdict(list)
    for answer in answers:
        for name in answer.names:
            if name not in NO_MISTAKE:
                found[name].append(answer)
    mistakes = [_mistake(name, cases) for name, cases in found.items()]
    return sorted(
        mistakes,
        key=lambda m: (m.held, not m.refutation, -m.students, -m.answers, m.name),
    )


def _mistake(name: str, cases: Sequence[KeptAnswer]) -> MistakeCount:
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
    return MistakeCount(
        name=name,
        students=len({answer.code for answer in cases}),
        answers=len(cases),
        exercises=tuple(ids),
        sample=sample,
        refutation=wording.refutation(one.exercise, name) if known else (),
        held=any(answer.held for answer in cases),
    )


def _in_order(id: str) -> tuple[int, str]:
    lesson, _, rest = id.partition(".")
    return int(lesson), rest


# ------------------------------------------------------------------------- report


def write_report(
    class_list: ClassList, out: Path, *, lesson: str = ""
) -> tuple[list[Path], list[MistakeCount]]:
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
    list of Path, list of MistakeCount
        The files, and the mistakes in their order.

    Raises
    ------
    FormError
        If there are no answers.
    """
    kept = read_kept(out / MARKS, class_list)
    answers = [a for a in kept.answers if lesson in {"", a.exercise.lesson}]
    bays = bay_lines(out, class_list) if lesson in {"", BAY_LESSON} else []
    if not answers and not bays:
        reason = "marks.no_answers_to" if lesson else "marks.no_answers"
        raise FormError(reason, folder=shown(str(out)), lesson=shown(lesson))
    mistakes = mistakes_in(answers)
    students = len({answer.code for answer in answers})
    name = f"report {lesson}".strip()
    files = {
        f"{name}.txt": report_text(
            mistakes, students=students, listed=len(class_list.students), bays=bays
        ).encode(),
        f"{name}.svg": standalone(chart(mistakes, students)).encode(),
    }
    return write_all(out, files), mistakes


def report_text(
    mistakes: Sequence[MistakeCount],
    *,
    students: int,
    listed: int,
    bays: Sequence[str] = (),
) -> str:
    """Return the report as text: tomorrow's opener first, then every mistake.

    Parameters
    ----------
    mistakes : sequence of MistakeCount
        In their order.
    students, listed : int
        How many handed in answers, of how many on the class list.
    bays : sequence of str
        Marks of the practice bay, a line a student.
    """
    known = [mistake for mistake in mistakes if mistake.refutation]
    rest = {
        "not_recognised": [m for m in mistakes if not m.refutation and not m.held],
        "held": [m for m in mistakes if m.held],
    }
    lines = [
        _say("handed_in", count=listed, students=students),
        "",
        _say("opener"),
        "",
    ]
    for number, mistake in enumerate(known[:OPENER], start=1):
        lines += [
            _say("numbered", number=number, heading=_heading(mistake)),
            *_told(mistake),
            "",
        ]
    if not known:
        lines += [_say("none_known"), ""]
    lines += [_say("all"), ""]
    for mistake in known[OPENER:]:
        lines += [_heading(mistake), *_told(mistake), ""]
    if len(known) <= OPENER:
        lines += [_say("those_above"), ""]
    for heading, found in rest.items():
        lines += [_say(heading), ""] if found else []
        lines += [
            line
            for mistake in found
            for line in (_heading(mistake), *_told(mistake), "")
        ]
    if bays:
        told = [part for line in bays for part in textwrap.wrap(line, WIDTH)]
        lines += [_say("bays"), "", *told, ""]
    lines += [*textwrap.wrap(caution("S0"), WIDTH), ""]
    return "\n".join(lines)


def _heading(mistake: MistakeCount) -> str:
    return _say(
        "heading",
        count=mistake.students,
        name=mistake.name,
        answers=mistake.answers,
        exercises=mistake.exercises,
    )


def _say(entry: str, **values: object) -> str:
    return say("classroom", "report", entry, **values)


def _told(mistake: MistakeCount) -> list[str]:
    """Return the sample and the refutation, indented and wrapped."""
    sample = mistake.sample
    first = _say(
        "sample",
        exercise=sample.exercise,
        typed=sample.typed,
        numbers=sample.numbers,
        right=sample.right,
    )
    said = [first, " ".join(mistake.refutation)]
    return [
        line
        for part in filter(None, said)
        for line in textwrap.wrap(
            part, WIDTH, initial_indent="   ", subsequent_indent="   "
        )
    ]


def chart(mistakes: Sequence[MistakeCount], students: int) -> Sheet:
    """Return bars of how many students made each mistake.

    Parameters
    ----------
    mistakes : sequence of MistakeCount
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
        marks.append(Label((0.0, 0.0), _say("no_mistakes"), "text", (0, 0), "start"))
    drawing = Drawing(
        caption=_say("chart", students=students),
        window=(-0.75, 1.15, 0.5 - rows, 1.2),
        moving=marks,
        true_scale=False,
    )
    high = 26.0 * (rows + 0.7) + 20
    panel = Panel(drawing=drawing, left=0, top=20, width=760, height=high - 20)
    counts = [_say("bar", name=m.name, students=m.students) for m in mistakes]
    words = "; ".join(counts) or _say("no_mistakes")
    said = _say("chart_words", mistakes=words)
    return Sheet(width=760, height=high, text=said, panels=(panel,))
