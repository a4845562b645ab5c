"""Commands for whoever learns: opening the lessons, handing in."""

from __future__ import annotations

import argparse
from pathlib import Path

from workbook.cli.commands import argument, command, tell
from workbook.language import languages
from workbook.reader.settings import remember_language


@command(
    argument("folder", nargs="?", type=Path),
    argument("--port", type=int),
    argument("--no-browser", dest="browser", action="store_false"),
    argument("--card", action="store_true"),
    argument("--language", choices=[*languages()]),
)
def open_(args: argparse.Namespace) -> int:
    """Put the lessons in a folder and open them."""
    from workbook.reader.opening import CARD, FIRST, open_workbook

    if args.language:
        remember_language(args.language)
    first = CARD if args.card else FIRST
    open_workbook(
        args.folder, port=args.port, browser=args.browser, first=first, tell=tell
    )
    return 0


@command(
    argument("lesson"),
    argument("folder", nargs="?", type=Path),
    argument("--class", dest="class_file", type=Path),
    argument("--session", type=Path),
    argument("--port", type=int),
    argument("--no-browser", dest="browser", action="store_false"),
)
def teach(args: argparse.Namespace) -> int:
    """Open the instructor's view of a lesson."""
    from workbook.classroom.roll import read_class
    from workbook.course.session import FILE, read_session
    from workbook.reader.class_votes import CLASS_FILE, choose
    from workbook.reader.opening import TEACH, default_folder, open_workbook
    from workbook.reader.record_lines import PRACTICE

    listed = read_class(args.class_file) if args.class_file else None
    session = args.session
    if session is None and listed and (args.class_file.parent / FILE).is_file():
        session = args.class_file.parent / FILE
    if session is not None:
        read_session(session)  # refuses what is none, before anything is written
    folder = args.folder or default_folder()
    folder.mkdir(parents=True, exist_ok=True)
    choose(
        folder / CLASS_FILE,
        lesson=args.lesson,
        class_key=listed.key if listed else PRACTICE,
        students=len(listed.students) if listed else 0,
        session=str(session.absolute()) if session else "",
        class_file=str(args.class_file.absolute()) if listed else "",
    )
    open_workbook(folder, port=args.port, browser=args.browser, first=TEACH, tell=tell)
    return 0


@command(argument("folder", nargs="?", type=Path))
def hand_in(args: argparse.Namespace) -> int:
    """Write all that was answered into one file."""
    from workbook.language import say
    from workbook.reader.hand_in import write_hand_ins
    from workbook.reader.opening import default_folder
    from workbook.reader.record import FILE, Record

    here = args.folder or Path()
    if not args.folder and not (here / FILE).exists():
        here = default_folder()
    if not (here / FILE).is_file():
        told = say("hand_in", "no_record", file=FILE, folder=here)
        tell(f"pullwright: {told}", trouble=True)
        return 1
    for written in write_hand_ins(Record(here / FILE), folder=here):
        tell(say("hand_in", "written", file=written))
    return 0
