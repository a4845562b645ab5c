"""A place on a class server: the lessons put there, the student signed in.

Runs as the student before the student's own server, and then becomes it. Who the
student is, the class server knows, and tells in the environment.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from workbook.reader.opening import LAB_SETTINGS, copy_lessons, shipped_lessons
from workbook.reader.record import FILE, Record

STUDENT, KEY = "PULLWRIGHT_STUDENT", "PULLWRIGHT_CLASS_KEY"


def prepare(folder: Path, known: Mapping[str, str]) -> None:
    """Put the lessons in a folder, and sign in who is known to work there.

    Signing in anew each time brings back who practised without a name last time.

    Raises
    ------
    WorkbookError
        If the codes can be none.
    OSError
        If the folder cannot be written.
    """
    copy_lessons(folder, shipped=shipped_lessons())
    if known.get(STUDENT):
        record = Record(folder / FILE)
        record.sign_in(student=known[STUDENT], class_key=known.get(KEY, ""))


def environment(known: Mapping[str, str]) -> dict[str, str]:
    """Return what the student's server needs to know besides."""
    settings = [str(LAB_SETTINGS), known.get("JUPYTER_CONFIG_PATH", "")]
    # Installed, the page's part is found without; a developer's copy is not.
    data = [str(Path(__file__).parent), known.get("JUPYTER_PATH", "")]
    return {
        **known,
        "JUPYTER_CONFIG_PATH": os.pathsep.join(filter(None, settings)),
        "JUPYTER_PATH": os.pathsep.join(filter(None, data)),
    }


def main(arguments: Sequence[str]) -> None:
    """Prepare the folder that this runs in, and become the student's server."""
    prepare(Path.cwd(), os.environ)
    command = [sys.executable, "-P", "-m", "workbook.reader.seated", *arguments]
    os.execve(sys.executable, command, environment(os.environ))


if __name__ == "__main__":
    main(sys.argv[1:])
