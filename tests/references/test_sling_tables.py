"""Two-leg chain slings against printed tables; angles from the horizontal."""

import numpy as np
import pytest

from workbook.equipment import chain
from workbook.mechanics.pull.rigging import bridle

ANGLES = (60, 45, 30)

# Alloy chain sling rated loads, lb, as printed in sling makers' tables (the figures
# of ASME B30.9; that they are the same is from memory): size mm, one leg, then two
# legs at 60, 45 and 30 degrees from the horizontal.
GRADE_80 = [
    (6, 2100, 3600, 3000, 2100), (7, 3500, 6100, 4900, 3500),
    (8, 4500, 7800, 6400, 4500), (10, 7100, 12300, 10000, 7100),
    (13, 12000, 20800, 17000, 12000), (16, 18100, 31300, 25600, 18100),
    (20, 28300, 49000, 40000, 28300), (22, 34200, 59200, 48400, 34200),
    (26, 47700, 82600, 67400, 47700),
]  # fmt: skip
GRADE_100 = [
    (7, 4300, 7400, 6100, 4300), (8, 5700, 9900, 8100, 5700),
    (10, 8800, 15200, 12400, 8800), (13, 15000, 26000, 21200, 15000),
    (16, 22600, 39100, 32000, 22600), (20, 35300, 61100, 49900, 35300),
    (22, 42700, 74000, 60400, 42700), (26, 59700, 103400, 84400, 59700),
]  # fmt: skip
ENTRIES = [
    (one_leg, angle, printed)
    for _, one_leg, *two_legs in GRADE_80 + GRADE_100
    for angle, printed in zip(ANGLES, two_legs, strict=True)
]
ROUNDED_DOWN = {(18100, 60), (47700, 45)}  # grade 80, 16 mm and 26 mm


def leg_tension_per_load(angle_from_horizontal):
    from_vertical = np.radians(90 - angle_from_horizontal)
    return bridle(1.0, angle_left=from_vertical, angle_right=from_vertical).left


@pytest.mark.kind("bridle", "rated load of two legs", "sling tables")
@pytest.mark.parametrize(("one_leg", "angle", "printed"), ENTRIES)
def test_two_legs_carry_what_brings_each_to_its_limit(one_leg, angle, printed):
    load = one_leg / leg_tension_per_load(angle)

    if (one_leg, angle) in ROUNDED_DOWN:
        # Printed 50 lb and 58 lb below: rounded down to the hundred.
        assert 50 < load - printed < 60
    else:
        # Rounded to the nearest hundred.
        assert load == pytest.approx(printed, abs=50)


@pytest.mark.kind("bridle", "factor over the angle", "sling-angle chart")
@pytest.mark.parametrize(
    ("angle", "printed"),
    [
        (85, 1.004), (80, 1.015), (75, 1.035), (70, 1.064), (60, 1.155), (55, 1.221),
        (50, 1.305), (45, 1.414), (30, 2.0),
    ],
)  # fmt: skip
def test_sling_angle_factor_is_the_leg_tension_per_share_of_the_load(angle, printed):
    # Printed sling-angle chart, angle from the horizontal, three decimals.
    factor = 2 * leg_tension_per_load(angle)

    assert factor == pytest.approx(printed, abs=5e-4)


@pytest.mark.parametrize(("angle", "printed"), [(65, 1.104), (40, 1.555), (35, 1.742)])
def test_three_factors_of_the_chart_are_off_in_their_last_digit(angle, printed):
    # Exact 1.1034, 1.5557 and 1.7434.
    factor = 2 * leg_tension_per_load(angle)

    assert factor != pytest.approx(printed, abs=5e-4)
    assert factor == pytest.approx(printed, abs=1.5e-3)


@pytest.mark.kind(
    "bridle", "tension counted from the vertical", "university hitch-use page"
)
@pytest.mark.parametrize(("from_vertical", "printed"), [(30, 1154), (60, 2000)])
def test_a_pair_of_legs_under_two_thousand_pounds(from_vertical, printed):
    # University hitch-use page: 1154 lb at 30 degrees and 2000 lb at 60 degrees from
    # the vertical, per 1000 lb of load on each leg; the first is cut to whole pounds.
    tension = 2000 * leg_tension_per_load(90 - from_vertical)

    assert tension == pytest.approx(printed, abs=1)


@pytest.mark.kind(
    "chain.printed_limit", "cargo limit against one-leg limit", "sling tables"
)
@pytest.mark.parametrize(
    ("grade", "table"), [("80", GRADE_80), ("100", GRADE_100)], ids=["80", "100"]
)
def test_cargo_limits_equal_one_leg_sling_limits_of_the_same_size(grade, table):
    # 49 CFR 393.108 and the sling tables agree here; their meanings do not: one is
    # for securing cargo, the other for lifting.
    one_leg = {size: load for size, load, *_ in table}

    for size in (8, 10, 13, 16):
        found = chain(standard="49 CFR 393.108", grade=grade, size_mm=size)

        assert found.printed_limit["lb"] == one_leg[size]
        assert found.purpose == "securing cargo"
