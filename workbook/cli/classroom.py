"""Commands for the class: the list, handouts, keys, marks, reports."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.cli.bench import UNITS, chosen_units
from workbook.cli.commands import argument, command, tell, told
from workbook.errors import FormError
from workbook.language import harmless

if TYPE_CHECKING:
    from workbook.classroom.marking import Result
    from workbook.classroom.roll import ClassList
    from workbook.course.session import Session


def _lesson_id(typed: str) -> str:
    from workbook.course import lesson_id

    return lesson_id(typed)


CLASS = argument("class_file", type=Path)
LESSON = argument("lesson", type=_lesson_id)
ONE_LESSON = argument("--lesson", type=_lesson_id, default="")
INTO = argument("-o", "--out", type=Path, required=True)
SESSION = argument("--session", type=Path)
PAPER = argument("--paper", choices=("A4", "Letter"), default="A4")
FONT = argument("--font", type=Path)
WORK = argument("--work", type=Path)
MARKING = (
    SESSION,
    argument("--key", type=Path, action="append", default=[]),
    argument("--mark-as", action="append", default=[]),
    argument("--column", action="append", default=[]),
)


@command(
    argument("names", type=Path),
    argument("-o", "--out", type=Path, default=Path("class.csv")),
    argument("--class-key", default=""),
    PAPER,
    FONT,
)
def class_(args: argparse.Namespace) -> int:
    """Make a class list, or add names to one."""
    from workbook.classroom.cut_out import write_slips
    from workbook.classroom.fonts import fonts_with
    from workbook.classroom.handouts import PAPERS
    from workbook.classroom.roll import made_class, read_class, read_names, write_class
    from workbook.course.session import session_beside

    font = args.font or session_beside(args.out.parent).font
    fonts_with(font)  # refuses what is none, before anything is written
    people = read_names(args.names)
    earlier = read_class(args.out) if args.out.exists() else None
    made = made_class(people, earlier=earlier, key=args.class_key)
    args.out.parent.mkdir(parents=True, exist_ok=True)
    write_class(args.out, made)
    new = len(made.students) - len(earlier.students if earlier else ())
    tell(told("class", "made", file=args.out, count=len(made.students), new=new))
    tell(told("class", "key", key=made.key))
    slips = write_slips(made, args.out, paper=PAPERS[args.paper], font=font)
    tell(told("class", "slips", file=slips))
    _tell_letters(made, font)
    return 0


@command(
    CLASS,
    ONE_LESSON,
    WORK,
    argument("--port", type=int, default=8000),
    argument("--address", default=""),
    argument("--memory", type=int, default=1024),
    argument("--warm", action="store_true"),
)
def serve(args: argparse.Namespace) -> int:
    """Run the class server."""
    from workbook.classroom.server.start import serve as run

    run(
        args.class_file,
        work=args.work,
        lesson=args.lesson,
        address=args.address,
        port=args.port,
        program_mb=args.memory,
        warm=args.warm,
        tell=tell,
    )
    return 0


@command(CLASS, argument("-o", "--out", type=Path), WORK)
def collect(args: argparse.Namespace) -> int:
    """Take in what was answered on the class server."""
    from workbook.classroom.server.collect import collect as run
    from workbook.classroom.server.seats import work_of

    out = args.out or args.class_file.with_name("hand-ins")
    made = run(args.class_file, work_of(args.class_file, args.work), out)
    for note in made.notes:
        tell(told("collect", "note", note=note), trouble=True)
    if made.idle:
        tell(told("collect", "idle", count=len(made.idle), who=made.idle))
    tell(told("collect", "made", folder=out, count=len(made.files)))
    return 0


@command(CLASS, LESSON, INTO, SESSION, PAPER, UNITS, FONT)
def handout(args: argparse.Namespace) -> int:
    """Print a lesson for a class."""
    from workbook.classroom.handouts import whole_class, write_handouts
    from workbook.classroom.roll import read_class

    listed, system = read_class(args.class_file), chosen_units(args)
    session = _session(args)
    made = write_handouts(
        listed,
        args.lesson,
        args.out,
        paper=args.paper,
        system=system,
        session=session,
    )
    whole = whole_class(args.lesson)
    tell(
        told("handout", "made",
             folder=args.out, count=len(made), lesson=args.lesson, whole=whole)
    )  # fmt: skip
    _tell_letters(listed, session.font)
    return 0


@command(CLASS, LESSON, INTO, SESSION, PAPER, UNITS, FONT)
def key(args: argparse.Namespace) -> int:
    """Write a lesson's key."""
    from workbook.classroom.handouts import write_key
    from workbook.classroom.roll import read_class

    listed, font = read_class(args.class_file), _session(args).font
    made = write_key(
        listed,
        args.lesson,
        args.out,
        paper=args.paper,
        system=chosen_units(args),
        font=font,
    )
    tell(told("key", "made", folder=args.out, files=[path.name for path in made]))
    _tell_letters(listed, font)
    return 0


@command(CLASS, LESSON, INTO, argument("--ask", action="store_true"))
def grid(args: argparse.Namespace) -> int:
    """Write a grid to type answers from paper in, or ask for them."""
    from workbook.classroom.grid import ask_all, write_grid
    from workbook.classroom.roll import read_class

    listed = read_class(args.class_file)
    made = write_grid(args.out, listed, args.lesson)
    tell(told("grid", "made", file=args.out, count=len(listed.students)))
    if args.ask:
        with suppress(EOFError):
            ask_all(args.out, made, listed, args.lesson, ask=_ask, tell=tell)
    return 0


def _ask(question: str) -> str:
    return input(harmless(question))


@command(CLASS, argument("grids", type=Path, nargs="+"), INTO)
def typed(args: argparse.Namespace) -> int:
    """Make hand-ins of grids that were typed from paper."""
    from workbook.classroom.grid import typed_in
    from workbook.classroom.roll import read_class

    made, notes = typed_in(read_class(args.class_file), args.grids, args.out)
    for note in notes:
        tell(told("typed", "note", note=note), trouble=True)
    tell(told("typed", "made", folder=args.out, count=len(made)))
    return 0


@command(CLASS, argument("folder", type=Path), INTO, *MARKING)
def mark(args: argparse.Namespace) -> int:
    """Mark a folder of hand-ins."""
    from workbook.classroom.marking import corrections_from, mark_folder
    from workbook.classroom.notes import in_short
    from workbook.classroom.roll import read_class

    listed, session = read_class(args.class_file), _session(args)
    result = mark_folder(
        listed,
        args.folder,
        args.out,
        corrections=corrections_from(
            listed, keys=args.key, mark_as=args.mark_as, session=session
        ),
        titles=_titles(args),
        session=session,
    )
    for note in in_short(result.notes, listed):
        tell(told("mark", "note", note=note), trouble=True)
    _tell_marks(args.out, result, listed)
    return 0


@command(CLASS, argument("folder", type=Path), INTO, SESSION)
def bay(args: argparse.Namespace) -> int:
    """Mark a folder of practice-bay logs."""
    from workbook.classroom.bays import mark_jobs
    from workbook.classroom.roll import read_class
    from workbook.language import say

    listed, school = read_class(args.class_file), _session(args).school
    made = mark_jobs(listed, args.folder, args.out, school=school)
    for note in made.notes:
        tell(told("bay", "note", note=note), trouble=True)
    for one in made.jobs:
        passed = say("bay", "marks", "passed" if one.marks.passed else "not_passed")
        total, code = one.marks.total, one.student.code
        tell(told("bay", "mark", code=code, total=total, passed=passed))
    tell(told("bay", "made", folder=args.out, count=len(made.jobs)))
    return 0


@command(
    CLASS,
    INTO,
    argument("--margin", type=float),
    argument("--zone-deg", type=float),
    SESSION,
    PAPER,
    UNITS,
    FONT,
)
def bay_paper(args: argparse.Namespace) -> int:
    """Print the practice bay for a class."""
    from workbook.classroom.bay_paper import write_bay_papers
    from workbook.classroom.handouts import PAPERS
    from workbook.classroom.roll import read_class

    listed, session = read_class(args.class_file), _session(args)
    school = session.school
    made = write_bay_papers(
        listed,
        args.out,
        margin=_as_the_school(args.margin, "margin", school),
        zone_deg=_as_the_school(args.zone_deg, "zone_deg", school),
        paper=PAPERS[args.paper],
        system=chosen_units(args),
        own_rules=session.own_rules,
        font=session.font,
    )
    tell(told("bay-paper", "made", folder=args.out, count=len(made)))
    _tell_letters(listed, session.font)
    return 0


@command(CLASS, argument("out", type=Path), *MARKING)
def remark(args: argparse.Namespace) -> int:
    """Mark again what an earlier marking kept."""
    from workbook.classroom.marking import corrections_from, mark_again
    from workbook.classroom.roll import read_class

    listed, session = read_class(args.class_file), _session(args)
    result = mark_again(
        listed,
        args.out,
        corrections=corrections_from(
            listed, keys=args.key, mark_as=args.mark_as, session=session
        ),
        titles=_titles(args),
        session=session,
    )
    _tell_marks(args.out, result, listed)
    return 0


@command(
    CLASS,
    argument("marks", type=Path),
    ONE_LESSON,
    argument("--votes", type=Path),
)
def report(args: argparse.Namespace) -> int:
    """List a class's mistakes by name."""
    from workbook.classroom.opener import OPENER
    from workbook.classroom.report import write_report
    from workbook.classroom.roll import read_class
    from workbook.classroom.voted import votes_of

    listed = read_class(args.class_file)
    votes = votes_of(
        listed.key,
        beside=args.class_file.parent,
        file=args.votes,
        lesson=args.lesson,
    )
    written, mistakes = write_report(
        listed, args.marks, lesson=args.lesson, votes=votes
    )
    tell(told("report", "made", files=written, count=len(mistakes)))
    for one in mistakes[:OPENER]:
        students = told("report", "students", count=one.students)
        times = told("report", "times", count=one.answers)
        tell(told("report", "mistake", name=one.name, students=students, times=times))
    return 0


@command(
    CLASS,
    argument("marks", type=Path),
    INTO,
    ONE_LESSON,
    SESSION,
    PAPER,
    FONT,
)
def give_back(args: argparse.Namespace) -> int:
    """Print a sheet for each student to get back."""
    from workbook.classroom.give_back import write_sheets
    from workbook.classroom.handouts import PAPERS
    from workbook.classroom.roll import read_class

    made = write_sheets(
        read_class(args.class_file),
        args.marks,
        args.out,
        paper=PAPERS[args.paper],
        lesson=args.lesson,
        session=_session(args),
    )
    tell(told("give-back", "made", folder=args.out, count=len(made) - 1))
    return 0


@command(CLASS, argument("marks", type=Path, nargs="+"), INTO, SESSION)
def term(args: argparse.Namespace) -> int:
    """Show every student's term, the safety lesson first."""
    from workbook.classroom.roll import read_class
    from workbook.classroom.term import term_of, write_term

    session = _session(args)
    found = term_of(read_class(args.class_file), args.marks, session=session)
    file = write_term(args.out, found, session=session)
    through = sum(one.gates.through for one in found)
    tell(told("term", "made", file=file, count=len(found), through=through))
    return 0


@command(LESSON, INTO, argument("--variants", type=int, default=4))
def qti(args: argparse.Namespace) -> int:
    """Pack a lesson's numeric questions for a learning platform."""
    from workbook.classroom.qti import MOST_VARIANTS, write_package
    from workbook.course import lesson

    if not 1 <= args.variants <= MOST_VARIANTS:
        raise FormError("marks.variants", most=MOST_VARIANTS)
    id = lesson(args.lesson).id
    file, items, left = write_package(id, args.out, count=args.variants)
    tell(told("qti", "made", file=file, count=items))
    if left:
        tell(told("qti", "left", ids=left))
    return 0


def _session(args: argparse.Namespace) -> Session:
    """Return the session plan named, or else that beside the class list.

    A font that was named goes before the plan's.
    """
    from workbook.course.session import read_session, session_beside

    if args.session is not None:
        found = read_session(args.session)
    else:
        found = session_beside(args.class_file.parent)
    font = getattr(args, "font", None)
    return replace(found, font=font) if font else found


def _tell_letters(listed: ClassList, font: Path | None) -> None:
    """Say which names have letters that no font at hand has."""
    from workbook.classroom.fonts import notes_on_names

    for note in notes_on_names([student.name for student in listed.students], font):
        tell(told("class", "note", note=note), trouble=True)


def _as_the_school(
    typed: float | None, name: str, school: Mapping[str, float]
) -> float:
    """Return what was typed, or else what the session plan says."""
    if typed is not None:
        return typed
    if name not in school:
        raise FormError("session.not_set", option=name.replace("_", "-"), name=name)
    return school[name]


def _titles(args: argparse.Namespace) -> dict[str, str]:
    """Return gradebook columns by lesson."""
    pairs = [text.partition("=") for text in args.column]
    for lesson, _, title in pairs:
        if not title:
            raise FormError("marks.column", typed=lesson)
    return {_lesson_id(lesson): title for lesson, _, title in pairs}


def _tell_marks(out: Path, result: Result, listed: ClassList) -> None:
    """Print what a marking came to, who has no marks, and each mark that changed."""
    from workbook.classroom.notes import some
    from workbook.classroom.roll import who
    from workbook.exercises.seeds import plain
    from workbook.language import shown

    counts = {
        "students": result.students,
        "answers": result.answers,
        "notes": len(result.notes),
        "by_hand": result.by_hand,
        **({"jobs": result.jobs} if result.jobs else {}),
        **({"late": result.late} if result.late else {}),
    }
    said = [told("mark", name, count=count) for name, count in counts.items()]
    tell(told("mark", "made", folder=out, counts=said))
    without = [who(one) for one in listed.students if one.code in result.without]
    if without:
        tell(told("mark", "without", count=len(without), names=some(without)))
    for change in result.changes:
        student = listed.by_code.get(plain(change.code))
        old, new = (
            told("mark", "none") if score is None else f"{100 * score:.4g}"
            for score in (change.old, change.new)
        )
        tell(
            told("mark", "changed",
                 who=who(student) if student else change.code,
                 exercise=change.exercise, old=old, new=new, why=shown(change.why))
        )  # fmt: skip
