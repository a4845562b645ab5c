"""Laws of the line of fire and of safety cables."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.safety.cable import left_past_edge, run_out
from workbook.mechanics.safety.line_of_fire import (
    angle_off_line,
    in_line_of_fire,
    in_wedge,
)
from workbook.mechanics.vectors import norm, unit

DRAW = np.random.default_rng(11)
MANY = 400


def turned(places, by):
    c, s = np.cos(by), np.sin(by)
    return places @ np.array([[c, s], [-s, c]])


# ---------------------------------------------------------------- line of fire


def test_who_stands_in_line_does_not_depend_on_how_the_bay_is_turned_or_scaled():
    people = DRAW.uniform(-4, 4, (MANY, 8, 2))
    ends = DRAW.uniform(-3, 3, (MANY, 3, 2, 2))
    half = DRAW.uniform(0.1, 1.2, MANY)
    by, times = 0.7, 3.0

    here = in_line_of_fire(people, ends=ends, half_angle=half)
    there = in_line_of_fire(
        times * turned(people, by) + (5, -2),
        ends=times * turned(ends, by) + (5, -2),
        half_angle=half,
    )

    # Within rounding of an edge either is right.
    assert here.shape == (MANY, 8, 3, 2)
    assert (here != there).sum() == 0
    assert 0.1 < here.mean() < 0.9


def test_both_ends_of_a_chain_are_told_and_in_the_order_given():
    people, ends = DRAW.uniform(-4, 4, (8, 2)), DRAW.uniform(-3, 3, (3, 2, 2))

    one = in_line_of_fire(people, ends=ends, half_angle=0.5)
    other = in_line_of_fire(people, ends=ends[:, ::-1], half_angle=0.5)

    assert (one == other[..., ::-1]).all()


def test_a_wider_wedge_has_everybody_of_a_narrower_one():
    people, ends = DRAW.uniform(-4, 4, (60, 2)), DRAW.uniform(-3, 3, (3, 2, 2))
    halves = np.linspace(0.05, np.pi / 2, 30)

    told = in_line_of_fire(people, ends=ends, half_angle=halves)

    assert (told[:-1] <= told[1:]).all()
    assert told[0].sum() < told[-1].sum()


def test_wherever_a_line_parts_its_ends_stay_in_the_two_wedges():
    # Whichever part lets go, what is swept from there lies in what both ends sweep.
    a, b = np.array([0.5, -1.0]), np.array([2.5, 0.5])
    people = DRAW.uniform(-6, 6, (MANY, 2))
    parts = a + np.linspace(0, 1, 21)[:, None] * (b - a)
    half = 0.6

    anywhere = np.zeros(MANY, bool)
    for place in parts:
        for end, far in ((a, 2 * a - b), (b, 2 * b - a)):
            towards = end if norm(end - place) > 0 else far
            anywhere |= in_wedge(people, apex=place, towards=towards, half_angle=half)
    both = in_line_of_fire(people, ends=[[a, b]], half_angle=half).any(axis=(-2, -1))

    assert (anywhere == both).all()
    assert 0.1 < both.mean() < 0.9


def test_an_angle_off_the_line_keeps_its_figures_where_a_cosine_has_none():
    aside = np.array([1e-12, 1e-9, 1e-6])
    people = np.stack([np.ones(3), aside], axis=-1)

    off = angle_off_line(people, apex=[0, 0], towards=[1, 0])

    assert off == pytest.approx(aside, rel=1e-9)
    assert angle_off_line([0, 0], apex=[0, 0], towards=[1, 0]) == 0


# ---------------------------------------------------------------- safety cables


def cables():
    part, ties = DRAW.uniform(-1, 1, (MANY, 3)), DRAW.uniform(-1, 1, (MANY, 2, 3))
    ties[::5, 1] = ties[::5, 0]  # tied at one place
    least = norm(part - ties[:, 0]) + norm(part - ties[:, 1])
    length = least * np.where(np.arange(MANY) % 7, DRAW.uniform(1, 3, MANY), 1.0)
    return part, DRAW.normal(size=(MANY, 3)), ties, length


def test_where_the_cable_is_taut_it_is_as_long_as_it_is():
    part, way, ties, length = cables()

    far = run_out(part, way=way, ties=ties, length=length)

    at = part + far[:, None] * unit(way)
    assert norm(at - ties[:, 0]) + norm(at - ties[:, 1]) == pytest.approx(length)
    assert (far >= 0).all()
    assert far.max() > 1
    # Before that it hangs loose: the sum of two distances has no other way.
    half = part + 0.5 * far[:, None] * unit(way)
    assert (norm(half - ties[:, 0]) + norm(half - ties[:, 1]) <= length + 1e-9).all()


def test_a_longer_cable_never_holds_sooner():
    part, way, ties, length = cables()
    more = length * np.linspace(1, 2, 9)[:, None]

    far = run_out(part, way=way, ties=ties, length=more)

    assert (np.diff(far, axis=0) > 0).all()


def test_a_cable_without_slack_holds_at_once_what_goes_away_from_its_tie():
    tie = [[0, 0.3, 0], [0, 0.3, 0]]

    away = run_out([0, 0, 0], way=[0, -1, 0], ties=tie, length=0.6)
    back = run_out([0, 0, 0], way=[0, 1, 0], ties=tie, length=0.6)

    assert float(away) == pytest.approx(0, abs=1e-12)
    assert float(back) == pytest.approx(0.6)


def test_an_edge_takes_what_lies_before_it():
    tie, edge = DRAW.uniform(-1, 1, (2, MANY, 3))

    left = left_past_edge(tie=tie, edge=edge, length=1.0)

    assert left == pytest.approx(np.maximum(1 - norm(edge - tie), 0))
    assert (left == 0).any()
    assert (left > 0).any()


# --------------------------------------------------------------------- refusals

FIRE = {"people": [[2, 1]], "ends": [[[0, 0], [1, 0]]], "half_angle": 0.5}
CABLE = {
    "part": [0, 0, 0],
    "way": [1, 0, 0],
    "ties": [[0, 0.3, 0], [0, -0.3, 0]],
    "length": 1.0,
}


@pytest.mark.parametrize(
    ("call", "given", "changed", "reason"),
    [
        (in_line_of_fire, FIRE, {"half_angle": 0.0}, "safety.half_angle"),
        (in_line_of_fire, FIRE, {"half_angle": 1.6}, "safety.half_angle"),
        (in_line_of_fire, FIRE, {"ends": [[[1, 0], [1, 0]]]}, "safety.no_line"),
        (in_line_of_fire, FIRE, {"ends": [[0, 0], [1, 0]]}, "safety.ends"),
        (in_line_of_fire, FIRE, {"people": [2, 1]}, "safety.ends"),
        (in_line_of_fire, FIRE, {"people": [[2, 1, 0]]}, "wrenches.shape"),
        (run_out, CABLE, {"way": [0, 0, 0]}, "safety.no_way"),
        (run_out, CABLE, {"ties": [0, 0.3, 0]}, "safety.two_ties"),
        (run_out, CABLE, {"length": 0.5}, "safety.short"),
        (run_out, CABLE, {"part": [np.nan, 0, 0]}, "magnitudes.not_finite"),
    ],
)
def test_what_cannot_be_gets_a_reason(call, given, changed, reason):
    with pytest.raises(OutOfRangeError) as refusal:
        call(**{**given, **changed})

    first = refusal.value.values.get("refusal", refusal.value)
    assert first.reason == reason
