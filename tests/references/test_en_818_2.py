"""Grade 8 short-link chain against EN 818-2 and the rules its table rests on."""

import pytest

from workbook.equipment import chain, chains, link_mass_per_length
from workbook.errors import OutOfRangeError

CHAINS = chains("EN 818-2")

# EN 818-2:1996+A1:2008, grade 8, as printed on chain makers' pages: size mm, working
# load limit t, proof force kN, breaking force kN (None: not printed), mass kg/m.
# From memory: proof of 8 and 10 mm, breaking force of 7, 10, 13 and 16 mm.
PRINTED = [
    (4, 0.5, 12.6, 20.1, 0.35),
    (5, 0.8, 19.6, 31.4, 0.5),
    (6, 1.12, 28.3, 45.2, 0.79),
    (7, 1.5, 38.5, 61.6, 1.04),
    (8, 2.0, 50.3, 80.4, 1.38),
    (10, 3.15, 78.5, 126, 2.20),
    (13, 5.3, 133, 212, 3.80),
    (16, 8.0, 201, 322, 5.62),
    (18, 10, 250, None, 7.10),
    (20, 12.5, 314, None, 8.70),
    (22, 15, 375, None, 10.8),
    (26, 21.2, 530, None, 14.2),
]


def grade_8(size_mm):
    return chain(standard="EN 818-2", grade="8", size_mm=size_mm)


@pytest.mark.parametrize(("size", "limit", "proof", "breaking", "mass"), PRINTED)
def test_each_size_has_its_printed_row(size, limit, proof, breaking, mass):
    found = grade_8(size)

    assert found.working_load_limit == pytest.approx(limit * 9806.65, rel=1e-12)
    assert found.proof_force == pytest.approx(proof * 1e3, rel=1e-12)
    assert found.mass_per_length == mass
    if breaking is None:
        assert found.breaking_force is None
    else:
        assert found.breaking_force == pytest.approx(breaking * 1e3, rel=1e-12)


@pytest.mark.parametrize("size", [4, 5, 6, 7, 8, 10, 13, 16])
def test_grade_8_breaks_at_a_mean_stress_of_800_mpa(size):
    # Grade 8 is named after 800 N/mm2 over both legs of a link; the table prints
    # three figures.
    assert grade_8(size).mean_breaking_stress == pytest.approx(800e6, rel=5e-3)


@pytest.mark.parametrize("size", [4, 5, 6, 7, 8, 10, 13, 16, 20, 26])
def test_grade_8_is_proved_at_a_mean_stress_of_500_mpa(size):
    # Three printed figures. The pages print 18 mm and 22 mm more coarsely.
    found = grade_8(size)

    stress = found.proof_force / found.metal_area
    assert stress == pytest.approx(500e6, rel=5e-3)


@pytest.mark.parametrize(("size", "proof"), [(18, 250e3), (22, 375e3)])
def test_coarsely_printed_proof_forces_stay_below_500_mpa(size, proof):
    # 254 kN and 380 kN by the rule; printed 250 and 375, rounded down to 2 %.
    found = grade_8(size)

    assert found.proof_force == proof
    assert 0.98 < found.proof_force / (500e6 * found.metal_area) < 1


@pytest.mark.parametrize("size", [4, 5, 6, 7, 8, 10, 13, 16])
def test_working_load_limit_is_a_quarter_of_the_breaking_force_rounded_down(size):
    # Breaking force / 4, rounded down to a preferred number: at most 5 % below.
    found = grade_8(size)

    assert 0.95 < 4 * found.working_load_limit / found.breaking_force < 1


@pytest.mark.parametrize("size", [6, 7, 8, 10, 13, 16])
def test_printed_mass_is_that_of_the_link_shape(size):
    # Pitch 3 d, inside width 1.3 d, 7850 kg/m3. A plausibility check: real links
    # are not quite so, hence 3 %.
    found = grade_8(size)

    by_shape = link_mass_per_length(found.nominal_diameter)
    assert by_shape == pytest.approx(found.mass_per_length, rel=0.03)


def test_pitch_is_three_link_wires():
    # As printed for all twelve sizes; tables without a pitch follow it.
    assert len(CHAINS) == 12
    for found in chains():
        assert found.pitch == pytest.approx(3 * found.nominal_diameter, rel=1e-12)


def test_recalled_forces_are_flagged():
    recalled = {found.size: found.from_memory for found in CHAINS if found.from_memory}

    assert recalled == {
        "7 mm": ("breaking_force",),
        "8 mm": ("proof_force",),
        "10 mm": ("proof_force", "breaking_force"),
        "13 mm": ("breaking_force",),
        "16 mm": ("breaking_force",),
    }


def test_unmarked_chain_has_no_lifting_rating():
    with pytest.raises(OutOfRangeError, match="no tag, no use"):
        chain(standard="EN 818-2", grade=None, size_mm=8)
