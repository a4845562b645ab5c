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
from workbook.cli import bench, classroom  # noqa: F401
from workbook.cli.commands import build_parser
from workbook.errors import WorkbookError
from workbook.reader.settings import use_language


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; 0 done, 1 could not do it, 2 misused."""
    if isinstance(sys.stdout, io.TextIOWrapper):  # an old code page lacks "−" and "°"
        sys.stdout.reconfigure(errors="replace", line_buffering=True)
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
