"""Jobs of the practice bay marked from their logs, for a whole class.

A log is the student's own file. It is looked at and never run: its acts are done again
here, and what it says besides is not used. Where it was changed, the chain tells, or
an act that cannot be done.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tqdm import tqdm

from workbook.bay.car import car_for
from workbook.bay.good_job import most_tension, worst_left
from workbook.bay.log import KIND, MOST_ACTS, BayJob, job_of, last_job
from workbook.bay.marks import BayMarks, ItemMark, marked_bay
from workbook.bay.paper import acts_of_paper, read_paper
from workbook.bay.questions import GATE, STEPS
from workbook.bay.wording import fault_words, question_words, shown_answer
from workbook.classroom.chains import ChainRow, chain_of, notes_on
from workbook.classroom.files import csv_bytes, in_name, write_all
from workbook.classroom.hand_ins import MOST_LINES, paths_under, raw_of
from workbook.errors import FormError, WorkbookError
from workbook.exercises.seeds import plain
from workbook.language import caution, say, shown, text
from workbook.quantities.units import METRIC
from workbook.reader.record_lines import read_line

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from workbook.classroom.roll import ClassList, Student

PAPER = ".txt"  # what is typed from paper; any other file is a log
LONGEST_TYPED = 40  # characters of a typed answer in a report


@dataclass(frozen=True, kw_only=True, eq=False)
class MarkedJob:
    """One student's job with its marks, and the file that it was in."""

    student: Student
    file: str
    job: BayJob
    marks: BayMarks


@dataclass(frozen=True, kw_only=True)
class MarkedJobs:
    """The jobs of a class, what was written, and what there is to ask about."""

    jobs: tuple[MarkedJob, ...]
    notes: tuple[str, ...]
    files: tuple[Path, ...]


def mark_jobs(class_list: ClassList, folder: Path, out: Path) -> MarkedJobs:
    """Mark every log of jobs below a folder.

    Parameters
    ----------
    class_list : ClassList
        Whose they should be.
    folder : Path
        Where the logs are, under whatever names, and what was typed from paper,
        which ends with ``.txt``.
    out : Path
        Where the marks go: one table, and a report for each student.

    Returns
    -------
    MarkedJobs

    Raises
    ------
    FormError
        If there is no folder or nothing in it, or a file is not to be touched.
    """
    notes: list[str] = []
    found: dict[str, tuple[str, BayJob]] = {}
    paths = [path for path in paths_under(folder) if not path.name.startswith(".")]
    for path in tqdm(paths, unit="file", disable=None):
        name = shown(str(path.relative_to(folder)))
        for code, job in _jobs_of(path, name, class_list, notes):
            earlier = found.get(code)
            kept, other = (name, job), earlier
            if earlier and len(earlier[1].acts) >= len(job.acts):
                kept, other = earlier, (name, job)
            found[code] = kept
            if other:
                who = class_list.by_code[code].code
                notes.append(_say("earlier", file=other[0], student=who, other=kept[0]))
    jobs = tuple(
        MarkedJob(
            student=class_list.by_code[code],
            file=file,
            job=job,
            marks=marked_bay(job.bay),
        )
        for code, (file, job) in tqdm(sorted(found.items()), unit="job", disable=None)
    )
    written = write_all(
        out,
        {
            "bay marks.csv": csv_bytes([*_table(jobs)]),
            **{
                f"bay {in_name(one.student.code)}.txt": report_on(one).encode()
                for one in jobs
            },
        },
    )
    return MarkedJobs(jobs=jobs, notes=tuple(notes), files=tuple(written))


# ------------------------------------------------------------------------- one file


def _jobs_of(
    path: Path, name: str, class_list: ClassList, notes: list[str]
) -> Iterator[tuple[str, BayJob]]:
    """Yield the last job of every student of the class in one file."""
    try:
        if path.suffix == PAPER:
            yield from _typed_from_paper(path, name, class_list, notes)
            return
        rows = _rows(path)
    except (OSError, FormError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        notes.append(f"{name}: {reason}")
        return
    codes = dict.fromkeys(
        plain(str(row.line.get("student")))
        for row in rows
        if row.line["kind"] == KIND
        and plain(str(row.line.get("class_key"))) == plain(class_list.key)
    )
    listed = [code for code in codes if code in class_list.by_code]
    if not listed:
        notes.append(_say("nobody", file=name))
    for code in listed:
        student = class_list.by_code[code]
        chain = chain_of(rows, student=code, class_key=class_list.key)
        chain.cut = False  # a log is handed in as it lies, without an end of its own
        who = say(
            "classroom", "chain", "who", name=shown(student.name), code=student.code
        )
        told = notes_on(chain, file=name, who=who, code=student.code)
        notes += [note.text for note in told]
        lines = [
            row.line
            for row in rows
            if row.line["kind"] == KIND and plain(str(row.line.get("student"))) == code
        ]
        _, acts = last_job(lines)
        yield code, _done_again(acts, student, class_list.key, name, notes)


def _typed_from_paper(
    path: Path, name: str, class_list: ClassList, notes: list[str]
) -> Iterator[tuple[str, BayJob]]:
    """Yield the job that was typed from a student's paper."""
    paper = read_paper(raw_of(path).decode("utf-8-sig", "replace"))
    student = class_list.by_code.get(plain(paper.code))
    if student is None:
        notes.append(_say("nobody", file=name))
        return
    acts = acts_of_paper(paper, car_for(class_key=class_list.key, student=student.code))
    yield plain(student.code), _done_again(acts, student, class_list.key, name, notes)


def _rows(path: Path) -> list[ChainRow]:
    raw = raw_of(path)
    texts = [(n, one) for n, one in enumerate(raw.split(b"\n"), 1) if one.strip()]
    rows = [ChainRow(n, one, line) for n, one in texts if (line := read_line(one))]
    if not any(row.line["kind"] == KIND for row in rows) or len(rows) > MOST_LINES:
        raise FormError("bay.no_log")
    return rows


def _done_again(
    acts: Sequence[Any], student: Student, key: str, file: str, notes: list[str]
) -> BayJob:
    """Return the job that some acts come to, up to one that cannot be done."""
    job = job_of(student=student.code, class_key=key)
    for act in acts[:MOST_ACTS]:
        try:
            job.do(act)
        except WorkbookError as refusal:
            number = len(job.acts) + 1
            said = shown(str(refusal))
            notes.append(_say("changed", file=file, number=number, refusal=said))
            break
    return job


# ------------------------------------------------------------------------- writing


def _table(jobs: Sequence[MarkedJob]) -> Iterator[list[object]]:
    name, code, *rest = text("bay", "marks", "columns")
    counted = [step for step in STEPS if step != GATE]
    yield [name, code, *counted, GATE, *rest]
    for one in jobs:
        marks = one.marks
        yield [
            one.student.name,
            one.student.code,
            *(round(marks.points[step][0], 2) for step in counted),
            _say("clean" if marks.gate_open else "shut"),
            marks.total,
            _say("passed" if marks.passed else "not_passed"),
            len(marks.bay.faults),
            len(marks.bay.pulls),
        ]


def report_on(one: MarkedJob) -> str:
    """Return one student's marks as text, with what a good job has beside them."""
    marks, student = one.marks, one.student
    lines = [_say("title", name=student.name, code=student.code), ""]
    for step in STEPS:
        title = text("bay", "step", step)
        if step == GATE:
            lines += _gate(marks, title)
            continue
        points, of = marks.points[step]
        lines.append(_say("step", step=step, title=title, points=_half(points), of=of))
        lines += [_item(marks, item) for item in marks.items if item.step == step]
    result = _say("passed" if marks.passed else "not_passed")
    lines += ["", _say("total", total=marks.total, passed=result), *_best(marks), ""]
    return "\n".join([*lines, say("bay", "invented"), caution("S0"), ""])


def _gate(marks: BayMarks, title: str) -> list[str]:
    if not marks.bay.faults:
        entry = "gate_clean" if marks.bay.pulls else "gate_no_pull"
        return [_say(entry, title=title)]
    head = _say("gate_shut", title=title, count=len(marks.bay.faults))
    return [
        head,
        *(_say("fault", act=f.act, fault=fault_words(f)) for f in marks.bay.faults),
    ]


def _item(marks: BayMarks, item: ItemMark) -> str:
    asked = question_words(marks.bay.car, item.item)
    said = [_say("item", item=asked, points=_half(item.points), of=item.of)]
    if item.typed:
        said.append(_say("typed", typed=shown(item.typed[:LONGEST_TYPED])))
    for entry in ("right", "good"):
        value = getattr(item, entry)
        if value is not None:
            words = shown_answer(item.step, item.item, value)
            said.append(_say(entry, **{entry: words}))
    return "; ".join(said)


def _half(points: float) -> float:
    return round(points, 2)


def _best(marks: BayMarks) -> Iterator[str]:
    """Yield what this job took and what a good one did."""
    if marks.best is None:
        yield _say("no_begin")
        return
    for entry, bay in (("own", marks.bay), ("best", marks.best.bay)):
        yield _say(
            entry,
            show=METRIC.show,
            count=len(bay.pulls),
            tension=most_tension(bay),
            left=worst_left(bay),
        )
    hooked = [act for act in marks.best.acts if act["act"] == "set_out"]
    for number, act in enumerate(hooked, start=1):
        tube = act.get("extension") or _say("no_extension")
        yield _say("set_out", **{**act, "number": number, "extension": tube})


def _say(entry: str, **values: Any) -> str:
    return say("bay", "marks", entry, **values)
