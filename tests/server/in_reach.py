"""Runs a command where every user can enter some folders that are closed else.

Students of a class server run as users of their own, who must be able to start Python.
On a machine of tests it may lie in the administrator's home. This changes nothing on
the machine: the command sees each closed folder in a namespace of its own, entered by
all, with the same things in it.

    unshare --mount python in_reach.py FOLDER ... -- COMMAND
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

CLOSED_TO_OTHERS = 0o001
ASIDE = "/mnt"  # in the namespace: what a closed folder holds; nothing is left there


def closed_above(*paths):
    """Return the folders above some paths that others cannot enter, the top first."""
    above = {folder for path in paths for folder in (path, *path.parents)}
    closed = [
        f for f in above if f.is_dir() and not f.stat().st_mode & CLOSED_TO_OTHERS
    ]
    return sorted(closed, key=lambda folder: len(folder.parts))


def command(*arguments):
    """Return a command as it has to be called for its Python to be in reach."""
    here = Path(__file__).resolve()
    closed = closed_above(here, Path(sys.prefix), Path(sys.base_prefix).resolve())
    if not closed:
        return [*arguments]
    return ["unshare", "--mount", sys.executable, here, *closed, "--", *arguments]


def open_up(folder):
    """Lay an empty folder over a closed one, and in it what was there."""
    kept = Path(tempfile.mkdtemp(dir=ASIDE))
    _mount("--bind", folder, kept)
    _mount("-t", "tmpfs", "-o", "mode=755", "none", folder)
    for there in kept.iterdir():
        if there.is_symlink():
            (folder / there.name).symlink_to(there.readlink())
        elif there.is_dir():
            (folder / there.name).mkdir()
            _mount("--bind", there, folder / there.name)
        elif there.is_file():
            (folder / there.name).touch()
            _mount("--bind", there, folder / there.name)


def _mount(*arguments):
    subprocess.run(["mount", *map(str, arguments)], check=True)


if __name__ == "__main__":
    end = sys.argv.index("--")
    _mount("-t", "tmpfs", "none", ASIDE)
    for closed in sys.argv[1:end]:
        open_up(Path(closed))
    os.execvp(sys.argv[end + 1], sys.argv[end + 1 :])
