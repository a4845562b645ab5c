"""The load of a turned line on its block, against the printed chart of factors."""

import numpy as np
import pytest

from workbook.mechanics.pull.rigging import redirect

# Factors that multiply the line pull, by the angle between the two lines, as several
# block makers print alike (two decimals, some cut and not rounded: 1.87 for 1.879,
# 1.84 for 1.848, 0.76 for 0.765), hence a whole last place.
CHART = {
    0: 2.00, 10: 1.99, 20: 1.97, 30: 1.93, 40: 1.87, 45: 1.84, 50: 1.81, 60: 1.73,
    70: 1.64, 80: 1.53, 90: 1.41, 100: 1.29, 110: 1.15, 120: 1.00, 130: 0.84,
    135: 0.76, 140: 0.68, 150: 0.52, 160: 0.35, 170: 0.17, 180: 0.00,
}  # fmt: skip


@pytest.mark.kind("redirect", "factor over the angle between the lines", "block charts")
@pytest.mark.parametrize(("angle", "printed"), CHART.items())
def test_a_block_carries_the_printed_share_of_the_line_pull(angle, printed):
    other = np.radians(angle)

    turned = redirect(1.0, run_a=[1, 0, 0], run_b=[np.cos(other), 0, np.sin(other)])

    assert turned.anchor_load == pytest.approx(printed, abs=0.01)
    assert np.degrees(turned.between_runs) == pytest.approx(angle, abs=1e-9)
