"""Put the lessons in a folder of the reader's and open them in JupyterLab."""

import errno
import hashlib
import itertools
import json
import os
import secrets
import signal
import socket
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.abc import Traversable
from importlib.resources import files
from pathlib import Path
from typing import Any

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.files import read_at_most, read_json, write_whole
from workbook.language import say
from workbook.reader.light import lighten_server

FIRST = "00_start_here.ipynb"  # where one signs in, too
TEACH = "instructors_view.ipynb"
CARD = "angle_card.ipynb"  # what a technician looks up
MANIFEST = ".pullwright.json"
DOOR = ".pullwright-open.html"  # leads the browser to the server, token and all
LARGEST = 2**20  # bytes of it; a hundred lessons take some 20 000
LAB_SETTINGS = Path(__file__).parent / "lab_settings"
LAB_EXTENSIONS = Path(__file__).parent / "labextensions"


@dataclass(frozen=True, kw_only=True)
class LessonCopy:
    """What a copy of the lessons did.

    ``written`` are the names put in place; ``kept`` maps each file the reader
    had changed, and which is now older than the one shipped, to the name under
    which the newer one was put beside it.
    """

    written: tuple[str, ...]
    kept: Mapping[str, str]


def default_folder() -> Path:
    """Return the folder lessons go to when the reader names none."""
    return Path.home() / "Pullwright"


def shipped_lessons() -> dict[str, bytes]:
    """Return the lessons of this version, by their name in the reader's folder."""
    return dict(sorted(_read_tree(files("lessons"))))


@cache
def lesson_file(id: str) -> str:
    """Return the name of a lesson's notebook.

    Examples
    --------
    >>> lesson_file("L00") == FIRST
    True
    """
    start = f"{id.removeprefix('L')}_"
    names = (entry.name for entry in files("lessons").iterdir())
    return next(name for name in names if name.startswith(start))


def _read_tree(folder: Traversable, prefix: str = "") -> Iterator[tuple[str, bytes]]:
    for entry in folder.iterdir():
        hidden = entry.name.startswith((".", "__"))
        if hidden or entry.name.endswith((".jsonl", ".txt")):  # a developer's answers
            continue
        if entry.is_dir():
            yield from _read_tree(entry, f"{prefix}{entry.name}/")
        else:
            yield prefix + entry.name, entry.read_bytes()


def copy_lessons(folder: Path, *, shipped: Mapping[str, bytes]) -> LessonCopy:
    """Bring the lessons in a folder up to date without touching the reader's work.

    A file the reader has not changed is replaced by the shipped one. One the
    reader has changed stays, and a version shipped since is put beside it as
    ``NAME (new).ipynb``. Running a lesson and saving it is no change: outputs
    hold nothing the reader made, so notebooks are compared by their cells'
    text alone, empty cells left out (running past the last cell adds one).

    Parameters
    ----------
    folder : Path
        An existing folder.
    shipped : mapping of str to bytes
        Content by name, as `shipped_lessons` returns it.

    Returns
    -------
    LessonCopy
        What was written, what was kept and where its newer version is.

    Raises
    ------
    OSError
        If the folder cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> folder = Path(tempfile.mkdtemp())
    >>> copy_lessons(folder, shipped={"README.md": b"one"}).written
    ('README.md',)
    >>> _ = (folder / "README.md").write_text("mine")
    >>> dict(copy_lessons(folder, shipped={"README.md": b"two"}).kept)
    {'README.md': 'README (new).md'}
    >>> (folder / "README.md").read_text()
    'mine'
    """
    manifest = _read_manifest(folder)
    written: list[str] = []
    kept: dict[str, str] = {}
    for name, content in shipped.items():
        place = _place(folder / name, content=content, last=manifest.get(name, {}))
        if place:
            _write(place, content)
            written.append(place.relative_to(folder).as_posix())
            if place != folder / name:
                kept[name] = written[-1]
        manifest[name] = {"file": _digest(content), "text": _text_digest(content)}
    _write(folder / MANIFEST, json.dumps(manifest, indent=1).encode())
    return LessonCopy(written=tuple(written), kept=kept)


def _place(mine: Path, *, content: bytes, last: Mapping[str, str]) -> Path | None:
    """Say where a shipped file goes, given what was shipped here last time."""
    if not mine.exists():
        return mine
    if last.get("file") == _digest(content):
        return None
    unchanged = {last.get("text"), _text_digest(content)}
    if _text_digest(mine.read_bytes()) in unchanged:
        return mine
    return next(
        place
        for place in _names_beside(mine)
        if not place.exists()
        or _text_digest(place.read_bytes()) == _text_digest(content)
    )


def _names_beside(path: Path) -> Iterator[Path]:
    yield path.with_name(f"{path.stem} (new){path.suffix}")
    for number in itertools.count(2):
        yield path.with_name(f"{path.stem} (new {number}){path.suffix}")


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _text_digest(content: bytes) -> str:
    """Digest what a reader can change by hand: of a notebook, its cells' text."""
    try:
        cells = [
            [cell["cell_type"], "".join(cell["source"])]
            for cell in read_json(content)["cells"]
        ]
    except (ValueError, KeyError, TypeError, AttributeError):  # no notebook: all of it
        return _digest(content)
    written = [cell for cell in cells if cell[1].strip()]
    return _digest(json.dumps(written).encode())


def _read_manifest(folder: Path) -> dict[str, dict[str, str]]:
    """Read what was shipped here before; a lost or spoilt record is an empty one."""
    try:
        manifest = read_json(read_at_most(folder / MANIFEST, LARGEST))
    except (FileNotFoundError, ValueError):
        return {}
    entries = manifest.items() if isinstance(manifest, dict) else ()
    return {name: entry for name, entry in entries if isinstance(entry, dict)}


def _write(path: Path, content: bytes) -> None:
    """Write a lesson whole; its folder is made if it is not there."""
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, content)


def open_workbook(
    folder: Path | None = None,
    *,
    port: int | None = None,
    browser: bool = True,
    first: str = FIRST,
    tell: Callable[[str], object] = print,
) -> None:
    """Copy the lessons, start JupyterLab on one of them and wait until it ends.

    A folder that is already open is not opened twice: its address is told,
    and opened in the browser, instead.

    Parameters
    ----------
    folder : Path, optional
        Where the reader's lessons are; ``Pullwright`` in the home folder if not
        given. Made if it is not there.
    port : int, optional
        Port to serve on; the first free one from 8888 on if not given.
    browser : bool
        Whether to open the reader's browser.
    first : str
        The page to open on.
    tell : callable
        Receives each line for the reader.

    Raises
    ------
    OutOfRangeError
        If ``port`` is no port number.
    WorkbookError
        If the port is taken, or the folder cannot be made or written.
    """
    lighten_server()  # before any of it is loaded
    folder = Path(folder or default_folder()).expanduser().absolute()
    address = address_if_open(folder, first=first)
    if address:
        tell(say("opening", "open_already", folder=folder, address=address))
        if browser:
            _show(folder, address)
        return
    if port is not None:
        check_port(port)
    for line in _prepare(folder):
        tell(line)
    _serve(folder, port=port, browser=browser, first=first, tell=tell)


def _prepare(folder: Path) -> Iterator[str]:
    """Copy the lessons and yield what the reader should know about it."""
    if folder.is_file():
        raise WorkbookError("opening.is_a_file", folder=folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        copy = copy_lessons(folder, shipped=shipped_lessons())
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        if error.filename and Path(error.filename) != folder:
            reason = f"{Path(error.filename).name}: {reason}"
        refusal = WorkbookError("opening.not_written", folder=folder, reason=reason)
        raise refusal from error
    yield say("opening", "folder", folder=folder)
    for name, newer in copy.kept.items():
        yield say("opening", "kept", name=name, newer=newer)


def check_port(port: int) -> None:
    """Refuse a port that cannot be served on.

    Raises
    ------
    OutOfRangeError
        If it is not between 1 and 65535.
    WorkbookError
        If another program has it, or the system does not give it to this user.

    Examples
    --------
    >>> check_port(70000)
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: port 70000 must lie between 1 and 65535
    """
    if not 1 <= port <= 65535:
        raise OutOfRangeError("opening.no_port", port=port)
    try:
        socket.create_server(("localhost", port)).close()
    except OSError as error:
        taken = error.errno == errno.EADDRINUSE
        reason = "opening.port_in_use" if taken else "opening.port_not_yours"
        raise WorkbookError(reason, port=port) from error


def address_if_open(folder: Path, *, first: str = FIRST) -> str | None:
    """Return the address of a page on a running server on this folder, or None."""
    from jupyter_server.serverapp import list_running_servers

    for server in list_running_servers():
        if Path(server["root_dir"]).resolve() == folder.resolve() and _answers(server):
            return f"{server['url']}{_path(first)}?token={server['token']}"
    return None


def _path(page: str) -> str:
    return f"lab/tree/{page}"


def _answers(server: Mapping[str, Any]) -> bool:
    """Tell a live server from the record of one that was cut off."""
    try:
        with socket.create_connection((server["hostname"], server["port"]), timeout=2):
            return True
    except OSError:
        return False


def _show(folder: Path, address: str) -> None:
    """Open the browser on a running server, its token kept off the command line."""
    import webbrowser

    door, (page, _, token) = folder / DOOR, address.partition("?token=")
    try:
        there = door.read_text("utf-8")
        leads_there = token in there and page.rpartition("/")[2] in there
    except (OSError, ValueError):
        leads_there = False
    # Without the file, JupyterLab itself asks for the token that was printed.
    webbrowser.open(door.as_uri() if leads_there else page)


def _serve(
    folder: Path,
    *,
    port: int | None,
    browser: bool,
    first: str,
    tell: Callable[[str], object],
) -> None:
    from jupyterlab.labapp import LabApp

    _add_lab_settings()
    _keep_kernels_off_the_terminal()
    # A workspace of its own keeps the reader's other JupyterLab windows as they are.
    with tempfile.TemporaryDirectory(
        prefix="pullwright-", ignore_cleanup_errors=True
    ) as workspaces:
        server = LabApp.initialize_server(
            config=_server_config(folder, port, browser, first, workspaces)
        )
        server.browser_open_file = str(_door(folder))
        # Jupyter asks for confirmation at the first Ctrl-C, or drops its kernels.
        signal.signal(signal.SIGINT, lambda *_: server.stop(from_signal=True))
        token = server.identity_provider.token
        address = f"{server.connection_url}{_path(first)}?token={token}"

        def opened() -> None:
            tell(say("opening", "open", address=address))
            tell(say("opening", "close"))

        server.io_loop.add_callback(opened)  # once it listens there
        server.start()


def _door(folder: Path) -> Path:
    """Make the file through which the browser comes in, for nobody else to read.

    The usual one lies in a hidden folder of the home, where a browser in a sandbox
    may not read. Jupyter fills it and takes it away at the end.
    """
    door = folder / DOOR
    door.unlink(missing_ok=True)
    door.touch(mode=0o600)
    return door


def _add_lab_settings() -> None:
    """Lay the workbook's defaults under the reader's own JupyterLab settings."""
    paths = [str(LAB_SETTINGS), os.environ.get("JUPYTER_CONFIG_PATH", "")]
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, paths))


def _keep_kernels_off_the_terminal() -> None:
    """Let what kernels log at start and end go, which reads like trouble.

    They inherit file 2; the server's own errors still reach the terminal.
    """
    sys.stderr = os.fdopen(os.dup(2), "w", buffering=1, errors="backslashreplace")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)


def _server_config(
    folder: Path, port: int | None, browser: bool, first: str, workspaces: str
) -> Any:
    from traitlets.config import Config

    config = Config()
    config.ServerApp.root_dir = str(folder)
    config.ServerApp.allow_root = True  # containers; it listens on this machine only
    config.Application.log_level = "ERROR"
    # Whoever lists what runs on this machine reads a token on a command line.
    config.ServerApp.use_redirect_file = True
    config.ServerApp.open_browser = browser
    config.IdentityProvider.token = secrets.token_urlsafe(24)
    if port is not None:
        config.ServerApp.port = port
        config.ServerApp.port_retries = 0
    config.LabApp.default_url = f"/{_path(first)}"
    config.LabApp.open_browser = browser
    # Installed, it is found without; a developer's copy is not.
    config.LabApp.extra_labextensions_path = [str(LAB_EXTENSIONS)]
    config.LabApp.workspaces_dir = workspaces
    config.LabApp.extension_manager = "readonly"  # the other kind asks the network
    return config
