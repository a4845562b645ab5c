"""What Jupyter loads and no lesson needs is left out of a reader's server and kernel.

Each is optional where it is asked for: who finds that it is not installed goes on
without it. What a name costs was measured on the machine of a class, for each student.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable

SERVER = ("rfc3987_syntax",)  # checks addresses in other scripts: 0.8 s, 16 MB
KERNEL = ("debugpy",)  # stops a cell on its way, to look inside: 0.1 s, 7 MB
DATA = Path(__file__).parent  # where Jupyter finds kernels, and its page extensions


def leave_out(names: Iterable[str]) -> None:
    """Let modules pass for not installed from now on, unless they are loaded already.

    Examples
    --------
    >>> leave_out(["a_module_that_is_left_out"])
    >>> import a_module_that_is_left_out
    Traceback (most recent call last):
    ModuleNotFoundError: import of a_module_that_is_left_out halted; None in sys.modules
    """
    modules: dict[str, Any] = sys.modules
    for name in names:
        modules.setdefault(name, None)


def lighten_server() -> None:
    """Make the server that starts in this process, and its kernels, light ones."""
    leave_out(SERVER)
    # The other one takes 9 MB, to check a notebook in 2 ms in place of 12.
    os.environ.setdefault("NBFORMAT_VALIDATOR", "jsonschema")
    paths = [str(DATA), os.environ.get("JUPYTER_PATH", "")]
    os.environ["JUPYTER_PATH"] = os.pathsep.join(filter(None, paths))
