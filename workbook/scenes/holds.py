"""What holds a body on the bench: clamps, stands and its weight, as a file.

A hold is a TOML file in millimetres and kilonewtons; ``README.md`` beside this
module explains its keys. Its heights are above the bench's top, as those of
set-up files are, so that pulls and clamps share one frame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from workbook.errors import FormError
from workbook.mechanics.holding.anchoring import Clamps, Stands
from workbook.mechanics.holding.wrenches import ORIGIN, net_wrench
from workbook.mechanics.vectors import Array
from workbook.scenes.forms import PLACE, Key, read_form, read_rows, read_table

MOST_SUPPORTS = 40

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
    title, data = read_form(text, what="clamp", tables=TABLES)
    clamps, stands = (
        read_rows(data.get(kind, []), keys=TABLES[kind], kind=kind)
        for kind in ("clamp", "stand")
    )
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
    nothing = dict.fromkeys(BODY, 0)
    body = read_table(data.get("body", nothing), keys=BODY, name="body")
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


def _column(rows: Sequence[Mapping[str, Any]], *keys: str) -> Array:
    return np.array([np.concatenate([row[key] for key in keys]) for row in rows])
