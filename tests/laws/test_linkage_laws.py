"""Laws of one pull: balance, least distance, virtual work, symmetry, scale."""

from dataclasses import fields, replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar, root

from workbook.errors import MechanismError
from workbook.mechanics.pull.linkage import Pull, Rig, solve_pull, solve_pulls
from workbook.mechanics.pull.rigging import free_running_chain, redirect
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.wanted_force import (
    ram_force_for_tension,
    ram_force_for_useful_pull,
)
from workbook.mechanics.vectors import angle_between, norm, unit

F = 40e3
DEG = np.pi / 180
POINTS = {"clamp", "base", "anchor"}
TEACHING_RAM = {"full_stroke": 0.15, "swivel": 45 * DEG}


def moved(rig, change):
    """Return the rig with every point changed."""
    return replace(rig, **{name: change(getattr(rig, name)) for name in POINTS})


def upright(phi, alpha, beta, *, clamp_height=0.5, ram=1.0, **ram_data):
    """Set out a ram and two legs by their angles from the floor."""
    out, up = ram * np.cos(phi), ram * np.sin(phi)
    return lay_out(
        clamp=(0, 0, clamp_height),
        chain_angle=0.0,
        clamp_distance=(up - clamp_height) / np.tan(beta) - out,
        fork_distance=out + up / np.tan(alpha),
        lean=np.pi / 2 - phi,
        closed_length=ram,
        **TEACHING_RAM | ram_data,
    )


def assert_same_pull(found, expected, rel=1e-9):
    for field in fields(Pull):
        value, wanted = getattr(found, field.name), getattr(expected, field.name)
        assert value.shape == wanted.shape, field.name
        scale = np.nanmax(np.abs(wanted), initial=1.0)
        np.testing.assert_allclose(value, wanted, rtol=rel, atol=rel * scale)


# --- referees: other ways to the same answer ------------------------------------


def circle_of_heads(rig):
    """Return the circle on which ram and anchor leg meet, as a function of angle."""
    across, R, La = rig.anchor - rig.base, rig.ram_length, rig.anchor_leg
    # Both spheres: 2 P.(A - B) = R^2 - La^2 + A.A - B.B, on the line through B.
    level = (R**2 - La**2 + rig.anchor @ rig.anchor - rig.base @ rig.base) / 2
    share = (level - rig.base @ across) / (across @ across)
    centre = rig.base + share * across
    radius = np.sqrt(R**2 - (centre - rig.base) @ (centre - rig.base))
    first, second = np.linalg.svd(across[None, :])[2][1:]
    return lambda angle: (
        centre + radius * (np.cos(angle) * first + np.sin(angle) * second)
    )


def test_head_lies_where_its_circle_comes_nearest_the_clamp(rig):
    head_at = circle_of_heads(rig)

    def distance(angle):
        return np.linalg.norm(head_at(angle) - rig.clamp)

    rough = min(np.linspace(0, 2 * np.pi, 60), key=distance)
    nearest = minimize_scalar(
        distance, bounds=(rough - 0.2, rough + 0.2), method="bounded",
        options={"xatol": 1e-10},
    )  # fmt: skip

    pull = solve_pull(rig, ram_force=F)

    # A place found by comparing distances is good to half their digits.
    assert pull.head == pytest.approx(head_at(nearest.x), abs=1e-6)
    assert float(pull.pull_leg) == pytest.approx(nearest.fun, rel=1e-12)


def test_legs_share_the_ram_force_as_least_squares_does(rig):
    pull = solve_pull(rig, ram_force=F)
    ram, to_clamp, to_anchor = (
        line / np.linalg.norm(line)
        for line in (
            pull.head - rig.base,
            rig.clamp - pull.head,
            rig.anchor - pull.head,
        )
    )

    legs, left_over, *_ = np.linalg.lstsq(
        np.stack([to_clamp, to_anchor], axis=1), -F * ram
    )

    assert left_over == pytest.approx(0, abs=1e-9 * F)
    assert float(pull.pull_tension) == pytest.approx(legs[0], rel=1e-9)
    assert float(pull.anchor_tension) == pytest.approx(legs[1], rel=1e-9)


def test_ram_and_legs_keep_their_lengths(rig):
    pull = solve_pull(rig, ram_force=F)

    assert float(norm(pull.head - rig.base)) == pytest.approx(float(rig.ram_length))
    assert float(norm(pull.head - rig.anchor)) == pytest.approx(float(rig.anchor_leg))
    assert float(norm(pull.head - rig.clamp)) == pytest.approx(float(pull.pull_leg))


def test_travel_ratio_is_that_of_a_moved_linkage(rig):
    pull = solve_pull(rig, ram_force=F)
    upright_of_plane = np.cross(rig.anchor - rig.base, rig.clamp - rig.base)

    def pull_leg_after(stroke):
        def gaps(head):
            return [
                np.linalg.norm(head - rig.base) - rig.ram_length - stroke,
                np.linalg.norm(head - rig.anchor) - rig.anchor_leg,
                (head - rig.base) @ upright_of_plane,
            ]

        head = root(gaps, pull.head, tol=1e-14).x
        return np.linalg.norm(head - rig.clamp)

    h = 1e-4
    ratio = (pull_leg_after(h) - pull_leg_after(-h)) / (2 * h)

    assert float(pull.travel_ratio) == pytest.approx(ratio, rel=1e-6)


# --- balance --------------------------------------------------------------------


def test_forces_balance_at_the_head(rig):
    pull = solve_pull(rig, ram_force=F)
    ends = np.stack([pull.head - rig.base, rig.clamp - pull.head])
    to_anchor = rig.anchor - pull.head

    at_head = (
        F * unit(ends[0])
        + pull.pull_tension * unit(ends[1])
        + pull.anchor_tension * unit(to_anchor)
    )

    largest = max(F, float(pull.pull_tension), float(pull.anchor_tension))
    assert at_head == pytest.approx(np.zeros(3), abs=1e-9 * largest)


def test_bench_and_clamp_are_a_closed_loop_of_forces_and_moments(rig):
    pull = solve_pull(rig, ram_force=F)
    forces = [pull.force_on_clamp, pull.base_on_bench, pull.anchor_on_bench]
    points = [rig.clamp, rig.base, rig.anchor]

    moment = sum(np.cross(r, f) for r, f in zip(points, forces, strict=True))

    assert sum(forces) == pytest.approx(np.zeros(3), abs=1e-9 * F)
    assert moment == pytest.approx(np.zeros(3), abs=1e-8 * F)


def test_chain_draws_the_clamp_to_the_head_and_the_bench_up_at_the_fork(rig):
    pull = solve_pull(rig, ram_force=F)

    assert pull.direction == pytest.approx(unit(pull.head - rig.clamp))
    assert pull.force_on_clamp == pytest.approx(pull.pull_tension * pull.direction)
    assert pull.anchor_on_bench[2] > 0
    assert pull.base_on_bench[2] < 0


def test_angles_are_those_of_the_points(rig):
    pull = solve_pull(rig, ram_force=F)
    ram, chain = pull.head - rig.base, pull.head - rig.clamp
    anchor_leg = pull.head - rig.anchor
    out = (rig.base - rig.clamp) * (1, 1, 0) / np.hypot(*(rig.base - rig.clamp)[:2])

    assert float(pull.tilt) == pytest.approx(np.arccos(ram[2] / rig.ram_length))
    assert float(pull.lean) == pytest.approx(np.arctan(ram @ out / ram[2]))
    assert float(pull.rise) == pytest.approx(np.arcsin(chain[2] / pull.pull_leg))
    assert float(pull.anchor_angle) == pytest.approx(
        np.arcsin(anchor_leg[2] / rig.anchor_leg)
    )
    assert np.cos(pull.side_angle) * np.hypot(*chain[:2]) == pytest.approx(chain[0])
    assert np.sin(pull.side_angle) * np.hypot(*chain[:2]) == pytest.approx(chain[1])


# --- symmetry, scale, proportion --------------------------------------------------


def test_mirrored_rig_pulls_to_the_other_side(rig):
    mirror = np.array([1.0, -1.0, 1.0])

    pull, other = (
        solve_pull(r, ram_force=F) for r in (rig, moved(rig, lambda p: p * mirror))
    )

    assert other.head == pytest.approx(pull.head * mirror, abs=1e-12)
    assert other.force_on_clamp == pytest.approx(pull.force_on_clamp * mirror)
    assert float(other.side_angle) == pytest.approx(-float(pull.side_angle))
    assert float(other.anchor_tension) == pytest.approx(float(pull.anchor_tension))
    assert float(other.lean) == pytest.approx(float(pull.lean))


def test_rig_turned_on_the_bench_turns_its_pull(rig):
    turn = np.array([[np.cos(2), -np.sin(2), 0], [np.sin(2), np.cos(2), 0], [0, 0, 1]])

    pull, turned = (
        solve_pull(r, ram_force=F) for r in (rig, moved(rig, lambda p: turn @ p))
    )

    assert turned.force_on_clamp == pytest.approx(turn @ pull.force_on_clamp)
    assert turned.base_on_bench == pytest.approx(turn @ pull.base_on_bench)
    change = float(turned.side_angle - pull.side_angle)
    assert np.exp(1j * change) == pytest.approx(np.exp(2j))
    assert float(turned.rise) == pytest.approx(float(pull.rise))
    assert float(turned.lean) == pytest.approx(float(pull.lean))


def test_rig_carried_elsewhere_pulls_the_same(rig):
    there = np.array([12.0, -7.0, 3.0])

    pull, carried = (
        solve_pull(r, ram_force=F) for r in (rig, moved(rig, lambda p: p + there))
    )

    assert_same_pull(replace(carried, head=carried.head - there), pull)


@pytest.mark.parametrize("k", [1e-3, 25.4, 1e200, 1e-200])
def test_rig_of_another_size_has_the_same_angles_and_forces(rig, k):
    big = Rig(
        **{
            f.name: getattr(rig, f.name) * (1 if f.name == "swivel" else k)
            for f in fields(Rig)
        }
    )

    pull, scaled = (solve_pull(r, ram_force=F) for r in (rig, big))

    assert_same_pull(
        replace(scaled, head=scaled.head / k, pull_leg=scaled.pull_leg / k), pull
    )


def test_every_force_grows_with_the_ram_force_and_adds_up(rig):
    forces = ["pull_tension", "anchor_tension", "force_on_clamp"]
    forces += ["base_on_bench", "anchor_on_bench"]

    one, two, both = (solve_pull(rig, ram_force=f) for f in (F, 1.5 * F, 2.5 * F))

    for name in forces:
        total = getattr(one, name) + getattr(two, name)
        assert getattr(both, name) == pytest.approx(total), name
        assert getattr(two, name) == pytest.approx(1.5 * getattr(one, name)), name
    assert both.head == pytest.approx(one.head)


# --- formulae ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("beta", "height"), [(-5, 1.4), (5, 0.3), (20, 0.3), (30, 0.3)]
)
def test_upright_rig_follows_the_rule_of_sines(beta, height):
    # Angles from the floor, balance of a particle in its plane.
    phi, alpha = np.meshgrid([55, 77, 90, 100], [35, 45, 65]) * np.array(DEG)
    beta = beta * DEG

    pull = solve_pulls(upright(phi, alpha, beta, clamp_height=height), ram_force=F)

    both = np.sin(alpha + beta)
    assert pull.pull_tension == pytest.approx(F * np.sin(phi + alpha) / both)
    assert pull.anchor_tension == pytest.approx(F * np.sin(phi - beta) / both)
    assert pull.lean == pytest.approx(np.pi / 2 - phi)
    assert pull.anchor_angle == pytest.approx(alpha)
    assert pull.rise == pytest.approx(np.full((3, 4), beta))
    assert pull.side_angle == pytest.approx(np.zeros((3, 4)), abs=1e-12)


@pytest.mark.parametrize(("alpha", "beta"), [(45, 20), (60, 10), (35, 30), (50, 5)])
def test_legs_are_equal_when_the_ram_halves_the_angle_between_them(alpha, beta):
    phi = 90 - (alpha - beta) / 2

    pull = solve_pull(upright(phi * DEG, alpha * DEG, beta * DEG), ram_force=F)

    assert float(pull.anchor_tension) == pytest.approx(float(pull.pull_tension))


@pytest.mark.parametrize("clamp_height", [0.3, 0.6])
def test_fork_offset_shifts_the_head_by_the_design_formula(clamp_height):
    # Head, clamp, base and anchor in one plane:
    # shift = offset (c h_r + D h_z)/(f c).
    D, f, side = 1.4, 0.7, 0.4
    offset, lean = np.meshgrid([-0.15, -0.05, 0.02, 0.1], [-20, 0, 15, 35])
    rig = lay_out(
        clamp=(0.2, -0.3, clamp_height), chain_angle=side, clamp_distance=D,
        fork_distance=f, fork_offset=offset, closed_length=0.95, lean=lean * DEG,
        full_stroke=0.15, swivel=80 * DEG,
    )  # fmt: skip

    pull = solve_pulls(rig, ram_force=F)

    axes = [
        [np.cos(side), np.sin(side), 0],
        [-np.sin(side), np.cos(side), 0],
        [0, 0, 1],
    ]
    outward, left, h_z = np.moveaxis((pull.head - rig.base) @ np.transpose(axes), -1, 0)
    shift = offset * (clamp_height * outward + D * h_z) / (f * clamp_height)
    assert left == pytest.approx(shift, rel=1e-9)
    assert pull.lean == pytest.approx(lean * DEG, abs=1e-12)


def test_base_straight_below_the_clamp_leans_along_its_own_line():
    rig = lay_out(
        clamp=(0, 0, 0.4), chain_angle=0.7, clamp_distance=0.0, fork_distance=0.8,
        closed_length=1.0, lean=20 * DEG, **TEACHING_RAM,
    )  # fmt: skip

    pull = solve_pull(rig, ram_force=F)

    assert float(pull.lean) == pytest.approx(20 * DEG)


# --- many rigs at once ----------------------------------------------------------


def test_many_rigs_at_once_are_each_solved_as_alone(any_rigs):
    rigs = any_rigs(7, shape=(3, 4))
    ram_force = np.linspace(10e3, 60e3, 12).reshape(3, 4)

    pulls = solve_pulls(rigs, ram_force=ram_force)

    assert pulls.stands.all()
    for place in np.ndindex(3, 4):
        alone = Rig(
            **{
                f.name: v[place] if (v := getattr(rigs, f.name)).shape[:2] == (3, 4)
                else v
                for f in fields(Rig)
            }
        )  # fmt: skip
        pull = solve_pull(alone, ram_force=float(ram_force[place]))
        here = Pull(**{f.name: getattr(pulls, f.name)[place] for f in fields(Pull)})
        assert_same_pull(here, pull, rel=1e-13)


def test_fields_of_different_shapes_meet_in_one_array():
    # Two clamps down, three extensions across, four ram forces deep.
    def rigs(clamp, extension):
        return lay_out(
            clamp=clamp, chain_angle=0.0, clamp_distance=1.5, fork_distance=0.8,
            fork_offset=0.05, closed_length=0.7, extension=extension, anchor_leg=1.15,
            **TEACHING_RAM,
        )  # fmt: skip

    clamps = np.array([[0, 0, 0.4], [0, 0, 0.6]])[:, None, None, :]
    extensions = np.array([0.1, 0.2, 0.3])[:, None]

    pulls = solve_pulls(rigs(clamps, extensions), ram_force=[1e4, 2e4, 3e4, 4e4])

    assert pulls.stands.all()
    for field in fields(Pull):
        vector = field.name in {"head", "direction", "force_on_clamp"}
        vector |= field.name.endswith("_on_bench")
        wanted = (2, 3, 4, 3) if vector else (2, 3, 4)
        assert getattr(pulls, field.name).shape == wanted, field.name
    alone = solve_pull(rigs((0, 0, 0.6), 0.3), ram_force=3e4)
    assert pulls.force_on_clamp[1, 2, 2] == pytest.approx(alone.force_on_clamp)


# --- the wanted pull --------------------------------------------------------------


def test_ram_force_for_a_tension_gives_that_tension(rig):
    ram_force = ram_force_for_tension(rig, pull_tension=25e3)

    pull = solve_pull(rig, ram_force=float(ram_force))

    assert float(pull.pull_tension) == pytest.approx(25e3)


def test_ram_force_for_a_useful_pull_gives_that_part_of_the_pull(rig):
    start = solve_pull(rig, ram_force=1.0)
    line = 3 * (start.direction + np.array([0.2, -0.1, 0.3]))

    ram_force = ram_force_for_useful_pull(rig, useful_pull=18e3, line=line)
    pull = solve_pull(rig, ram_force=float(ram_force))

    assert pull.force_on_clamp @ unit(line) == pytest.approx(18e3)


# --- a chain that runs free ------------------------------------------------------


def test_chain_running_free_over_a_swivelling_ram_is_refused():
    rig = upright(70 * DEG, 45 * DEG, 20 * DEG)

    with pytest.raises(MechanismError, match=r"Lock the chain .* fixed roller"):
        free_running_chain(rig)


@pytest.mark.parametrize("seed", range(6))
def test_path_over_a_pinned_ram_is_longest_on_the_bisector_of_the_runs(seed):
    # Why it is refused: where equal tensions balance the ram, the chain is at its
    # longest in their plane, so any movement slackens it. Runs longer than the ram.
    draw = np.random.default_rng(seed).uniform
    clamp, anchor = np.array([-1.5, 0, draw(0.2, 0.6)]), np.array([draw(0.4, 1), 0, 0])

    def runs(lean):
        head = np.array([np.sin(lean), 0, np.cos(lean)])
        return clamp - head, anchor - head, head

    def path(lean):
        return sum(np.linalg.norm(run) for run in runs(lean)[:2])

    longest = minimize_scalar(
        lambda lean: -path(lean), bounds=(-1.3, 1.3), method="bounded",
        options={"xatol": 1e-9},
    ).x  # fmt: skip
    to_clamp, to_anchor, ram = runs(longest)

    half = float(angle_between(to_clamp, -ram))
    assert half == pytest.approx(float(angle_between(to_anchor, -ram)), abs=1e-6)
    assert path(longest + 0.01) < path(longest) > path(longest - 0.01)
    # Equal tensions on the bisector: no part of their sum is across the ram.
    across = redirect(F, run_a=to_clamp, run_b=to_anchor).anchor_force
    assert np.cross(across, ram) == pytest.approx(np.zeros(3), abs=1e-5 * F)


# --- what the trade says (common practice, no source) -----------------------------


def test_slot_to_the_left_steers_the_pull_to_the_left():
    # Common practice.
    slots = np.array([-0.1, -0.05, 0, 0.05, 0.1])
    rigs = lay_out(
        clamp=(0, 0, 0.5), chain_angle=0.3, clamp_distance=1.5, fork_distance=0.8,
        fork_offset=slots, closed_length=0.9, lean=0.2, **TEACHING_RAM,
    )  # fmt: skip

    steered = solve_pulls(rigs, ram_force=F).side_angle - 0.3

    assert np.all(np.diff(steered) > 0)
    assert np.all(np.sign(steered.round(12)) == np.sign(slots))


def test_longer_extension_raises_the_pull():
    # Common practice.
    rigs = lay_out(
        clamp=(0, 0, 0.5), chain_angle=0.0, clamp_distance=1.5, fork_distance=0.8,
        closed_length=0.7, extension=np.linspace(0, 0.5, 6), lean=0.2, **TEACHING_RAM,
    )  # fmt: skip

    pulls = solve_pulls(rigs, ram_force=F)

    assert pulls.stands.all()
    assert np.all(np.diff(pulls.rise) > 0)
