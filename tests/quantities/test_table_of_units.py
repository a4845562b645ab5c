"""The table of units against pint, and against itself."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.quantities.table import KINDS, UNITS, kind_of, unit_in
from workbook.quantities.units import SYSTEMS, factor

REGISTRY = pint.UnitRegistry()
# What pint calls a unit, where it reads our name of it otherwise or not at all.
CALLED = {
    "in": "inch",
    "kgf": "kilogram_force",
    "tf": "metric_ton * standard_gravity",
    "tf m": "metric_ton * standard_gravity * meter",
    "tf/mm": "metric_ton * standard_gravity / millimeter",
    "lbf/in": "pound_force / inch",
    "short tf": "force_ton",
    "long tf": "long_ton * standard_gravity",
    "ft lbf": "foot * pound_force",
    "lbf ft": "pound_force * foot",
    "kN m": "kilonewton * meter",
    "N m": "newton * meter",
    "min": "minute",
    "L/min": "liter / minute",
    "in³/min": "inch ** 3 / minute",
    "%": "percent",
    "1": "dimensionless",
}
BASE = {
    "m": "meter", "N": "newton", "Pa": "pascal", "rad": "radian", "J": "joule",
    "N m": "newton * meter", "kg": "kilogram", "kg/m": "kilogram / meter",
    "N/m": "newton / meter", "s": "second", "m³/s": "meter ** 3 / second",
    "": "dimensionless",
}  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
def test_a_unit_is_worth_what_pint_says(unit):
    theirs = REGISTRY.Quantity(1.0, CALLED.get(unit, unit)).to_base_units().magnitude

    # pint multiplies rounded numbers, so it may be off in the last place.
    assert factor(unit) == pytest.approx(theirs, rel=1e-15)


@pytest.mark.parametrize("kind", KINDS)
def test_all_units_of_a_kind_measure_it(kind):
    row = KINDS[kind]
    shown = {system.unit[kind] for system in SYSTEMS.values()}
    si = "radian" if kind == "angle" else BASE[row.si]

    assert not row.typed or shown <= {*row.typed}
    for unit in {*row.typed, *shown}:
        one = REGISTRY.Quantity(1.0, CALLED.get(unit, unit))
        assert one.to(si).magnitude == pytest.approx(factor(unit), rel=1e-15)


def test_every_unit_is_one_that_is_typed_for_some_kind():
    assert {unit for row in KINDS.values() for unit in row.typed} == set(UNITS)
    for unit in UNITS:
        assert unit in KINDS[kind_of(unit)].typed


def test_no_spelling_stands_for_two_units():
    spellings = [word for unit in UNITS.values() for word in unit.spellings.split()]

    assert len(set(spellings)) == len(spellings) > 80
    # As a reader's text arrives: folded, and without what is taken out of it.
    assert all(word == word.casefold() for word in spellings)
    assert not {*" .·^-"} & {*"".join(spellings)}


@given(number=st.floats(1e-3, 1e6), kind=st.sampled_from(sorted(KINDS)))
def test_a_shown_number_is_the_value_to_its_last_decimal(number, kind):
    for system in SYSTEMS.values():
        unit = system.unit[kind]
        shown = system.show(number * factor(unit), kind)

        ending = UNITS[unit].ending
        bare = shown.removesuffix(f" {unit}" if ending is None else ending)
        last = 10.0 ** -system.digits[kind]
        assert float(bare) == pytest.approx(number, abs=0.5001 * last, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("chain_angle_deg", "deg"),
        ("useful_pull_kn", "kN"),
        ("stiffness_kn_per_mm", "kN/mm"),
        ("gauge_bar", "bar"),
        ("turning_kn_m", "kN m"),
        ("rating_margin", "1"),
        ("mm", "1"),
        ("pushes", "1"),
    ],
)
def test_a_name_ends_with_its_unit(name, unit):
    assert unit_in(name) == unit
