"""Large turns of an end-loaded cantilever against the exact elastica."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import ellipeinc, ellipk, ellipkinc

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
)


def bisshopp_drucker(load):
    """Return drop and shortening over the length for P L^2 / E I = load.

    K. E. Bisshopp and D. C. Drucker, "Large deflection of cantilever beams", Quarterly
    of Applied Mathematics 3 (1945): with modulus k and sin(phi) = 1 / (k sqrt 2),
    sqrt(load) = K(k) - F(phi, k). Elliptic integrals by SciPy.
    """

    def root(m):
        return ellipk(m) - ellipkinc(np.arcsin(np.sqrt(0.5 / m)), m) - np.sqrt(load)

    m = brentq(root, 0.5 + 1e-12, 1 - 1e-12, xtol=1e-15)
    phi = np.arcsin(np.sqrt(0.5 / m))
    whole = ellipeinc(np.pi / 2, m)
    drop = 1 - 2 / np.sqrt(load) * (whole - ellipeinc(phi, m))
    reach = np.sqrt(2 * (2 * m - 1) / load)
    return drop, 1 - reach


@pytest.mark.kind("follow", "large turns of a cantilever", "Bisshopp & Drucker 1945")
@pytest.mark.parametrize(
    ("load", "printed"),
    # Printed by K. Mattiasson, Int. J. Numer. Meth. Eng. 17 (1981), from memory.
    [(1.0, (0.30172, 0.05643)), (2.0, (0.49346, 0.16064)), (5.0, (0.71379, 0.38763))],
)
def test_a_rail_bent_far_round_ends_where_the_elastica_does(load, printed):
    drop, shortening = bisshopp_drucker(load)
    assert (drop, shortening) == pytest.approx(printed, abs=5e-6)
    errors = []

    for links in (12, 24):
        springs = np.full((links, 3), [links, links, 1e9])
        springs[0, :2] *= 2
        rail = Rail(
            root=(0, 0, 0),
            along=(1, 0, 0),
            link_length=np.full(links, 1 / links),
            stiffness=springs,
            yield_load=np.full((links, 3), np.inf),
            hardening_ratio=0,
        )
        bench = FrontEnd(
            rails=[rail],
            clamps={"tip": RailClamp(node=(0, links))},
            pulls={"down": RailPull(clamp="tip", direction=(0, 0, -1))},
        )
        history = follow(bench, [RailStage(name="load", forces={"down": load})])
        x, _, z = history.movement((0, links))
        errors.append((-z - drop, -x - shortening))

    # Links err by the square of their length: a quarter for half of it.
    coarse, fine = np.abs(errors)
    assert fine == pytest.approx([0, 0], abs=2e-3)
    assert coarse / fine == pytest.approx([4, 4], rel=0.15)
