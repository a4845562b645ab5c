"""Two rails and a crossmember as a portal frame of the textbooks, feet fixed.

The frame lies flat: its columns are the rails, along x, and its beam the crossmember,
along y. What the books call a horizontal load is a pull along y here.
"""

import numpy as np

from workbook.mechanics.metal.rail_parts import Crossmember, FrontEnd, Rail, RailClamp

# The books' members do not stretch.
RIGID = 1e13


def portal(*, height, span, columns, beam, parts):
    """Return a portal and its clamps: "left", "right", the corners, and "middle".

    ``columns`` and ``beam`` are pairs: bending stiffness EI [N m^2] and plastic
    moment [N m]. Hinges stand for the metal half a part to both sides, so that the
    last part of a column, up to the weld, is half a part long.
    """
    part = height / (parts - 0.5)
    lengths = np.append(np.full(parts - 1, part), part / 2)
    links = np.full(parts, span / 2 / parts)
    rails = [
        member(lengths, part, columns, root=(0, y, 0)) for y in (span / 2, -span / 2)
    ]
    return FrontEnd(
        rails=rails,
        crossmember=Crossmember(
            ends=((0, parts), (1, parts)),
            half=member(links, links[0], beam),
            joint=[beam[0] / links[0]] * 2 + [RIGID, RIGID],
        ),
        clamps={
            "left": RailClamp(node=(0, parts)),
            "right": RailClamp(node=(1, parts)),
            "middle": RailClamp(node=(2, parts)),
        },
    )


def member(lengths, part, made, *, root=(0, 0, 0), rigid=RIGID):
    """Return a chain of links whose hinges stand for parts of one length."""
    bending, plastic = made
    stiffness = np.full((len(lengths), 3), rigid)
    stiffness[:, :2] = bending / part
    stiffness[0, :2] *= 2
    limit = np.full((len(lengths), 3), np.inf)
    limit[:, :2] = plastic
    return Rail(
        root=root,
        along=(1, 0, 0),
        link_length=lengths,
        stiffness=stiffness,
        yield_load=limit,
        hardening_ratio=0.0,
    )
