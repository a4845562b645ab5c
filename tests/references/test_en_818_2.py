"""Grade 8 short-link chain against EN 818-2 and the rules its table rests on."""

import pytest

from workbook.equipment import chain, chains, link_mass_per_length
from workbook.errors import OutOfRangeError

CHAINS = chains("EN 818-2")

# EN 818-2:1996+A1:2008, grade 8, as printed on chain makers' pages: size mm, working
# load limit t, proof force kN, breaking force kN (None: not printed), mass kg/m.
# From memory: proof of 8, 10, 18 and 22 mm, breaking force of 7, 10, 13 and 16 mm. The
# pages print proof forces of 250 kN for 18 mm and 375 kN for 22 mm, 25 kN a tonne;
# that is not how any other row was made, nor EN 818-3 (see below).
PRINTED = [
    (4, 0.5, 12.6, 20.1, 0.35),
    (5, 0.8, 19.6, 31.4, 0.5),
    (6, 1.12, 28.3, 45.2, 0.79),
    (7, 1.5, 38.5, 61.6, 1.04),
    (8, 2.0, 50.3, 80.4, 1.38),
    (10, 3.15, 78.5, 126, 2.20),
    (13, 5.3, 133, 212, 3.80),
    (16, 8.0, 201, 322, 5.62),
    (18, 10, 254, None, 7.10),
    (20, 12.5, 314, None, 8.70),
    (22, 15, 380, None, 10.8),
    (26, 21.2, 530, None, 14.2),
]


def grade_8(size_mm):
    return chain(standard="EN 818-2", grade="8", size_mm=size_mm)


@pytest.mark.kind(
    "chain", "limit, proof, breaking force and mass of each size", "EN 818-2"
)
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


@pytest.mark.kind(
    "chain.mean_breaking_stress", "stress that names the grade", "EN 818-2"
)
@pytest.mark.parametrize("size", [4, 5, 6, 7, 8, 10, 13, 16])
def test_grade_8_breaks_at_a_mean_stress_of_800_mpa(size):
    # Grade 8 is named after 800 N/mm2 over both legs of a link; the table prints
    # three figures.
    assert grade_8(size).mean_breaking_stress == pytest.approx(800e6, rel=5e-3)


@pytest.mark.kind("chain.metal_area", "stress at the proof force", "EN 818-2")
@pytest.mark.parametrize("size", [4, 5, 6, 7, 8, 10, 13, 16, 18, 20, 22, 26])
def test_grade_8_is_proved_at_a_mean_stress_of_500_mpa(size):
    # Three printed figures.
    found = grade_8(size)

    stress = found.proof_force / found.metal_area
    assert stress == pytest.approx(500e6, rel=5e-3)


@pytest.mark.kind(
    "chain.proof_force", "proof of the large sizes against grade 4", "EN 818-3"
)
@pytest.mark.parametrize(
    ("size", "grade_4"), [(18, 102), (20, 126), (22, 152), (26, 212)]
)
def test_large_sizes_are_proved_at_two_and_a_half_times_grade_4(size, grade_4):
    # EN 818-3:1999+A1:2008, table 5, read: proof forces of 102, 126, 152 and 212 kN.
    # Grade 4 is proved at 200 N/mm2 and grade 8 at 500; three printed figures.
    assert grade_8(size).proof_force == pytest.approx(2.5e3 * grade_4, rel=5e-3)


@pytest.mark.kind(
    "chain.working_load_limit", "limit as a quarter of the breaking force", "EN 818-2"
)
@pytest.mark.parametrize("size", [4, 5, 6, 7, 8, 10, 13, 16])
def test_working_load_limit_is_a_quarter_of_the_breaking_force_rounded_down(size):
    # Breaking force / 4, rounded down to a preferred number: at most 5 % below.
    found = grade_8(size)

    assert 0.95 < 4 * found.working_load_limit / found.breaking_force < 1


@pytest.mark.kind("link_mass_per_length", "mass by the shape of a link", "EN 818-2")
@pytest.mark.parametrize("size", [6, 7, 8, 10, 13, 16])
def test_printed_mass_is_that_of_the_link_shape(size):
    # Pitch 3 d, inside width 1.3 d, 7850 kg/m3. A plausibility check: real links
    # are not quite so, hence 3 %.
    found = grade_8(size)

    by_shape = link_mass_per_length(found.nominal_diameter)
    assert by_shape == pytest.approx(found.mass_per_length, rel=0.03)


@pytest.mark.kind("chains", "pitch of a short link", "EN 818-2")
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
        "18 mm": ("proof_force",),
        "22 mm": ("proof_force",),
    }


# GB/T 24816-2009, grade T (8), as printed on a chain maker's page: mass kg/m and least
# breaking force kN, for the sizes that both standards share.
GB_T_24816 = {
    6: (0.79, 45.2),
    8: (1.38, 80.4),
    10: (2.2, 125),
    13: (3.8, 214),
    16: (5.63, 320),
}


@pytest.mark.kind("chain.mass_per_length", "mass of the same chain", "GB/T 24816")
@pytest.mark.parametrize(("size", "row"), GB_T_24816.items())
def test_the_chinese_standard_weighs_the_same_chain_alike(size, row):
    # Three printed figures at most.
    assert grade_8(size).mass_per_length == pytest.approx(row[0], rel=5e-3)


@pytest.mark.kind("chain.breaking_force", "strength of the same chain", "GB/T 24816")
@pytest.mark.parametrize(("size", "row"), GB_T_24816.items())
def test_the_chinese_standard_breaks_the_same_chain_alike(size, row):
    # Printed to 5 kN from 10 mm on, hence 1 %.
    assert grade_8(size).breaking_force == pytest.approx(row[1] * 1e3, rel=0.01)


def test_unmarked_chain_has_no_lifting_rating():
    with pytest.raises(OutOfRangeError, match="no tag, no use"):
        chain(standard="EN 818-2", grade=None, size_mm=8)
