"""Rigs that do not stand: each is refused with its reason and a way out."""

import re
from dataclasses import fields, replace

import numpy as np
import pytest

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.pull.linkage import Pull, Refusal, solve_pull, solve_pulls
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.wanted_force import (
    ram_force_for_tension,
    ram_force_for_useful_pull,
)
from workbook.quantities.units import INCH, METRIC

DEG = np.pi / 180
STANDING = {
    "clamp": (0, 0, 0.5), "chain_angle": 0.0, "clamp_distance": 1.5,
    "fork_distance": 0.6, "closed_length": 0.9, "lean": 0.0, "full_stroke": 0.15,
    "swivel": 45 * DEG, "ram_force": 40e3,
}  # fmt: skip
# By reason: what is done to the rig, what the sentence must say in millimetres and
# in inches, and what following its way out changes.
CASES = {
    "a ram that pulls": (
        Refusal.NOT_FINITE, {"ram_force": -5e3}, "ram force −5.0 kN",
        "ram force −1124 lbf", {"ram_force": 5e3},
    ),
    "a ram of no number": (
        Refusal.NOT_FINITE, {"closed_length": np.nan}, "closed ram nan mm",
        "closed ram nan in", {"closed_length": 0.9},
    ),
    "a negative extension": (
        Refusal.NOT_FINITE, {"extension": -0.1}, "extension −100 mm",
        "extension −3.94 in", {"extension": 0.0},
    ),
    "an anchor on the base": (
        Refusal.NOT_FINITE, {"fork_distance": 0.0}, "base to anchor 0 mm",
        "base to anchor 0.00 in", {"fork_distance": 0.6},
    ),
    "a lean of no number": (
        Refusal.NOT_FINITE, {"lean": np.nan}, "anchor leg nan mm", "anchor leg nan in",
        {"lean": 0.1},
    ),
    "a swivel of no number": (
        Refusal.NOT_FINITE, {"swivel": np.nan}, "swivel is nan°", "swivel is nan°",
        {"swivel": 0.5},
    ),
    "a stroke too long": (
        Refusal.PAST_STROKE, {"stroke": 0.2}, "200 mm is outside the ram's 0 to 150 mm",
        "7.87 in is outside the ram's 0 to 5.91 in", {"stroke": 0.15},
    ),
    "a stroke below nothing": (
        Refusal.PAST_STROKE, {"stroke": -0.01}, "−10 mm is outside",
        "−0.39 in is outside", {"stroke": 0.0},
    ),
    "a clamp on the line of the bench": (
        Refusal.CLAMP_ON_LINE, {"clamp": (0, 0, 0)}, "lies 0 mm from the line",
        "lies 0.00 in from the line", {"clamp": (0, 0, 0.1)},
    ),
    "a clamp at bench height beside the line": (
        Refusal.CLAMP_TOO_LOW, {"clamp": (0, 0, 0), "fork_offset": 0.05},
        "clamp is 0 mm higher", "clamp is 0.00 in higher", {"clamp": (0, 0, 0.5)},
    ),
    "a clamp under the bench": (
        Refusal.CLAMP_TOO_LOW, {"clamp": (0, 0, -0.1)}, "clamp is −100 mm higher",
        "clamp is −3.94 in higher", {"clamp": (0, 0, 0.1)},
    ),
    "an anchor leg too long": (
        Refusal.LEGS_DO_NOT_CLOSE, {"lean": None, "anchor_leg": 2.0},
        "between 300 mm and 1500 mm", "between 11.81 in and 59.06 in",
        {"lean": None, "anchor_leg": 1.1},
    ),
    "an anchor leg too short": (
        Refusal.LEGS_DO_NOT_CLOSE, {"lean": None, "anchor_leg": 0.2},
        "anchor leg of 200 mm do not meet across 600 mm", "of 7.87 in do not meet",
        {"lean": None, "anchor_leg": 1.1},
    ),
    "a head at the clamp": (
        Refusal.NO_PULL_LEG,
        {"clamp": (0, 0, 0.9 * np.cos(30 * DEG)), "clamp_distance": 0.45,
         "lean": -30 * DEG},
        "leave 0 mm of pull leg", "leave 0.00 in of pull leg", {"clamp_distance": 0.8},
    ),
    "a clamp above the chain carried on over the head": (
        Refusal.PULL_LEG_PUSHED, {"clamp": (0, 0, 3.5)},
        "ram 0.0° from the vertical the pull leg would have to push",
        "ram 0.0° from the vertical the pull leg would have to push",
        {"extension": 1.5},
    ),
    "a fork under the pull leg": (
        Refusal.ANCHOR_LEG_PUSHED,
        {"clamp": (0, 0, 0.3), "clamp_distance": 0.3, "fork_distance": -0.6},
        "fall toward its anchor", "fall toward its anchor", {"fork_distance": 0.6},
    ),
    "a lean past the swivel": (
        Refusal.PAST_SWIVEL, {"lean": 50 * DEG},
        "stand 50.0° from the vertical, but its base swivels only to 45.0°",
        "stand 50.0° from the vertical, but its base swivels only to 45.0°",
        {"lean": 45 * DEG},
    ),
}  # fmt: skip
OUT_OF_RANGE = {Refusal.NOT_FINITE, Refusal.PAST_STROKE, Refusal.PAST_SWIVEL}
WAYS_OUT = r"(?i)must be|must push|add an|raise the|move the|set the|use less"


def set_out(changes):
    given = STANDING | changes
    ram_force = given.pop("ram_force")
    return lay_out(**given), ram_force


@pytest.mark.parametrize(
    ("reason", "changes", "metric", "inch"),
    [case[:4] for case in CASES.values()],
    ids=CASES,
)
def test_reason_is_said_with_its_value_and_a_way_out(reason, changes, metric, inch):
    rig, ram_force = set_out(changes)
    kind = OutOfRangeError if reason in OUT_OF_RANGE else MechanismError

    with pytest.raises((OutOfRangeError, MechanismError)) as refused:
        solve_pull(rig, ram_force=ram_force)

    assert type(refused.value) is kind
    for said, part in [
        (refused.value.spoken(METRIC.show), metric),
        (refused.value.spoken(INCH.show), inch),
    ]:
        assert part in said
        assert re.search(WAYS_OUT, said)
        assert said.endswith(".")
        assert "{" not in said + str(refused.value)


@pytest.mark.parametrize(
    ("reason", "changes"), [case[:2] for case in CASES.values()], ids=CASES
)
def test_refused_rig_of_an_array_has_a_reason_and_no_numbers(reason, changes):
    rig, ram_force = set_out(changes)

    pull = solve_pulls(rig, ram_force=ram_force)

    assert pull.refusal == reason
    assert not pull.stands
    for field in fields(Pull):
        if field.name != "refusal":
            assert np.isnan(getattr(pull, field.name)).all(), field.name


@pytest.mark.parametrize(
    ("changes", "way_out"), [case[1::3] for case in CASES.values()], ids=CASES
)
def test_way_out_makes_the_rig_stand(changes, way_out):
    rig, ram_force = set_out(changes | way_out)

    pull = solve_pulls(rig, ram_force=ram_force)

    assert pull.stands


def test_every_reason_is_provoked():
    assert {case[0] for case in CASES.values()} | {Refusal.STANDS} == set(Refusal)


def test_one_fallen_rig_does_not_spoil_its_neighbours():
    heights = np.array([0.5, np.nan, 3.5, -0.1, 0.6])
    given = STANDING | {"clamp": np.stack([0 * heights, 0 * heights, heights], axis=-1)}
    ram_force = given.pop("ram_force")

    pulls = solve_pulls(lay_out(**given), ram_force=ram_force)
    alone = solve_pull(lay_out(**given | {"clamp": (0, 0, 0.6)}), ram_force=ram_force)

    assert pulls.stands.tolist() == [True, False, False, False, True]
    assert pulls.refusal.tolist() == [
        Refusal.STANDS, Refusal.NOT_FINITE, Refusal.PULL_LEG_PUSHED,
        Refusal.CLAMP_TOO_LOW, Refusal.STANDS,
    ]  # fmt: skip
    assert pulls.force_on_clamp[4] == pytest.approx(alone.force_on_clamp)


@pytest.mark.parametrize(
    ("faults", "first"),
    [
        ({"ram_force": np.inf, "stroke": 0.2}, Refusal.NOT_FINITE),
        ({"stroke": 0.2, "clamp": (0, 0, -0.1)}, Refusal.PAST_STROKE),
        (
            {"clamp": (0, 0, -0.1), "lean": None, "anchor_leg": 2.0},
            Refusal.CLAMP_TOO_LOW,
        ),
        (
            {"lean": None, "anchor_leg": 2.0, "swivel": 0.01},
            Refusal.LEGS_DO_NOT_CLOSE,
        ),
        ({"clamp": (0, 0, 3.5), "swivel": -0.1}, Refusal.PULL_LEG_PUSHED),
    ],
)
def test_of_several_faults_the_more_basic_is_named(faults, first):
    rig, ram_force = set_out(faults)

    assert solve_pulls(rig, ram_force=ram_force).refusal == first


def test_ram_set_out_at_the_limit_of_its_swivel_stands():
    lean = np.arange(1, 46) * DEG
    rigs, ram_force = set_out({"lean": lean, "swivel": lean, "chain_angle": 0.3})

    assert solve_pulls(rigs, ram_force=ram_force).stands.all()


def test_ram_with_a_side_slot_tilts_more_than_it_leans():
    # 44 degrees of lean in the side view are 49.5 in space with this slot.
    rig, ram_force = set_out({"lean": 44 * DEG, "fork_offset": 0.1})

    with pytest.raises(OutOfRangeError, match="less fork offset"):
        solve_pull(rig, ram_force=ram_force)


@pytest.mark.parametrize(
    "both", [{"lean": 0.1, "anchor_leg": 1.0}, {"lean": None, "anchor_leg": None}]
)
def test_a_rig_is_set_out_by_lean_or_by_anchor_leg(both):
    with pytest.raises(OutOfRangeError, match="either the lean or the length"):
        set_out(both)


def test_one_rig_is_asked_for_where_one_is_solved():
    rig, _ = set_out({"lean": np.array([0.0, 0.1])})

    with pytest.raises(OutOfRangeError, match="solve_pulls takes many"):
        solve_pull(rig, ram_force=40e3)


# --- the wanted pull --------------------------------------------------------------


@pytest.mark.parametrize("wanted", [-1.0, np.nan, np.inf])
def test_wanted_pull_below_nothing_is_refused(wanted):
    rig, _ = set_out({})

    with pytest.raises(OutOfRangeError, match="must be finite and not below zero"):
        ram_force_for_tension(rig, pull_tension=wanted)
    with pytest.raises(OutOfRangeError, match="must be finite and not below zero"):
        ram_force_for_useful_pull(rig, useful_pull=wanted, line=[1, 0, 0])


@pytest.mark.parametrize("line", [[0, 0, 0], [np.nan, 0, 1], [np.inf, 0, 0]])
def test_wanted_line_needs_a_direction(line):
    rig, _ = set_out({})

    with pytest.raises(OutOfRangeError, match="no direction"):
        ram_force_for_useful_pull(rig, useful_pull=10e3, line=line)


@pytest.mark.parametrize(
    ("line", "off"), [([0, 1, 0], "90.0°"), ([-1, 0, 0], "165.1°")]
)
def test_chain_across_or_against_the_wanted_line_gives_no_pull_along_it(line, off):
    # The chain rises arctan(0.4/1.5) = 14.9 degrees forward.
    rig, _ = set_out({})

    with pytest.raises(MechanismError) as refused:
        ram_force_for_useful_pull(rig, useful_pull=10e3, line=line)

    assert f"runs {off} from the wanted line" in refused.value.spoken(METRIC.show)


def test_of_many_chains_those_across_the_wanted_line_have_no_ram_force():
    sides = np.radians([0.0, 40.0, 90.0, 135.0])
    lines = np.stack([np.cos(sides), np.sin(sides), np.zeros(4)], axis=-1)
    rig, _ = set_out({})

    many = ram_force_for_useful_pull(
        replace(rig, swivel=np.full(4, rig.swivel)), useful_pull=10e3, line=lines
    )

    assert np.isnan(many).tolist() == [False, False, True, True]
    for force, line in zip(many[:2], lines[:2], strict=True):
        alone = ram_force_for_useful_pull(rig, useful_pull=10e3, line=line)
        assert force == pytest.approx(float(alone))


def test_fallen_rig_has_no_ram_force_for_a_wanted_pull():
    rig, _ = set_out({"clamp": (0, 0, 3.5)})
    many, _ = set_out({"clamp": [(0, 0, 3.5), (0, 0, 0.5)]})

    for_tension = ram_force_for_tension(many, pull_tension=10e3)
    for_pull = ram_force_for_useful_pull(many, useful_pull=10e3, line=[1, 0, 0])

    assert np.isnan(for_tension).tolist() == [True, False]
    assert np.isnan(for_pull).tolist() == [True, False]
    with pytest.raises(MechanismError, match="would have to push"):
        ram_force_for_tension(rig, pull_tension=10e3)
