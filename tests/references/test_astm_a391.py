"""The grade number of chain against ASTM A391/A391M."""

from math import pi

import pytest

from workbook.equipment import chain


@pytest.mark.kind("chain.mean_breaking_stress", "grade number of one size", "ASTM A391")
def test_grade_number_is_the_mean_breaking_stress_over_ten_mpa():
    # ASTM A391/A391M-21, scope: grade = breaking force [kN] / (0.005 pi d^2 [mm]).
    # A breaking force of 80.4 kN at 8 mm returns grade 80 (three printed figures).
    eight = chain(standard="EN 818-2", grade="8", size_mm=8)

    grade_number = eight.mean_breaking_stress / 10e6

    assert grade_number == pytest.approx(80.4 / (0.005 * pi * 8**2), rel=1e-9)
    assert grade_number == pytest.approx(80.0, abs=0.05)


@pytest.mark.kind("chain.printed_limit", "design factor of 4", "ASTM A391")
@pytest.mark.parametrize(
    ("size", "breaking_lbf"),
    [("1/4 in", 14_000), ("3/8 in", 28_400), ("1/2 in", 48_000)],
)
def test_grade_80_breaks_at_four_times_its_working_load_limit(size, breaking_lbf):
    # ASTM A391, table (from memory): least breaking forces of 9/32, 3/8 and 1/2 in
    # chain, design factor 4. 49 CFR 393.108 lists the same 7 mm chain as 1/4 in.
    found = chain(standard="49 CFR 393.108", grade="80", size=size)

    assert 4 * found.printed_limit["lb"] == breaking_lbf
