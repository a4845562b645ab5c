"""Chain working load limits against 49 CFR 393.108, both printed columns."""

import pytest

from workbook.equipment import chain, chains
from workbook.errors import OutOfRangeError

STANDARD = "49 CFR 393.108"

# 49 CFR 393.108, table of chain working load limits, as printed: kg (lb).
PRINTED = {
    "30": """7 580 1300    8 860 1900    10 1200 2650    11 1680 3700
             13 2030 4500  16 3130 6900""",
    "43": """7 1180 2600   8 1770 3900   10 2450 5400    11 3270 7200
             13 4170 9200  16 5910 13000""",
    "70": """7 1430 3150   8 2130 4700   10 2990 6600    11 3970 8750
             13 5130 11300 16 7170 15800""",
    "80": "7 1570 3500 8 2000 4500 10 3200 7100 13 5400 12000 16 8200 18100",
    "100": "7 1950 4300 8 2600 5700 10 4000 8800 13 6800 15000 16 10300 22600",
}


def rows(grade):
    numbers = [int(word) for word in PRINTED[grade].split()]
    return zip(numbers[::3], numbers[1::3], numbers[2::3], strict=True)


@pytest.mark.kind("chain.printed_limit", "both columns of every row", "49 CFR 393.108")
@pytest.mark.parametrize("grade", PRINTED)
def test_every_row_carries_both_printed_columns(grade):
    for size, kilograms, pounds in rows(grade):
        found = chain(standard=STANDARD, grade=grade, size_mm=size)

        assert found.printed_limit == {"lb": pounds, "kg": kilograms}


@pytest.mark.kind("chain.working_load_limit", "limit as a force", "49 CFR 393.108")
@pytest.mark.parametrize("grade", PRINTED)
def test_the_limit_as_a_force_is_the_pound_column_under_standard_gravity(grade):
    for size, _, pounds in rows(grade):
        found = chain(standard=STANDARD, grade=grade, size_mm=size)

        # One pound-force is 0.45359237 kg x 9.80665 m/s2 exactly.
        force = pounds * 0.45359237 * 9.80665
        assert found.working_load_limit == pytest.approx(force, rel=1e-12)


@pytest.mark.kind("chains", "which chains are listed", "49 CFR 393.108")
def test_no_chain_is_listed_that_the_rule_does_not_list():
    printed = {(grade, size) for grade in PRINTED for size, *_ in rows(grade)}

    listed = {
        (found.grade, round(found.nominal_diameter * 1000))
        for found in chains(STANDARD)
    }

    assert listed == printed


def test_the_two_columns_were_rounded_separately():
    # Neither column is a conversion of the other: they part by up to 2.1 %.
    apart = [
        abs(found.printed_limit["lb"] * 0.45359237 / found.printed_limit["kg"] - 1)
        for found in chains(STANDARD)
    ]

    assert max(apart) == pytest.approx(0.021, abs=5e-4)


@pytest.mark.kind("chain", "marks of the grades", "49 CFR 393.108")
@pytest.mark.parametrize(
    ("grade", "mark"),
    [
        ("30", "3"), ("30", "300"), ("43", "4"), ("43", "430"), ("70", "7"),
        ("70", "700"), ("80", "8"), ("80", "800"), ("100", "10"), ("100", "1000"),
    ],
)  # fmt: skip
def test_every_mark_of_the_rule_names_its_grade(grade, mark):
    by_mark = chain(standard=STANDARD, grade=mark, size="3/8 in")

    assert by_mark == chain(standard=STANDARD, grade=grade, size_mm=10)


@pytest.mark.kind("chain.printed_limit", "unmarked chain", "49 CFR 393.108")
@pytest.mark.parametrize("grade", [None, "unmarked"])
def test_unmarked_chain_counts_as_grade_30(grade):
    # Paragraph (d).
    unmarked = chain(standard=STANDARD, grade=grade, size_mm=10)

    assert unmarked.printed_limit["lb"] == 2650


def test_the_rule_gives_neither_breaking_force_nor_grade_stress():
    found = chain(standard=STANDARD, grade="80", size_mm=10)

    assert found.breaking_force is None
    assert found.proof_force is None
    with pytest.raises(OutOfRangeError, match="gives no breaking force"):
        _ = found.mean_breaking_stress


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"grade": "80", "size_mm": 11}, "lists no 11 mm chain of grade 80"),
        ({"grade": "80", "size": "3/4 in"}, r"choose one of: 7 mm \(1/4 in\)"),
        ({"grade": "90", "size_mm": 10}, "knows no grade 90; .* 30, 43, 70, 80, 100"),
        ({"grade": "80"}, "a chain has one size"),
        ({"grade": "80", "size": "3/8 in", "size_mm": 10}, "a chain has one size"),
    ],
)
def test_a_chain_the_rule_does_not_list_is_refused_with_what_it_lists(wrong, said):
    with pytest.raises(OutOfRangeError, match=said):
        chain(standard=STANDARD, **wrong)


def test_a_standard_that_is_not_here_is_refused():
    with pytest.raises(OutOfRangeError, match="no chain standard 'EN 818-9'"):
        chain(standard="EN 818-9", grade="8", size_mm=8)
    with pytest.raises(OutOfRangeError, match="choose one of: 49 CFR"):
        chains("EN 818-9")
