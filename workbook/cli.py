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
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from workbook import __version__
from workbook.errors import WorkbookError

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


@command(
    argument("folder", nargs="?", type=Path, help="default: Pullwright in your home"),
    argument("--port", type=int, help="default: the next free one from 8888 on"),
    argument("--no-browser", dest="browser", action="store_false"),
)
def _open(args: argparse.Namespace) -> int:
    """Put the lessons in a folder of yours and open them in your browser."""
    from workbook.opening import open_workbook

    open_workbook(args.folder, port=args.port, browser=args.browser)
    return 0


@command(
    argument("setup", metavar="SETUP.toml", help="a file; - reads input"),
    argument("--json", action="store_true", help="SI values for other programs"),
    argument("--picture", type=Path, metavar="FILE", help=".png, .svg or .pdf"),
    argument("--dark", action="store_true", help="draw on dark paper"),
    argument("--units", choices=("kN-mm", "lbf-inch"), help="default: the one chosen"),
)
def _pull(args: argparse.Namespace) -> int:
    """Say what one set-up does: direction, split, sag and load path."""
    import json

    from workbook.report import pull_fields, pull_table
    from workbook.scenes.setups import from_toml
    from workbook.settings import unit_system
    from workbook.units import SYSTEMS

    system = SYSTEMS[args.units] if args.units else unit_system()
    try:
        solved = from_toml(_read(args.setup)).solved()
    except WorkbookError as refusal:
        print(
            f"pullwright: {args.setup}: {refusal.spoken(system.show)}", file=sys.stderr
        )
        return 1
    if args.picture:
        from workbook.figures.pull import pull_sheet
        from workbook.figures.save import save

        sheet = pull_sheet(solved, system=system)
        save(sheet, args.picture, theme="dark" if args.dark else "light")
    if args.json:
        print(json.dumps(pull_fields(solved), indent=2, ensure_ascii=False))
    else:
        print(pull_table(solved, system=system))
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
    from workbook.hand_in import write_hand_in
    from workbook.opening import default_folder
    from workbook.record import FILE, Record
    from workbook.strings import say

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


def _read(name: str) -> bytes:
    """Return what a file holds, or standard input for ``-``."""
    return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()


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
