"""The tear-out estimate against Brockenbrough & Merritt: bolts that tear a plate."""

import pytest

from workbook.mechanics.metal.edges import tear_out

INCH, KIP, KSI = 0.0254, 4448.2216, 6.894757e6
HOLE = 15 / 16
SOURCE = "Brockenbrough & Merritt, Structural Steel Designer's Handbook"
WEB, PLATE = (0.245, 65), (0.375, 58)  # thickness in inches, strength in ksi


@pytest.mark.kind("tear_out", "bolts torn out through an edge", SOURCE)
@pytest.mark.parametrize(
    ("clear", "part", "printed"),
    [
        (1.5 - HOLE / 2, WEB, 14.7),
        (3 - HOLE, WEB, 29.5),
        (1.5 - HOLE / 2, PLATE, 20.2),
        (3 - HOLE, PLATE, 40.3),
    ],
)
def test_bolts_of_a_strut_tear_web_and_plate(clear, part, printed):
    # R. L. Brockenbrough and F. S. Merritt, Structural Steel Designer's Handbook, 4th
    # ed., McGraw-Hill, 2006, p. 3.42, Fig. 3.27: bolts of 7/8 in through the web of a
    # W8 x 15 and a plate of 3/8 in: 0.75 x 1.2 Lc t Fu, kips a bolt, the last place cut
    # off or rounded. Shear strength is 0.6 Fu on two lines, AISC's own reading of 1.2.
    thick, strength = part

    torn = tear_out(
        edge_distance=clear * INCH,
        thickness=thick * INCH,
        shear_strength=0.6 * strength * KSI,
    )

    assert 0.75 * torn / KIP == pytest.approx(printed, abs=0.1)
