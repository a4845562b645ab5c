"""What holds a body on the bench: clamps, stands and its weight, as a file.

A hold is a TOML file in millimetres and kilonewtons; ``README.md`` beside this
module explains its keys. Its heights are above the bench's top, as those of
set-up files are, so that pulls and clamps share one frame.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

import numpy as np

from workbook.errors import FormError
from workbook.mechanics.anchoring import Clamps, Stands
from workbook.mechanics.vectors import Array
from workbook.mechanics.wrenches import ORIGIN, net_wrench
from workbook.units import factor

FORM = 1
LONGEST_FILE = 100_000  # bytes; a hold has a few thousand
MOST_SUPPORTS = 40
LONGEST_NAME = 40


@dataclass(frozen=True, kw_only=True)
class Key:
    """A number of the form, or a row of ``count`` numbers, with its limits."""

    meaning: str
    unit: str
    low: float
    high: float
    start: tuple[float, ...] | None = None
    count: int = 1


PLACE: Mapping[str, Key] = {
    "forward_mm": Key(
        meaning="forward of the zero plane", unit="mm", low=-5000, high=5000
    ),
    "left_mm": Key(
        meaning="to the left of the centre-line", unit="mm", low=-1500, high=1500
    ),
    "height_mm": Key(meaning="above the bench's top", unit="mm", low=-500, high=2500),
}
CLAMP: Mapping[str, Key] = {
    **PLACE,
    "stiffness_kn_per_mm": Key(
        meaning="forward, sideways and upward",
        unit="kN/mm", low=0, high=1000, count=3,
    ),
    "rating_kn": Key(meaning="greatest force on it", unit="kN", low=0.1, high=1000),
    "slip_kn": Key(
        meaning="force forward and upward at which the jaws slide on the flange",
        unit="kN", low=0.1, high=1000, start=(np.inf,),
    ),
}  # fmt: skip
STAND: Mapping[str, Key] = {
    **PLACE,
    "stiffness_kn_per_mm": Key(
        meaning="along the way it pushes", unit="kN/mm", low=0, high=1000
    ),
    "rating_kn": Key(meaning="greatest push", unit="kN", low=0.1, high=1000),
    "pushes": Key(
        meaning="the way it pushes the body: forward, left, up",
        unit="1", low=-1, high=1, start=(0, 0, 1), count=3,
    ),
}  # fmt: skip
BODY: Mapping[str, Key] = {
    "weight_kn": Key(meaning="weight of the body", unit="kN", low=0, high=100),
    **PLACE,
}
TABLES: Mapping[str, Mapping[str, Key]] = {"clamp": CLAMP, "stand": STAND, "body": BODY}


@dataclass(frozen=True, kw_only=True)
class Hold:
    """Clamps and stands by name, and the weight that rests on them.

    Attributes
    ----------
    title : str
        Free text.
    names, stand_names : tuple of str
        In the order of ``clamps`` and ``stands``.
    clamps : Clamps
        Axes are the vehicle's: pinch welds run along x.
    stands : Stands or None
        None if there are none.
    weight : float
        Of the body. [N]
    weight_at : ndarray, shape (3,)
        Where it acts. [m]
    """

    title: str
    names: tuple[str, ...]
    clamps: Clamps
    stand_names: tuple[str, ...] = ()
    stands: Stands | None = None
    weight: float = 0.0
    weight_at: Array

    @property
    def all_names(self) -> tuple[str, ...]:
        """Clamps first, then stands, in the order of `HeldBody.shares`."""
        return (*self.names, *self.stand_names)

    @property
    def weight_wrench(self) -> Array:
        """Weight as a wrench about the origin, shape (6,) [N, N m]."""
        down = [[0.0, 0.0, -self.weight]]
        return net_wrench(down, points=[self.weight_at], about=ORIGIN)


def hold_from_toml(text: str | bytes) -> Hold:
    """Read the file of a hold.

    Parameters
    ----------
    text : str or bytes
        What the file holds.

    Returns
    -------
    Hold

    Raises
    ------
    FormError
        One sentence that names the key, or the line, and the way out.
    """
    data = _parsed(text)
    if data.pop("form", None) != FORM:
        msg = f"the first line must be `form = {FORM}`, the version of this form"
        raise FormError(msg)
    title = data.pop("title", "")
    if not isinstance(title, str) or len(title) > 200:
        msg = "title must be text of at most 200 characters"
        raise FormError(msg)
    _known(data, TABLES, "a table of this form")
    clamps, stands = (_rows(data.get(kind, []), kind) for kind in ("clamp", "stand"))
    if not clamps:
        msg = "there is no [[clamp]]: a hold needs at least one"
        raise FormError(msg)
    if len(clamps) + len(stands) > MOST_SUPPORTS:
        msg = f"{len(clamps) + len(stands)} clamps and stands; at most {MOST_SUPPORTS}"
        raise FormError(msg)
    names = [row["name"] for row in (*clamps, *stands)]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        msg = f"two clamps or stands are called {twice!r}: give each its own name"
        raise FormError(msg)
    body = _body(data.get("body"))
    return Hold(
        title=title,
        names=tuple(names[: len(clamps)]),
        clamps=Clamps(
            positions=_column(clamps, *PLACE),
            stiffness=_column(clamps, "stiffness_kn_per_mm"),
            ratings=_column(clamps, "rating_kn")[:, 0],
            slip_limits=_column(clamps, "slip_kn")[:, 0],
        ),
        stand_names=tuple(names[len(clamps) :]),
        stands=_stands(stands),
        weight=float(body["weight_kn"][0]),
        weight_at=np.concatenate([body[key] for key in PLACE]),
    )


def _stands(rows: Sequence[Mapping[str, Any]]) -> Stands | None:
    if not rows:
        return None
    return Stands(
        positions=_column(rows, *PLACE),
        normals=_column(rows, "pushes"),
        stiffness=_column(rows, "stiffness_kn_per_mm")[:, 0],
        ratings=_column(rows, "rating_kn")[:, 0],
    )


def _body(entry: object) -> dict[str, Any]:
    """Read the weight; none if the file gives none."""
    if entry is None:
        return {key: np.zeros(1) for key in BODY}
    if not isinstance(entry, dict):
        msg = "body must be one table, [body]"
        raise FormError(msg)
    return _read(entry, BODY, "body")


def _column(rows: Sequence[Mapping[str, Any]], *keys: str) -> Array:
    return np.array([np.concatenate([row[key] for key in keys]) for row in rows])


def _rows(entries: object, kind: str) -> list[dict[str, Any]]:
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        msg = f"{kind} must be tables, each under its own [[{kind}]]"
        raise FormError(msg)
    rows = []
    for number, entry in enumerate(entries, start=1):
        given = dict(entry)
        name = given.pop("name", None)
        if not isinstance(name, str) or not 0 < len(name.strip()) <= LONGEST_NAME:
            msg = (
                f"{kind} {number} needs a name, text of at most {LONGEST_NAME} "
                "characters"
            )
            raise FormError(msg)
        if not name.isprintable():
            msg = f"the name of {kind} {number} must be plain characters"
            raise FormError(msg)
        rows.append({"name": name, **_read(given, TABLES[kind], f"{kind} {name!r}")})
    return rows


def _read(given: dict[str, Any], keys: Mapping[str, Key], where: str) -> dict[str, Any]:
    """Return every key's numbers in SI, each a row (count,)."""
    _known(given, keys, f"a key of {where}")
    return {name: _numbers(given, name, key, where) for name, key in keys.items()}


def _numbers(given: dict[str, Any], name: str, key: Key, where: str) -> Array:
    if name not in given:
        if key.start is None:
            msg = f"{where} has no {name}: give it"
            raise FormError(msg)
        return np.array(key.start, dtype=float)
    values = given[name] if key.count > 1 else [given[name]]
    if not isinstance(values, list) or len(values) != key.count:
        msg = f"{where}: {name} must be {key.count} numbers, {key.meaning}"
        raise FormError(msg)
    for value in values:
        if isinstance(value, bool) or not isinstance(value, int | float):
            msg = f"{where}: {name} must be a number in {key.unit}, not {value!r:.40}"
            raise FormError(msg)
        if not key.low <= value <= key.high:
            shown = f"{value:g}" if isinstance(value, float) else str(value)[:20]
            msg = (
                f"{where}: {name} = {shown} is outside {key.low:g} to {key.high:g} "
                f"{key.unit}"
            )
            raise FormError(msg)
    return np.array(values, dtype=float) * factor(key.unit)


def _known(given: Mapping[str, Any], keys: Mapping[str, Any], what: str) -> None:
    for name in given:
        if name not in keys:
            near = get_close_matches(name, keys, n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            msg = f"{name[:60]} is not {what}{hint}"
            raise FormError(msg)


def _parsed(text: str | bytes) -> dict[str, Any]:
    if len(text) > LONGEST_FILE:
        msg = f"a clamp file has at most {LONGEST_FILE} bytes; this one has {len(text)}"
        raise FormError(msg)
    try:
        words = text.decode("utf-8-sig") if isinstance(text, bytes) else text
    except UnicodeDecodeError as error:
        msg = "this is not a text file: clamps are TOML text in UTF-8"
        raise FormError(msg) from error
    if not words.strip():
        msg = f"this file is empty: a clamp file begins with `form = {FORM}`"
        raise FormError(msg)
    try:
        return tomllib.loads(words)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        msg = f"this is not TOML: {error}"
        raise FormError(msg) from error
