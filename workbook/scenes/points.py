"""Point files: a plain list of named points that any spreadsheet can write.

The form, free for anyone to use::

    # anything after a number sign at the start of a line is a remark
    id,length,width,height,limit
    LF1,1800,450,402.5,3
    RF1,1800,-450,402.5,3

``length`` is measured forward from the zero plane, ``width`` to the vehicle's
left from the centre-line, ``height`` up from the datum plane, all in mm.
``limit`` in mm may be left out. Columns may stand in any order. Text is UTF-8.
Where columns are parted by semicolons, numbers may have a decimal comma.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import FormError
from workbook.files import read_at_most, write_whole
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

COORDINATES = ("length", "width", "height")
REQUIRED = ("id", *COORDINATES)
OPTIONAL = ("limit",)
LARGEST_COORDINATE_MM = 20_000
LARGEST_LIMIT_MM = 100
LARGEST_FILE_BYTES = 1_000_000
LONGEST_ID = 40

# Plain decimals only: no exponent, nan, inf or thousands mark. A true minus
# sign is what the workbook itself prints.
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)")


@dataclass(frozen=True, kw_only=True)
class PointList:
    """Named points in the nominal frame.

    Attributes
    ----------
    ids : tuple of str
        Name of each point, all different.
    positions : NDArray[np.float64], shape (n, 3)
        x forward, y to the left, z up. [m]
    limits : NDArray[np.float64], shape (n,), or None
        Largest difference allowed either way; None if the file gives none. [m]
    """

    ids: tuple[str, ...]
    positions: NDArray[np.float64]
    limits: NDArray[np.float64] | None = None


@dataclass(frozen=True, kw_only=True)
class MatchedPoints:
    """Points found by id in both of two lists, in the order of the specified one.

    Attributes
    ----------
    ids : tuple of str
        The points in both lists.
    measured : NDArray[np.float64], shape (n, 3)
        Where they are; of many surveys (..., n, 3). [m]
    specified : NDArray[np.float64], shape (n, 3)
        Where they should be. [m]
    limits : NDArray[np.float64], shape (n,), or None
        Limits of the specified list. [m]
    only_measured, only_specified : tuple of str
        The points that one list has and the other lacks.
    """

    ids: tuple[str, ...]
    measured: NDArray[np.float64]
    specified: NDArray[np.float64]
    limits: NDArray[np.float64] | None
    only_measured: tuple[str, ...]
    only_specified: tuple[str, ...]


def read_points(path: Path | str) -> PointList:
    """Read a point file.

    Parameters
    ----------
    path : Path or str
        The file.

    Returns
    -------
    PointList
        Ids, positions [m] and limits [m].

    Raises
    ------
    FormError
        If the file cannot be read or is not a point file; the sentence names
        the line and the column.
    """
    path = Path(path)
    try:
        raw = read_at_most(path, LARGEST_FILE_BYTES)
    except OSError as error:
        raise FormError(
            "points.no_file", name=path.name, error=error.strerror
        ) from error
    return points_from(raw, name=path.name)


def points_from(raw: bytes, *, name: str) -> PointList:
    """Read points from the bytes of a point file.

    Raises
    ------
    FormError
        If they are too many, no text in UTF-8, or no point file.
    """
    if len(raw) > LARGEST_FILE_BYTES:
        raise FormError("points.too_large", name=name, most=LARGEST_FILE_BYTES // 1000)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FormError("points.no_utf8", name=name) from error
    return parse_points(text, name=name)


def parse_points(text: str, *, name: str = "") -> PointList:
    r"""Read points from the text of a point file.

    Parameters
    ----------
    text : str
        Header and rows.
    name : str, optional
        What refusals call the text; just that unless given.

    Returns
    -------
    PointList
        Ids, positions [m] and limits [m].

    Raises
    ------
    FormError
        If it is not in the form this module describes.

    Examples
    --------
    >>> points = parse_points("id;length;width;height\nLF1;1800,5;450;402\n")
    >>> points.ids, points.positions.tolist()
    (('LF1',), [[1.8005, 0.45, 0.402]])
    """
    name = name or say("term", "point_list", "text")
    if "\0" in text:
        raise FormError("points.no_text", name=name)
    rows, delimiter = _rows(text.removeprefix("\ufeff"), name)
    if not rows:
        raise FormError("points.empty", name=name, first_line=",".join(REQUIRED))
    columns = _columns(rows[0])
    named = [c for c in columns if c != "id"]
    table = [(where, _row(cells, columns, where)) for where, cells in rows[1:]]
    comma = delimiter == ";" and any("," in row[c] for _, row in table for c in named)
    ids: dict[str, FormError] = {}
    for where, row in table:
        _add_id(row["id"], ids, where)
    if not ids:
        raise FormError("points.no_points", name=name)
    mark = "," if comma else "."
    si = {c: _metres([(w, row[c]) for w, row in table], c, mark) for c in named}
    return PointList(
        ids=tuple(ids),
        positions=np.column_stack([si[c] for c in COORDINATES]),
        limits=si.get("limit"),
    )


def format_points(points: PointList) -> str:
    """Return the text of a point file, to a thousandth of a millimetre.

    Parameters
    ----------
    points : PointList
        What to write.

    Returns
    -------
    str
        Header and rows, commas between columns and points in numbers.

    Raises
    ------
    FormError
        If the text could not be read back.

    Examples
    --------
    >>> points = PointList(ids=("LF1",), positions=np.array([[1.8, 0.45, -0.0]]))
    >>> print(format_points(points), end="")
    id,length,width,height
    LF1,1800.000,450.000,0.000
    """
    columns = [*REQUIRED, *OPTIONAL] if points.limits is not None else [*REQUIRED]
    values = np.asarray(points.positions, dtype=float)
    if points.limits is not None:
        values = np.column_stack([values, points.limits])
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(columns)
    for point_id, row in zip(points.ids, values * 1000, strict=True):
        writer.writerow([point_id, *(f"{round(v, 3) + 0.0:.3f}" for v in row)])
    text = stream.getvalue()
    # Nothing is written that would read back as something else.
    name = say("term", "point_list", "list")
    if parse_points(text, name=name).ids != tuple(points.ids):
        raise FormError("points.id_lost")
    return text


def write_points(path: Path | str, points: PointList) -> None:
    """Write a point file.

    Parameters
    ----------
    path : Path or str
        The file; replaced if it is there.
    points : PointList
        What to write.

    Raises
    ------
    FormError
        If the list could not be read back, or the file cannot be written.
    """
    path = Path(path)
    text = format_points(points)
    try:
        write_whole(path, text.encode())
    except OSError as error:
        raise FormError(
            "points.not_written", name=path.name, error=error.strerror
        ) from error


def match_points(measured: PointList, *, specified: PointList) -> MatchedPoints:
    r"""Pair the points of two lists by id.

    Parameters
    ----------
    measured, specified : PointList
        The lists; neither needs to be complete.

    Returns
    -------
    MatchedPoints
        The points in both, and the names of those in one only.

    Raises
    ------
    FormError
        If no id is in both lists.

    Examples
    --------
    >>> read = parse_points("id,length,width,height\nLF1,1790,462,398\nX,0,0,0\n")
    >>> spec = parse_points("id,length,width,height\nRF1,1800,-450,402\n"
    ...                     "LF1,1800,450,402\n")
    >>> pairs = match_points(read, specified=spec)
    >>> pairs.ids, pairs.only_measured, pairs.only_specified
    (('LF1',), ('X',), ('RF1',))
    """
    at = {point_id: i for i, point_id in enumerate(measured.ids)}
    shared = [i for i, point_id in enumerate(specified.ids) if point_id in at]
    if not shared:
        raise FormError(
            "points.none_in_both",
            measured=_told(measured.ids),
            specified=_told(specified.ids),
        )
    ids = tuple(specified.ids[i] for i in shared)
    limits = specified.limits
    return MatchedPoints(
        ids=ids,
        measured=measured.positions[[at[point_id] for point_id in ids]],
        specified=specified.positions[shared],
        limits=None if limits is None else limits[shared],
        only_measured=tuple(p for p in measured.ids if p not in set(ids)),
        only_specified=tuple(p for p in specified.ids if p not in set(ids)),
    )


def _rows(text: str, name: str) -> tuple[list[tuple[FormError, list[str]]], str]:
    """Place and cells of each row that says something; and the delimiter."""
    lines = list(io.StringIO(text, newline=None))
    kept = ["\n" if line.lstrip().startswith("#") else line for line in lines]
    first = next((line for line in kept if line.strip()), "")
    delimiter = ";" if ";" in first else ","
    reader = csv.reader(kept, delimiter=delimiter, strict=True, skipinitialspace=True)
    rows = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                where = FormError("points.line", name=name, line=reader.line_num)
                rows.append((where, [cell.strip() for cell in cells]))
    except csv.Error:
        where = FormError("points.line", name=name, line=reader.line_num)
        raise FormError("points.quotation", where=where) from None
    return rows, delimiter


def _columns(header: tuple[FormError, list[str]]) -> list[str]:
    """Names of the columns from the first line, checked."""
    where, cells = header
    columns = [cell.lower() for cell in cells]
    missing = [c for c in REQUIRED if c not in columns]
    if missing:
        either = say("term", "point_list", "either")
        raise FormError(
            "points.no_column",
            where=where,
            missing=either.join(missing),
            needed=REQUIRED,
        )
    extra = [c for c in columns if c not in REQUIRED + OPTIONAL or columns.count(c) > 1]
    if extra:
        raise FormError(
            "points.odd_column", where=where, column=_quoted(extra[0]), needed=REQUIRED
        )
    return columns


def _row(
    cells: list[str], columns: Sequence[str], where: FormError
) -> Mapping[str, str]:
    """Cells of one row by column; blank cells past the last column do not count."""
    if any(cells[len(columns) :]):
        raise FormError(
            "points.too_many_cells", where=where, cells=len(cells), columns=len(columns)
        )
    empty = [c for c, cell in zip_longest(columns, cells[: len(columns)]) if not cell]
    if empty:
        raise FormError("points.empty_cell", where=where, column=empty[0])
    return dict(zip(columns, cells, strict=False))


def _add_id(point_id: str, ids: dict[str, FormError], where: FormError) -> None:
    """Keep an id with its line; refuse one that is long, odd or used before."""
    if len(point_id) > LONGEST_ID or not point_id.isprintable():
        raise FormError(
            "points.long_id", where=where, id=_quoted(point_id), most=LONGEST_ID
        )
    if point_id in ids:
        raise FormError(
            "points.id_twice", where=where, id=_quoted(point_id), first=ids[point_id]
        )
    ids[point_id] = where


def _metres(
    cells: Sequence[tuple[FormError, str]], column: str, mark: str
) -> NDArray[np.float64]:
    """One column in metres, from cells in mm whose decimal mark is ``mark``."""
    values = np.array([_number(cell, column, where, mark) for where, cell in cells])
    return values / 1000


def _number(cell: str, column: str, where: FormError, mark: str) -> float:
    """Millimetres from one cell; a mark other than ``mark`` is no number."""
    plain = cell.replace("−", "-")
    if mark == ",":
        plain = plain.translate(str.maketrans(",.", ".,"))
    if not _NUMBER.fullmatch(plain):
        raise FormError(
            "points.no_number",
            where=where,
            column=column,
            cell=_quoted(cell),
            mark=repr(mark),
        )
    value = float(plain)
    if column == "limit" and not 0 < value <= LARGEST_LIMIT_MM:
        raise FormError("points.limit", where=where, value=value, most=LARGEST_LIMIT_MM)
    if abs(value) > LARGEST_COORDINATE_MM:
        raise FormError(
            "points.too_far",
            where=where,
            column=column,
            value=value,
            most=LARGEST_COORDINATE_MM,
        )
    return value


def _quoted(typed: str) -> str:
    """Return typed text short, in quotes and on one line."""
    return repr(typed[:LONGEST_ID])


def _told(ids: Sequence[str], shown: int = 5) -> str | FormError:
    """Return the first few ids for a sentence."""
    first, more = ", ".join(ids[:shown]), len(ids) - shown
    return FormError("points.and_more", ids=first, more=more) if more > 0 else first
