"""Files in and out: written whole or not at all, and never more read than asked for."""

from __future__ import annotations

import errno
import json
import os
import secrets
from contextlib import suppress
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

# What a file system that cannot put a file on disk at once says.
_CANNOT_SYNC = {errno.EINVAL, errno.ENOTSUP, errno.ENOSYS}


def write_whole(path: Path, data: bytes, *, new: bool = False) -> None:
    """Write a file so that it is there whole, or as it was before.

    It is written beside, under a name that begins with a point, and moved into place
    once it is on disk. Who may read it stays as it was. A link leads to the file that
    is written, and what is no plain file (``/dev/stdout``) takes the bytes itself.

    Parameters
    ----------
    path : Path
        The file; its folder must be there.
    data : bytes
        What it shall hold.
    new : bool
        Whether a file that is there already stays, and is an error.

    Raises
    ------
    FileExistsError
        If it is there and must be new.
    OSError
        If it cannot be written; the error names the file and the reason.
    """
    try:
        place = path.resolve() if path.is_symlink() and not new else path
        if place.exists() and not place.is_file():
            place.write_bytes(data)
        else:
            _write_beside(place, data, new=new)
    except OSError as error:
        # The error itself may name no file, or the one beside.
        raise OSError(error.errno, error.strerror or str(error), str(path)) from error


def _write_beside(place: Path, data: bytes, *, new: bool) -> None:
    mode = place.stat().st_mode & 0o7777 if place.exists() else None
    if mode is not None and new:
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
    if mode is not None and not os.access(place, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    beside = place.with_name(f".{secrets.token_hex(8)}.part")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    try:
        with os.fdopen(os.open(beside, flags, 0o666), "wb") as file:
            file.write(data)
            file.flush()
            _sync(file.fileno())
        if mode is not None:
            beside.chmod(mode)
        if new:
            _move_to_a_new_name(beside, place)
        else:
            beside.replace(place)
    finally:
        beside.unlink(missing_ok=True)


def _sync(number: int) -> None:
    try:
        os.fsync(number)
    except OSError as error:
        if error.errno not in _CANNOT_SYNC:  # a full disk may say so only here
            raise


def _move_to_a_new_name(beside: Path, place: Path) -> None:
    with suppress(PermissionError, NotImplementedError):  # a stick knows no links
        place.hardlink_to(beside)
        return
    if place.exists():
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
    beside.replace(place)


def read_at_most(path: Path, most: int) -> bytes:
    """Return what a file holds, or ``most`` bytes and one more of a larger one."""
    with path.open("rb") as file:
        return file.read(most + 1)


def read_json(text: str | bytes) -> Any:
    """Return what JSON says, and refuse what says one thing twice.

    Raises
    ------
    ValueError
        If it is no JSON, a key stands in it twice, or it is nested too deep.

    Examples
    --------
    >>> read_json('{"mark": 1}')
    {'mark': 1}
    >>> read_json('{"mark": 1, "mark": 2}')
    Traceback (most recent call last):
    ValueError: a key stands there twice
    """
    try:
        if isinstance(text, bytes):
            text = text.decode(json.detect_encoding(text), "surrogatepass")
        elif text.startswith("\ufeff"):
            raise ValueError("a byte order mark leads")
        return _DECODER.decode(text)
    except RecursionError:
        raise ValueError("nested too deep") from None


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key stands there twice")
    return found


_DECODER = json.JSONDecoder(object_pairs_hook=_each_once)  # one for all lines
