"""The parts of a doubled recovery line against a public safety alert."""

import numpy as np
import pytest

from workbook.mechanics.hydraulics.supply import first_limit
from workbook.mechanics.pull.rigging import redirect


@pytest.mark.kind(
    "redirect + first_limit",
    "which part of a doubled line is first at its strength",
    "Workplace Health and Safety Queensland, alert 2018",
)
def test_a_doubled_line_asks_twice_as_much_of_the_anchor_of_its_block():
    # Workplace Health and Safety Queensland, incident alert 'Worker severely injured
    # by failed towing equipment' (2018): for a winch that stalls at 5 t and a factor
    # of two, connectors of 10 t and a block anchor of 20 t. Exact.
    stall, connector, block_anchor = 5.0, 10.0, 20.0

    turned = redirect(1.0, run_a=[1, 0, 0], run_b=[1, 0, 0])
    path = first_limit(
        [[1.0, float(turned.anchor_load)]],
        ratings=[[connector, block_anchor]],
        areas=[1.0],
    )

    # Both are at their strength together, at twice the stall.
    assert path.pressures[0] == pytest.approx([2 * stall] * 2)
    weaker = first_limit(
        [[1.0, float(turned.anchor_load)]],
        ratings=[[connector, connector]],
        areas=[1.0],
    )
    assert weaker.part == 1
    assert weaker.ram_force == pytest.approx(stall)
    assert np.isclose(turned.between_runs, 0)
