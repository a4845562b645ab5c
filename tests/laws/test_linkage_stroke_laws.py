"""Laws of a pull followed through its stroke."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import simpson, solve_ivp

from workbook.errors import OutOfRangeError
from workbook.mechanics.pull.linkage import Refusal, solve_pull
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.stroke import stroke_path
from workbook.mechanics.vectors import dot, norm

F = 40e3
DEG = np.pi / 180


def test_following_clamp_goes_where_its_chain_draws_it(rig):
    # Referee: dC/ds = travel ratio x pull direction, by an eighth-order method.
    def draw_clamp(stroke, clamp):
        pull = solve_pull(replace(rig, clamp=clamp, stroke=stroke), ram_force=F)
        return pull.travel_ratio * pull.direction

    stroke = np.linspace(rig.stroke, rig.full_stroke, 7)
    referee = solve_ivp(
        draw_clamp, (rig.stroke, rig.full_stroke), rig.clamp, method="DOP853",
        t_eval=stroke, rtol=1e-11, atol=1e-12,
    )  # fmt: skip

    path = stroke_path(rig, ram_force=F, points=7, substeps=40)

    assert path.stroke == pytest.approx(stroke)
    assert path.clamp == pytest.approx(referee.y.T, abs=1e-9)


def test_way_of_the_clamp_converges_with_the_fourth_power_of_the_step(rig):
    def end(substeps):
        return stroke_path(rig, ram_force=F, points=2, substeps=substeps).clamp[-1]

    exact = end(256)
    steps = np.array([2, 4, 8])
    errors = [np.linalg.norm(end(n) - exact) for n in steps]

    order = -np.polyfit(np.log(steps), np.log(errors), 1)[0]
    assert order == pytest.approx(4, abs=0.4)


def test_work_of_the_ram_arrives_at_a_following_clamp(rig):
    path = stroke_path(rig, ram_force=F, points=401, substeps=1)
    push = path.pull.force_on_clamp

    # Trapezoid of T . dC: the error falls with the square of 400 steps.
    steps = np.diff(path.clamp, axis=0)
    work = np.sum(dot((push[1:] + push[:-1]) / 2, steps))

    assert work == pytest.approx(F * np.ptp(path.stroke), rel=1e-6)


def test_work_of_the_ram_stretches_the_chain_of_a_clamp_that_stays(rig):
    path = stroke_path(rig, ram_force=F, clamp="stays", points=401)
    leg = path.pull.pull_leg

    work = np.sum((path.pull.pull_tension[1:] + path.pull.pull_tension[:-1]) / 2
                  * np.diff(leg))  # fmt: skip

    assert path.clamp == pytest.approx(np.broadcast_to(rig.clamp, (401, 3)))
    assert work == pytest.approx(F * np.ptp(path.stroke), rel=1e-6)


def test_clamp_way_is_the_travel_ratio_summed_over_the_stroke(rig):
    path = stroke_path(rig, ram_force=F, points=201)

    way = np.sum(norm(np.diff(path.clamp, axis=0)))

    # Chords of 200 steps along a nearly straight way.
    assert way == pytest.approx(simpson(path.pull.travel_ratio, path.stroke), rel=1e-6)


def test_following_clamp_keeps_its_chain_and_its_plane(rig):
    path = stroke_path(rig, ram_force=F)
    normal = np.cross(rig.anchor - rig.base, rig.clamp - rig.base)

    assert path.pull.pull_leg == pytest.approx(np.full(61, path.pull.pull_leg[0]))
    assert (path.clamp - rig.base) @ normal == pytest.approx(np.zeros(61), abs=1e-12)
    assert path.clamp[0] == pytest.approx(rig.clamp, abs=1e-12)


@pytest.mark.parametrize("clamp", ["stays", "follows"])
def test_head_goes_round_the_anchor_point(rig, clamp):
    path = stroke_path(rig, ram_force=F, clamp=clamp, points=9)

    from_anchor = norm(path.pull.head - rig.anchor)
    from_base = norm(path.pull.head - rig.base)

    assert from_anchor == pytest.approx(np.full(9, rig.anchor_leg))
    assert from_base == pytest.approx(rig.take_up_length + path.stroke)


def test_ram_that_leans_toward_the_vehicle_straightens_as_it_strokes():
    # Common practice. With the ram toward the vehicle, the angle at the head between
    # ram and anchor leg is acute, and a longer ram then swings outward.
    rigs = lay_out(
        clamp=(0, 0, 0.5), chain_angle=0.0, clamp_distance=1.5,
        fork_distance=np.array([[0.5], [1.0]]), closed_length=0.9,
        lean=np.array([-25, -15, -5]) * DEG, full_stroke=0.15, swivel=45 * DEG,
    )  # fmt: skip

    path = stroke_path(rigs, ram_force=F)

    assert path.pull.stands.all()
    assert np.all(np.diff(path.pull.lean, axis=-1) > 0)


def test_many_paths_at_once_are_each_followed_as_alone(any_rigs):
    rigs = any_rigs(3, shape=(4,))

    paths = stroke_path(rigs, ram_force=[1e4, 2e4, 3e4, 4e4], points=5)

    assert paths.stroke.shape == (4, 5)
    assert paths.clamp.shape == paths.pull.head.shape == (4, 5, 3)
    one = replace(
        rigs,
        **{
            name: getattr(rigs, name)[2]
            for name in vars(rigs)
            if getattr(rigs, name).shape[:1] == (4,)
        },
    )
    alone = stroke_path(one, ram_force=3e4, points=5)
    assert paths.clamp[2] == pytest.approx(alone.clamp, abs=1e-14)
    assert paths.pull.pull_tension[2] == pytest.approx(alone.pull.pull_tension)


@pytest.mark.parametrize("clamp", ["stays", "follows"])
@pytest.mark.parametrize("varied", ["clamp", "full_stroke", "anchor_leg", "ram_force"])
def test_one_varied_field_makes_one_path_for_each_value(clamp, varied):
    values = {
        "clamp": [(0, 0, 0.5), (0, 0, 0.6)], "full_stroke": [0.1, 0.15],
        "anchor_leg": [1.05, 1.1], "ram_force": [1e4, 2e4],
    }  # fmt: skip
    one = {"clamp": (0, 0, 0.5), "full_stroke": 0.15, "anchor_leg": 1.1}
    given = {**one, "ram_force": 1e4, varied: values[varied]}
    ram_force = given.pop("ram_force")
    rig = lay_out(
        chain_angle=0.0, clamp_distance=1.5, fork_distance=0.6, closed_length=0.9,
        swivel=45 * DEG, **given,
    )  # fmt: skip

    path = stroke_path(rig, ram_force=ram_force, clamp=clamp, points=4)

    assert path.stroke.shape == path.pull.pull_tension.shape == (2, 4)
    assert path.clamp.shape == (2, 4, 3)
    assert path.pull.stands.all()


def test_path_of_a_ram_past_its_stroke_is_refused_all_along(any_rigs):
    rig = replace(any_rigs(0), stroke=0.2)

    path = stroke_path(rig, ram_force=F, points=5)

    assert np.all(path.pull.refusal == Refusal.PAST_STROKE)


@pytest.mark.parametrize(
    "wrong", [{"clamp": "slips"}, {"points": 0}, {"substeps": 0}], ids=str
)
def test_path_says_what_it_can_follow(any_rigs, wrong):
    with pytest.raises(OutOfRangeError, match=r"'stays' or 'follows'.* at least one"):
        stroke_path(any_rigs(0), ram_force=F, **wrong)
