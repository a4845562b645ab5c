"""Laws, limits and referees for hanging chains."""

from dataclasses import fields

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mpmath import mp, mpf
from scipy.integrate import solve_ivp
from scipy.optimize import fsolve, minimize_scalar

from workbook.errors import NoConvergenceError, OutOfRangeError
from workbook.mechanics.pull.catenary import curve_points, from_horizontal_tension
from workbook.mechanics.pull.tension_length_sag import (
    ENDS,
    from_length,
    from_length_and_sag,
    from_sag,
    from_slack,
    from_tension,
    least_tension,
)

SHOP = {"span": 2.0, "rise": 0.4, "weight_per_length": 30.0}
NUMBERS = (
    "horizontal_tension",
    "catenary_parameter",
    "near_tension",
    "far_tension",
    "near_angle_from_horizontal",
    "far_angle_from_horizontal",
    "length",
    "slack",
    "sag",
    "sag_position",
    "low_point",
    "low_point_height",
)
SEEDS = range(8)
MANY = 500  # chains in one call


def textbook(half_turn, *, span, rise, weight_per_length):
    """Return the textbook's formulas as they stand: differences that cancel."""
    L, v, w = mpf(span), mpf(rise), mpf(weight_per_length)
    a = L / (2 * half_turn)
    low = L / 2 - a * mpmath.asinh(v / (2 * a * mpmath.sinh(half_turn)))
    height = lambda x: a * mpmath.cosh((x - low) / a)  # noqa: E731
    deepest = low + a * mpmath.asinh(v / L)
    length = a * (mpmath.sinh((L - low) / a) + mpmath.sinh(low / a))
    return {
        "horizontal_tension": w * a,
        "catenary_parameter": a,
        "near_tension": w * height(mpf(0)),
        "far_tension": w * height(L),
        "near_angle_from_horizontal": mpmath.atan(mpmath.sinh(-low / a)),
        "far_angle_from_horizontal": mpmath.atan(mpmath.sinh((L - low) / a)),
        "length": length,
        "slack": length - mpmath.sqrt(L**2 + v**2),
        "sag": height(mpf(0)) + v / L * deepest - height(deepest),
        "sag_position": deepest,
        "low_point": low,
        "low_point_height": a - height(mpf(0)),
    }


def referee(name, value, *, tight_end, loose_end, **supports):
    """Find by bracketing in 90 digits the chain whose ``name`` has ``value``.

    The plain formulas lose up to 36 of them for the tightest, steepest chains.
    """
    with mp.workdps(90):
        target = mpmath.log(mpf(value))
        root = mpmath.findroot(
            lambda log_u: (
                mpmath.log(textbook(mpmath.exp(log_u), **supports)[name]) - target
            ),
            (mpmath.log(tight_end), mpmath.log(loose_end)),
            solver="anderson",
            tol=1e-30,
            maxsteps=300,
        )
        return textbook(mpmath.exp(root), **supports)


# Near zero an angle and the low point are known to the rounding of a radian and
# of the length, not of themselves.
FLOOR_ANGLE, FLOOR_LENGTH = 1e-6, 1e-6


def assert_same(chain, expected):
    for name in NUMBERS:
        scale = abs(expected[name])
        if "angle" in name:
            scale = max(scale, FLOOR_ANGLE)
        if "low_point" in name:
            scale = max(scale, FLOOR_LENGTH * expected["length"])
        error = abs(mpf(float(getattr(chain, name))) - expected[name]) / scale
        assert error < 1e-9, (name, float(error))


def supports_for(seed, size=None):
    """Draw a span, a rise up to a million spans, and a weight; or many of each."""
    rng = np.random.default_rng(seed)
    span = 10 ** rng.uniform(-2, 2, size)
    sign, most = rng.choice([-1, 1], size), rng.choice([0, 6], size)
    steepness = sign * 10 ** rng.uniform(-2, most)
    weight = 10 ** rng.uniform(0, 2, size)
    return rng, {"span": span, "rise": span * steepness, "weight_per_length": weight}


def assert_near(found, expected, *, rel, rounding=0.0):
    """Hold each of many to its own expected value."""
    apart = np.abs(found - expected)
    assert np.all(apart <= rel * np.abs(expected) + rounding)


# ------------------------------------------------------------------- referees


@pytest.mark.parametrize("relative_slack", [1e-12, 1e-6, 1e-2, 1.0, 1e3])
@pytest.mark.parametrize("seed", SEEDS)
def test_chain_of_known_slack_agrees_with_the_textbook_in_ninety_digits(
    seed, relative_slack
):
    _, supports = supports_for(seed)
    slack = relative_slack * supports["span"]

    chain = from_slack(slack, **supports)

    assert_same(
        chain, referee("slack", slack, tight_end=1e-10, loose_end=40, **supports)
    )


@pytest.mark.parametrize("relative_sag", [1e-12, 1e-4, 1e-1, 1e3])
@pytest.mark.parametrize("seed", SEEDS)
def test_chain_of_known_sag_agrees_with_the_textbook_in_ninety_digits(
    seed, relative_sag
):
    _, supports = supports_for(seed)
    sag = relative_sag * supports["span"]

    chain = from_sag(sag, **supports)

    assert_same(chain, referee("sag", sag, tight_end=1e-20, loose_end=60, **supports))


@pytest.mark.parametrize("times_least", [1.0001, 1.5, 1e3, 1e9])
@pytest.mark.parametrize("seed", SEEDS)
def test_chain_of_known_lower_tension_agrees_with_the_textbook_in_ninety_digits(
    seed, times_least
):
    _, supports = supports_for(seed)
    least = least_tension(**supports, at="lower")
    tension = float(times_least * least)
    name = "near_tension" if supports["rise"] > 0 else "far_tension"

    chain = from_tension(tension, **supports, at="lower")

    loosest = from_tension(least, **supports, at="lower")
    loose_end = supports["span"] / (2 * loosest.catenary_parameter)
    expected = referee(
        name, tension, tight_end=1e-16, loose_end=float(loose_end), **supports
    )
    assert_same(chain, expected)


@pytest.mark.parametrize("relative_slack", [1e-12, 1e-10, 1e-7])
@pytest.mark.parametrize("seed", SEEDS)
def test_length_of_a_tight_chain_keeps_its_figures(seed, relative_slack):
    # The straight distance between unequal ends is irrational: rounded to a
    # double it would leave four figures of a slack of 1e-12.
    rng = np.random.default_rng(seed)
    span, rise = rng.uniform(0.5, 3), rng.uniform(-3, 3)
    length = float(np.hypot(span, rise) * (1 + relative_slack))

    chain = from_length(length, span=span, rise=rise, weight_per_length=30.0)

    with mp.workdps(50):
        exact = mpf(length) - mpmath.sqrt(mpf(span) ** 2 + mpf(rise) ** 2)
    assert chain.slack / float(exact) == pytest.approx(1, rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_chain_agrees_with_its_differential_equation(seed):
    # Shooting with the balance of a short piece, dx/ds = H/T, dy/ds = V/T,
    # dV/ds = w: no catenary formula in it.
    rng = np.random.default_rng(seed)
    span, rise = rng.uniform(1, 3), rng.uniform(-1, 1)
    length, weight = np.hypot(span, rise) * rng.uniform(1.02, 2), 30.0
    chain = from_length(length, span=span, rise=rise, weight_per_length=weight)

    def along(s, _state, H, V):
        tension = np.hypot(H, V + weight * s)
        return [H / tension, (V + weight * s) / tension]

    def miss(force):
        end = solve_ivp(
            along, (0, length), [0, 0], args=tuple(force), rtol=1e-11, atol=1e-12
        ).y[:, -1]
        return end - [span, rise]

    H, V = fsolve(miss, [weight * span, -weight * length / 2], xtol=1e-12)

    assert chain.horizontal_tension == pytest.approx(H, rel=1e-8)
    assert chain.near_tension == pytest.approx(np.hypot(H, V), rel=1e-8)
    far = np.hypot(H, V + weight * length)
    assert chain.far_tension == pytest.approx(far, rel=1e-8)


@pytest.mark.parametrize("at", ENDS)
@pytest.mark.parametrize("rise", [-3.0, 0.0, 0.4, 50.0])
def test_least_tension_is_the_bottom_of_all_chains(rise, at):
    # Referee: a minimum search over horizontal tensions.
    def end_tension(log_tension):
        chain = from_horizontal_tension(
            np.exp(log_tension), span=2.0, rise=rise, weight_per_length=30.0
        )
        near, far = chain.near_tension, chain.far_tension
        return {
            "upper": max(near, far), "lower": min(near, far), "near": near, "far": far
        }[at]  # fmt: skip

    bottom = minimize_scalar(end_tension, bounds=(-1, 8), method="bounded")

    least = least_tension(span=2.0, rise=rise, weight_per_length=30.0, at=at)
    assert least == pytest.approx(bottom.fun, rel=1e-7)


# ----------------------------------------------------------------------- laws


def all_ways(chain):
    """Solve a chain again from each of its own numbers."""
    supports = {
        "span": chain.span,
        "rise": chain.rise,
        "weight_per_length": chain.weight_per_length,
    }
    return {
        "horizontal": from_horizontal_tension(chain.horizontal_tension, **supports),
        "near": from_tension(chain.near_tension, at="near", **supports),
        "far": from_tension(chain.far_tension, at="far", **supports),
        "length": from_length(chain.length, **supports),
        "slack": from_slack(chain.slack, **supports),
        "sag": from_sag(chain.sag, **supports),
    }


def test_every_way_leads_to_the_same_chain():
    rng = np.random.default_rng(0)
    span, rise = rng.uniform(0.5, 3, MANY), rng.uniform(-2, 2, MANY)
    slack = span * rng.uniform(0.001, 0.2, MANY)
    chain = from_slack(slack, span=span, rise=rise, weight_per_length=30.0)

    for again in all_ways(chain).values():
        assert_near(again.sag, chain.sag, rel=1e-9)
        assert_near(again.near_tension, chain.near_tension, rel=1e-9)


@pytest.mark.parametrize("slack", [1e-9, 1e-3, 0.1, 3.0])
def test_a_level_chain_is_found_again_from_its_length_and_sag(slack):
    chain = from_slack(slack, span=2.0, weight_per_length=30.0)

    again = from_length_and_sag(chain.length, sag=chain.sag, weight_per_length=30.0)

    assert again.span == pytest.approx(2.0, rel=1e-13)
    assert again.far_tension == pytest.approx(chain.far_tension, rel=1e-12)
    assert again.sag == pytest.approx(chain.sag, rel=1e-12)


def test_a_sag_of_half_the_length_leaves_no_span():
    with pytest.raises(OutOfRangeError, match="under half the length 2 m"):
        from_length_and_sag(2.0, sag=1.0, weight_per_length=30.0)


def test_end_tensions_differ_by_weight_times_rise():
    rng, supports = supports_for(0, MANY)
    chain = from_slack(supports["span"] * rng.uniform(0.001, 3, MANY), **supports)

    difference = chain.far_tension - chain.near_tension

    expected = supports["weight_per_length"] * supports["rise"]
    rounding = 1e-13 * np.maximum(chain.far_tension, chain.near_tension)
    assert_near(difference, expected, rel=1e-12, rounding=rounding)


def test_the_ends_together_carry_the_weight_and_pull_evenly():
    rng, supports = supports_for(0, MANY)
    chain = from_slack(supports["span"] * rng.uniform(0.01, 3, MANY), **supports)
    near, far = chain.near_angle_from_horizontal, chain.far_angle_from_horizontal

    upward = chain.far_tension * np.sin(far) - chain.near_tension * np.sin(near)

    assert_near(upward, chain.weight_per_length * chain.length, rel=1e-9)
    # An angle near 90 degrees keeps its level part to the rounding of the whole.
    rounding = 1e-15 * chain.far_tension
    level = chain.far_tension * np.cos(far)
    assert_near(level, chain.horizontal_tension, rel=1e-9, rounding=rounding)


def test_level_chain_is_two_halves():
    # Cut a level chain at its low point: each half hangs from one end down to a
    # level hold at the other.
    whole = from_slack(0.3, span=2.0, weight_per_length=30.0)

    half = from_length(
        whole.length / 2, span=1.0, rise=whole.sag, weight_per_length=30.0
    )

    assert half.horizontal_tension == pytest.approx(whole.horizontal_tension, rel=1e-10)
    assert half.near_angle_from_horizontal == pytest.approx(0, abs=1e-10)
    assert half.far_tension == pytest.approx(whole.far_tension, rel=1e-10)
    assert whole.sag_position == pytest.approx(1.0, rel=1e-14)
    assert whole.low_point_height == pytest.approx(-whole.sag, rel=1e-12)


def test_mirrored_ends_give_the_mirrored_chain():
    rng, supports = supports_for(0, MANY)
    slack = supports["span"] * 10 ** rng.uniform(-9, 2, MANY)
    chain = from_slack(slack, **supports)

    mirror = from_slack(slack, **{**supports, "rise": -supports["rise"]})

    assert_near(mirror.near_tension, chain.far_tension, rel=1e-12)
    assert_near(mirror.sag, chain.sag, rel=1e-12)
    assert_near(mirror.sag_position, supports["span"] - chain.sag_position, rel=1e-9)
    assert_near(
        mirror.near_angle_from_horizontal, -chain.far_angle_from_horizontal, rel=1e-9
    )


def test_a_chain_twice_as_large_pulls_twice_as_hard():
    rng, supports = supports_for(0, MANY)
    sag = supports["span"] * 10 ** rng.uniform(-6, 1, MANY)
    chain = from_sag(sag, **supports)

    supports = {**supports, "span": 2 * supports["span"], "rise": 2 * supports["rise"]}
    double = from_sag(2 * sag, **supports)

    assert_near(double.far_tension, 2 * chain.far_tension, rel=1e-12)
    assert_near(double.slack, 2 * chain.slack, rel=1e-12)


def test_weight_changes_the_tension_and_not_the_shape():
    light = from_slack(0.03, span=2.0, rise=0.4, weight_per_length=10.0)

    heavy = from_slack(0.03, span=2.0, rise=0.4, weight_per_length=40.0)

    assert heavy.sag == pytest.approx(light.sag, rel=1e-14)
    assert heavy.near_tension == pytest.approx(4 * light.near_tension, rel=1e-14)


def test_very_slack_chain_hangs_as_two_straight_strands():
    # Span nothing against the length: the sag is half the slack.
    chain = from_length(2.0, span=1e-9, weight_per_length=30.0)

    assert chain.sag == pytest.approx(1.0, rel=1e-7)
    assert chain.far_tension == pytest.approx(30.0, rel=1e-7)
    assert np.degrees(chain.far_angle_from_horizontal) == pytest.approx(90, abs=1e-5)


def test_given_end_tension_gives_the_tighter_of_two_chains():
    # The looser one: hang 2.0 m, and see its end tension; the tighter one has it
    # too but is shorter.
    loose = from_sag(3.0, span=2.0, weight_per_length=30.0)

    tight = from_tension(loose.far_tension, span=2.0, weight_per_length=30.0)

    assert tight.far_tension == pytest.approx(loose.far_tension, rel=1e-12)
    assert tight.sag < 0.1 * loose.sag


@pytest.mark.parametrize("at", ENDS)
@pytest.mark.parametrize("rise", [-0.7, 0.0, 5.0])
def test_least_tension_is_itself_held_and_less_is_refused(rise, at):
    supports = {"span": 2.0, "rise": rise, "weight_per_length": 30.0}
    least = least_tension(**supports, at=at)

    chain = from_tension(least, **supports, at=at)

    ends = {"near": chain.near_tension, "far": chain.far_tension}
    ends |= {"upper": max(ends.values()), "lower": min(ends.values())}
    assert ends[at] == pytest.approx(least, rel=1e-12)
    with pytest.raises(OutOfRangeError, match="is too small: the chain's weight needs"):
        from_tension(0.9999 * least, **supports, at=at)


@pytest.mark.parametrize("rise", [0.0, 0.4, 5.0, 1e3])
def test_chain_a_hair_above_the_least_tension_is_found(rise):
    # There the two chains of one tension meet, and rounding hides the slope.
    supports = {"span": 2.0, "rise": rise, "weight_per_length": 30.0}
    least = least_tension(**supports, at="lower")
    tension = least * (1 + np.geomspace(1e-16, 1e-3, 2000))

    chain = from_tension(tension, **supports, at="lower")

    assert np.max(np.abs(chain.near_tension / tension - 1)) < 1e-13


# --------------------------------------------------------------------- arrays


@pytest.mark.parametrize(
    ("solve", "size"),
    [
        (from_slack, 1.0),
        (from_sag, 1.0),
        (from_length, 1e7),
        (from_tension, 1e10),
        (from_horizontal_tension, 1e5),
    ],
)
def test_many_chains_at_once_equal_one_at_a_time(solve, size):
    given_ = size * np.geomspace(1e-6, 10, 8)
    rise = np.array([[-0.3], [0.0], [2.0]])

    many = solve(given_, span=0.7, rise=rise, weight_per_length=30.0)

    for row, column in np.ndindex(3, 8):
        one = solve(given_[column], span=0.7, rise=rise[row, 0], weight_per_length=30.0)
        for field in fields(one):
            each = getattr(many, field.name)
            assert each.shape == (3, 8)
            single = getattr(one, field.name)
            assert each[row, column] == pytest.approx(single, rel=1e-12, abs=1e-14)


def test_a_hundred_thousand_chains_are_one_call():
    tension = np.geomspace(100.0, 1e5, 100_000)

    chains = from_tension(tension, **SHOP)

    assert np.max(np.abs(chains.far_tension / tension - 1)) < 1e-12
    assert np.all(np.diff(chains.sag) < 0)


# ----------------------------------------------------------------- the picture


def test_drawn_points_run_from_end_to_end_at_even_steps():
    chain = from_slack(0.5, **SHOP)

    x, y = curve_points(chain, count=401)

    steps = np.hypot(np.diff(x), np.diff(y))
    assert (x[0], y[0]) == (0.0, 0.0)
    assert (x[-1], y[-1]) == pytest.approx((2.0, 0.4), rel=1e-12)
    # A chord is shorter than its arc by the square of the step.
    assert steps == pytest.approx(chain.length / 400, rel=1e-4)


def test_drawn_points_of_a_tight_chain_show_its_sag():
    # 1 mm in 1 km is lost in a plain difference of two cosh.
    chain = from_sag(1e-6, span=1.0, rise=0.3, weight_per_length=30.0)

    x, y = curve_points(chain, count=2001)

    assert np.max(0.3 * x - y) / 1e-6 == pytest.approx(1, rel=1e-6)


def test_many_chains_are_drawn_at_once():
    chain = from_slack(np.array([0.1, 0.5]), **SHOP)

    x, y = curve_points(chain, count=11)

    single = curve_points(from_slack(0.5, **SHOP), count=11)
    assert x.shape == y.shape == (2, 11)
    assert y[1] == pytest.approx(single[1], rel=1e-12)


# ------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("solve", "given_", "change", "reason"),
    [
        (from_length, 2.0, {"rise": 0.1}, "straight distance"),
        (from_length, 2.0, {"rise": 0.0}, "lengthen it"),
        (from_length, 1.5, {}, "bring its ends closer"),
        (from_slack, 0.0, {}, "slack 0 m must be more than zero"),
        (from_sag, -0.1, {}, "sag -0.1 m must be more than zero"),
        (from_sag, 0.1, {"span": 0.0}, "span 0 m must be more than zero"),
        (from_sag, 0.1, {"weight_per_length": -3.0}, "-3 N/m must be more than zero"),
        (from_sag, 0.1, {"weight_per_length": 0.0}, "0 N/m must be more than zero"),
        (from_sag, np.nan, {}, "sag nan m must be a finite number"),
        (from_slack, 0.1, {"rise": np.inf}, "rise inf m must be a finite number"),
        (from_slack, 1e40, {}, "too large to compute"),
        (from_slack, 1e-40, {}, "too small to compute"),
        (from_tension, 40.0, {}, "the chain's weight needs at least"),
        (from_tension, -5.0, {}, "tension -5 N must be more than zero"),
        (from_tension, 500.0, {"at": "middle"}, "choose one of upper, lower"),
        (from_horizontal_tension, 0.1, {}, "too small for this chain"),
        (from_horizontal_tension, 0.0, {}, "horizontal tension 0 N must be more"),
    ],
)
def test_chain_that_cannot_hang_is_refused_with_the_reason(
    solve, given_, change, reason
):
    with pytest.raises(OutOfRangeError, match=reason):
        solve(given_, **{**SHOP, **change})


def test_refusal_in_an_array_names_the_value_and_its_place():
    with pytest.raises(OutOfRangeError, match=r"length 1.9 m .* \(at index 1, 2\)"):
        from_length(
            [[2.1, 2.2, 2.3], [2.4, 2.5, 1.9]], span=2.0, weight_per_length=30.0
        )


def test_tolerance_finer_than_a_double_is_refused():
    with pytest.raises(NoConvergenceError, match="choose a coarser one"):
        from_sag(np.geomspace(0.01, 1, 50), **SHOP, tolerance=-1.0)


def test_picture_of_one_point_is_refused():
    with pytest.raises(OutOfRangeError, match="a chain has two ends"):
        curve_points(from_sag(0.1, **SHOP), count=1)


SIZE = st.floats(-40, 40).map(lambda power: 10.0**power)
SIGNED = st.one_of(st.just(0.0), SIZE, SIZE.map(lambda size: -size))


@settings(max_examples=400, deadline=None)
@given(
    solve=st.sampled_from(
        [from_slack, from_sag, from_length, from_tension, from_horizontal_tension]
    ),
    given_=SIZE,
    span=SIZE,
    rise=SIGNED,
    weight=SIZE,
)
def test_any_chain_balances_or_is_refused(solve, given_, span, rise, weight):
    try:
        chain = solve(given_, span=span, rise=rise, weight_per_length=weight)
    except OutOfRangeError:
        return

    numbers = {name: float(getattr(chain, name)) for name in NUMBERS}
    assert all(np.isfinite(list(numbers.values()))), numbers
    load = weight * chain.length
    total = chain.near_tension + chain.far_tension
    near, far = chain.near_angle_from_horizontal, chain.far_angle_from_horizontal
    upward = chain.far_tension * np.sin(far) - chain.near_tension * np.sin(near)
    assert upward == pytest.approx(load, rel=1e-9, abs=1e-14 * total)
    assert chain.far_tension - chain.near_tension == pytest.approx(
        weight * rise, rel=1e-9, abs=1e-12 * total
    )
    assert chain.slack > 0
    assert chain.sag > 0
    assert 0 <= chain.sag_position <= span


def test_two_points_of_a_chain_are_its_ends():
    chain = from_sag(0.15, span=2.0, rise=0.4, weight_per_length=30.0)

    x, y = curve_points(chain, count=2)

    assert x == pytest.approx([0, 2.0])
    assert y == pytest.approx([0, 0.4])
    with pytest.raises(OutOfRangeError):
        curve_points(chain, count=1)
