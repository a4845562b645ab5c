"""A whole bay history past yield, solved again by SciPy from textbook equations.

Written without the engine: positions by products of rotations; forces of pulls, beam
and joint as the slope of their potential, by a complex step; hinges returned to yield
as in Simo and Hughes, *Computational Inelasticity*, Box 1.5 (from memory). SciPy's
least squares balance every recorded step under the tensions that were recorded.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares

from workbook.mechanics.metal.front import load, release, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    uniform_crossmember,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

RAIL = BoxSection(width=0.08, depth=0.12, thickness=0.002)
RAIL_TURNED = BoxSection(width=0.12, depth=0.08, thickness=0.002)
BEAM = BoxSection(width=0.05, depth=0.05, thickness=0.0015)
STEEL = {"youngs_modulus": 210e9, "yield_stress": 260e6, "hardening_ratio": 0.03}
LENGTH, SPAN, LINKS = 0.6, 0.8, 2
RATIO = STEEL["hardening_ratio"]
EXACT = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}

FRONT = FrontEnd(
    rails=[
        uniform_rail(
            root=(0, y, 0),
            along=(1, 0, 0),
            length=LENGTH,
            links=LINKS,
            upright=RAIL,
            sideways=RAIL_TURNED,
            **STEEL,
        )
        for y in (SPAN / 2, -SPAN / 2)
    ],
    crossmember=uniform_crossmember(
        ends=((0, 1), (1, 1)),
        length=SPAN,
        links=LINKS,
        upright=BEAM,
        sideways=BEAM,
        torsion_constant=BEAM.torsion_constant,
        shear_modulus=81e9,
        **STEEL,
    ),
    clamps={
        "left tip": RailClamp(node=(0, 2)),
        "left root": RailClamp(node=(0, 1)),
        "right tip": RailClamp(node=(1, 2)),
    },
)
HIT = PullOn(clamp="left tip", direction=(-0.4, -1, -0.3), stroke=0.05)
ROUGH = PullOn(clamp="left tip", head=(1.6, 1.5, 0.4), tension=30e3)
SECOND = PullOn(clamp="right tip", head=(1.5, 0.9, -0.3), tension=6e3)
HOLD = PullOn(clamp="left root", head=(0.2, -1.5, 0.1), stroke=0.0)
PARTS = [*FRONT.rails, FRONT.crossmember.half, FRONT.crossmember.half]
STIFF = np.stack([part.stiffness for part in PARTS])
LIMIT = np.stack([part.yield_load for part in PARTS])


def turn(axis, angle):
    """Return rotations about y or z by many angles, shape (..., 3, 3)."""
    cos, sin = np.cos(angle), np.sin(angle)
    made = np.zeros((*np.shape(angle), 3, 3), dtype=np.result_type(angle))
    one, other = {"y": (2, 0), "z": (0, 1)}[axis]
    still = 3 - one - other
    made[..., still, still] = 1
    made[..., one, one] = made[..., other, other] = cos
    made[..., other, one], made[..., one, other] = sin, -sin
    return made


def chain(bent, at, frame, lengths):
    """Walk along a chain: return node and frame after each of its links."""
    walked = [(at, frame)]
    for link, length in enumerate(lengths):
        frame = frame @ turn("y", bent[..., link, 0]) @ turn("z", bent[..., link, 1])
        at = at + (length + bent[..., link, 2])[..., None] * frame[..., 0]
        walked.append((at, frame))
    return walked


def walk(bent):
    """Return the walked rails and halves of many deformations, shape (..., 4, 2, 3)."""
    eye = np.eye(3)
    walked = [
        chain(bent[..., side, :, :], np.array(rail.root), eye, rail.link_length)
        for side, rail in enumerate(FRONT.rails)
    ]
    for side, way in ((0, -1), (1, 1)):
        at, frame = walked[side][1]
        # The half's own axes: along it, to its left, up.
        own = np.array([[0, -way, 0], [way, 0, 0], [0, 0, 1]])
        half = PARTS[2 + side].link_length
        walked.append(chain(bent[..., 2 + side, :, :], at, frame @ own, half))
    return walked


def potential(bent, pulls):
    """Return the energy of the joint less the work the pulls can still do."""
    walked = walk(bent)
    (left, one), (right, other) = walked[2][-1], walked[3][-1]
    lateral, vertical, twist, apart = FRONT.crossmember.joint
    facing = np.diag([-1.0, -1.0, 1.0])
    across = np.swapaxes(one, -1, -2) @ other @ facing
    # The turn of one face against the other, from its skew part.
    skew = (across - np.swapaxes(across, -1, -2)) / 2
    spin = np.stack([skew[..., 2, 1], skew[..., 0, 2], skew[..., 1, 0]], axis=-1)
    energy = apart / 2 * ((left - right) ** 2).sum(axis=-1)
    energy = energy + (spin**2 @ np.array([twist, lateral, vertical])) / 2
    for pull, tension in pulls:
        rail, node = FRONT.clamps[pull.clamp].node
        at = walked[rail][node][0]
        if pull.head is None:
            way = np.asarray(pull.direction) / np.linalg.norm(pull.direction)
            energy = energy - tension * (at @ way)
        else:
            apart_by = np.sqrt(((np.asarray(pull.head) - at) ** 2).sum(axis=-1))
            energy = energy + tension * apart_by
    return energy


def slope(bent, pulls):
    """Return how the potential changes with every deformation: a complex step each."""
    size, small = bent.size, 1e-30
    stirred = bent + 1j * small * np.eye(size).reshape(size, *bent.shape)
    return (potential(stirred, pulls).imag / small).reshape(bent.shape)


def returned(bent, plastic, back):
    """Return load, plastic part and back load: one-dimensional return mapping."""
    hardening = STIFF * RATIO / (1 - RATIO)
    trial = STIFF * (bent - plastic) - back
    flow = np.maximum(np.abs(trial) - LIMIT, 0) / (STIFF + hardening) * np.sign(trial)
    return (
        STIFF * (bent - plastic - flow),
        plastic + flow,
        back + hardening * flow,
    )


def by_scipy(acts):
    """Balance every recorded step of every act; return nodes and plastic parts."""
    bent = np.zeros_like(STIFF)
    plastic, back = bent, bent
    for act in acts:
        pulls = [*act.front_end.pulls.items()]
        for step in range(1, len(act.history.progress)):
            on = [(pull, act.tension[name][step]) for name, pull in pulls]

            def left_over(x, on=on, plastic=plastic, back=back):
                x = x.reshape(STIFF.shape)
                load_there = returned(x, plastic, back)[0]
                return ((load_there + slope(x, on)) / STIFF).ravel()

            found = least_squares(left_over, bent.ravel(), **EXACT)
            bent = found.x.reshape(STIFF.shape)
            _, plastic, back = returned(bent, plastic, back)
            walked = walk(bent)
            yield act, step, walked, plastic


@pytest.mark.kind("load", "a whole history of acts past yield", "SciPy")
def test_every_step_of_a_history_past_yield_is_where_scipy_balances_it():
    seen = {"tolerance": 0.02, "steps": 4}
    acts = [load(FRONT, undamaged(FRONT), {"hit": HIT}, **seen)]
    acts.append(release(FRONT, acts[-1].state, **seen))
    pulls = {"rough": ROUGH, "second": SECOND, "hold": HOLD}
    acts.append(load(FRONT, acts[-1].state, pulls, **seen))
    more = {"rough": replace(ROUGH, tension=36e3)}
    acts.append(load(FRONT, acts[-1].state, more, **seen))
    acts.append(release(FRONT, acts[-1].state, ["rough", "second"], **seen))
    acts.append(release(FRONT, acts[-1].state, **seen))

    for act, step, walked, plastic in by_scipy(acts):
        nodes = np.stack([[at for at, _ in part] for part in walked])
        assert act.history.nodes[step] == pytest.approx(nodes, abs=1e-8)
        assert act.history.plastic[step] == pytest.approx(plastic, abs=1e-7)

    hit, back = acts[0].history, acts[-1].history
    assert np.abs(hit.nodes[-1] - hit.nodes[0]).max() > 0.04
    assert np.abs(back.plastic[-1] - hit.plastic[-1]).max() > 0.02
    assert np.abs(acts[-1].stress[-1]).max() > 0.05
