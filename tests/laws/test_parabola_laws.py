"""Laws of the parabola that a tight chain tends to."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.pull.catenary import from_horizontal_tension
from workbook.mechanics.pull.parabola import (
    parabola_from_low_point,
    parabola_from_sag,
    parabola_sag,
    parabola_sag_from_slack,
    parabola_slack,
    parabola_tension,
)
from workbook.mechanics.pull.tension_length_sag import from_sag, from_slack


def test_tight_chain_tends_to_the_parabola_as_the_square_of_its_sag():
    # Sag of the catenary over that of the parabola of equal horizontal tension is
    # 1 + u^2 / 12 + ..., with u = w L / 2 H.
    u = np.array([0.1, 0.01, 0.001])
    tension = 30.0 * 2.0 / (2 * u)
    chain = from_horizontal_tension(tension, span=2.0, weight_per_length=30.0)

    excess = chain.sag / parabola_sag(tension, span=2.0, weight_per_length=30.0) - 1

    assert excess == pytest.approx(u**2 / 12, rel=2e-3)


def test_sag_from_slack_tends_to_the_root_of_the_parabola():
    # Sag is L u/4 (1 + u^2/12 + ...) and slack L u^2/6 (1 + u^2/20 + ...), so sag
    # over sqrt(3 L s / 8) is 1 + 7 u^2/120 = 1 + 7 s / 20 L.
    slack = np.array([1e-2, 1e-3, 1e-4])
    chain = from_slack(slack, span=1.0, weight_per_length=30.0)

    excess = chain.sag / parabola_sag_from_slack(slack, span=1.0) - 1

    assert excess == pytest.approx(7 / 20 * slack, rel=1e-2)


def test_sag_of_the_tightest_chain_is_that_of_the_parabola():
    chain = from_slack(1e-12, span=1.0, weight_per_length=30.0)

    parabola = parabola_sag_from_slack(1e-12, span=1.0)

    assert chain.sag / parabola == pytest.approx(1, rel=2e-12)


def test_parabola_formulas_undo_one_another():
    sag = np.array([1e-4, 0.015, 0.3])

    slack = parabola_slack(sag, span=2.0)
    tension = parabola_tension(sag, span=2.0, weight_per_length=30.0)

    assert parabola_sag_from_slack(slack, span=2.0) == pytest.approx(sag, rel=1e-14)
    assert parabola_sag(tension, span=2.0, weight_per_length=30.0) == pytest.approx(
        sag, rel=1e-14
    )


def test_a_parabola_of_known_low_point_has_it_there():
    cable = parabola_from_low_point(
        span=3.0, below_near=0.2, below_far=0.9, weight_per_span=30.0
    )

    assert cable.low_point_height == pytest.approx(-0.2, rel=1e-12)
    far = (3.0 - cable.low_point) ** 2 * 30.0 / (2 * cable.horizontal_tension)
    assert far == pytest.approx(0.9, rel=1e-12)


def test_a_low_point_level_with_an_end_is_refused():
    with pytest.raises(OutOfRangeError, match="depth below the far end 0 m"):
        parabola_from_low_point(
            span=3.0, below_near=0.2, below_far=0.0, weight_per_span=30.0
        )


def test_parabola_between_unequal_ends_balances_its_load():
    cable = parabola_from_sag(0.3, span=2.0, rise=0.5, weight_per_span=30.0)

    vertical = np.sqrt(
        np.array([cable.near_tension, cable.far_tension]) ** 2
        - cable.horizontal_tension**2
    )

    assert vertical.sum() == pytest.approx(30.0 * 2.0, rel=1e-12)
    assert vertical[0] == pytest.approx(30.0 * cable.low_point, rel=1e-12)


def test_steep_tight_chain_hangs_like_a_parabola_along_its_chord():
    # Weight per span is weight per length times chord over span.
    chain = from_sag(1e-4, span=1.0, rise=3.0, weight_per_length=30.0)

    flat = parabola_tension(1e-4, span=1.0, weight_per_length=30.0 * np.sqrt(10))

    assert chain.horizontal_tension == pytest.approx(flat, rel=1e-4)
