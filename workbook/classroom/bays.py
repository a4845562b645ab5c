"""Jobs of the practice bay marked from their logs, for a whole class.

A log is in the student's hand-in or record, or typed from paper. It is looked at and
never run: its acts are done again here, and what it says besides is not used. Where it
was changed, the chain tells, or an act that cannot be done.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose
from typing import TYPE_CHECKING, Any, NamedTuple

from tqdm import tqdm

from workbook.bay.car import car_for
from workbook.bay.good_job import most_tension, worst_left
from workbook.bay.log import KIND, MOST_ACTS, BayJob, job_of, last_job
from workbook.bay.marks import BayMarks, ItemMark, marked_bay
from workbook.bay.paper import acts_of_paper, is_paper, read_paper
from workbook.bay.questions import GATE, STEPS
from workbook.bay.wording import fault_words, question_words, shown_answer
from workbook.classroom.chains import ChainRow, RecordChain, chain_of, notes_on
from workbook.classroom.files import csv_bytes, in_name, write_all
from workbook.classroom.hand_ins import MOST_LINES, paths_under, raw_of
from workbook.classroom.notes import About, Note, some
from workbook.errors import FormError, WorkbookError
from workbook.exercises.seeds import plain
from workbook.files import read_json
from workbook.language import caution, say, shown, text
from workbook.quantities.units import METRIC, factor
from workbook.reader.record_lines import line_text, read_line

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from workbook.classroom.roll import ClassList, Student

BAYS = "bay marks.jsonl"  # what a report reads
LONGEST_TYPED = 40  # characters of a typed answer in a report


@dataclass(frozen=True, kw_only=True, eq=False)
class MarkedJob:
    """One student's job with its marks, and the file that it was in.

    ``apart`` are the lines of that file, from the job's first on, that do not follow
    the one above in its chain.
    """

    student: Student
    file: str
    job: BayJob
    marks: BayMarks
    apart: tuple[int, ...] = ()


class _FoundJob(NamedTuple):
    """One student's last job in one file; ``number`` counts those begun."""

    file: str
    job: BayJob
    number: int = 1
    apart: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True)
class MarkedJobs:
    """The jobs of a class, what was written, and what there is to ask about."""

    jobs: tuple[MarkedJob, ...]
    notes: tuple[str, ...]
    files: tuple[Path, ...]


def mark_jobs(
    class_list: ClassList, folder: Path, out: Path, *, school: Mapping[str, float]
) -> MarkedJobs:
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
    school : mapping of str to float
        The ``margin`` and ``zone_deg`` that the school sets, where it does.

    Returns
    -------
    MarkedJobs

    Raises
    ------
    FormError
        If there is no folder or nothing in it, or a file is not to be touched.
    """
    jobs, notes = jobs_below(class_list, folder, school=school)
    written = write_all(out, job_files(jobs))
    return MarkedJobs(
        jobs=jobs, notes=tuple(note.text for note in notes), files=tuple(written)
    )


def jobs_below(
    class_list: ClassList,
    folder: Path,
    *,
    school: Mapping[str, float],
    among_others: bool = False,
) -> tuple[tuple[MarkedJob, ...], list[Note]]:
    """Return every student's job below a folder, marked, and what there is to ask.

    Parameters
    ----------
    class_list, folder
        As for `mark_jobs`.
    school : mapping of str to float
        The ``margin`` and ``zone_deg`` that the school sets, where it does.
    among_others : bool
        Whether the folder has hand-ins without a job too, which are no news, and
        whose chains somebody else looks at.
    """
    notes: list[Note] = []
    found: dict[str, _FoundJob] = {}
    paths = [path for path in paths_under(folder) if not path.name.startswith(".")]
    for path in tqdm(paths, unit="file", disable=None):
        name = shown(str(path.relative_to(folder)))
        read = _JobFile(class_list, name, notes, among_others)
        for code, new in read.jobs_of(path):
            earlier = found.get(code)
            kept, other = new, earlier
            if earlier and len(earlier.job.acts) >= len(new.job.acts):
                kept, other = earlier, new
            found[code] = kept
            if other:
                who = class_list.by_code[code].code
                said = _say("earlier", file=other.file, student=who, other=kept.file)
                notes.append(Note(About.SEVERAL, said, who, other.file))
    have = [s for s in class_list.students if plain(s.code) in found]
    jobs = []
    for student in tqdm(have, unit="job", disable=None):
        one = found[plain(student.code)]
        marks = marked_bay(one.job.bay)
        notes += _asked(one, student, school)
        jobs.append(
            MarkedJob(
                student=student,
                file=one.file,
                job=one.job,
                marks=marks,
                apart=one.apart,
            )
        )
    return tuple(jobs), notes


def _asked(
    one: _FoundJob, student: Student, school: Mapping[str, float]
) -> Iterator[Note]:
    """Yield what else there is to ask about a job."""
    who = say("classroom", "chain", "who", name=shown(student.name), code=student.code)
    if one.number > 1:
        said = _say("again", file=one.file, who=who, count=one.number)
        yield Note(About.BAY, said, student.code, one.file)
    rules = one.job.bay.rules
    if rules is None:
        return
    degree = factor("deg")
    own = {"margin": rules.margin, "zone_deg": rules.half_angle / degree}
    if any(not isclose(own[name], school[name]) for name in own if name in school):
        wanted = [
            _say("wanted_margin", value=school["margin"]) if "margin" in school else "",
            _say("wanted_zone", show=METRIC.show, value=school["zone_deg"] * degree)
            if "zone_deg" in school
            else "",
        ]
        said = _say(
            "rules", show=METRIC.show, file=one.file, who=who, margin=rules.margin,
            zone=rules.half_angle, wanted=[*filter(None, wanted)],
        )  # fmt: skip
        yield Note(About.BAY, said, student.code, one.file)


def job_files(jobs: Sequence[MarkedJob]) -> dict[str, bytes]:
    """Return the table of marks, what a report reads, and a report for each student."""
    return {
        "bay marks.csv": csv_bytes([*_table(jobs)]),
        BAYS: "".join(f"{line_text(_kept_line(one))}\n" for one in jobs).encode(),
        **{
            f"bay {in_name(one.student.code)}.txt": report_on(one).encode()
            for one in jobs
        },
    }


# ------------------------------------------------------------------------- one file


@dataclass(frozen=True)
class _JobFile:
    """One file that may have jobs in it, and where its notes go."""

    class_list: ClassList
    name: str
    notes: list[Note]
    among_others: bool

    def jobs_of(self, path: Path) -> Iterator[tuple[str, _FoundJob]]:
        """Yield the last job of every student of the class in the file."""
        try:
            raw = raw_of(path)
        except (OSError, FormError) as error:
            self._of_a_log(getattr(error, "strerror", None) or str(error))
            return
        text = raw.decode("utf-8-sig", "replace")
        if is_paper(text):
            yield from self._typed_from_paper(text)
        else:
            yield from self._logs(raw)

    def _logs(self, raw: bytes) -> Iterator[tuple[str, _FoundJob]]:
        key = plain(self.class_list.key)
        texts = [(n, one) for n, one in enumerate(raw.split(b"\n"), 1) if one.strip()]
        rows = [ChainRow(n, one, line) for n, one in texts if (line := read_line(one))]
        acts = [row for row in rows if row.line["kind"] == KIND]
        if not acts or len(rows) > MOST_LINES:
            self._of_a_log(str(FormError("bay.no_log")))
            return
        codes = dict.fromkeys(
            plain(str(row.line.get("student")))
            for row in acts
            if plain(str(row.line.get("class_key"))) == key
        )
        listed = [code for code in codes if code in self.class_list.by_code]
        if not listed and not self.among_others:
            self._note(About.LEFT_OUT, _say("nobody", file=self.name))
        for code in listed:
            own = [row for row in acts if plain(str(row.line.get("student"))) == code]
            number, job = last_job([row.line for row in own])
            first = min(row.number for row in own if row.line.get("job") == number)
            chain = chain_of(rows, student=code, class_key=key)
            if not self.among_others:
                self._of_the_chain(chain, code)
            apart = sorted({*chain.broken, *chain.again})
            yield (
                code,
                _FoundJob(
                    file=self.name,
                    job=self._done_again(job, code),
                    number=number,
                    apart=tuple(line for line in apart if line > first),
                ),
            )

    def _typed_from_paper(self, text: str) -> Iterator[tuple[str, _FoundJob]]:
        """Yield the job that was typed from a student's paper."""
        key = self.class_list.key
        try:
            paper = read_paper(text)
            student = self.class_list.by_code.get(plain(paper.code))
            if student is None:
                self._note(About.LEFT_OUT, _say("nobody", file=self.name))
                return
            acts = acts_of_paper(paper, car_for(class_key=key, student=student.code))
        except FormError as refusal:
            self._note(About.UNREAD, f"{self.name}: {shown(str(refusal))}")
            return
        code = plain(student.code)
        yield code, _FoundJob(file=self.name, job=self._done_again(acts, code))

    def _done_again(self, acts: Sequence[Any], code: str) -> BayJob:
        """Return the job that some acts come to, up to one that cannot be done."""
        student = self.class_list.by_code[code].code
        job = job_of(student=student, class_key=self.class_list.key)
        for act in acts[:MOST_ACTS]:
            try:
                job.do(act)
            except WorkbookError as refusal:
                number = len(job.acts) + 1
                said = shown(str(refusal))
                told = _say("changed", file=self.name, number=number, refusal=said)
                self._note(About.EDITED, told, student)
                break
        return job

    def _of_the_chain(self, chain: RecordChain, code: str) -> None:
        chain.cut = False  # a record is handed in as it lies, without an end of its own
        student = self.class_list.by_code[code]
        who = say(
            "classroom", "chain", "who", name=shown(student.name), code=student.code
        )
        told = notes_on(chain, file=self.name, who=who, code=student.code)
        self.notes.extend(told)

    def _of_a_log(self, reason: str) -> None:
        """Tell what is wrong with a file that should have a job in it."""
        if not self.among_others:
            self._note(About.UNREAD, f"{self.name}: {reason}")

    def _note(self, about: About, text: str, code: str = "") -> None:
        self.notes.append(Note(about, text, code, self.name))


# ------------------------------------------------------------------------- writing


def _table(jobs: Sequence[MarkedJob]) -> Iterator[list[object]]:
    name, code, *rest = text("bay", "marks", "columns")
    yield [name, code, *_COUNTED, GATE, *rest]
    for one in jobs:
        marks = one.marks
        yield [
            one.student.name,
            one.student.code,
            *(round(marks.points[step][0], 2) for step in _COUNTED),
            _say("clean" if marks.gate_open else "shut"),
            marks.total,
            _say("passed" if marks.passed else "not_passed"),
            len(marks.bay.faults),
            len(marks.bay.pulls),
        ]


def _kept_line(one: MarkedJob) -> dict[str, Any]:
    marks = one.marks
    return {
        "kind": "bay marks",
        "code": one.student.code,
        "points": {step: points for step, (points, _) in marks.points.items()},
        "gate": marks.gate_open,
        "total": marks.total,
        "passed": marks.passed,
        "faults": len(marks.bay.faults),
        "pulls": len(marks.bay.pulls),
        "apart": bool(one.apart),
    }


@dataclass(frozen=True, kw_only=True)
class KeptBay:
    """What an earlier marking kept of one student's job."""

    code: str
    points: Mapping[str, float]
    gate: bool
    total: float
    passed: bool
    apart: bool


def read_bays(folder: Path) -> list[KeptBay]:
    """Return what a marking kept of the jobs of a class; nothing where there are none.

    Raises
    ------
    FormError
        If it is not what was written.
    """
    path = folder / BAYS
    if not path.exists():
        return []
    try:
        lines = [read_json(line) for line in path.read_bytes().splitlines()]
        return [
            KeptBay(
                code=str(line["code"]),
                points={step: float(line["points"][step]) for step in _COUNTED},
                gate=line["gate"] is True,
                total=float(line["total"]),
                passed=line["passed"] is True,
                apart=line["apart"] is True,
            )
            for line in lines
        ]
    except (ValueError, LookupError, TypeError):
        raise FormError("marks.not_ours", file=path.name) from None


def bay_lines(folder: Path, class_list: ClassList) -> dict[str, str]:
    """Return the marks of a class in the practice bay, by student code.

    Parameters
    ----------
    folder : Path
        Where an earlier marking left them.
    class_list : ClassList
    """
    lines = {}
    for one in read_bays(folder):
        student = class_list.by_code.get(plain(one.code))
        steps = [
            _say("of_step", step=step, points=_half(one.points[step]))
            for step in _COUNTED
        ]
        gate = _say("clean" if one.gate else "shut")
        result = _say("passed" if one.passed else "not_passed")
        name = shown(student.name) if student else ""
        said = _say(
            "of_class", name=name, code=shown(one.code), steps=steps, gate=gate,
            total=one.total, passed=result,
        )  # fmt: skip
        lines[one.code] = f"{said} {_say('look')}" if one.apart else said
    return lines


_COUNTED = tuple(step for step in STEPS if step != GATE)


def report_on(one: MarkedJob) -> str:
    """Return one student's marks as text, with what a good job has beside them."""
    marks, student = one.marks, one.student
    lines = [_say("title", name=student.name, code=student.code), ""]
    if one.apart:
        where = {"lines": some(one.apart), "count": len(one.apart)}
        lines += [_say("apart", file=one.file, **where), ""]
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
