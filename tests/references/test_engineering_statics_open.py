"""Moments against Engineering Statics: Open and Interactive (Baker and Haynes)."""

import pytest

from workbook.mechanics.holding.wrenches import (
    line_of_action,
    moment_about_line,
    moved_wrench,
    net_wrench,
)
from workbook.mechanics.vectors import unit


@pytest.mark.kind(
    "net_wrench",
    "moment of one force about a point",
    "Engineering Statics: Open and Interactive",
)
def test_moment_about_a_point_in_space():
    # D. Baker and W. Haynes, Engineering Statics: Open and Interactive, moment of
    # a force about a point in space: 2 kN along (1.3, -1.1, 1.0) at
    # (-0.9, 1.1, 0) m gives (1.114, 0.911, -0.446) kN m. Three decimals printed.
    pull = 2 * unit([1.3, -1.1, 1.0])

    moment = net_wrench([pull], points=[[-0.9, 1.1, 0]])[3:]

    assert moment == pytest.approx([1.114, 0.911, -0.446], abs=6e-4)


@pytest.mark.kind(
    "moment_about_line",
    "moment about a line",
    "Engineering Statics: Open and Interactive",
)
def test_moment_about_a_line():
    # Same book, moment about a line: 25 lbf along x at r = (0, -2, 0) ft from a
    # line along (-2, 0, 2) ft: 35.355 ft lbf. Three decimals printed.
    pull = net_wrench([[25, 0, 0]], points=[[0, -2, 0]])

    moment = moment_about_line(pull, point=[0, 0, 0], direction=[-2, 0, 2])

    assert float(moment) == pytest.approx(35.355, abs=6e-4)


@pytest.mark.kind(
    "moved_wrench + line_of_action",
    "force carried to another point, and back",
    "Engineering Statics: Open and Interactive",
)
def test_an_eccentric_column_load_is_a_central_load_and_a_couple():
    # Same book, eccentrically loaded column: 1200 lb, 9 in from the axis, is
    # 1200 lb on the axis with a couple of 900 ft lb. Exact.
    load = net_wrench([[0, 0, -1200]], points=[[0.75, 0, 3]])

    at_axis = moved_wrench(load, to_point=[0, 0, 3])

    assert at_axis == pytest.approx([0, 0, -1200, 0, 900, 0], abs=1e-12)
    assert line_of_action(at_axis, about=[0, 0, 3]).point == pytest.approx([0.75, 0, 3])
