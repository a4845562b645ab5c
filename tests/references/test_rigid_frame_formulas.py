"""Portal frames with fixed feet while they are elastic, against published formulas.

A. Kleinlogel, Rigid Frame Formulas (Rahmenformeln), single bay with fixed feet, and
the same in the Steel Designers' Manual; all from memory. With k the stiffness ratio
(I of the beam / I of a column) (height / span), N1 = k + 2, N2 = 6 k + 1.
"""

import pytest
from portals import portal

from workbook.mechanics.metal.front import load, undamaged
from workbook.mechanics.metal.front_parts import PullOn

SOURCE = "Rigid Frame Formulas"
HEIGHT, SPAN, COLUMN = 0.6, 0.9, 2.0e5
# Twelve parts err by about 1/(2 * 12^2) = 0.35 %.
PARTS, CLOSE = 12, 7e-3


@pytest.fixture(name="frame", params=[0.4, 2.5])
def fixture_frame(request):
    """Return the ratio of stiffness, a frame with it and a way to load it."""
    ratio = request.param
    beam = ratio * COLUMN * SPAN / HEIGHT
    made = portal(
        height=HEIGHT,
        span=SPAN,
        columns=(COLUMN, 1e9),
        beam=(beam, 1e9),
        parts=PARTS,
    )

    def loaded(clamp, direction):
        pull = PullOn(clamp=clamp, direction=direction, tension=10.0)
        return load(made, undamaged(made), {"load": pull}, steps=1)

    return ratio, loaded


@pytest.mark.kind("load", "moments of a portal that sways", SOURCE)
def test_moments_of_a_portal_that_sways(frame):
    k, loaded = frame

    moments = loaded("left", (0, 1, 0)).history.load[-1, :, :, 1]

    # M at a foot = P h / 2 * (3 k + 1) / N2, at a corner P h / 2 * 3 k / N2.
    feet = 10.0 * HEIGHT / 2 * (3 * k + 1) / (6 * k + 1)
    corners = 10.0 * HEIGHT / 2 * 3 * k / (6 * k + 1)
    assert abs(moments[:2, 0]) == pytest.approx([feet, feet], rel=CLOSE)
    assert abs(moments[2:, 0]) == pytest.approx([corners, corners], rel=CLOSE)


@pytest.mark.kind("load", "how far a portal sways", SOURCE)
def test_how_far_a_portal_sways(frame):
    k, loaded = frame

    path = loaded("left", (0, 1, 0)).path("left")

    # P h^3 / (12 E I) * (3 k + 2) / (6 k + 1), I of a column.
    sway = 10.0 * HEIGHT**3 / (12 * COLUMN) * (3 * k + 2) / (6 * k + 1)
    assert path[-1, 1] - path[0, 1] == pytest.approx(sway, rel=CLOSE)


@pytest.mark.kind("load", "moments of a portal pulled at its middle", SOURCE)
def test_moments_of_a_portal_pulled_at_its_middle(frame):
    k, loaded = frame

    moments = loaded("middle", (-1, 0, 0)).history.load[-1, :, :, 1]

    # M at a foot = P L / (8 N1), at a corner P L / (4 N1).
    feet, corners = (10.0 * SPAN / (size * (k + 2)) for size in (8, 4))
    assert abs(moments[:2, 0]) == pytest.approx([feet, feet], rel=CLOSE)
    assert abs(moments[2:, 0]) == pytest.approx([corners, corners], rel=CLOSE)
    # The foot and the corner of a column bend it opposite ways.
    assert moments[0, 0] * moments[0, -1] < 0
