"""Two faces on one line, and the time of a stroke, against Esposito.

A. Esposito, Fluid Power with Applications, chapters 3 and 9; data and results as in the
open textbook-companion scripts.
"""

import pytest

from workbook.mechanics.hydraulics.supply import Rams, extend_rams, greatest_forces

INCH, LBF = 0.0254, 4.4482216152605
PSI, FOOT = LBF / INCH**2, 12 * INCH
GPM = 231 * INCH**3 / 60
SOURCE = "Esposito, Fluid Power"


@pytest.mark.kind(
    "greatest_forces", "load on two faces that have one pressure in full", SOURCE
)
def test_both_faces_of_a_regenerative_cylinder_have_the_whole_pressure():
    # Example 9-1: 1000 psi behind a piston of 25 in2 and before it, where a rod of
    # 7 in2 leaves 18: it carries 7000 lb out, and 18,000 lb back on the ring alone.
    faces = Rams(areas=[25 * INCH**2, 18 * INCH**2], resistances=0)

    out, back = greatest_forces(1000 * PSI, rams=faces) / LBF

    assert out - back == pytest.approx(7000)
    assert back == pytest.approx(18_000)


@pytest.mark.kind("extend_rams", "flow that makes a stroke in a time", SOURCE)
def test_a_stroke_takes_its_oil_over_the_flow():
    # Example 3-8: a cylinder of 8 in2 crushes cars with 8000 lb, 10 ft in 10 s. The
    # script gives 24.9 gpm, with 449 gpm for a cubic foot a second: hence rel=3e-3.
    ram = Rams(areas=[8 * INCH**2], resistances=8000 * LBF, strokes=10 * FOOT)

    run = extend_rams(ram, flow=24.9 * GPM, supply_pressure=1001 * PSI)

    assert run.time_to_stroke(0, stroke=10 * FOOT) == pytest.approx(10, rel=3e-3)
