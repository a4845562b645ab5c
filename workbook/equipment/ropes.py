"""Wire ropes: what breaks them, or what a rule lets them carry."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from workbook.equipment.references import in_si, read_data, reference
from workbook.errors import OutOfRangeError
from workbook.language import say
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, kw_only=True)
class WireRope:
    """One size and class of wire rope.

    A table gives either the nominal ``breaking_force`` or the
    ``working_load_limit`` [N]; the other is ``None`` and is not worked out.
    ``printed`` has the value as printed, by unit. ``diameter`` [m];
    ``mass_per_length`` [kg/m] where the table gives it.
    """

    rope_class: str
    size: str
    diameter: float
    breaking_force: float | None
    working_load_limit: float | None
    printed: Mapping[str, float] = field(hash=False)
    mass_per_length: float | None
    source: str
    kind: str
    from_memory: bool

    @property
    def name(self) -> str:
        """Size and class in words."""
        return say("equipment", "wire_rope", size=self.size, of=self.rope_class)

    @property
    def basis(self) -> str:
        """What its rating rests on."""
        return self.kind

    @property
    def rating(self) -> float | None:
        """What it may carry, if the table says: the working load limit [N]."""
        return self.working_load_limit

    @property
    def axial_stiffness(self) -> float:
        """Tension per unit strain, EA, by common practice [N]."""
        metal_area = reference("wire_rope.metal_area_ratio").value * self.diameter**2
        return reference("wire_rope.youngs_modulus").value * metal_area


def ropes(rope_class: str | None = None) -> tuple[WireRope, ...]:
    """Return every wire rope, or those of one class, in the order of the tables.

    Examples
    --------
    >>> ropes("6x37 fibre core")[0].printed["lbf"]
    1400
    """
    found = tuple(r for r in _all() if rope_class in {None, r.rope_class})
    if not found:
        classes = dict.fromkeys(r.rope_class for r in _all())
        raise OutOfRangeError(
            "equipment.no_rope_class", rope_class=rope_class, known=[*classes]
        )
    return found


def rope(*, rope_class: str, size: str) -> WireRope:
    """Return the wire rope of a class and size.

    Parameters
    ----------
    rope_class : str
        Construction, steel and core, as in the tables.
    size : str
        Diameter in inches, ``"3/8 in"``.

    Returns
    -------
    WireRope

    Raises
    ------
    OutOfRangeError
        If no such rope is listed.

    Examples
    --------
    >>> strong = rope(rope_class="6x19 IPS fibre core", size="3/8 in")
    >>> round(strong.breaking_force), strong.working_load_limit
    (54268, None)
    """
    same = ropes(rope_class)
    for each in same:
        if each.size == size:
            return each
    raise OutOfRangeError(
        "equipment.no_rope",
        size=size,
        rope_class=rope_class,
        known=[each.size for each in same],
    )


@cache
def _all() -> tuple[WireRope, ...]:
    return tuple(
        _rope(table, row)
        for table in read_data("ropes.toml")["table"]
        for row in table["rows"]
    )


def _rope(table: Mapping[str, Any], row: Mapping[str, Any]) -> WireRope:
    unit = table["unit"]
    si = in_si(row, unit=unit)
    breaking = [si[column] for column in row if column.startswith("breaking")]
    limit = [si[column] for column in row if column.startswith("limit")]
    return WireRope(
        rope_class=table["name"],
        size=f"{row['inch']} in",
        diameter=float(Fraction(row["inch"])) * factor("in"),
        # The first printed column counts; the others are only shown.
        breaking_force=next(iter(breaking), None),
        working_load_limit=next(iter(limit), None),
        printed=MappingProxyType(
            {
                unit[column]: row[column]
                for column in row
                if unit.get(column, "kg/m") != "kg/m"
            }
        ),
        mass_per_length=si.get("mass"),
        source=table["source"],
        kind=table["kind"],
        from_memory=table.get("from_memory", False),
    )
