"""The slopes of the rail that Newton's method uses, against finite differences."""

from dataclasses import replace

import numpy as np
import pytest

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_balance import look, slopes
from workbook.mechanics.metal.rail_links import point_jacobian
from workbook.mechanics.metal.rail_parts import RailStage
from workbook.scenes.kestrin import crash_stages
from workbook.scenes.kestrin_rail import kestrin_front, kestrin_front_end

STEP = 1e-6


@pytest.fixture(name="bent", params=["tie", "beam"])
def fixture_bent(request):
    """Return the damaged rails under two pulls, and a deformation well past yield."""
    front_end = kestrin_front_end()
    if request.param == "beam":
        front_end = replace(front_end, crossmember=kestrin_front().crossmember)
    pull = RailStage(name="pull", forces={"rough": 20e3, "root hold": 5e3})
    state = follow(front_end, [*crash_stages(), pull]).end
    stir = np.random.default_rng(0).normal(size=state.deformation.shape)
    return arrange(front_end), state, state.deformation + 0.02 * stir


def differences(function, at):
    """Return central differences over every entry, last axis."""
    columns = []
    for entry in np.eye(at.size):
        way = STEP * entry.reshape(at.shape)
        columns.append((function(at + way) - function(at - way)) / (2 * STEP))
    return np.stack(columns, axis=-1)


def test_jacobian_is_the_slope_of_the_nodes(bent):
    a, _, deformation = bent

    def points(bend):
        return a.points(a.placed(bend))

    jacobian = point_jacobian(
        a.placed(deformation), points=points(deformation), carried=a.carried
    )

    assert jacobian == pytest.approx(differences(points, deformation), abs=1e-8)


@pytest.mark.parametrize("part", ["moments alone", "with pulls and springs"])
def test_tangent_is_the_slope_of_the_force_left_over(bent, part):
    a, state, deformation = bent
    tension = state.tension * (part != "moments alone")
    controls = replace(state.controls, presence=np.ones(len(a.spring_stiffness)))

    def residual(bend):
        return slopes(a, controls, look(a, state, controls, bend), tension).residual

    now = look(a, state, controls, deformation)
    tangent = slopes(a, controls, now, tension).tangent
    expected = differences(residual, deformation)

    assert np.mean(now.hinges.plastic != state.plastic) > 0.5
    assert tangent == pytest.approx(tangent.T, rel=1e-9, abs=1e-3)
    assert tangent == pytest.approx(
        expected, rel=1e-5, abs=1e-6 * np.abs(tangent).max()
    )
    turns = np.tile([True, True, False], tangent.shape[0] // 3)
    across = np.ix_(turns, turns)
    assert tangent[across] == pytest.approx(
        expected[across], rel=1e-5, abs=1e-7 * np.abs(tangent[across]).max()
    )


def test_travel_slope_is_the_slope_of_the_travel(bent):
    a, state, deformation = bent

    def travel(bend):
        return look(a, state, state.controls, bend).travel

    now = look(a, state, state.controls, deformation)
    slope = slopes(a, state.controls, now, state.tension).travel_slope

    assert slope == pytest.approx(differences(travel, deformation), abs=1e-8)
