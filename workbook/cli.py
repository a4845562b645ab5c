"""The ``pullwright`` command: reads its arguments, calls, prints.

To add a command, write a function that takes the parsed arguments and returns
0 (done) or 1 (could not), and mark it with `command`: its name becomes the
command's, its docstring the help. Import inside it what it needs, so that the
other commands start fast.
"""

import argparse
import io
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from workbook import __version__
from workbook.errors import FormError, WorkbookError

if TYPE_CHECKING:
    from workbook.classroom.marking import Result
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

Command = Callable[[argparse.Namespace], int]
Argument = tuple[tuple[str, ...], dict[str, Any]]

COMMANDS: dict[str, tuple[Command, tuple[Argument, ...]]] = {}


def argument(*flags: str, **options: Any) -> Argument:
    """Describe one argument as `argparse.ArgumentParser.add_argument` takes it."""
    return flags, options


def command(*arguments: Argument) -> Callable[[Command], Command]:
    """Make a function a command of ``pullwright``."""

    def register(run: Command) -> Command:
        COMMANDS[run.__name__.strip("_").replace("_", "-")] = run, arguments
        return run

    return register


# How a result is shown, the same for every command that works something out.
OUTPUT = (
    argument("--json", action="store_true", help="SI values for other programs"),
    argument("--picture", type=Path, metavar="FILE", help=".png, .svg or .pdf"),
    argument("--dark", action="store_true", help="draw on dark paper"),
    argument("--units", choices=("kN-mm", "lbf-inch"), help="default: the one chosen"),
)
# What is measured, and what the fit rests on.
SURVEY = (
    argument("points", metavar="POINTS.csv", help="a file; - reads input; or kestrin"),
    argument("--spec", required=True, help="specified points: a file, or kestrin"),
    argument("--base", metavar="A,B,C,D", help="points that the fit rests on"),
    argument("--agree-mm", type=float, default=3.0, help="within which base points do"),
)


@command(
    argument("folder", nargs="?", type=Path, help="default: Pullwright in your home"),
    argument("--port", type=int, help="default: the next free one from 8888 on"),
    argument("--no-browser", dest="browser", action="store_false"),
)
def _open(args: argparse.Namespace) -> int:
    """Put the lessons in a folder of yours and open them in your browser."""
    from workbook.reader.opening import open_workbook

    open_workbook(args.folder, port=args.port, browser=args.browser)
    return 0


@command(argument("setup", metavar="SETUP.toml", help="a file; - reads input"), *OUTPUT)
def _pull(args: argparse.Namespace) -> int:
    """Say what one set-up does: direction, split, sag and load path."""
    from workbook.figures.pictures.pull import pull_sheet
    from workbook.reports.pull import pull_fields, pull_table
    from workbook.scenes.set_up_files import from_toml

    system = _system(args)
    with _naming(args.setup, system):
        solved = from_toml(_read(args.setup)).solved()
    _show(
        args,
        sheet=lambda: pull_sheet(solved, system=system),
        fields=lambda: pull_fields(solved),
        table=lambda: pull_table(solved, system=system),
    )
    return 0


@command(
    argument(
        "folder",
        nargs="?",
        type=Path,
        help="your lessons; default: this folder, else Pullwright in your home",
    ),
)
def _hand_in(args: argparse.Namespace) -> int:
    """Put all you answered into one file for your instructor."""
    from workbook.language import say
    from workbook.reader.hand_in import write_hand_in
    from workbook.reader.opening import default_folder
    from workbook.reader.record import FILE, Record

    here = args.folder or Path()
    if not args.folder and not (here / FILE).exists():
        here = default_folder()
    if not (here / FILE).is_file():
        print(f"pullwright: {say('hand_in', 'no_record', file=FILE, folder=here)}",
              file=sys.stderr)  # fmt: skip
        return 1
    written = write_hand_in(Record(here / FILE), folder=here)
    print(say("hand_in", "written", file=written))
    return 0


@command(
    argument("names", type=Path, help="a name a line, or CSV with a name column"),
    argument("-o", "--out", type=Path, default=Path("class.csv"), metavar="CLASS.csv",
             help="the list to make or to add to"),
    argument("--class-key", default="", help="the word given out in class"),
)  # fmt: skip
def _class(args: argparse.Namespace) -> int:
    """Make a class list with student codes, or add new names to one."""
    from workbook.classroom.roll import made_class, read_class, read_names, write_class

    people = read_names(args.names)
    earlier = read_class(args.out) if args.out.exists() else None
    made = made_class(people, earlier=earlier, key=args.class_key)
    write_class(args.out, made)
    new = len(made.students) - len(earlier.students if earlier else ())
    print(f"{args.out}: {len(made.students)} students, {new} of them new.")
    print(f"Class key: {made.key}. Keep the file; tell each student one code.")
    return 0


@command(
    *SURVEY,
    argument(
        "--box",
        action="append",
        default=[],
        metavar="LF,RF,LR,RR",
        help="four points whose diagonals are taken; may be given again",
    ),
    *OUTPUT,
)
def _survey(args: argparse.Namespace) -> int:
    """Lay measured points over specified ones: fit, differences, diagonals."""
    from workbook.figures.pictures.points import survey_sheet
    from workbook.reports.survey import survey_fields, survey_table

    survey = _surveyed(args)
    system = _system(args)
    _show(
        args,
        sheet=lambda: survey_sheet(survey, system=system),
        fields=lambda: survey_fields(survey),
        table=lambda: survey_table(survey, system=system),
    )
    return 0


@command(
    *SURVEY,
    argument("--kinds", metavar="KIND,KIND", help="default: all five"),
    argument("--planes-mm", metavar="HINGE,FRONT,WIDTH", help="kestrin has its own"),
    argument("--mash-side", choices=("both", "left", "right"), help="side mashed"),
    *OUTPUT,
)
def _damage(args: argparse.Namespace) -> int:
    """Read the differences of a survey as kinds of damage, with their errors."""
    from workbook.figures.pictures.wire_frame import damage_sheet
    from workbook.reports.damage import damage_fields, damage_table
    from workbook.scenes.surveys import planes

    survey = _surveyed(args)
    system = _system(args)
    frame = planes(
        survey.specification,
        planes_mm=_parts(args.planes_mm),
        mash_side=args.mash_side,
    )
    kinds = _parts(args.kinds)
    reading = survey.damage(frame=frame, **({"kinds": kinds} if kinds else {}))
    _show(
        args,
        sheet=lambda: damage_sheet(survey, reading, frame=frame, system=system),
        fields=lambda: damage_fields(survey, reading, frame=frame),
        table=lambda: damage_table(survey, reading, frame=frame, system=system),
    )
    return 0


@command(
    argument("setups", nargs="+", metavar="SETUP.toml", help="files; - reads input"),
    argument("--clamps", required=True, help="what holds the body: a file, or kestrin"),
    *OUTPUT,
)
def _bench(args: argparse.Namespace) -> int:
    """Say what several pulls do together, and what each clamp carries."""
    from workbook.figures.pictures.held_body import bench_sheet
    from workbook.reports.bench import bench_fields, bench_table
    from workbook.scenes.bench import solve_bench
    from workbook.scenes.holds import hold_from_toml
    from workbook.scenes.kestrin import NAME, kestrin_hold
    from workbook.scenes.set_up_files import from_toml

    system = _system(args)
    with _naming(args.clamps, system):
        is_known = args.clamps == NAME
        hold = kestrin_hold() if is_known else hold_from_toml(_read(args.clamps))
    setups = []
    for name in args.setups:
        with _naming(name, system):
            setup = from_toml(_read(name))
            setup.solved()
            setups.append(setup)
    with _naming(args.clamps, system):
        bench = solve_bench(setups, hold=hold)
    _show(
        args,
        sheet=lambda: bench_sheet(bench, system=system),
        fields=lambda: bench_fields(bench),
        table=lambda: bench_table(bench, system=system),
    )
    return 0


@command(
    argument("plan", metavar="PLAN.toml", help="a file; - reads input; or kestrin"),
    argument("--write", type=Path, metavar="SETUP.toml", help="keep the best there"),
    *OUTPUT,
)
def _plan(args: argparse.Namespace) -> int:
    """Rank every set-up that the bench and the shop allow for a wanted movement."""
    from workbook.figures.pictures.ranking import ranking_sheet
    from workbook.reports.plan import plan_fields, plan_table
    from workbook.scenes.kestrin import NAME, kestrin_plan
    from workbook.scenes.plan_files import plan_from_toml
    from workbook.scenes.planning import setup
    from workbook.scenes.set_up_files import to_toml

    system = _system(args)
    with _naming(args.plan, system):
        text = kestrin_plan() if args.plan == NAME else _read(args.plan)
        planned = plan_from_toml(text)
        best = to_toml(setup(planned.plan, title=planned.title)) if args.write else ""
    _show(
        args,
        sheet=lambda: ranking_sheet(planned.plan, system=system),
        fields=lambda: plan_fields(planned),
        table=lambda: plan_table(planned, system=system),
    )
    if args.write:
        args.write.write_text(best, "utf-8")
    return 0


def _surveyed(args: argparse.Namespace) -> "Survey":
    """Read the points and lay them over the specified ones."""
    from workbook.scenes.kestrin import NAME, kestrin_survey
    from workbook.scenes.points import parse_points, read_points
    from workbook.scenes.surveys import read_specification, solve_survey

    if args.points == NAME:
        measured = kestrin_survey()
    elif args.points == "-":
        measured = parse_points(_input_text(), name="standard input")
    else:
        measured = read_points(args.points)
    return solve_survey(
        measured,
        specification=read_specification(args.spec),
        base=_parts(args.base),
        boxes=[_parts(box) for box in getattr(args, "box", [])],
        agreement=args.agree_mm / 1000,
    )


def _input_text() -> str:
    """Return standard input as text."""
    try:
        return _read("-").decode("utf-8-sig")
    except UnicodeDecodeError as error:
        msg = "standard input is not text in UTF-8; save it as CSV in UTF-8"
        raise FormError(msg) from error


def _parts(text: str | None) -> tuple[str, ...]:
    """Return what stands between commas."""
    return tuple(part.strip() for part in text.split(",")) if text else ()


CLASS = argument("class_file", type=Path, metavar="CLASS.csv", help="the class list")
LESSON = argument("lesson", help="such as L07")
INTO = argument("-o", "--out", type=Path, required=True, metavar="FOLDER")
PAPER = argument("--paper", choices=("A4", "Letter"), default="A4")
UNITS = argument(
    "--units", choices=("kN-mm", "lbf-inch"), help="default: the one chosen"
)


@command(CLASS, LESSON, INTO, PAPER, UNITS)
def _handout(args: argparse.Namespace) -> int:
    """Print a lesson for a class: two pages a student, one file for all, the key."""
    from workbook.classroom.handouts import write_handouts
    from workbook.classroom.roll import read_class

    listed, system = read_class(args.class_file), _system(args)
    made = write_handouts(
        listed, args.lesson, args.out, paper=args.paper, system=system
    )
    print(f"{args.out}: {len(made)} files for {args.lesson}. Print “{made[-1].name}”.")
    return 0


@command(CLASS, LESSON, INTO, PAPER)
def _key(args: argparse.Namespace) -> int:
    """Write a lesson's key: every student's numbers, answers, known mistakes."""
    from workbook.classroom.handouts import write_key
    from workbook.classroom.roll import read_class

    listed = read_class(args.class_file)
    made = write_key(listed, args.lesson, args.out, paper=args.paper)
    names = ", ".join(path.name for path in made)
    print(f"{args.out}: {names}. Not for students.")
    return 0


MARKING = (
    argument("--key", type=Path, action="append", default=[], metavar="KEY.json",
             help="numbers as printed, maybe corrected; may be given again"),
    argument("--mark-as", action="append", default=[], metavar="7.2=2",
             help="mark older answers to an exercise as that version"),
    argument("--column", action="append", default=[], metavar="L07=TITLE",
             help="your gradebook's column for a lesson"),
)  # fmt: skip


@command(
    CLASS,
    argument("folder", type=Path, help="the hand-ins, under whatever names"),
    INTO,
    *MARKING,
)
def _mark(args: argparse.Namespace) -> int:
    """Mark a folder of hand-ins: files for gradebooks, by exercise, try by try."""
    from workbook.classroom.marking import corrections_from, mark_folder
    from workbook.classroom.roll import read_class

    listed = read_class(args.class_file)
    corrections = corrections_from(listed, keys=args.key, mark_as=args.mark_as)
    result = mark_folder(
        listed, args.folder, args.out, corrections=corrections, titles=_titles(args)
    )
    for note in result.notes:
        print(f"note: {note}", file=sys.stderr)
    _tell_marks(args.out, result)
    return 0


@command(
    CLASS,
    argument("out", type=Path, metavar="FOLDER", help="where `mark` put the marks"),
    *MARKING,
)
def _remark(args: argparse.Namespace) -> int:
    """Mark again after a correction, and list each mark that changes and why."""
    from workbook.classroom.marking import corrections_from, mark_again
    from workbook.classroom.roll import read_class

    listed = read_class(args.class_file)
    corrections = corrections_from(listed, keys=args.key, mark_as=args.mark_as)
    result = mark_again(listed, args.out, corrections=corrections, titles=_titles(args))
    _tell_marks(args.out, result)
    return 0


@command(
    CLASS,
    argument("marks", type=Path, metavar="FOLDER", help="where `mark` put the marks"),
    argument("--lesson", default="", help="only this one, such as L07"),
)
def _report(args: argparse.Namespace) -> int:
    """List a class's mistakes by name, most common first, and what to say."""
    from workbook.classroom.report import OPENER, write_report
    from workbook.classroom.roll import read_class

    listed = read_class(args.class_file)
    written, mistakes = write_report(listed, args.marks, lesson=args.lesson)
    print(f"{', '.join(map(str, written))}: {len(mistakes)} kinds of mistake")
    for mistake in mistakes[:OPENER]:
        print(f"{mistake.name}: {mistake.students} students, {mistake.answers} times")
    return 0


def _titles(args: argparse.Namespace) -> dict[str, str]:
    """Return gradebook columns by lesson."""
    pairs = [text.partition("=") for text in args.column]
    for lesson, _, title in pairs:
        if not title:
            msg = f"“{lesson}” must be a lesson and your column's title, as L07=Quiz 7"
            raise FormError(msg)
    return {lesson: title for lesson, _, title in pairs}


def _tell_marks(out: Path, result: "Result") -> None:
    """Print what a marking came to, and each mark that changed."""
    from workbook.classroom.files import shown

    print(f"{out}: {result.students} students, {result.answers} answers marked, "
          f"{len(result.notes)} notes, {result.by_hand} marks set by hand")  # fmt: skip
    for change in result.changes:
        old, new = ("none" if x is None else f"{100 * x:.4g}"
                    for x in (change.old, change.new))  # fmt: skip
        said = f"{change.code} {change.exercise} {old} -> {new}: {shown(change.why)}"
        print(f"changed: {said}")


def _read(name: str) -> bytes:
    """Return what a file holds, or standard input for ``-``."""
    return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()


def _system(args: argparse.Namespace) -> "UnitSystem":
    """Return the units asked for, or else the reader's own."""
    from workbook.quantities.units import SYSTEMS
    from workbook.reader.settings import unit_system

    return SYSTEMS[args.units] if args.units else unit_system()


@contextmanager
def _naming(source: str, system: "UnitSystem") -> Iterator[None]:
    """Say of which file a refusal speaks, in the reader's units."""
    try:
        yield
    except WorkbookError as refusal:
        said = refusal.spoken(system.show)
        msg = f"{source}: {said}"
        raise WorkbookError(msg) from refusal


def _show(
    args: argparse.Namespace,
    *,
    sheet: Callable[[], "Sheet"],
    fields: Callable[[], dict[str, Any]],
    table: Callable[[], str],
) -> None:
    """Print the fields or the table, once the picture asked for is written."""
    import json

    text = json.dumps(fields(), indent=2, ensure_ascii=False) if args.json else table()
    if args.picture:
        from workbook.figures.drawing.save import save

        save(sheet(), args.picture, theme="dark" if args.dark else "light")
    print(text)


def build_parser() -> argparse.ArgumentParser:
    """Build the parser from the commands registered above."""
    parser = argparse.ArgumentParser(
        prog="pullwright",
        description="A training workbook on angled pulls. "
        "It teaches and approves no pull.",
    )
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(metavar="COMMAND", required=True)
    for name, (run, arguments) in COMMANDS.items():
        about = run.__doc__
        sub = commands.add_parser(name, help=about, description=about)
        for flags, options in arguments:
            sub.add_argument(*flags, **options)
        sub.set_defaults(run=run)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; 0 done, 1 could not do it, 2 misused."""
    if isinstance(sys.stdout, io.TextIOWrapper):  # an old code page lacks "−" and "°"
        sys.stdout.reconfigure(errors="replace", line_buffering=True)
    from workbook.reader.settings import use_language

    use_language()
    args = build_parser().parse_args(argv)
    try:
        status = int(args.run(args))
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read the output has gone; nothing may be written at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except (WorkbookError, OSError) as error:
        print(f"pullwright: {_sentence(error)}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130
    return status


def _sentence(error: Exception) -> str:
    if isinstance(error, OSError) and error.filename and error.strerror:
        return f"{error.filename}: {error.strerror.lower()}"
    return str(error)
