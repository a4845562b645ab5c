"""The ``pullwright`` command: reads its arguments, calls, prints.

`commands` says how a command is added. Those of the bench, the reader and the class
have a file each.
"""

import io
import os
import sys
from collections.abc import Sequence

from workbook.cli import reader  # noqa: F401  whoever registers first is first

# isort: split
from workbook.cli import bench, classroom, technician  # noqa: F401
from workbook.cli.commands import build_parser, tell
from workbook.errors import WorkbookError
from workbook.reader.settings import use_language


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; 0 done, 1 could not do it, 2 misused, 130 interrupted."""
    if isinstance(sys.stdout, io.TextIOWrapper):  # an old code page lacks "−" and "°"
        sys.stdout.reconfigure(errors="replace", line_buffering=True)
    if sys.stderr is None:  # closed; what is said there is lost, not said elsewhere
        sys.stderr = os.fdopen(os.open(os.devnull, os.O_WRONLY), "w")
    try:
        return _run(argv)
    except BrokenPipeError:  # whoever read has gone
        return 1
    except KeyboardInterrupt:
        return 130
    finally:
        _leave_nothing_to_write()


def _run(argv: Sequence[str] | None) -> int:
    try:
        use_language()
        args = build_parser().parse_args(argv)
        return int(args.run(args))
    except BrokenPipeError:
        raise
    except (WorkbookError, OSError) as error:
        tell(f"pullwright: {_sentence(error)}", trouble=True)
        return 1


def _leave_nothing_to_write() -> None:
    """Let go what a stream cannot take, so that nothing fails when Python ends."""
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is not None:
                stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _sentence(error: Exception) -> str:
    if isinstance(error, OSError) and error.strerror:
        reason = error.strerror.lower()
        return f"{error.filename}: {reason}" if error.filename else reason
    return str(error)
