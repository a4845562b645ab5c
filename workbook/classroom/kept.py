"""What a marking keeps in ``marks.jsonl``: every try and every mark.

It has one JSON object a line, so that marks can be made again when an exercise was
corrected.
"""

from __future__ import annotations

import gc
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from workbook import __version__
from workbook.classroom.hand_ins import Step, Told
from workbook.classroom.marks import Corrections, ExerciseMark, Marked, Marking, Place
from workbook.classroom.notes import About, Note
from workbook.classroom.roll import ClassList
from workbook.errors import FormError
from workbook.exercises import EXERCISES
from workbook.exercises.declaration import Exercise
from workbook.exercises.seeds import plain
from workbook.exercises.sets import BEFORE_SETS, SETS, counts
from workbook.exercises.wording import answer_text
from workbook.files import read_json
from workbook.reader.record_lines import line_text

FORMAT = 1
MARKS = "marks.jsonl"
TOLD = "told"  # kind of a line with what a student told besides answers


@dataclass(frozen=True, kw_only=True)
class KeptAnswer:
    """One typed answer as it was marked, with the numbers it was typed to.

    ``names`` are what was decided: an outcome, and a unit that was wrong as well. A
    ``held`` one was asked back and not marked.
    """

    code: str
    exercise: Exercise
    numbers: Mapping[str, float]
    typed: str
    right: str
    names: tuple[str, ...]
    held: bool
    set: str
    attempt: int
    score: float
    tries: int
    hints: int
    seconds: float | None
    time: str
    file: str

    @property
    def counts(self) -> bool:
        """Whether it can make a mark."""
        return counts(self.set, self.attempt)


@dataclass(frozen=True, kw_only=True)
class Kept:
    """What an earlier marking left in ``marks.jsonl``."""

    class_key: str = ""
    made_with: str = ""
    corrections: tuple[str, ...] = ()
    steps: Mapping[str, Sequence[Sequence[Step]]] = field(default_factory=dict)
    marks: Mapping[Place, ExerciseMark] = field(default_factory=dict)
    answers: Sequence[KeptAnswer] = ()
    notes: tuple[Note, ...] = ()
    counted: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    told: Mapping[str, Sequence[Told]] = field(default_factory=dict)


def marks_file(
    class_list: ClassList,
    steps: Iterable[str],
    marks: Iterable[ExerciseMark],
    *,
    corrections: Corrections,
    notes: Sequence[Note],
    counted: Mapping[str, Sequence[str]],
    told: Mapping[str, Sequence[Told]],
) -> bytes:
    """Return every try, mark and note, one JSON object a line, the heading first.

    Parameters
    ----------
    class_list : ClassList
        The students.
    steps : iterable of str
        Lines as `step_lines` returns them.
    marks : iterable of ExerciseMark
        The checker's, then those set by hand.
    corrections : Corrections
        What was marked otherwise.
    notes : sequence of Note
        What the instructor should know.
    counted : mapping of str to sequence of str
        By lesson, the exercises that make its mark.
    told : mapping of str to sequence of Told
        What each student told besides, by code as `plain` makes it.
    """
    heading = {
        "kind": "marking",
        "format": FORMAT,
        "made_with": __version__,
        "class_key": class_list.key,
        "corrections": corrections.named,
        "counted": counted,
    }
    said = ({"kind": "note", **note._asdict()} for note in notes)
    lines = [
        line_text(heading),
        *steps,
        *map(line_text, map(_mark_line, marks)),
        *map(line_text, said),
        *(
            line_text({"kind": TOLD, "code": code, "what": asdict(one)})
            for code, own in told.items()
            for one in own
        ),
    ]
    return ("\n".join(lines) + "\n").encode()


def step_lines(marking: Marking) -> list[str]:
    """Return the steps of one student as lines of the marks file."""
    return [
        line_text(_step_line(marking.code, number, one))
        for number, record in enumerate(marking.records)
        for one in record
    ]


def _step_line(code: str, record: int, one: Marked) -> dict[str, Any]:
    step, outcome = one.step, one.outcome
    line: dict[str, Any] = {
        "kind": step.kind, "code": code, "exercise": step.exercise,
        "version": step.version, "set": step.set, "attempt": step.attempt,
        "time": step.time, "file": step.file, "record": record, "pair": step.pair,
    }  # fmt: skip
    if outcome is None:
        return line | {"number": step.number, "choice": step.choice}
    return line | {
        "typed": step.typed,
        "seconds": step.seconds,
        "numbers": dict(one.variant.numbers),
        "carried": one.carried,
        "value": outcome.value,
        "unit": outcome.unit,
        "outcome": outcome.name,
        "score": outcome.score,
        "held": outcome.held,
        "try": one.tries,
        "hints": one.hints,
        "unit_problem": outcome.unit_problem,
        "right": answer_text(one.variant),
    }


def _mark_line(mark: ExerciseMark) -> dict[str, Any]:
    return {
        "kind": "mark", "code": mark.code, "exercise": mark.exercise,
        "score": mark.score, "outcome": mark.outcome, "why": mark.why,
        "by": "hand" if mark.by_hand else "checker", "held": mark.held,
    }  # fmt: skip


def read_kept(path: Path, class_list: ClassList) -> Kept:
    """Read ``marks.jsonl`` of an earlier marking; nothing where there is none.

    Raises
    ------
    FormError
        If it is not what was written, or of another class.
    """
    if not path.exists():
        return Kept()
    try:
        with all_stays():
            raw = path.read_bytes().splitlines()
            lines = (read_json(line.decode()) for line in raw)
            kept = _kept(next(lines, {}), lines)
    except (
        ValueError,
        LookupError,
        TypeError,
        ArithmeticError,
        AttributeError,
    ):
        raise FormError("marks.not_ours", file=path.name) from None
    if plain(kept.class_key) != plain(class_list.key):
        raise FormError("marks.other_class", file=path.name)
    return kept


@contextmanager
def all_stays() -> Iterator[None]:
    """Let nothing be looked for to be thrown away: a third of the time to read much."""
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            gc.enable()


def _kept(heading: Mapping[str, Any], lines: Iterable[Mapping[str, Any]]) -> Kept:
    if heading["kind"] != "marking" or heading["format"] != FORMAT:
        raise ValueError
    # Before files were marked each alone, all of a student's were one record.
    records: dict[str, dict[int, list[Step]]] = defaultdict(lambda: defaultdict(list))
    marks: dict[Place, ExerciseMark] = {}
    answers: list[KeptAnswer] = []
    notes: list[Note] = []
    told: dict[str, list[Told]] = defaultdict(list)
    for line in lines:
        if line["kind"] == "answer":
            answers.append(_answer_of(line))
        if line["kind"] == "mark":
            mark = _mark_of(line)
            marks[mark.code, mark.exercise] = mark
        elif line["kind"] == "note":
            notes.append(_note_of(line))
        elif line["kind"] == TOLD:
            what = {str(k): str(v) for k, v in line["what"].items()}
            told[str(line["code"])].append(Told(**what))
        else:
            own = records[plain(line["code"])]
            own[int(line.get("record", 0))].append(_step_of(line))
    return Kept(
        class_key=str(heading["class_key"]),
        made_with=str(heading["made_with"]),
        corrections=tuple(map(str, heading["corrections"])),
        steps={code: [*own.values()] for code, own in records.items()},
        marks=marks,
        answers=answers,
        notes=tuple(notes),
        told=told,
        counted={
            str(lesson): tuple(map(str, ids))
            for lesson, ids in heading.get("counted", {}).items()
        },
    )


def _note_of(line: Mapping[str, Any]) -> Note:
    """Return a note; of one from before they said what they are about, the text."""
    about = About(line.get("about", About.OLDER))
    code, file = str(line.get("code", "")), str(line.get("file", ""))
    return Note(about, str(line["text"]), code, file)


def _mark_of(line: Mapping[str, Any]) -> ExerciseMark:
    return ExerciseMark(
        code=str(line["code"]),
        exercise=str(line["exercise"]),
        score=_score(line["score"]),
        outcome=str(line["outcome"]),
        why=str(line["why"]),
        by_hand=line["by"] == "hand",
        held=line.get("held") is True,
    )


def _score(value: Any) -> float:
    score = float(value)
    if not 0 <= score <= 1:
        raise ValueError
    return score


def _answer_of(line: Mapping[str, Any]) -> KeptAnswer:
    names = (line["outcome"], line["unit_problem"])
    one = EXERCISES[line["exercise"], line["version"]]
    numbers = {str(n): float(x) for n, x in line["numbers"].items()}
    if numbers.keys() != _names_of(one.id, one.version):
        raise ValueError
    return KeptAnswer(
        code=str(line["code"]),
        exercise=one,
        numbers=numbers,
        typed=str(line["typed"]),
        right=str(line["right"]),
        names=tuple(str(name) for name in names if name),
        held=line["held"] is True,
        set=str(line.get("set", BEFORE_SETS)),
        attempt=int(line["attempt"]),
        score=_score(line["score"]),
        tries=int(line["try"]),
        hints=int(line["hints"]),
        seconds=_seconds(line),
        time=str(line["time"]),
        file=str(line["file"]),
    )


@cache
def _names_of(id: str, version: int) -> frozenset[str]:
    """Return the names of an exercise's numbers."""
    one = EXERCISES[id, version]
    return frozenset((*one.given, *one.derived))


def _seconds(line: Mapping[str, Any]) -> float | None:
    return None if line.get("seconds") is None else float(line["seconds"])


def _step_of(line: Mapping[str, Any]) -> Step:
    if (line["exercise"], line["version"]) not in EXERCISES:
        raise ValueError
    set = line.get("set", BEFORE_SETS)
    if set not in (BEFORE_SETS, *SETS):
        raise ValueError
    return Step(
        kind=str(line["kind"]),
        exercise=str(line["exercise"]),
        version=int(line["version"]),
        set=set,
        attempt=int(line["attempt"]),
        time=str(line["time"]),
        file=str(line["file"]),
        typed=str(line.get("typed", "")),
        number=int(line.get("number", 0)),
        choice=str(line.get("choice", "")),
        pair=str(line["pair"]),
        seconds=_seconds(line),
    )
