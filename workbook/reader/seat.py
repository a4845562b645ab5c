"""A place on a class server: the lessons put there, the student signed in.

Runs as the student, and goes on as the student's own server. Who the student is, the
class server knows, and tells in the environment.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path

from workbook.reader.light import lighten_server
from workbook.reader.opening import LAB_SETTINGS, copy_lessons, shipped_lessons
from workbook.reader.record import FILE, Record

LOADED = (
    "jupyterhub.singleuser.extension",
    "jupyterlab.labapp",
    "jupyter_server_terminals",
    "workbook.reader.lesson_page",
)
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


def load() -> None:
    """Load what a student's server needs, and no more."""
    lighten_server()
    for name in LOADED:
        import_module(name)


def run(arguments: Sequence[str]) -> None:
    """Prepare the folder that this runs in, and be the student's server in it."""
    prepare(Path.cwd(), os.environ)
    lighten_server()
    settings = [str(LAB_SETTINGS), os.environ.get("JUPYTER_CONFIG_PATH", "")]
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, settings))
    from jupyterhub.singleuser import main

    sys.argv = ["jupyterhub-singleuser", *arguments]
    main()


if __name__ == "__main__":  # as a server on many machines does
    run(sys.argv[1:])
