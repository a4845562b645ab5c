"""Struts and beams against Bhavikatti, Strength of Materials.

S. S. Bhavikatti, Strength of Materials, chapter 9, columns and struts; data and results
as in the open textbook-companion notebook.
"""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
)
from workbook.mechanics.metal.sections import ISection, RectangularSection

SOURCE = "Bhavikatti, Strength of Materials"
LINKS = 12


@pytest.mark.kind(
    "ISection + RectangularSection", "stiffness both ways of an I", SOURCE
)
def test_safe_load_of_an_i_that_sags_ten_millimetres():
    # Example 9.4 (p. 379): I of 400 mm, flanges 300 x 50 mm, web 30 mm, E 200 GPa. As
    # a beam under 40 N/mm it sags 10 mm (5 w L^4 / 384 E I about the stiff axis); as a
    # hinged column of that length, over 1.75, it carries 4123.29 kN (pi^2 E I / L^2
    # about the weak axis). Half of the last place.
    beam = ISection(
        width=0.300, depth=0.400, flange_thickness=0.050, web_thickness=0.030
    )
    flange = RectangularSection(width=0.050, depth=0.300)
    web = RectangularSection(width=0.300, depth=0.030)
    length = (0.010 * 384 * 200e9 * beam.second_moment / (5 * 40e3)) ** 0.25

    weak_way = 2 * flange.second_moment + web.second_moment

    safe = np.pi**2 * 200e9 * weak_way / length**2 / 1.75
    assert safe == pytest.approx(4123.29e3, abs=5)


def half_strut(stiffness):
    """Lay half of a hinged strut of 5 m, fixed where the whole one is level."""
    link = 2.5 / LINKS
    springs = np.full((LINKS, 3), [stiffness / link, 1e9, 1e12])
    springs[0, 0] *= 2
    rail = Rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        link_length=np.full(LINKS, link),
        stiffness=springs,
        yield_load=np.full((LINKS, 3), np.inf),
        hardening_ratio=0,
    )
    return FrontEnd(
        rails=[rail],
        clamps={"tip": RailClamp(node=(0, LINKS))},
        pulls={
            "push": RailPull(clamp="tip", direction=(-1, 0, 0)),
            "aside": RailPull(clamp="tip", direction=(0, 0, 1)),
        },
    )


@pytest.mark.kind("follow", "load at which a strut buckles", SOURCE)
def test_a_strut_of_known_give_buckles_at_its_euler_load():
    # Example 9.1 (p. 377): a strut of 5 m that gives 10 mm in its middle under 10 N
    # (W L^3 / 48 E I) buckles at 1028.08 N. Half of it is a cantilever under 5 N. The
    # rail's hinges stand on the trapezoid rule, which errs by 1/2n^2 = 0.35 % for 12
    # links, so its give is set by the book's and its load must follow to 0.5 %.
    strut = half_strut(10 * 5**3 / (48 * 0.010))
    give = follow(strut, [RailStage(name="aside", forces={"aside": 5.0})])
    assert give.movement((0, LINKS))[2] == pytest.approx(0.010, rel=5e-3)
    buckles = 1028.08

    follow(strut, [RailStage(name="push", forces={"push": 0.995 * buckles})])

    # A push of 1.25 times as much is followed to four fifths of it.
    with pytest.raises(OutOfRangeError, match=r"past (79|80)\.\d% of it, with 'push'"):
        follow(strut, [RailStage(name="push", forces={"push": 1.25 * buckles})])
