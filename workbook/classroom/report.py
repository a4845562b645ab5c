"""The report on a class: mistakes by name, who is how far, what tomorrow begins with.

Answers from files whose lines may not be as they were written are left out.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from workbook.classroom.bays import bay_lines
from workbook.classroom.files import csv_bytes, per_cent, write_all
from workbook.classroom.gates import Gates, gates_of
from workbook.classroom.kept import MARKS, Kept, all_stays, read_kept
from workbook.classroom.mistakes import MistakeCount, mistakes_in
from workbook.classroom.notes import FLAGS, About
from workbook.classroom.opener import OPENER, opener_page
from workbook.classroom.progress import (
    Done,
    ExerciseDone,
    Predicted,
    by_exercise,
    done_by,
    predicted,
)
from workbook.classroom.roll import ClassList, who
from workbook.classroom.voted import Vote, vote_told
from workbook.course.lesson import SAFETY_GATE
from workbook.errors import FormError
from workbook.exercises import exercise
from workbook.exercises.seeds import plain
from workbook.figures.drawing.marks import Drawing, Label, Mark, Panel, Sheet
from workbook.figures.drawing.scales import bar
from workbook.figures.drawing.svg import standalone
from workbook.language import caution, say, shown, text

BAY_LESSON = "L17"
WIDTH = 76  # characters of a line of the report
RESULTS = ("right", "wrong", "held")
COLUMNS = (
    "name", "code", "exercise", "result", "at", "tries", "hints", "seconds", "mark",
    "names",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class ClassReport:
    """All that is told of a class.

    ``flagged`` are files that were left out, each with its student's code, ``unread``
    those that could not be read, and ``others_work`` those with somebody else's work in
    them, each with the code in its name. ``bays`` are the marks of the practice bay, a
    line for each student's code, ``votes`` what hands went up for.
    """

    class_list: ClassList
    mistakes: Sequence[MistakeCount]
    done: Sequence[Done]
    predictions: Sequence[Predicted]
    gates: Mapping[str, Gates]
    handed_in: frozenset[str]
    flagged: Mapping[str, str]
    unread: Mapping[str, str] = field(default_factory=dict)
    others_work: Mapping[str, str] = field(default_factory=dict)
    bays: Mapping[str, str] = field(default_factory=dict)
    votes: Sequence[Vote] = ()

    def name(self, code: str) -> str:
        """Return a student's name as it can be printed."""
        student = self.class_list.by_code.get(plain(code))
        return shown(student.name) if student else code

    def names(self, codes: Iterable[str]) -> list[str]:
        """Return names with codes, as two may be alike, in the order of the list."""
        wanted = {plain(code) for code in codes}
        everybody = self.class_list.students
        return [who(s) for s in everybody if plain(s.code) in wanted]


def report_of(
    class_list: ClassList,
    kept: Kept,
    *,
    lesson: str = "",
    bays: Mapping[str, str] | None = None,
    votes: Sequence[Vote] = (),
) -> ClassReport:
    """Return what is told of a class, of one lesson or of all."""
    flagged = {note.file: note.code for note in kept.notes if note.about in FLAGS}
    answers = [
        answer
        for answer in kept.answers
        if lesson in {"", answer.exercise.lesson} and answer.file not in flagged
    ]
    told = {
        code: [one for one in own if one.file not in flagged]
        for code, own in kept.told.items()
    }
    done = done_by(answers)
    return ClassReport(
        class_list=class_list,
        mistakes=mistakes_in(answers),
        done=done,
        predictions=[
            one for one in predicted(told, done) if lesson in {"", one.lesson}
        ],
        gates=gates_of(class_list, kept) if lesson in {"", _gate_lesson()} else {},
        handed_in=frozenset({*kept.steps, *kept.told}),
        flagged=flagged,
        unread=_files(kept, About.UNREAD),
        others_work=_files(kept, About.NAMED),
        bays=bays or {},
        votes=votes,
    )


def _files(kept: Kept, about: About) -> dict[str, str]:
    """Return the files that notes are about, each with the student they are under."""
    return {n.file: n.code for n in kept.notes if n.about is about and n.code}


def _gate_lesson() -> str:
    return exercise(SAFETY_GATE[0]).lesson


@all_stays()
def write_report(
    class_list: ClassList, out: Path, *, lesson: str = "", votes: Sequence[Vote] = ()
) -> tuple[list[Path], Sequence[MistakeCount]]:
    """Write the report of what a marking kept: as text, table, picture, and opener.

    Parameters
    ----------
    class_list : ClassList
        The students.
    out : Path
        Where the marks are, and the report goes.
    lesson : str
        Only this lesson's exercises; by default all.
    votes : sequence of Vote
        What the class voted by raised hands.

    Returns
    -------
    list of Path, sequence of MistakeCount
        The files, and the mistakes in their order.

    Raises
    ------
    FormError
        If there are no answers.
    """
    kept = read_kept(out / MARKS, class_list)
    bays = bay_lines(out, class_list) if lesson in {"", BAY_LESSON} else {}
    answered = any(lesson in {"", one.exercise.lesson} for one in kept.answers)
    if not answered and not bays:
        reason = "marks.no_answers_to" if lesson else "marks.no_answers"
        raise FormError(reason, folder=shown(str(out)), lesson=shown(lesson))
    report = report_of(class_list, kept, lesson=lesson, bays=bays, votes=votes)
    known = [one for one in report.mistakes if one.refutation]
    files = {
        _named("report", lesson, "txt"): report_text(report).encode(),
        _named("report", lesson, "csv"): csv_bytes(_table(report)),
        _named("report", lesson, "svg"): standalone(
            chart(report.mistakes, len(report.handed_in))
        ).encode(),
        _named("opener", lesson, "html"): opener_page(
            known[:OPENER], lesson=lesson, votes=[one for one in votes if one.unsettled]
        ).encode(),
    }
    return write_all(out, files), report.mistakes


def _named(name: str, lesson: str, kind: str) -> str:
    return f"{f'{name} {lesson}'.strip()}.{kind}"


# --------------------------------------------------------------------------- table


def _table(report: ClassReport) -> Iterator[Sequence[object]]:
    """Yield a line for each student's exercise."""
    yield [text("classroom", "report", "columns", name) for name in COLUMNS]
    names = {one.code: report.name(one.code) for one in report.done}
    results = {result: _say(f"result_{result}") for result in RESULTS}
    for one in report.done:
        yield (
            names[one.code],
            one.code,
            one.exercise,
            results[one.result],
            one.at or "",
            one.tries,
            one.hints,
            "" if one.seconds is None else round(one.seconds),
            "" if one.result == "held" else per_cent(one.score),
            ", ".join(one.names),
        )


# ---------------------------------------------------------------------------- text


def report_text(report: ClassReport) -> str:
    """Return the report as text: tomorrow's opener first, names behind what is said."""
    lines = [
        _say(
            "handed_in",
            count=len(report.class_list.students),
            students=len(report.handed_in),
        ),
        *_not_handed_in(report),
        *_left_out(report),
        "",
        *_mistakes(report),
        *_section("exercises", _exercises(report)),
        *_section("predictions", _predictions(report)),
        *_votes(report),
        *_section("gates", _gates(report)),
        *_section(
            "bays", (part for line in report.bays.values() for part in _wrapped(line))
        ),
        *textwrap.wrap(caution("S0"), WIDTH),
        "",
    ]
    return "\n".join(lines)


def _votes(report: ClassReport) -> list[str]:
    lines: list[str] = []
    for vote in report.votes:
        first, *more = vote_told(vote)
        lines += _wrapped(first)
        lines += [line for sentence in more for line in _wrapped(sentence, "   ")]
    return [say("classroom", "voted", "heading"), "", *lines, ""] if lines else []


def _section(heading: str, lines: Iterable[str]) -> list[str]:
    told = [*lines]
    return [_say(heading), "", *told, ""] if told else []


def _wrapped(line: str, indent: str = "") -> list[str]:
    return textwrap.wrap(
        line, WIDTH, initial_indent=indent, subsequent_indent=indent + "   "
    )


def _not_handed_in(report: ClassReport) -> Iterator[str]:
    """Yield who has no answers here, and what came of them otherwise."""
    came = {*report.handed_in}
    for entry, files in (
        ("unread", report.unread),
        ("others_work", report.others_work),
    ):
        own = {file: code for file, code in files.items() if plain(code) not in came}
        if own:
            yield from _wrapped(_say(entry, files=_files_of(own, report)))
    in_the_bay = {*map(plain, report.bays)} - came
    if in_the_bay:
        yield from _wrapped(_say("bay_only", names=report.names(in_the_bay)))
    sent = [*report.unread.values(), *report.others_work.values()]
    came |= in_the_bay | {*map(plain, sent)}
    everybody = [student.code for student in report.class_list.students]
    missing = [code for code in everybody if plain(code) not in came]
    if missing:
        yield from _wrapped(_say("missing", names=report.names(missing)))


def _files_of(files: Mapping[str, str], report: ClassReport) -> list[str]:
    return [
        say("classroom", "notes", "file_of", file=file, who=report.name(code))
        for file, code in files.items()
    ]


def _left_out(report: ClassReport) -> list[str]:
    if not report.flagged:
        return []
    files = _files_of(report.flagged, report)
    return _wrapped(_say("left_out", count=len(files), files=files))


def _mistakes(report: ClassReport) -> list[str]:
    mistakes = report.mistakes
    known = [mistake for mistake in mistakes if mistake.refutation]
    rest = {
        "not_recognised": [m for m in mistakes if not m.refutation and not m.held],
        "held": [m for m in mistakes if m.held],
    }
    lines = [_say("opener"), ""]
    for number, mistake in enumerate(known[:OPENER], start=1):
        lines += [
            _say("numbered", number=number, heading=_heading(mistake)),
            *_told(mistake, report),
            "",
        ]
    if not known:
        lines += [_say("none_known"), ""]
    lines += [_say("all"), ""]
    for mistake in known[OPENER:]:
        lines += [_heading(mistake), *_told(mistake, report), ""]
    if len(known) <= OPENER:
        lines += [_say("those_above"), ""]
    for heading, found in rest.items():
        lines += [_say(heading), ""] if found else []
        for mistake in found:
            lines += [_heading(mistake), *_told(mistake, report), ""]
    return lines


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


def _told(mistake: MistakeCount, report: ClassReport) -> list[str]:
    """Return who shares it, the sample and the refutation, indented and wrapped."""
    sample = mistake.sample
    first = _say(
        "sample",
        exercise=sample.exercise.id,
        typed=sample.typed,
        numbers=sample.numbers,
        right=sample.right,
    )
    made_by = _say("who", names=report.names(mistake.codes))
    said = [made_by, first, " ".join(mistake.refutation)]
    return [
        line
        for part in filter(None, said)
        for line in textwrap.wrap(
            part, WIDTH, initial_indent="   ", subsequent_indent="   "
        )
    ]


def _exercises(report: ClassReport) -> Iterator[str]:
    for one in by_exercise(report.done):
        yield from _wrapped(_exercise(one))
        for entry, codes in (("wrong", one.wrong), ("asked_back", one.held)):
            if codes:
                yield from _wrapped(_say(entry, names=report.names(codes)), "   ")


def _exercise(one: ExerciseDone) -> str:
    tries = [
        _say("at", number=number, count=one.at[number]) for number in sorted(one.at)
    ]
    parts = [_say("right_at", tries=tries) if tries else _say("right_none")]
    if one.with_hints:
        parts.append(_say("with_hints", count=one.with_hints))
    if one.seconds is not None:
        parts.append(_say("seconds", seconds=f"{one.seconds:.0f}"))
    return _say("exercise", exercise=one.exercise, told=" ".join(parts))


def _predictions(report: ClassReport) -> Iterator[str]:
    for one in report.predictions:
        chose = sum(one.before.values())
        right = one.before.get("right", 0)
        about = {"lesson": one.lesson, "explorer": one.explorer}
        yield from _wrapped(
            _say("before", **about, right=right, all=chose, looked=one.looked)
        )
        wrong = [
            _say("times_named", name=name, count=count)
            for name, count in sorted(one.before.items(), key=lambda item: -item[1])
            if name != "right"
        ]
        if wrong:
            yield from _wrapped(_say("chose", names=wrong), "   ")
        if one.known:
            yield _say("passed_by", count=one.known)
        if any(answered for _, answered in one.after.values()):
            (good, of), (late, others) = one.after[True], one.after[False]
            yield from _wrapped(
                _say(
                    "after", exit=one.exit, good=good, of=of, late=late, others=others
                ),
                "   ",
            )


def _gates(report: ClassReport) -> Iterator[str]:
    gates = report.gates
    if not any(one.passed or one.opened or one.went for one in gates.values()):
        return
    parts: Sequence[tuple[str, Callable[[Gates], bool]]] = (
        ("through", lambda one: one.through),
        ("not_through", lambda one: not one.through),
        ("went", lambda one: bool(one.went)),
    )
    for entry, fits in parts:
        codes = [code for code, one in gates.items() if fits(one)]
        if codes:
            names = report.names(codes)
            yield from _wrapped(
                _say(entry, names=names, count=len(names), gate=SAFETY_GATE)
            )
    for code, one in gates.items():
        for lesson, reason in one.opened:
            yield from _wrapped(
                _say(
                    "opened",
                    name=report.name(code), lesson=shown(lesson), reason=shown(reason),
                )
            )  # fmt: skip


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
