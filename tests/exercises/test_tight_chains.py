"""Exercises on hung chains ask only what the exact curve answers as the rule does."""

import numpy as np
import pytest

from workbook.exercises import exercise
from workbook.exercises.declaration import Numbers
from workbook.mechanics.pull.tension_length_sag import (
    from_sag,
    from_slack,
    from_tension,
)
from workbook.quantities.units import factor


def all_that_is_drawn(id, version=None):
    """Return every set of numbers there can be, as arrays in SI units."""
    given = exercise(id, version).given
    axes = [np.array(d.values) * factor(d.unit) for d in given.values()]
    grids = np.meshgrid(*axes, indexing="ij")
    return dict(zip(given, (grid.ravel() for grid in grids), strict=True))


def allowed(id, numbers, version=None):
    """Tell which of them make a question."""
    rows = zip(*numbers.values(), strict=True)
    each = [Numbers(**dict(zip(numbers, row, strict=True))) for row in rows]
    return np.array([exercise(id, version).allowed(g) for g in each])


def test_slack_is_asked_where_the_rule_is_right_to_a_millimetre():
    g = all_that_is_drawn("9.1")

    # The sag of a chain of given slack does not depend on its weight.
    exact = from_slack(g["slack"], span=g["span"], weight_per_length=30.0).sag

    rule = np.sqrt(3 / 8 * g["span"] * g["slack"])
    near = np.abs(exact - rule) <= 1e-3
    assert 0 < near.sum() < near.size
    assert (allowed("9.1", g) == near).all()


def test_tension_is_given_where_the_rule_is_right_to_one_per_cent():
    g = all_that_is_drawn("9.2")
    weight = {"weight_per_length": g["weight"], "span": g["span"]}

    exact = from_tension(g["tension"], **weight).sag

    rule = g["weight"] * g["span"] ** 2 / (8 * g["tension"])
    near = (np.abs(exact - rule) <= np.maximum(0.01 * rule, 0.25e-3)) & (rule >= 4e-3)
    assert 0 < near.sum() < near.size
    assert (allowed("9.2", g) == near).all()


def test_sag_is_given_where_the_rule_is_right_to_one_per_cent():
    g = all_that_is_drawn("9.3")
    weight = {"weight_per_length": g["weight"], "span": g["span"]}

    exact = from_sag(g["sag"], **weight).near_tension

    rule = g["weight"] * g["span"] ** 2 / (8 * g["sag"])
    near = np.abs(exact - rule) <= 0.01 * rule
    assert 0 < near.sum() < near.size
    assert (allowed("9.3", g, version=1) == near).all()
    low = rule <= 1e3
    assert 0 < (near & low).sum() < near.sum()
    assert (allowed("9.3", g) == near & low).all()


@pytest.mark.parametrize("id", ["9.1", "9.2", "9.3"])
def test_the_rule_is_the_solution(id):
    numbers = {n: one.values[-1] for n, one in exercise(id).given.items()}
    g = Numbers(**{n: x * factor(exercise(id).unit_of(n)) for n, x in numbers.items()})

    rule = {
        "9.1": lambda: np.sqrt(3 / 8 * g.span * g.slack),
        "9.2": lambda: g.weight * g.span**2 / (8 * g.tension),
        "9.3": lambda: g.weight * g.span**2 / (8 * g.sag),
    }[id]()
    assert exercise(id).answer.solve(g) == pytest.approx(rule, rel=1e-12)
