"""Two strings under one load: worked examples of Lami's theorem."""

import numpy as np
import pytest

from workbook.mechanics.pull.rigging import bridle
from workbook.mechanics.pull.wanted_force import ram_force_for_tension
from workbook.mechanics.vectors import direction

# Load [N], strings in degrees from the vertical on either side, tensions as printed.
EXAMPLES = {
    # R. K. Bansal, A Textbook of Engineering Mechanics, Example 1.7: 1000 N, strings
    # at 30 and 60 degrees from the vertical; 866.03 and 500 N.
    "Bansal 1.7": (1000, (30, 60), (866.03, 500), 6e-3),
    # Example 1.8: 900 N on the two short sides of a 3-4-5 triangle; 720 and 540 N.
    "Bansal 1.8": (900, (36.869898, 53.130102), (720, 540), 1e-3),
    # Example 1.9: 15 N, strings at 60 and 45 degrees to the horizontal; 10.98, 7.76 N.
    "Bansal 1.9": (15, (30, 45), (10.98, 7.76), 6e-3),
    # schoolnotes4u.blogspot.com (February 2013): 3 kg (g = 9.81), strings at 40 and
    # 30 degrees to the horizontal; 27.1 and 24 N.
    "school notes": (3 * 9.81, (50, 60), (27.1, 24.0), 0.06),
}
BOTH = pytest.mark.parametrize(
    ("load", "from_vertical", "printed", "digit"), EXAMPLES.values(), ids=EXAMPLES
)


@pytest.mark.kind("bridle", "two strings under a load", "Bansal, Engineering Mechanics")
@BOTH
def test_a_bridle_shares_the_load_as_printed(load, from_vertical, printed, digit):
    left, right = np.radians(from_vertical)

    legs = bridle(load, angle_left=left, angle_right=right)

    assert (float(legs.left), float(legs.right)) == pytest.approx(printed, abs=digit)


@pytest.mark.kind(
    "solve_pull", "two strings under a load", "Bansal, Engineering Mechanics"
)
@BOTH
def test_the_head_of_a_rig_shares_the_ram_force_as_printed(
    load, from_vertical, printed, digit, two_cables
):
    left, right = np.radians(from_vertical)
    up_left = direction(side_angle=np.pi, rise=np.pi / 2 - left)
    up_right = direction(side_angle=0.0, rise=np.pi / 2 - right)

    tensions = two_cables([0, 0, -load], up_left, up_right)

    assert tensions == pytest.approx(printed, abs=digit)


@pytest.mark.kind(
    "ram_force_for_tension",
    "load behind a known string",
    "Bansal, Engineering Mechanics",
)
@BOTH
def test_the_load_follows_from_the_tension_of_one_string(
    load, from_vertical, printed, digit, rig_of
):
    # The printed tension is rounded, so the load is known to the same share.
    left, right = np.radians(from_vertical)
    rig = rig_of(
        [0, 0, -load],
        direction(side_angle=np.pi, rise=np.pi / 2 - left),
        direction(side_angle=0.0, rise=np.pi / 2 - right),
    )

    found = ram_force_for_tension(rig, pull_tension=printed[0])

    assert found == pytest.approx(load, rel=digit / printed[0])
