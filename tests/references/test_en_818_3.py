"""Grade 4 short-link chain against EN 818-3 and the rules its table rests on."""

import pytest

from workbook.equipment import chain, chains

# EN 818-3:1999+A1:2008, grade 4, as printed: size mm, working load limit t,
# proof force kN, breaking force kN.
PRINTED = [
    (7, 0.75, 15.4, 30.8),
    (8, 1.0, 20.1, 40.2),
    (10, 1.6, 31.4, 62.8),
    (13, 2.65, 53.1, 106),
    (16, 4.0, 80.4, 161),
]


@pytest.mark.kind("chain", "limit, proof and breaking force of each size", "EN 818-3")
@pytest.mark.parametrize(("size", "limit", "proof", "breaking"), PRINTED)
def test_each_size_has_its_printed_row(size, limit, proof, breaking):
    found = chain(standard="EN 818-3", grade="4", size_mm=size)

    assert found.working_load_limit == pytest.approx(limit * 9806.65, rel=1e-12)
    assert found.proof_force == pytest.approx(proof * 1e3, rel=1e-12)
    assert found.breaking_force == pytest.approx(breaking * 1e3, rel=1e-12)


@pytest.mark.kind(
    "chain.mean_breaking_stress",
    "stress that names the grade, and half of it",
    "EN 818-3",
)
def test_grade_4_breaks_at_400_mpa_and_is_proved_at_half_of_that():
    # Grade 4 is named after 400 N/mm2 over both legs; three printed figures.
    listed = chains("EN 818-3")

    assert len(listed) == len(PRINTED)
    for found in listed:
        assert found.mean_breaking_stress == pytest.approx(400e6, rel=5e-3)
        assert 2 * found.proof_force == pytest.approx(found.breaking_force, rel=5e-3)


@pytest.mark.kind(
    "chain.working_load_limit", "limits of two grades side by side", "EN 818-3"
)
def test_grade_4_carries_half_of_what_grade_8_of_the_same_size_does():
    # Both standards take a quarter of the breaking force and round it down.
    for size, *_ in PRINTED:
        grade_4 = chain(standard="EN 818-3", grade="4", size_mm=size)
        grade_8 = chain(standard="EN 818-2", grade="8", size_mm=size)

        ratio = grade_8.working_load_limit / grade_4.working_load_limit
        assert ratio == pytest.approx(2, rel=0.02)
