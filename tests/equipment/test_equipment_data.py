"""Every number from outside has a unit, a source, a date and a kind."""

import re
from dataclasses import fields
from itertools import chain as together

import pint
import pytest

from workbook.equipment import (
    KINDS,
    chain,
    chains,
    link_mass_per_length,
    pick,
    references,
    ropes,
    shop,
)
from workbook.equipment.references import read_data
from workbook.errors import OutOfRangeError
from workbook.quantities.table import UNITS

SHOP = shop()
INVENTED = [
    *SHOP.rams, *SHOP.extensions, *SHOP.heads, *SHOP.clamps, *SHOP.forks,
]  # fmt: skip
TABLES = [*read_data("chains.toml")["standard"], *read_data("ropes.toml")["table"]]
SOURCED = [*references().values(), *chains(), *ropes(), *INVENTED]


def test_every_source_is_dated_or_says_that_there_is_none():
    assert len(SOURCED) > 100
    for entry in SOURCED:
        dated = re.search(r"\b(19|20)\d\d\b", entry.source)
        no_source = entry.source.startswith("common practice, no source")

        assert dated or no_source, entry
        assert no_source == (entry.kind == "common practice"), entry


def test_every_kind_is_one_of_the_six():
    assert {entry.kind for entry in SOURCED} <= set(KINDS)


def test_every_printed_column_has_a_unit_the_workbook_knows():
    assert len(TABLES) == 9
    for table in TABLES:
        grades = table.get("grade", [table])
        printed = {
            column
            for row in together.from_iterable(grade["rows"] for grade in grades)
            for column, value in row.items()
            if isinstance(value, int | float)
        }

        assert printed == set(table["unit"]), table["name"]
        assert set(table["unit"].values()) <= set(UNITS), table["name"]


def test_every_shop_number_has_a_unit_the_workbook_knows():
    data = read_data("shop.toml")
    measured = {
        column
        for part in ("ram", "extension", "head", "clamp", "fork")
        for row in data[part]
        for column in set(row) - {"name", "slots"}
    }

    assert measured == set(data["unit"])
    assert set(data["unit"].values()) <= set(UNITS)


def test_every_single_value_is_given_in_si():
    si = {"m", "kg", "s", "N", "Pa", "m/s^2", "kg/m^3", "1"}

    assert {entry.unit for entry in references().values()} <= si
    registry = pint.UnitRegistry()
    for entry in references().values():
        one = registry.Quantity(1.0, entry.unit)
        assert one.to_base_units().magnitude == pytest.approx(1)


def test_every_part_of_the_shop_says_that_it_is_invented():
    assert len(INVENTED) >= 16
    for part in INVENTED:
        assert part.kind == "invented"
        assert part.source.startswith("invented for teaching")


def test_no_standard_or_handbook_value_is_called_invented():
    for entry in [*chains(), *ropes()]:
        assert entry.kind in {"standard", "handbook"}


def test_recalled_values_are_flagged():
    # What nobody here has read: the density clause, the wire-core rope strengths and
    # single forces of EN 818-2.
    recalled = {name for name, entry in references().items() if entry.from_memory}

    assert recalled == {"steel.density"}
    assert {found.rope_class for found in ropes() if found.from_memory} == {
        "6x19 IPS IWRC",
        "6x19 EIP IWRC",
    }
    assert {found.standard for found in chains() if found.from_memory} == {"EN 818-2"}


def test_a_recalled_force_is_one_the_chain_has():
    for found in chains():
        named = {entry.name for entry in fields(found)}

        assert set(found.from_memory) <= named
        for force in found.from_memory:
            assert getattr(found, force) is not None


def test_no_chain_may_carry_what_proves_or_breaks_it():
    # What it may carry < what every length was tested with < what breaks it.
    for found in chains():
        assert found.rating == found.working_load_limit
        if found.proof_force is not None:
            assert 2 * found.working_load_limit < 1.05 * found.proof_force
        if found.breaking_force is not None:
            assert found.proof_force < found.breaking_force


def test_cargo_chain_weighs_what_lifting_chain_of_its_size_does():
    # Cargo rules give no mass: each size takes the mass of its EN 818-2 namesake.
    for found in chains("49 CFR 393.108"):
        size = round(found.nominal_diameter * 1000)
        if size == 11:
            continue
        lifting = chain(standard="EN 818-2", grade="8", size_mm=size)

        assert found.mass_per_length == lifting.mass_per_length
        assert found.mass_source == f"EN 818-2:1996+A1:2008, grade 8 chain of {size} mm"


def test_a_size_without_a_namesake_takes_its_mass_from_the_link_shape():
    eleven = chain(standard="49 CFR 393.108", grade="70", size="7/16 in")

    # The same metal per length as any short link: mass grows with d squared.
    ten = link_mass_per_length(0.010)
    assert eleven.mass_per_length == pytest.approx(ten * 1.1**2, rel=1e-12)
    assert eleven.mass_source.startswith("link shape: pitch 3 d, inside width 1.3 d")


@pytest.mark.parametrize(
    ("size", "printed"),
    [(6, 0.786), (7, 1.070), (8, 1.398), (10, 2.184), (13, 3.690), (16, 5.590)],
)
def test_link_shape_mass_equals_a_separate_working(size, printed):
    # Worked apart from this code: wire of one link is two legs of 1.7 d and two half
    # circles of radius 1.15 d, every 3 d, at 7850 kg/m3. Three decimals.
    assert link_mass_per_length(size / 1000) == pytest.approx(printed, abs=6e-4)


def test_chain_stiffness_is_two_legs_of_steel_and_says_it_is_an_assumption():
    # 8 mm: 2 x 50.27 mm2 x 210 GPa (EN 1993-1-1:2005, 3.2.6(1)) = 21.11 MN.
    eight = chain(standard="EN 818-2", grade="8", size_mm=8)

    assert eight.axial_stiffness == pytest.approx(21.11e6, rel=5e-4)
    assert eight.stiffness_source.startswith("common practice")
    assert "real chain stretches more" in eight.stiffness_source


def test_one_slot_of_every_fork_lies_on_the_set_out_line():
    for fork in SHOP.forks:
        offsets = fork.slot_offsets

        assert len(offsets) == fork.slots
        assert offsets.sum() == pytest.approx(0, abs=1e-12)
        assert 0.0 in offsets
        assert offsets[-1] - offsets[-2] == pytest.approx(fork.slot_spacing)


def test_every_ram_reaches_its_rated_force_below_700_bar():
    # 700 bar is the highest pressure any exercise of the course asks for.
    for ram in SHOP.rams:
        pressure = ram.pressure_for(ram.rated_force)

        assert 100e5 < pressure < 700e5
        assert ram.force_at(pressure) == pytest.approx(ram.rated_force)


def test_names_in_the_shop_are_all_different():
    names = [part.name for part in [*INVENTED, *SHOP.chains]]

    assert len(set(names)) == len(names)


def test_a_part_the_shop_does_not_have_is_refused_with_what_it_has():
    with pytest.raises(OutOfRangeError, match="no 'ram 99'; choose one of: ram 30"):
        pick(SHOP.rams, "ram 99")
