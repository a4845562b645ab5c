"""The rail's elastic limit against standard beam tables (from memory).

Cantilever end deflections PL^3/3EI and ML^2/2EI. Both also follow from unit-load
integration, and the distributed case is checked against a printed example in
`test_pytel_kiusalaas_cantilever.py`.
"""

import numpy as np
import pytest

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    RailStage,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

TUBE = BoxSection(width=0.05, depth=0.08, thickness=0.002)
TURNED = BoxSection(width=0.08, depth=0.05, thickness=0.002)
LENGTH, MODULUS = 0.6, 210e9


def cantilever(links):
    rail = uniform_rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        length=LENGTH,
        links=links,
        upright=TUBE,
        sideways=TURNED,
        youngs_modulus=MODULUS,
        yield_stress=300e6,
        hardening_ratio=0.02,
    )
    return FrontEnd(
        rails=[rail],
        clamps={
            "tip": RailClamp(node=(0, links)),
            "before": RailClamp(node=(0, links - 1)),
        },
        pulls={
            "up": RailPull(clamp="tip", direction=(0, 0, 1)),
            "left": RailPull(clamp="tip", direction=(0, 1, 0)),
            "down before": RailPull(clamp="before", direction=(0, 0, -1)),
        },
    )


@pytest.mark.kind(
    "follow", "tip of a cantilever under an end load, finer and finer", "beam tables"
)
@pytest.mark.parametrize(
    ("pull", "axis", "section"), [("up", 2, TUBE), ("left", 1, TURNED)]
)
def test_end_load_tends_to_table_value_with_the_square_of_the_link(pull, axis, section):
    table = 100 * LENGTH**3 / (3 * MODULUS * section.second_moment)
    errors = []

    for links in (4, 8, 16, 32):
        stage = RailStage(name="load", forces={pull: 100.0})
        tip = follow(cantilever(links), [stage]).movement((0, links))
        errors.append(tip[axis] / table - 1)

    # The trapezoid rule on (L - s)^2 errs by exactly 1/2n^2.
    assert errors == pytest.approx([1 / 32, 1 / 128, 1 / 512, 1 / 2048], rel=2e-3)


@pytest.mark.kind("follow", "tip of a cantilever under an end couple", "beam tables")
def test_end_couple_gives_table_value_for_any_number_of_links():
    couple = 50.0
    table = couple * LENGTH**2 / (2 * MODULUS * TUBE.second_moment)

    for links in (2, 5, 9):
        force = couple / (LENGTH / links)
        stage = RailStage(name="load", forces={"up": force, "down before": force})
        tip = follow(cantilever(links), [stage]).movement((0, links))

        assert tip[2] == pytest.approx(table, rel=1e-4)


@pytest.mark.kind("follow", "stretch of a bar", "beam tables")
def test_axial_load_gives_table_value():
    front_end = cantilever(5)
    along = RailPull(clamp="tip", direction=(1, 0, 0))
    table = 1e3 * LENGTH / (MODULUS * TUBE.area)

    history = follow(
        FrontEnd(
            rails=front_end.rails, clamps=front_end.clamps, pulls={"along": along}
        ),
        [RailStage(name="load", forces={"along": 1e3})],
    )

    assert np.allclose(history.movement((0, 5)), [table, 0, 0], rtol=1e-9, atol=1e-15)
