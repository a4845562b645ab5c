"""A job of the practice bay, act by act, against the library PyNiteFEA.

The crashed car as it stands: its two bent rails, the welded crossmember between them, a
stand under one root. Two rams pull on one line, a valve is shut, the other goes on, the
crossmember comes off under load, all is let go. After every act all nodes of both rails
are compared. PyNite is linear, so the loads are small; it knows nothing of links: every
hinge is a short beam as stiff as the hinge, every link a stiff one.
"""

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from Pynite import FEModel3D

from workbook.bay.floor import above_datum
from workbook.bay.job import do, new_job
from workbook.mechanics.metal.rail_arrangement import arrange

sys.path.insert(0, str(Path(__file__).parents[1] / "bay"))

from bay_jobs import AHEAD, CODES, SIDE, anchored, pumped, ready

SHORT = 2e-3  # of the beam that stands for a hinge [m]
MODULUS, STIFF, TURNED = 210e9, 1e-2, 1e-3  # of a link: area, second moment
WAYS = ("DX", "DZ", "DY")  # PyNite's Y is up: this frame's y is its Z
# Of the largest movement: a pull swings a little as the metal goes, and the hinges of a
# bent rail do not lie quite in PyNite's axes.
CLOSE = 0.005
ACTS = [
    {"act": "stand", "side": "left"},
    *ready(AHEAD, SIDE),
    *pumped(0.15, 0.15),
    {"act": "valve", "ram": "A", "open": False},
    *pumped(0.1),
    {"act": "crossmember", "on": False},
    *pumped(0.1),
    {"act": "release"},
]


class Model:
    """A front end in PyNite, nodes named by chain and number."""

    def __init__(self, front_end, nodes, stands):
        self.model = FEModel3D()
        self.model.add_material("steel", MODULUS, MODULUS / 2.6, 0.3, 7850)
        self.model.add_section("link", STIFF, TURNED, TURNED, TURNED)
        self.model.add_section("short", 1e-4, 1e-6, 1e-6, 1e-6)
        self.count = 0
        self.stiffness = arrange(front_end).stiffness
        chains = [self._chain(k, at) for k, at in enumerate(nodes)]
        for number, (at, way) in enumerate(chains[:2]):
            root = self._node(at - SHORT / 2 * way)
            self.model.def_support(root, *[True] * 6)
            self._hinge(number, 0, root, at, way, nodes[number])
        beam = front_end.crossmember
        if beam is not None:
            ends = []
            for half, (rail, node) in enumerate(beam.ends, start=2):
                at, way = chains[half]
                begun = self._node(at - SHORT / 2 * way)
                self._stiff(f"{rail}.{node}", begun)
                self._hinge(half, 0, begun, at, way, nodes[half])
                ends.append(f"{half}.{nodes.shape[1] - 1}")
            self._joint(*ends, beam.joint)
        for node, stiffness in stands:
            name = "{}.{}".format(*node)
            for way, one in zip(WAYS, stiffness, strict=True):
                self.model.def_support_spring(name, way, max(one, 1e-3))

    def _node(self, at, name=None):
        self.count += 1
        name = name or f"n{self.count}"
        x, y, z = (float(one) for one in at)
        self.model.add_node(name, x, z, y)
        return name

    def _member(self, one, other, section):
        self.count += 1
        self.model.add_member(f"m{self.count}", one, other, "steel", section)

    def _stiff(self, one, other):
        at = [self.model.nodes[name] for name in (one, other)]
        apart = np.linalg.norm(np.ptp([(n.X, n.Y, n.Z) for n in at], axis=0))
        assert apart > 1e-5
        self._member(one, other, "link" if apart > 0.02 else "short")

    def _chain(self, k, nodes):
        """Add every node of a chain; return where it begins, and its first way."""
        ways = np.diff(nodes, axis=0)
        ways /= np.linalg.norm(ways, axis=1)[:, None]
        for number, at in enumerate(nodes[1:], start=1):
            # A link ends half a hinge before its node; behind a tip there is none.
            back = 0 if k < 2 and number == len(ways) else SHORT / 2
            self._node(at - back * ways[number - 1], f"{k}.{number}")
        return nodes[0], ways[0]

    def _hinge(self, k, number, begun, at, way, nodes):
        """Add a hinge, its link, and all that hangs on that."""
        lateral, vertical, along = self.stiffness[k, number] * SHORT
        section = f"hinge {k}.{number}"
        # Of a member along x, z across: about its own y it bends sideways.
        self.model.add_section(
            section, along / MODULUS, vertical / MODULUS, lateral / MODULUS, TURNED
        )
        behind = self._node(at + SHORT / 2 * way)
        self._member(begun, behind, section)
        self._stiff(behind, f"{k}.{number + 1}")
        if number + 2 < len(nodes):
            onward = nodes[number + 2] - nodes[number + 1]
            onward = onward / np.linalg.norm(onward)
            self._hinge(
                k, number + 1, f"{k}.{number + 1}", nodes[number + 1], onward, nodes
            )

    def _joint(self, left, right, joint):
        """Join the halves, whose ends are a hinge apart."""
        lateral, vertical, twist, apart = np.asarray(joint) * SHORT
        self.model.add_section(
            "joint",
            apart / MODULUS,
            vertical / MODULUS,
            lateral / MODULUS,
            twist / (MODULUS / 2.6),
        )
        self._member(left, right, "joint")

    def moved(self, loads, shape):
        """Return how far every node of both rails moves under loads by node."""
        for node, force in loads:
            name = "{}.{}".format(*node)
            for way, one in zip(("FX", "FZ", "FY"), force, strict=True):
                self.model.add_node_load(name, way, float(one))
        self.model.analyze_linear()
        moved = np.zeros(shape)
        for k, number in np.ndindex(shape[:2]):
            if number:
                node = self.model.nodes[f"{k}.{number}"]
                moved[k, number] = [getattr(node, way)["Combo 1"] for way in WAYS]
        return moved


@pytest.mark.kind("do", "every act of a job on the welded front", "PyNite")
def test_after_every_act_of_a_job_both_rails_are_where_pynite_says():
    bay = new_job(**CODES)
    for act in anchored(bay.car):
        bay = do(bay, act)
    start, compared = bay, []
    for act in ACTS:
        bay = do(bay, act)
        if act["act"] not in {"pump", "crossmember", "release"}:
            continue
        forces = [
            (bay.car.front_end.clamps[ram.place].node,
             ram.pull(bay.places[ram.place]).force_on_clamp)
            for ram in bay.rams.values()
            if ram.force > 0
        ]  # fmt: skip
        stands = [(one.node, one.stiffness) for one in bay.metal.holds.values()]
        nodes = start.metal.metal.nodes[: len(bay.metal.metal.nodes)]
        model = Model(bay.front_end, np.array(nodes), stands)
        told = model.moved(forces, bay.rails.shape)
        compared.append((act["act"], bay.rails - start.rails, told))

    assert np.array_equal(bay.rails.shape, (2, 9, 3))
    assert above_datum(bay.places["left tip"]) == pytest.approx(bay.rails[0, -1])
    for name, moved, told in compared:
        largest = np.abs(told).max()
        if name == "release":
            assert np.abs(moved).max() < 1e-6
            continue
        assert largest > 2e-4
        assert moved == pytest.approx(told, abs=CLOSE * largest), name
    off = [moved for name, moved, _ in compared if name == "crossmember"]
    assert len(compared) == 6
    assert np.abs(off[0] - compared[2][1]).max() > 1e-4
    assert all(np.abs(a - b).max() > 0 for (_, a, _), (_, b, _) in pairwise(compared))
