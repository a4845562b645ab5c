"""Welded rails at the end of what they carry, and what stays, against plastic theory.

B. G. Neal, The Plastic Methods of Structural Analysis (collapse of a portal with fixed
feet), and M. R. Horne, Plastic Theory of Structures (a fixed beam loaded off its
middle and unloaded); both from memory. No hardening, as there.
"""

from dataclasses import replace

import numpy as np
import pytest
from portals import member, portal

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.front import load, release, relieve, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import Crossmember, RailClamp, Relief

BENDING, PLASTIC = 2.0e5, 40.0
HEIGHT, SPAN = 0.5, 1.0
# Hinges of a mechanism are wanted at feet, corners and middle: this near to them.
NEAR = 5e-4
# Stretch moves no collapse load: a frame that gives along its parts is solved better.
FIRM = 1e9


def mechanism_frame():
    """Return a portal of one section with hinges where its mechanisms have them."""
    column = np.array([HEIGHT / 2, HEIGHT / 2 - NEAR, NEAR])
    half = np.array([SPAN / 4, SPAN / 4 - NEAR, NEAR])
    made = (BENDING, PLASTIC)
    frame = portal(height=HEIGHT, span=SPAN, columns=made, beam=made, parts=3)
    rails = [
        member(column, HEIGHT / 3, made, root=rail.root, rigid=FIRM)
        for rail in frame.rails
    ]
    beam = Crossmember(
        ends=frame.crossmember.ends,
        half=member(half, SPAN / 6, made, rigid=FIRM),
        joint=np.minimum(frame.crossmember.joint, FIRM),
    )
    return replace(frame, rails=rails, crossmember=beam)


def moved(frame, **shares):
    """Return how far a portal gives under pulls, in shares of Mp / h; inf: no end."""
    ways = {"left": (0, 1, 0), "middle": (-1, 0, 0)}
    pulls = {
        clamp: PullOn(
            clamp=clamp, direction=ways[clamp], tension=share * PLASTIC / HEIGHT
        )
        for clamp, share in shares.items()
    }
    try:
        act = load(frame, undamaged(frame), pulls, steps=2, tolerance=0.1)
    except OutOfRangeError as refused:
        return np.inf if refused.reason == "rail.no_balance" else np.nan
    return np.abs(np.ptp(act.history.nodes, axis=0)).max()


@pytest.mark.kind(
    "load", "collapse load of a portal", "The Plastic Methods of Structural Analysis"
)
def test_a_portal_collapses_by_three_mechanisms_at_the_load_of_each():
    frame = mechanism_frame()
    # Sway at 4 Mp / h; the beam at 8 Mp / L; both at once, with L = 2 h, at 3 Mp / h.
    for collapse in ({"left": 4}, {"middle": 4}, {"left": 3, "middle": 3}):
        under, over = (
            {clamp: times * share for clamp, share in collapse.items()}
            for times in (0.99, 1.01)
        )
        assert moved(frame, **under) < 1e-4
        assert moved(frame, **over) > 0.02


# -- a beam built in at both ends, loaded at a third of its length ---------------

PARTS = 6
# Ends A and B, and C under the load: hinges of the two halves.
PLACES = ([2, 2, 3], [0, PARTS * 2 // 3, 0])


def built_in_beam():
    """Return the crossmember between two rails as good as rigid."""
    frame = portal(
        height=0.1, span=SPAN, columns=(1e10, 1e9), beam=(BENDING, PLASTIC), parts=PARTS
    )
    return replace(frame, clamps={"C": RailClamp(node=(2, PARTS * 2 // 3))})


@pytest.fixture(name="unloaded", scope="module")
def fixture_unloaded():
    """Return the beam, drawn at C until it gives, and let go."""
    beam = built_in_beam()
    draw = PullOn(clamp="C", direction=(-1, 0, 0), stroke=6e-5)
    drawn = load(beam, undamaged(beam), {"draw": draw})
    return beam, drawn, release(beam, drawn.state)


@pytest.mark.kind(
    "release", "moments left in a fixed beam", "Plastic Theory of Structures"
)
def test_moments_left_in_a_fixed_beam_that_was_loaded_to_its_end(unloaded):
    _, drawn, after = unloaded

    # Collapse at 9 Mp / L, moments Mp at A, C and B. Elastic moments of that load are
    # 4 P L / 27, 8 P L / 81 and 2 P L / 27: 4/3, 8/9 and 2/3 of Mp go with it.
    assert drawn.tension["draw"][-1] == pytest.approx(9 * PLASTIC / SPAN, rel=6e-3)
    assert np.abs(drawn.stress[-1][(*PLACES, [1, 1, 1])]) == pytest.approx([1, 1, 1])
    left = np.abs(after.stress[-1][(*PLACES, [1, 1, 1])])
    assert left == pytest.approx([1 / 3, 1 / 9, 1 / 3], abs=0.02)
    # At A the moment is left the other way round: it went past nothing.
    ends = (drawn.stress[-1, 2, 0, 1], after.stress[-1, 2, 0, 1])
    assert ends[0] * ends[1] < 0


@pytest.mark.kind("relieve", "stress left by stress relief", "ASM Handbook")
@pytest.mark.parametrize("fraction", [0.5, 0.8, 0.95])
def test_relief_leaves_no_more_than_the_yield_stress_it_lowers_to(unloaded, fraction):
    # ASM Handbook, volume 4, on stress relieving (from memory): what is left is the
    # yield stress at which it was relieved; stress below that is not relieved.
    beam, _, after = unloaded
    hammer = [
        Relief(rail=rail, hinges=range(PARTS), fraction=fraction) for rail in (2, 3)
    ]

    relieved = relieve(beam, after.state, hammer)

    most = max(np.abs(after.stress[-1, 2:, :, 1]).max(), 1e-9)
    left = np.abs(relieved.stress[-1, 2:, :, 1]).max()
    assert left == pytest.approx(min(most, 1 - fraction), rel=1e-3)
