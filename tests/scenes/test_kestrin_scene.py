"""The invented Kestrin 5 hangs together: crash, points, survey, damage, clamps."""

from importlib.resources import files

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import pull_hold_release
from workbook.mechanics.survey.damage import (
    KINDS,
    DamageSizes,
    damage_field,
    read_damage,
)
from workbook.mechanics.survey.registration import fit_error_at
from workbook.scenes.bench import solve_bench
from workbook.scenes.holds import hold_from_toml
from workbook.scenes.kestrin import (
    crashed_kestrin,
    invented,
    kestrin_differences,
    kestrin_frame,
    kestrin_hold,
    kestrin_points,
    kestrin_survey,
    measured_kestrin,
    read_kestrin_data,
    reproduced_survey,
    specified_rails,
)
from workbook.scenes.kestrin_rail import kestrin_front_end
from workbook.scenes.points import format_points
from workbook.scenes.setups import Setup
from workbook.scenes.surveys import read_specification, size_of, solve_survey

FILES = ["kestrin.toml", "kestrin_points.csv", "kestrin_survey.csv"]
FILES += ["kestrin_clamps.toml", "kestrin_plan.toml", "kestrin_final.csv"]
SCATTER = 0.4e-3


def survey_of(measured):
    return solve_survey(measured, specification=read_specification("kestrin"))


@pytest.mark.parametrize("name", FILES)
def test_every_number_of_the_scene_is_marked_invented(name):
    text = files("workbook.scenes").joinpath(name).read_text("utf-8")

    remarks = [line.strip("# ") for line in text.splitlines() if line[:1] == "#"]
    assert "invented for teaching" in " ".join(remarks)
    assert "invented" in invented()
    assert read_specification("kestrin").note == invented()


def test_the_shipped_survey_is_the_one_its_seed_gives():
    # Readings are written to a tenth of a millimetre, the file to the same.
    assert format_points(kestrin_survey()) == format_points(reproduced_survey())


def test_the_survey_differs_as_the_final_exercise_says():
    # The lessons' brief: left tip -26, -19, -8 mm, right tip +1, -6, 0 mm.
    differences = survey_of(kestrin_survey()).differences * 1e3

    assert np.round(differences[0]).tolist() == [-26, -19, -8]
    assert (np.round(differences[1]) + 0.0).tolist() == [1, -6, 0]


def test_the_survey_registers_back_to_the_crash_within_its_scatter():
    # Each difference errs by the scatter of the point and of the fit; over 69
    # coordinates the mean square of error over standard error is 1 +- 0.17.
    survey = survey_of(kestrin_survey())
    crash = kestrin_differences(crashed_kestrin().nodes[-1])
    free = [k for k, name in enumerate(survey.points.ids) if name not in survey.base]
    points = kestrin_points().positions

    fit = fit_error_at(
        points[free], datum_points=points[survey.base_rows], scatter=SCATTER
    )
    expected = np.hypot(fit, SCATTER)
    ratio = (survey.differences[free] - crash[free]) / expected

    assert np.sqrt(np.mean(ratio**2)) == pytest.approx(1, abs=0.35)
    assert np.abs(ratio).max() < 4


def test_without_scatter_the_fit_gives_the_crash_back_to_the_grain():
    still = measured_kestrin(
        crashed_kestrin().nodes[-1], rng=np.random.default_rng(0), scatter=0.0
    )

    found = survey_of(still).differences

    crash = kestrin_differences(crashed_kestrin().nodes[-1])
    assert found == pytest.approx(crash, abs=0.15e-3)


def test_sound_points_are_inside_and_plainly_bent_ones_outside():
    survey = survey_of(kestrin_survey())
    limits = survey.points.limits[:, None]
    crash = np.abs(kestrin_differences(crashed_kestrin().nodes[-1]))
    sound = (crash == 0).all(axis=1)
    bent = (crash > limits + 4 * SCATTER).any(axis=1)

    outside = survey.beyond.any(axis=1)

    assert sound.sum() == 15
    assert not outside[sound].any()
    assert bent.sum() == 6
    assert outside[bent].all()


def test_points_on_the_rails_are_where_the_undamaged_nodes_are():
    assert kestrin_differences(specified_rails()) == pytest.approx(0, abs=1e-12)


def test_the_measurer_sees_the_car_tilted_as_stated():
    survey = survey_of(kestrin_survey())
    stated = read_kestrin_data()["survey"]

    # 0.4 mm on a base of 1950 mm by 1460 mm: 0.01 and 0.02 degrees.
    assert np.degrees(survey.tilt.nose_up) == pytest.approx(
        stated["nose_up_deg"], abs=0.05
    )
    assert np.degrees(survey.tilt.left_up) == pytest.approx(
        stated["left_up_deg"], abs=0.06
    )


def test_a_bent_base_point_is_hinted_at():
    measured = kestrin_survey()
    base = ("left-tip", "left-sill-front", "right-sill-front", "left-sill-rear")

    survey = solve_survey(
        measured,
        specification=read_specification("kestrin"),
        base=(*base, "right-sill-rear", "left-rear-mount"),
    )

    assert survey.odd_ones == ("left-tip",)


def test_the_damage_is_mash_at_left_with_sidesway():
    frame = kestrin_frame()
    read = survey_of(kestrin_survey()).damage(frame=frame)
    crash = kestrin_differences(crashed_kestrin().nodes[-1])
    true = read_damage(kestrin_points().positions, differences=crash, frame=frame)

    for kind in KINDS:
        size, error = size_of(read, kind)
        # What the kinds leave of the crash itself is in both and cancels.
        assert size == pytest.approx(size_of(true, kind)[0], abs=float(error)), kind
    assert read.sizes.mash == pytest.approx(0.026, abs=float(read.standard_errors.mash))
    assert read.sizes.sidesway < -3 * read.standard_errors.sidesway


def test_the_survey_shows_each_side_as_the_crash_left_it():
    frame = kestrin_frame()
    read = survey_of(kestrin_survey()).damage(frame=frame).sides
    crash = kestrin_differences(crashed_kestrin().nodes[-1])
    true = read_damage(kestrin_points().positions, differences=crash, frame=frame).sides

    assert set(read) == set(true) == {"sidesway", "sag"}
    for kind, sides in read.items():
        assert sides.only == true[kind].only
        assert sides.left == pytest.approx(true[kind].left, abs=sides.left_error)
        assert sides.right == pytest.approx(true[kind].right, abs=sides.right_error)
    assert true["sag"].only == "left"


def test_damage_of_known_sizes_is_recovered_within_its_stated_errors():
    # Errors of a well stated fit are one standard error in the root mean square:
    # 40 surveys of 5 sizes give 1 +- 0.05; base points are free of damage only if
    # the fit is left out, so the differences carry the scatter alone.
    rng = np.random.default_rng(7)
    sizes = DamageSizes(
        mash=0.02, sidesway=-0.012, sag=0.004, diamond=0.006, twist=0.01
    )
    points, frame = kestrin_points().positions, kestrin_frame()
    field = damage_field(points, sizes=sizes, frame=frame)
    ratios = []
    for _ in range(40):
        noisy = field + rng.normal(scale=SCATTER, size=field.shape)
        read = read_damage(points, differences=noisy, frame=frame)
        for kind in KINDS:
            size, error = size_of(read, kind)
            ratios.append((size - getattr(sizes, kind)) / error)

    assert np.sqrt(np.mean(np.square(ratios))) == pytest.approx(1, abs=0.2)


def test_the_crossmember_gave_way_so_the_right_tip_went_less_far():
    tips = crashed_kestrin().nodes[-1, :, -1] - specified_rails()[:, -1]

    assert tips[0] * 1e3 == pytest.approx([-26, -19, -8], abs=0.5)
    assert tips[1] * 1e3 == pytest.approx([0, -6, 0], abs=0.5)


def test_one_pull_leaves_the_right_tip_in_need_of_a_holding_pull():
    alone = follow(
        kestrin_front_end(),
        pull_hold_release("rough", force=40e3),
        start=crashed_kestrin(),
    )

    right = alone.nodes[-1, 1, -1, 1] - specified_rails()[1, -1, 1]

    assert right > 5e-3  # drawn past where it should be
    assert not alone.events


def test_the_clamps_stand_as_the_final_exercise_says():
    # The lessons' brief: 1,460 mm apart across and 1,950 mm along, rated 45 kN.
    clamps = kestrin_hold().clamps

    assert np.ptp(clamps.positions[:, 0]) == pytest.approx(1.95)
    assert np.ptp(clamps.positions[:, 1]) == pytest.approx(1.46)
    assert clamps.ratings.tolist() == [45e3] * 4


def test_the_rail_tip_is_as_high_above_the_bench_as_the_final_exercise_says():
    # The lessons' brief: hook 310 mm above the bench.
    tip = kestrin_points().positions[0, 2] * 1e3

    assert tip - read_kestrin_data()["bench"]["top_mm"] == pytest.approx(310)


def test_the_top_clamp_of_a_level_pull_is_loaded_as_the_final_exercise_says():
    # The lessons' brief, C2: 25 kN at 480 mm left, clamps 1,460 mm apart: 10.4 kN
    # along x on the most loaded clamp, if the sideways stiffness does nothing.
    text = files("workbook.scenes").joinpath("kestrin_clamps.toml").read_text("utf-8")
    sliding = text.replace("[22, 12, 18]", "[22, 0.000001, 18]")
    hold = hold_from_toml(sliding)
    pull = [25e3, 0, 0, 0, 25e3 * 0.190, -25e3 * 0.48]

    held = share_load(pull, clamps=hold.clamps)

    worst = -held.clamp_forces[:, 0].min()
    assert worst == pytest.approx(25e3 / 4 + 25e3 * 0.48 / (2 * 1.46), rel=1e-3)


def test_the_bench_closes_but_for_the_weight():
    setups = [
        Setup(values={"clamp_left_mm": 440, "chain_angle_deg": 30, "lean_deg": 5}),
        Setup(values={"clamp_left_mm": -440, "chain_angle_deg": -40}),
        Setup(values={"chain_at_head": "over a fixed roller", "clamp_left_mm": 0}),
    ]

    bench = solve_bench(setups, hold=kestrin_hold())

    assert bench.bench_loop == pytest.approx(0, abs=1e-6)
    assert bench.bench_left_over[2] == pytest.approx(-5600)
    everything = bench.wrench[:3] + bench.supports.sum(axis=0) - [0, 0, 5600]
    assert everything == pytest.approx(0, abs=1e-6)
