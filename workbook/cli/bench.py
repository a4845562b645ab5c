"""Commands at the bench: what pulls do, what was measured, what is planned."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.cli.commands import argument, command, tell, told
from workbook.errors import FormError, WorkbookError
from workbook.files import read_at_most, write_whole

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem
    from workbook.reports.report import Report
    from workbook.scenes.setups import Setup
    from workbook.scenes.surveys import Survey

MOST = 2**20  # bytes of what is read; more is no file of any form
UNITS = argument("--units", choices=("kN-mm", "lbf-inch", "tf-mm"))
# How a result is shown, the same for every command that works something out.
OUTPUT = (
    argument("--json", action="store_true"),
    argument("--picture", type=Path),
    argument("--dark", action="store_true"),
    UNITS,
)
# What is measured, and what the fit rests on.
SURVEY = (
    argument("points"),
    argument("--spec", required=True),
    argument("--base"),
    argument("--agree-mm", type=float, default=3.0),
)


@command(
    argument("setup"),
    argument("--seen-from", choices=("home", "side", "above", "front")),
    *OUTPUT,
)
def pull(args: argparse.Namespace) -> int:
    """Solve one set-up."""
    from workbook.reports.pull import PullReport

    system = chosen_units(args)
    if _is_code(args.setup):
        from workbook.figures.pictures.pull import PULL
        from workbook.reports.explored import explored

        with _naming(args.setup, system):
            found = explored(args.setup, seen_from=args.seen_from)
        if found is not None and found.subject is not PULL:
            return _show(args, found, system)
    with _naming(args.setup, system):
        solved = _set_up(args.setup).solved()
    return _show(args, PullReport(solved, seen_from=args.seen_from), system)


@command(*SURVEY, argument("--box", action="append", default=[]), *OUTPUT)
def survey(args: argparse.Namespace) -> int:
    """Lay measured points over specified ones."""
    from workbook.reports.survey import SurveyReport

    return _show(args, SurveyReport(_surveyed(args)), chosen_units(args))


@command(
    *SURVEY,
    argument("--kinds"),
    argument("--planes-mm"),
    argument("--mash-side", choices=("both", "left", "right")),
    *OUTPUT,
)
def damage(args: argparse.Namespace) -> int:
    """Read the differences of a survey as kinds of damage."""
    from workbook.reports.damage import DamageReport
    from workbook.scenes.surveys import planes

    surveyed = _surveyed(args)
    frame = planes(
        surveyed.specification,
        planes_mm=_parts(args.planes_mm),
        mash_side=args.mash_side,
    )
    kinds = _parts(args.kinds)
    reading = surveyed.damage(frame=frame, **({"kinds": kinds} if kinds else {}))
    return _show(args, DamageReport(surveyed, reading, frame), chosen_units(args))


@command(argument("setups", nargs="+"), argument("--clamps", required=True), *OUTPUT)
def bench(args: argparse.Namespace) -> int:
    """Solve several pulls on a held body."""
    from workbook.reports.bench import BenchReport
    from workbook.scenes.bench import solve_bench
    from workbook.scenes.holds import hold_from_toml
    from workbook.scenes.kestrin import NAME, kestrin_hold

    system = chosen_units(args)
    with _naming(args.clamps, system):
        is_known = args.clamps == NAME
        hold = kestrin_hold() if is_known else hold_from_toml(_read(args.clamps))
    setups = []
    for name in args.setups:
        with _naming(name, system):
            setup = _set_up(name)
            setup.solved()
            setups.append(setup)
    with _naming(args.clamps, system):
        solved = solve_bench(setups, hold=hold)
    return _show(args, BenchReport(solved), system)


@command(argument("plan"), argument("--write", type=Path), *OUTPUT)
def plan(args: argparse.Namespace) -> int:
    """Rank every set-up for a wanted movement."""
    from workbook.reports.plan import PlanReport
    from workbook.scenes.kestrin import NAME, kestrin_plan
    from workbook.scenes.plan_files import plan_from_toml
    from workbook.scenes.planning import setup
    from workbook.scenes.set_up_files import to_toml

    system = chosen_units(args)
    with _naming(args.plan, system):
        text = kestrin_plan() if args.plan == NAME else _read(args.plan)
        planned = plan_from_toml(text)
        best = to_toml(setup(planned.plan, title=planned.title)) if args.write else ""
    status = _show(args, PlanReport(planned), system)
    if args.write:
        write_whole(args.write, best.encode())
    return status


def _set_up(source: str) -> Setup:
    """Return a set-up by its code, or as a file or standard input holds it."""
    from workbook.scenes.set_up_files import from_toml
    from workbook.scenes.setups import from_code

    return from_code(source) if _is_code(source) else from_toml(_read(source))


def _is_code(source: str) -> bool:
    from workbook.scenes.codes import looks_like_one

    return looks_like_one(source) and not Path(source).exists()


def _surveyed(args: argparse.Namespace) -> Survey:
    """Read the points and lay them over the specified ones."""
    from workbook.scenes.kestrin import NAME, kestrin_survey
    from workbook.scenes.points import points_from, read_points
    from workbook.scenes.surveys import read_specification, solve_survey

    if args.points == NAME:
        measured = kestrin_survey()
    elif args.points == "-":
        measured = points_from(_read("-"), name=told("survey", "input"))
    else:
        measured = read_points(args.points)
    return solve_survey(
        measured,
        specification=read_specification(args.spec),
        base=_parts(args.base),
        boxes=[_parts(box) for box in getattr(args, "box", [])],
        agreement=args.agree_mm / 1000,
    )


def _parts(text: str | None) -> tuple[str, ...]:
    """Return what stands between commas."""
    return tuple(part.strip() for part in text.split(",")) if text else ()


def _read(name: str) -> bytes:
    """Return what a file holds, or standard input for ``-``; an endless one in part."""
    if name != "-":
        return read_at_most(Path(name), MOST)
    if sys.stdin is None:
        raise FormError("command.input_closed")
    return sys.stdin.buffer.read(MOST + 1)


def chosen_units(args: argparse.Namespace) -> UnitSystem:
    """Return the units asked for, or else the reader's own."""
    from workbook.quantities.units import SYSTEMS
    from workbook.reader.settings import unit_system

    return SYSTEMS[args.units] if args.units else unit_system()


@contextmanager
def _naming(source: str, system: UnitSystem) -> Iterator[None]:
    """Say of which file a refusal speaks, in the reader's units."""
    try:
        yield
    except WorkbookError as refusal:
        said = refusal.spoken(system.show)
        raise WorkbookError("command.of", source=source, said=said) from refusal


def _show(args: argparse.Namespace, report: Report, system: UnitSystem) -> int:
    """Print the fields or the table, once the picture asked for is written."""
    import json

    from workbook.reader.school import school_rules

    rules = [*school_rules()]
    if args.json:
        fields = {**report.fields(), **({"school": rules} if rules else {})}
        text = json.dumps(fields, indent=2, ensure_ascii=False)
    else:
        text = "\n".join([report.table(system), *rules])
    if args.picture:
        from workbook.figures.drawing.save import save

        sheet = report.picture(system)
        save(sheet, args.picture, theme="dark" if args.dark else "light")
    tell(text)
    return 0
