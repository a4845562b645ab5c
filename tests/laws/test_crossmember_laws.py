"""Laws of two rails welded to a crossmember: one structure, whatever the numbers."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import LINKS, rail, two_rails_and_a_beam
from scipy.spatial.transform import Rotation

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.front import load, release, relieve, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_at_rest import elastic_capacity
from workbook.mechanics.metal.rail_balance import pull_lines
from workbook.mechanics.metal.rail_parts import RailClamp, Relief, Spring

FRONT = two_rails_and_a_beam()
PULLS = {
    "hit": PullOn(clamp="left tip", direction=(-0.3, -1, -0.4), stroke=0.05),
    "rough": PullOn(clamp="left tip", head=(1.4, 1.9, 0.5), tension=24e3),
    "second": PullOn(clamp="right tip", head=(1.5, 1.2, -0.4), tension=9e3),
    "hold": PullOn(clamp="right root", head=(0.2, -1.5, 0.1), stroke=0.0),
}
STAND = Spring(node=(0, 2), stiffness=(1e6, 1e6, 1e6))
HAMMER = (
    Relief(rail=0, hinges=[0, 1], fraction=0.4),
    Relief(rail=2, hinges=[0], fraction=0.3),
)


def mended(front_end, *, by=None, side="left", **how):
    """Hit, let go, pull and hold, hammer, release; places and ways turned by ``by``."""
    by = np.eye(3) if by is None else by

    def turned(name):
        pull = PULLS[name]
        clamp = pull.clamp
        if side == "right":
            clamp = clamp.translate({}).replace("left", "_").replace("right", "left")
            clamp = clamp.replace("_", "right")
        at = {
            end: by @ np.asarray(getattr(pull, end))
            for end in ("head", "direction")
            if getattr(pull, end) is not None
        }
        return replace(pull, clamp=clamp, **at)

    other = {0: 1, 1: 0, 2: 3, 3: 2} if side == "right" else {k: k for k in range(4)}
    stand = replace(STAND, node=(other[0], 2))
    hammer = [replace(relief, rail=other[relief.rail]) for relief in HAMMER]
    acts = [load(front_end, undamaged(front_end), {"hit": turned("hit")}, **how)]
    acts.append(release(front_end, acts[-1].state, **how))
    pulls = {name: turned(name) for name in ("rough", "second", "hold")}
    holds = {"stand": stand}
    acts.append(load(front_end, acts[-1].state, pulls, holds=holds, **how))
    acts.append(relieve(front_end, acts[-1].state, hammer, **how))
    acts.append(release(front_end, acts[-1].state, **how))
    return acts


@pytest.fixture(name="repair", scope="module")
def fixture_repair():
    return mended(FRONT)


def steps_of(acts):
    """Return every step of every act with the arrangement it is balanced in."""
    for act in acts:
        a = arrange(act.front_end)
        for number in range(1, len(act.history.progress)):
            yield a, act, number


def forces_on(a, act, number):
    """Return the points of pulls and ties and the forces there."""
    points = a.points(a.placed(act.history.deformation[number]))
    tension = act.history.force[number]
    pulled = tension[:, None] * pull_lines(a, points[: len(tension)])[0]
    return points, np.concatenate([pulled, a.gap_of.T @ act.history.tie[number]])


def test_every_hinge_of_every_step_carries_the_moment_of_all_beyond_it(repair):
    worst = 0.0
    for a, act, number in steps_of(repair):
        placed = a.placed(act.history.deformation[number])
        points, forces = forces_on(a, act, number)
        arms = points[:, None, None] - placed.nodes[:, :-1]
        moment = np.cross(arms, forces[:, None, None])
        moment = np.einsum("pmn,pmna->mna", a.carried, moment)
        force = np.einsum("pmn,pa->mna", a.carried, forces)
        asked = np.stack([moment, moment, force], axis=2)
        expected = np.einsum("mnka,mnka->mnk", placed.axes, asked)
        off = (act.history.load[number] - expected) / a.yield_load
        worst = max(worst, np.abs(off).max())

    assert worst < 1e-9


def test_work_on_the_moved_mesh_is_virtual_work_of_the_hinges(repair):
    # The mesh is moved a little, exactly: no slope of the engine's is used.
    draw, small = np.random.default_rng(5), 1e-6
    for a, act, number in [*steps_of(repair)][::7]:
        bent = act.history.deformation[number]
        way = draw.normal(size=bent.shape) * [1, 1, 0.1]
        ahead, behind = (a.points(a.placed(bent + s * small * way)) for s in (1, -1))
        forces = forces_on(a, act, number)[1]
        outside = np.sum(forces * (ahead - behind)) / (2 * small)
        inside = np.sum(act.history.load[number] * way)
        size = np.abs(act.history.load[number] * way).sum()
        assert outside == pytest.approx(inside, abs=1e-6 * size)


def test_the_cowl_carries_all_that_pulls_and_holds_do(repair):
    for act in repair:
        force, moment = act.root_load
        outside = sum(act.pull_force.values()) + sum(act.hold_force.values())
        assert force.sum(axis=1) == pytest.approx(outside, abs=1e-6)
        # About the two axes of the root hinge its own moments are the same.
        bent = act.history.deformation[:, :2, 0]
        lateral = moment[..., 1]
        assert lateral == pytest.approx(act.history.load[:, :2, 0, 0], abs=1e-3)
        turn = np.stack([np.sin(bent[..., 0]), 0 * bent[..., 0], np.cos(bent[..., 0])])
        vertical = np.einsum("akr,kra->kr", turn, moment)
        assert vertical == pytest.approx(act.history.load[:, :2, 0, 1], abs=1e-3)


def test_the_two_halves_stay_one_beam(repair):
    # What the joint gives is what its stiffness says: hundredths of a millimetre.
    for act in repair:
        left, right = act.history.nodes[:, 2, -1], act.history.nodes[:, 3, -1]
        assert np.abs(left - right).max() < 5e-5
        across = np.linalg.norm(np.diff(act.crossmember, axis=1), axis=2).sum(axis=1)
        assert across == pytest.approx(0.8, rel=1e-3)


def test_no_energy_is_made_and_none_is_lost(repair):
    last, small = 0.0, elastic_capacity(arrange(FRONT))
    for act in repair:
        energy = act.energies
        gone = energy["dissipated"] + energy["relieved"] + energy["removed"]
        accounted = energy["elastic"] + energy["hardening"] + gone
        lost = np.abs(energy["work"] - accounted)
        assert np.all(lost <= 1e-3 * np.maximum(energy["gross"], small))
        assert np.all(np.diff(energy["dissipated"]) >= 0)
        assert energy["dissipated"][0] >= last
        last = energy["dissipated"][-1]
    assert last > 300


def test_mirror_all_of_it_and_the_metal_mirrors(repair):
    flip = np.diag([1.0, -1.0, 1.0])

    other = mended(FRONT, by=flip, side="right")

    for act, there in zip(repair, other, strict=True):
        swapped = there.history.nodes[:, [1, 0, 3, 2]] @ flip
        assert act.history.nodes == pytest.approx(swapped, abs=1e-8)
    assert np.ptp(repair[-1].history.nodes[-1, :2, -1, 2]) > 1e-4


def test_turn_all_of_it_and_the_metal_turns(repair):
    by = Rotation.from_rotvec([0.3, -1.1, 0.7]).as_matrix()
    beam = FRONT.crossmember
    rails = [
        replace(r, root=by @ r.root, along=by @ r.along, upward=by @ r.upward)
        for r in FRONT.rails
    ]
    half = replace(beam.half, upward=by @ beam.half.upward)
    front_end = replace(FRONT, rails=rails, crossmember=replace(beam, half=half))

    turned = mended(front_end, by=by)

    for act, there in zip(repair, turned, strict=True):
        assert there.history.nodes == pytest.approx(act.history.nodes @ by.T, abs=1e-8)


def test_a_closed_round_inside_yield_leaves_nothing():
    up = PullOn(clamp="right tip", direction=(0.1, 0.2, 1), tension=3e3)
    out = PullOn(clamp="left tip", head=(1.4, 1.9, 0.5), tension=6e3)
    start = undamaged(FRONT)

    both = load(FRONT, start, {"out": out, "up": up})
    back = release(FRONT, release(FRONT, both.state, ["out"]).state)

    assert np.ptp(both.history.nodes, axis=0).max() > 1e-3
    assert back.state.metal.nodes == pytest.approx(start.metal.nodes, abs=1e-12)
    assert back.energies["dissipated"][-1] == 0
    assert abs(back.energies["elastic"][-1]) < 1e-12


def test_taken_out_at_once_it_is_two_rails_alone():
    start = undamaged(FRONT)
    out = release(FRONT, start, ["crossmember"])
    bare = replace(FRONT, crossmember=None)
    pulls = {name: PULLS[name] for name in ("rough", "second", "hold")}

    cut = load(FRONT, out.state, pulls)
    alone = load(bare, undamaged(bare), pulls)

    assert not out.state.crossmember_on
    assert cut.rails[-1] == pytest.approx(alone.rails[-1], abs=1e-9)
    assert cut.tension["hold"][-1] == pytest.approx(alone.tension["hold"][-1])
    with_it = load(FRONT, start, pulls)
    assert with_it.state.crossmember_on
    assert np.abs(with_it.rails[-1] - alone.rails[-1]).max() > 5e-3


def test_no_pull_on_one_rail_reaches_the_other_without_it():
    bare = replace(FRONT, crossmember=None)

    act = load(bare, undamaged(bare), {"rough": PULLS["rough"]})

    assert np.ptp(act.rails[:, 1], axis=0).max() == 0
    assert act.crossmember.shape == (len(act.rails), 0, 3)


def test_what_stays_in_a_welded_frame_is_let_go_when_it_is_cut(repair):
    # Nothing is on it, and the frame still pulls at itself; rails alone cannot.
    bent = repair[1]
    inside = np.abs(bent.stress[-1])
    assert bent.history.force[-1].tolist() == [0]
    assert inside[:, :, :2].max() > 0.05

    cut = release(FRONT, bent.state, ["crossmember"])

    assert np.abs(cut.stress[-1]).max() < 1e-9
    assert np.abs(cut.rails[-1] - cut.rails[0]).max() > 1e-4
    assert cut.energies["removed"][-1] > 0.01
    force, moment = bent.root_load
    assert np.abs(force[-1]).max() > 10
    assert force[-1].sum(axis=0) == pytest.approx([0, 0, 0], abs=1e-6)
    assert np.abs(moment[-1]).max() > 10


HARD = {"rough": replace(PULLS["rough"], tension=26e3)}
EASY = {"rough": replace(PULLS["rough"], tension=8e3)}


@pytest.mark.parametrize(("pulls", "scatter"), [(EASY, 0.01), (HARD, 0.25)])
def test_energy_error_of_equal_steps_falls_with_their_square(pulls, scatter):
    # Where in a step a hinge begins to yield is chance.
    counts = [4, 8, 16, 32, 64]
    acts = [
        load(FRONT, undamaged(FRONT), pulls, steps=2 * count, tolerance=1)
        for count in counts
    ]

    errors = [abs(act.history.energies[-1].imbalance) for act in acts]

    slope = np.polyfit(np.log(counts), np.log(errors), 1)[0]
    assert slope == pytest.approx(-2, abs=scatter)


def test_places_are_those_of_ten_times_as_many_steps():
    few, many = (
        load(FRONT, undamaged(FRONT), HARD, steps=n, tolerance=1) for n in (4, 40)
    )

    assert few.state.metal.nodes == pytest.approx(many.state.metal.nodes, abs=1e-9)
    assert few.stress[-1].max() > 1


@pytest.mark.parametrize(
    ("reason", "changes"),
    [
        ("rail.crossmember_fit", {"ends": ((0, 5), (1, 4))}),
        ("rail.no_node", {"ends": ((0, 5), (2, 5))}),
        ("rail.not_negative", {"joint": (1.0, 1.0, 1.0)}),
        ("rail.not_negative", {"joint": (1.0, 1.0, -1.0, 1.0)}),
        ("rail.unequal", {"half": rail(links=4, length=0.4)}),
    ],
)
def test_a_crossmember_that_makes_no_sense_is_refused(reason, changes):
    with pytest.raises(OutOfRangeError) as refused:
        undamaged(replace(FRONT, crossmember=replace(FRONT.crossmember, **changes)))

    assert refused.value.reason == reason


def test_a_crossmember_taken_out_is_not_fitted_again():
    out = release(FRONT, undamaged(FRONT), ["crossmember"])

    with pytest.raises(OutOfRangeError) as refused:
        load(FRONT, out.state, {}, holds={"crossmember": STAND})

    assert refused.value.reason == "rail.hold_taken"


def test_its_own_nodes_can_be_pulled_too():
    middle = RailClamp(node=(2, LINKS))
    front_end = replace(FRONT, clamps={**FRONT.clamps, "middle": middle})
    down = PullOn(clamp="middle", direction=(0, 0, -1), tension=2e3)

    act = load(front_end, undamaged(front_end), {"down": down})

    moved = act.crossmember[-1] - act.crossmember[0]
    assert moved[LINKS, 2] < moved[0, 2] < 0
    # The pull is on the left half: the joint gives a thousandth of a millimetre.
    assert moved == pytest.approx(moved[::-1] * [1, -1, 1], abs=2e-6)
