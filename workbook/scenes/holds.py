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
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import ORIGIN, net_wrench
from workbook.mechanics.vectors import Array
from workbook.scenes.fields import Field, read_fields
from workbook.scenes.forms import PLACE, read_form, read_rows, read_table

MOST_SUPPORTS = 40

CLAMP = {**PLACE, **read_fields("hold.clamp")}
STAND = {**PLACE, **read_fields("hold.stand")}
BODY = {**read_fields("hold.body"), **PLACE}
TABLES: Mapping[str, Mapping[str, Field]] = {
    "clamp": CLAMP,
    "stand": STAND,
    "body": BODY,
}


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
        read_rows(data.get(kind, []), fields=TABLES[kind], kind=kind)
        for kind in ("clamp", "stand")
    )
    if not clamps:
        raise FormError("hold.no_clamp")
    if len(clamps) + len(stands) > MOST_SUPPORTS:
        raise FormError(
            "hold.too_many", supports=len(clamps) + len(stands), most=MOST_SUPPORTS
        )
    names = [row["name"] for row in (*clamps, *stands)]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise FormError("hold.twice", name=repr(twice))
    nothing = dict.fromkeys(BODY, 0)
    body = read_table(data.get("body", nothing), fields=BODY, name="body")
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
