"""Chains: what a standard lets them carry, what breaks them, what they weigh."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from math import pi
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from workbook.equipment.references import in_si, read_data, reference
from workbook.errors import OutOfRangeError
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Mapping

UNMARKED = {None, "unmarked"}


@dataclass(frozen=True, kw_only=True)
class Chain:
    """One size and grade of chain.

    ``working_load_limit`` is what it may carry, ``proof_force`` what every length
    was tested with and ``breaking_force`` what a new one stands at least [N]; the
    last two are ``None`` where the standard gives none. ``printed_limit`` has the
    limit as printed, by printed unit. ``nominal_diameter`` of the link wire and
    ``pitch`` are lengths [m]. ``mass_per_length`` [kg/m] is that of the standard's
    chain of ``mass_size_mm``, or follows from the shape of the links where that is
    ``None``. ``from_memory`` names what was recalled and not read. ``marked`` is
    false where no grade was found on the links: ``grade`` is then what a standard
    counts such a chain as.
    """

    standard: str
    grade: str
    size: str
    nominal_diameter: float
    working_load_limit: float
    printed_limit: Mapping[str, float] = field(hash=False)
    proof_force: float | None
    breaking_force: float | None
    pitch: float
    mass_per_length: float
    mass_size_mm: float | None
    purpose: str
    source: str
    kind: str
    from_memory: tuple[str, ...]
    marked: bool = True

    @property
    def basis(self) -> str:
        """What its rating is for: the standard's purpose, or ``"unmarked"``."""
        return self.purpose if self.marked else "unmarked"

    @property
    def name(self) -> str:
        """Size, grade and standard in words."""
        return f"{self.size} chain, grade {self.grade}, {self.standard}"

    @property
    def rating(self) -> float:
        """What it may carry: the working load limit [N]."""
        return self.working_load_limit

    @property
    def mass_source(self) -> str:
        """What `mass_per_length` rests on."""
        if self.mass_size_mm is None:
            return say("equipment", "mass_by_shape")
        return say("equipment", "mass_by_table", size_mm=self.mass_size_mm)

    @property
    def metal_area(self) -> float:
        """Cross-section of the two legs of a link [m^2]."""
        return 2 * pi / 4 * self.nominal_diameter**2

    @property
    def mean_breaking_stress(self) -> float:
        """Breaking force over metal area, the stress that names a grade [Pa]."""
        if self.breaking_force is None:
            raise OutOfRangeError(
                "equipment.no_breaking_force",
                standard=self.standard,
                size=self.size,
                grade=self.grade,
            )
        return self.breaking_force / self.metal_area

    @property
    def axial_stiffness(self) -> float:
        """Tension per unit strain, EA, as `stiffness_source` has it [N]."""
        return reference("steel.youngs_modulus").value * self.metal_area

    @property
    def stiffness_source(self) -> str:
        """What `axial_stiffness` rests on."""
        return say("equipment", "chain_stiffness")


def link_mass_per_length(nominal_diameter: float) -> float:
    r"""Return the mass of short-link chain by the shape of its links.

    A link is two straight legs joined by half circles, of wire that keeps its
    diameter at the weld.

    Parameters
    ----------
    nominal_diameter : float
        Diameter of the link wire. [m]

    Returns
    -------
    float
        Mass per length of chain. [kg/m]

    Notes
    -----
    With pitch :math:`p d` and inside width :math:`b d` the centre line of the wire
    bends at radius :math:`r = (b + 1) d / 2`, and one link, one pitch long, has

    .. math:: 2 \left[(p + 1) d - 2 r\right] + 2 \pi r

    of wire. EN 818-2 prints masses within 3 % of this from 6 mm to 16 mm.

    Examples
    --------
    >>> round(link_mass_per_length(0.010), 3)
    2.184
    """
    d = nominal_diameter
    pitch = reference("short_link.pitch_ratio").value * d
    r = (reference("short_link.inside_width_ratio").value + 1) * d / 2
    wire = 2 * (pitch + d - 2 * r) + 2 * pi * r
    return reference("steel.density").value * pi / 4 * d**2 * wire / pitch


def chains(standard: str | None = None) -> tuple[Chain, ...]:
    """Return every chain, or those of one standard, in the order of the tables.

    Examples
    --------
    >>> sorted({chain.standard for chain in chains()})
    ['49 CFR 393.108', 'EN 818-2', 'EN 818-3']
    >>> len(chains("EN 818-3"))
    5
    """
    found = tuple(c for c in _all() if standard in {None, c.standard})
    if not found:
        raise OutOfRangeError(
            "equipment.no_standard", standard=standard, known=[*_tables()]
        )
    return found


def chain(
    *,
    standard: str,
    grade: str | None,
    size: str | None = None,
    size_mm: float | None = None,
) -> Chain:
    """Return the chain of a standard, grade and size.

    Parameters
    ----------
    standard : str
        ``"49 CFR 393.108"``, ``"EN 818-2"`` or ``"EN 818-3"``.
    grade : str or None
        Any of the marks of the grade, as found on the links. ``None`` or
        ``"unmarked"`` where nothing is found: 49 CFR 393.108 (d) counts that as
        grade 30; the other standards rate no unmarked chain.
    size : str, optional
        Size in inches, ``"3/8 in"``, or in millimetres, ``"10 mm"``.
    size_mm : float, optional
        Nominal size in millimetres; give this or ``size``.

    Returns
    -------
    Chain

    Raises
    ------
    OutOfRangeError
        If the standard does not list such a chain.

    Examples
    --------
    >>> light = chain(standard="49 CFR 393.108", grade="80", size="3/8 in")
    >>> round(light.working_load_limit)
    31582
    >>> light.printed_limit["lb"], light.printed_limit["kg"]
    (7100, 3200)
    >>> light.breaking_force is None
    True
    """
    if (size is None) == (size_mm is None):
        raise OutOfRangeError("equipment.one_size")
    wanted = f"{size_mm:g} mm" if size is None else size
    name = _grade_named(standard, grade)
    same = [c for c in chains(standard) if c.grade == name]
    for each in same:
        if wanted in each.size.removesuffix(")").split(" ("):
            return replace(each, marked=grade not in UNMARKED)
    raise OutOfRangeError(
        "equipment.no_chain",
        standard=standard,
        size=wanted,
        grade=name,
        known=[each.size for each in same],
    )


def _grade_named(standard: str, grade: str | None) -> str:
    """Return the grade a mark stands for in a standard."""
    if standard not in _tables():
        raise OutOfRangeError(
            "equipment.no_standard", standard=standard, known=[*_tables()]
        )
    table = _tables()[standard]
    if grade in UNMARKED:
        if "unmarked_grade" in table:
            return str(table["unmarked_grade"])
        raise OutOfRangeError("equipment.unmarked", standard=standard)
    for entry in table["grade"]:
        if grade in entry["marks"]:
            return str(entry["marks"][0])
    raise OutOfRangeError(
        "equipment.no_grade",
        standard=standard,
        grade=grade,
        known=[entry["marks"][0] for entry in table["grade"]],
    )


@cache
def _tables() -> dict[str, dict[str, Any]]:
    return {table["name"]: table for table in read_data("chains.toml")["standard"]}


@cache
def _all() -> tuple[Chain, ...]:
    return tuple(
        _chain(table, entry["marks"][0], row)
        for table in _tables().values()
        for entry in table["grade"]
        for row in entry["rows"]
    )


# Columns that hold a limit, and their unit as printed. Of two, the first here counts:
# the pound column.
_LIMITS = {"limit_lb": "lb", "limit_kg": "kg", "limit_t": "t"}


def _chain(table: Mapping[str, Any], grade: str, row: Mapping[str, Any]) -> Chain:
    si = in_si(row, unit=table["unit"])
    diameter = si["size"]
    mass, mass_size = _mass(row["size"])
    size = f"{row['size']} mm"
    return Chain(
        standard=table["name"],
        grade=grade,
        size=f"{size} ({row['inch']} in)" if "inch" in row else size,
        nominal_diameter=diameter,
        working_load_limit=si[next(column for column in _LIMITS if column in row)],
        printed_limit=MappingProxyType(
            {unit: row[column] for column, unit in _LIMITS.items() if column in row}
        ),
        proof_force=si.get("proof"),
        breaking_force=si.get("breaking"),
        pitch=si.get("pitch", reference("short_link.pitch_ratio").value * diameter),
        mass_per_length=mass,
        mass_size_mm=mass_size,
        purpose=table["purpose"],
        source=table["source"],
        kind=table["kind"],
        from_memory=tuple(f"{column}_force" for column in row.get("from_memory", ())),
    )


def _mass(size_mm: float) -> tuple[float, float | None]:
    """Return mass per length and the size it is printed for; most tables give none."""
    (entry,) = _tables()["EN 818-2"]["grade"]
    for row in entry["rows"]:
        if row["size"] == size_mm:
            return float(row["mass"]), size_mm
    return link_mass_per_length(size_mm / 1000), None
