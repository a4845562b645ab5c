"""What a practice rail cannot carry or be, and what any repair ends in."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import LENGTH, LINKS, TIP, one_rail, rail, two_rails
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.errors import (
    MechanismError,
    NoConvergenceError,
    OutOfRangeError,
    WorkbookError,
)
from workbook.mechanics.metal import rail as steps
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    RailStage,
    Relief,
    Spring,
)
from workbook.mechanics.metal.sections import BoxSection


def test_a_straight_rail_pushed_end_on_stands_up_to_the_euler_load():
    # Euler: P = pi^2 EI / 4 L^2 of a cantilever; 12 links err by order (1/12)^2.
    slender = BoxSection(width=0.010, depth=0.014, thickness=0.002)
    turned_ = BoxSection(width=0.014, depth=0.010, thickness=0.002)
    euler = np.pi**2 * 210e9 * turned_.second_moment / (4 * LENGTH**2)
    thin = rail(links=12, upright=slender, sideways=turned_)
    front_end = FrontEnd(
        rails=[thin],
        clamps={"tip": RailClamp(node=(0, 12))},
        pulls={"push": RailPull(clamp="tip", direction=(-1, 0, 0))},
    )

    follow(front_end, [RailStage(name="push", forces={"push": 0.99 * euler})])

    with pytest.raises(
        OutOfRangeError, match=r"past (4[89]|50)\.\d% of it, with 'push'"
    ):
        follow(front_end, [RailStage(name="push", forces={"push": 2 * euler})])


def loose(stiffness):
    swivel = np.array(rail().stiffness)
    swivel[0, :2] = stiffness
    return replace(two_rails(), rails=[replace(rail(), stiffness=swivel), rail(-0.4)])


def test_a_rail_on_a_free_swivel_is_free_to_move_until_a_stand_holds_it():
    held = replace(
        loose(0.0),
        springs={"stand": Spring(node=(0, 2), stiffness=(1e6, 1e6, 1e6))},
    )

    with pytest.raises(MechanismError, match="free to move"):
        follow(replace(loose(0.0), springs={}), [])
    history = follow(held, [RailStage(name="pull", forces={"rough": 1e3})])

    assert np.abs(history.end.nodes).max() < 1


NAN = float("nan")


@pytest.mark.parametrize(
    ("change", "stage", "reason"),
    [
        ({}, {"forces": {"left": NAN}}, "force nan N must be a finite number"),
        ({}, {"forces": {"left": -5.0}}, r"at least 0 N \(not -5 N\)"),
        ({}, {"forces": {"up": 5.0}}, "no pull called 'up'; choose one of: left"),
        ({}, {"fit": ["wall"]}, "no spring called 'wall'"),
        ({}, {"forces": {"left": 1.0}, "travels": {"left": 1.0}}, "not both"),
        (
            {},
            {"relief": [Relief(rail=0, hinges=[9], fraction=0.2)]},
            "hinges go to 5",
        ),
        (
            {"rails": [rail(links=1)], "clamps": {"tip": RailClamp(node=(0, 1))}},
            {"forces": {"left": 200e3}},
            "bends a hinge by .* pull or push less",
        ),
        ({"clamps": {"tip": RailClamp(node=(0, 7))}}, {}, "no node 7 on rail 0"),
        (
            {"clamps": {"tip": RailClamp(node=TIP, rating=0)}},
            {},
            "rating of clamp 'tip'",
        ),
        ({"clamps": {}}, {}, "no clamp of pull 'left' called 'tip'"),
        (
            {"pulls": {"left": RailPull(clamp="tip")}},
            {},
            "a head to run to or a direction",
        ),
        (
            {"pulls": {"left": RailPull(clamp="tip", direction=(0, 0, 0))}},
            {},
            "has no length",
        ),
        (
            {"pulls": {"left": RailPull(clamp="tip", head=(0.6, 0, 0))}},
            {},
            "at its clamp",
        ),
        ({"rails": []}, {}, "one or more rails"),
        ({"rails": [replace(rail(), hardening_ratio=1.0)]}, {}, "hardening ratio 1"),
        ({"rails": [replace(rail(), upward=(1, 0, 0))]}, {}, "across the rail"),
        ({"rails": [replace(rail(), link_length=[0.1] * 5)]}, {}, "shape"),
        ({"rails": [replace(rail(), yield_load=np.zeros((6, 3)))]}, {}, "yield load"),
    ],
)
def test_nonsense_is_refused_with_the_reason(change, stage, reason):
    front_end = replace(one_rail(), **change)

    with pytest.raises(OutOfRangeError, match=reason):
        follow(front_end, [RailStage(name="try", **stage)])


@pytest.mark.parametrize(
    "changes",
    [
        {"rail": 1}, {"rail": -1}, {"hinges": [LINKS]}, {"hinges": [0, -1]},
        {"fraction": 1.0}, {"fraction": -0.01},
    ],
)  # fmt: skip
def test_hammering_is_of_hinges_there_are_and_leaves_some_strength(changes):
    edge = {"rail": 0, "hinges": [0, LINKS - 1], "fraction": 0.0}
    follow(one_rail(), [RailStage(name="hammer", relief=[Relief(**edge)])])

    wrong = RailStage(name="hammer", relief=[Relief(**{**edge, **changes})])
    with pytest.raises(OutOfRangeError) as refusal:
        follow(one_rail(), [wrong])

    assert refusal.value.reason == "rail.relief"
    assert refusal.value.values["last_hinge"] == 5
    assert refusal.value.values["last_rail"] == 0


@pytest.mark.parametrize("name", ["root", "along", "upward"])
@pytest.mark.parametrize("wrong", [(1.0, 0.0), (1.0, 0, 0, 0), [[0, 1.0, 0]], 1.0])
def test_a_place_or_a_direction_of_a_rail_has_three_numbers(name, wrong):
    front_end = replace(one_rail(), rails=[replace(rail(), **{name: wrong})])

    with pytest.raises(OutOfRangeError) as refusal:
        follow(front_end, [])
    assert refusal.value.reason == "rail.three"


def test_a_torn_clamp_cannot_be_pulled_again():
    front_end = replace(one_rail(), clamps={"tip": RailClamp(node=TIP, rating=4e3)})
    torn = follow(front_end, [RailStage(name="pull", forces={"left": 5e3})])

    follow(front_end, [RailStage(name="off", forces={"left": 0.0})], start=torn)

    with pytest.raises(OutOfRangeError, match="tore out: move the pull"):
        follow(front_end, [RailStage(name="pull", forces={"left": 1e3})], start=torn)


@pytest.mark.parametrize("asked", [{"tolerance": 0.0}, {"largest_step": 2.0}])
def test_a_senseless_accuracy_is_refused(asked):
    with pytest.raises(OutOfRangeError, match="must lie between"):
        follow(one_rail(), [], **asked)


def test_a_tolerance_too_fine_is_refused_before_patience_ends(monkeypatch):
    monkeypatch.setattr(steps, "MOST_TRIES", 20)

    with pytest.raises(NoConvergenceError, match=r"after 20 steps at tolerance 1e-06"):
        follow(one_rail(), [RailStage(name="p", forces={"left": 14e3})], tolerance=1e-6)


def test_another_front_end_cannot_go_on_from_a_history():
    history = follow(one_rail(), [])

    with pytest.raises(OutOfRangeError, match="other rails, pulls or springs"):
        follow(two_rails(), [], start=history)


@settings(max_examples=15, deadline=None)
@given(
    crash=st.floats(0, 0.08),
    force=st.floats(0, 60e3),
    head=st.tuples(st.floats(0.7, 3), st.floats(-3, 3), st.floats(-1, 2)),
    fraction=st.floats(0, 0.95),
    rating=st.floats(1e3, 60e3),
)
def test_any_repair_ends_in_finite_numbers_or_a_reason(
    crash, force, head, fraction, rating
):
    front_end = two_rails()
    pulls = {**front_end.pulls, "rough": RailPull(clamp="grip", head=head)}
    clamps = {**front_end.clamps, "grip": RailClamp(node=TIP, rating=rating)}
    relief = [Relief(rail=0, hinges=range(LINKS), fraction=fraction)]
    stages = [
        RailStage(name="crash", travels={"hit": crash}),
        RailStage(name="crash over", forces={"hit": 0.0}),
        RailStage(name="pull", forces={"rough": force}, travels={"hold": 0.0}),
        RailStage(name="hammer", relief=relief),
        RailStage(name="cut", take_out=["crossmember"]),
    ]

    repair = replace(front_end, pulls=pulls, clamps=clamps)
    try:
        history = follow(repair, stages, tolerance=1e-2)
    except WorkbookError as refusal:
        said = str(refusal)
        history = follow(repair, [])
    else:
        said = "an answer, which the lines below look at"

    assert len(said) > 30
    assert "nan" not in said
    assert np.all(np.isfinite(history.nodes))
    assert np.all(np.isfinite(history.load))
    assert history.force.max() <= max(rating * 1.001, history.force[:, [0, 2]].max())
    assert (
        abs(history.energies[-1].imbalance) <= 0.03 * history.energies[-1].gross + 1e-9
    )
