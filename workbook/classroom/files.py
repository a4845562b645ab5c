"""Files of the class: strangers' cells made harmless, nothing foreign overwritten.

An output folder keeps a list of what a command put there, with a hash of each
file. A file that is not on it, or was changed since, is never overwritten.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

from tqdm import tqdm

from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.files import read_at_most, read_json, write_whole
from workbook.language import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    Content = bytes | Callable[[], bytes]

LIST = "pullwright-files.json"
LARGEST = 32 * 2**20  # bytes of a file of the instructor's; a large key has some 10
# What a spreadsheet takes for the start of a formula, wide forms included.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def cell(value: object) -> object:
    """Return a value for a spreadsheet, text that begins a formula made text.

    Examples
    --------
    >>> cell("=1+1"), cell("O'Neill"), cell(-3.2)
    ("'=1+1", "O'Neill", -3.2)
    """
    if isinstance(value, str) and value.lstrip(" ").startswith(FORMULA):
        return "'" + value
    return value


def uncell(text: str) -> str:
    """Return what `cell` was given."""
    behind = text[1:].lstrip(" ")
    return text[1:] if text[:1] == "'" and behind.startswith(FORMULA) else text


def per_cent(score: float | None) -> object:
    """Return a score as a cell: in per cent, empty where there is none.

    Examples
    --------
    >>> per_cent(0.5), per_cent(2 / 3), per_cent(None)
    (50, 66.67, '')
    """
    if score is None:
        return ""
    rounded = round(100 * score, 2)
    return int(rounded) if rounded == int(rounded) else rounded


def csv_bytes(
    rows: Iterable[Sequence[object]], *, delimiter: str = ",", mark: bool = True
) -> bytes:
    """Return rows as a CSV file in UTF-8.

    Parameters
    ----------
    rows : iterable of sequence
        The header first.
    delimiter : str
        Between the cells.
    mark : bool
        Whether a byte order mark leads, by which spreadsheets know UTF-8. Import
        files do without.
    """
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=delimiter)
    writer.writerows([cell(value) for value in row] for row in rows)
    text = stream.getvalue()
    return text.encode("utf-8-sig" if mark else "utf-8", "backslashreplace")


def read_text(path: Path, *, what: str, largest: int = LARGEST) -> str:
    """Return the text of a file of the instructor's, of at most ``largest`` bytes.

    ``what`` says which: ``names``, ``class_list``, ``key`` or ``marks``.

    Raises
    ------
    FormError
        If it is no text in UTF-8, or too large.
    OSError
        If it cannot be read.
    """
    raw = read_at_most(path, largest)
    name = shown(path.name)
    if len(raw) > largest:
        most = largest // 2**20
        raise FormError(
            "class_file.too_large", name=name, what=f"class_file.{what}", most=most
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\0"
    if "\0" in text:
        raise FormError("class_file.no_text", name=name, what=f"class_file.{what}")
    return text


def in_name(code: str) -> str:
    """Return a code with only what every file system takes, each code in its own way.

    Where it had other characters, or is the name of the key, what tells it from its
    likes stands behind it.

    Examples
    --------
    >>> in_name("K7-b"), in_name("K/7"), in_name("K?7")
    ('K7-b', 'K_7-a93378fe', 'K_7-023d94b9')
    """
    kept = re.sub(r"[^0-9A-Za-z_-]", "_", code)
    told = hashlib.sha256(plain(code).encode()).hexdigest()[:8]
    return kept if kept == code and plain(code) != "key" else f"{kept}-{told}"


def write_all(folder: Path, files: Mapping[str, Content]) -> list[Path]:
    """Write files into a folder, or none where one of them must not be touched.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    files : mapping of str to bytes or callable
        What each file shall hold, by name; what is called is made when its turn
        comes, so that only one of many is held at a time.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    FormError
        If a file of that name is there that was not written here, or was changed
        since.
    OSError
        If the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    known = _known(folder)
    for name in files:
        refuse_foreign(folder / name, known)
    try:
        for name, content in tqdm(files.items(), unit="file", disable=None):
            data = content() if callable(content) else content
            write_whole(folder / name, data)
            known[name] = _hash(data)
    finally:  # what is written is ours, also where a later one cannot be made
        listed = json.dumps({"format": 1, "files": known}, indent=1, sort_keys=True)
        write_whole(folder / LIST, listed.encode())
    return [folder / name for name in files]


def refuse_foreign(path: Path, known: Mapping[str, str]) -> None:
    """Refuse to go on if a file is there that is not on the list as it stands."""
    if not path.is_symlink() and not path.exists():
        return
    ours = path.is_file() and not path.is_symlink()
    if ours and known.get(path.name) == _hash(path.read_bytes()):
        return
    raise FormError("class_file.foreign", path=shown(str(path)))


def _known(folder: Path) -> dict[str, str]:
    """Return the hashes of what was written into a folder; none if unreadable."""
    try:
        files = read_json(read_at_most(folder / LIST, LARGEST))["files"]
        return {str(name): str(sum_) for name, sum_ in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
