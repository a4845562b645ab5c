"""One pull over its whole range and far outside: it balances or it is refused."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.pull.linkage import Pull, Rig, solve_pull, solve_pulls
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.stroke import stroke_path
from workbook.mechanics.pull.wanted_force import ram_force_for_useful_pull
from workbook.mechanics.vectors import norm
from workbook.quantities.units import METRIC

TRIES = settings(max_examples=150, deadline=None, derandomize=True)


def within(low, high):
    return st.floats(low, high, allow_subnormal=False)


BENCH = st.fixed_dictionaries(
    {
        "clamp": st.tuples(within(-3, 3), within(-2, 2), within(0, 2)),
        "chain_angle": within(-np.pi, np.pi),
        "clamp_distance": within(0, 4),
        "fork_distance": within(0, 3),
        "fork_offset": within(-0.5, 0.5),
        "closed_length": within(0.3, 1.5),
        "extension": within(0, 1),
        "stroke": within(0, 0.25),
        "full_stroke": within(0.1, 0.25),
        "swivel": within(0, np.pi / 2),
        "lean": within(-np.pi / 2, np.pi / 2),
    }
)
ANY = st.one_of(
    within(-3, 3),
    st.floats(),
    st.sampled_from([0.0, -1.0, 5e-324, 1e-300, 1e-160, 1e160, 1e300, 1.7e308]),
)
ANYWHERE = st.fixed_dictionaries(
    {name: ANY for name in (f.name for f in fields(Rig))}
    | {name: st.tuples(ANY, ANY, ANY) for name in ("clamp", "base", "anchor")}
)
# One wild value in a rig that would stand shows a gap that many would hide.
ONE_WILD = st.tuples(
    st.sampled_from(["ram_force", *(f.name for f in fields(Rig))]), ANY
)


def assert_balances_or_is_refused(rig, ram_force):
    pull = solve_pulls(rig, ram_force=ram_force)
    if not pull.stands:
        with pytest.raises((OutOfRangeError, MechanismError)) as refused:
            solve_pull(rig, ram_force=ram_force)
        assert "{" not in refused.value.spoken(METRIC.show)
        return
    for field in fields(Pull):
        assert np.isfinite(getattr(pull, field.name)).all(), field.name
    largest = max(pull.ram_force, pull.pull_tension, pull.anchor_tension)
    on_bench = pull.base_on_bench / largest + pull.anchor_on_bench / largest
    assert on_bench + pull.force_on_clamp / largest == pytest.approx(
        np.zeros(3), abs=1e-9
    )
    assert pull.pull_tension > 0 <= pull.anchor_tension
    assert pull.tilt <= rig.swivel + 1e-9
    place = norm(rig.base) + norm(rig.clamp) + norm(rig.anchor)
    assert float(norm(pull.head - rig.base)) == pytest.approx(
        float(rig.ram_length), rel=1e-9, abs=1e-12 * float(place)
    )


@TRIES
@given(rig=BENCH, ram_force=within(1, 200e3))
def test_any_rig_of_a_bench_balances_or_is_refused(rig, ram_force):
    assert_balances_or_is_refused(lay_out(**rig), ram_force)


@TRIES
@given(rig=ANYWHERE, ram_force=ANY)
def test_points_and_lengths_of_any_size_balance_or_are_refused(rig, ram_force):
    assert_balances_or_is_refused(Rig(**rig), ram_force)


@TRIES
@given(wild=ONE_WILD, axis=st.integers(0, 2))
def test_one_wild_value_in_a_standing_rig_balances_or_is_refused(any_rigs, wild, axis):
    name, value = wild
    rig, ram_force = any_rigs(0), 40e3
    if name == "ram_force":
        ram_force = value
    elif name in {"clamp", "base", "anchor"}:
        point = getattr(rig, name).copy()
        point[axis] = value
        rig = replace(rig, **{name: point})
    else:
        rig = replace(rig, **{name: value})

    assert_balances_or_is_refused(rig, ram_force)


@TRIES
@given(
    rig=BENCH,
    name=st.sampled_from(["chain_angle", "fork_offset", "lean", "fork_distance"]),
    value=ANY,
)
def test_wild_measure_is_set_out_as_a_rig_that_balances_or_is_refused(rig, name, value):
    assert_balances_or_is_refused(lay_out(**rig | {name: value}), 40e3)


@settings(TRIES, max_examples=60)
@given(rig=BENCH, clamp=st.sampled_from(["stays", "follows"]), full_stroke=ANY)
def test_stroke_path_has_numbers_where_it_stands_and_none_elsewhere(
    rig, clamp, full_stroke
):
    rig = lay_out(**rig | {"stroke": 0.0, "full_stroke": full_stroke})

    path = stroke_path(rig, ram_force=40e3, clamp=clamp, points=4, substeps=1)

    assert path.clamp.shape == (4, 3)
    for field in fields(Pull):
        value = getattr(path.pull, field.name)
        if field.name != "refusal":
            assert (np.isfinite(value[path.pull.stands])).all(), field.name
            assert (np.isnan(value[~path.pull.stands])).all(), field.name


@settings(TRIES, max_examples=80)
@given(
    rig=BENCH,
    line=st.tuples(within(-1, 1), within(-1, 1), within(-1, 1)),
    useful_pull=within(0, 100e3),
)
def test_ram_force_for_a_useful_pull_gives_it_or_is_refused(rig, line, useful_pull):
    rig = lay_out(**rig)
    # Nan where the rig does not stand.
    reach = solve_pulls(rig, ram_force=1.0).direction @ line
    if not reach > 1e-6 * norm(line):
        with pytest.raises((OutOfRangeError, MechanismError)) as refused:
            ram_force_for_useful_pull(rig, useful_pull=useful_pull, line=line)
        assert "{" not in refused.value.spoken(METRIC.show)
        return

    ram_force = ram_force_for_useful_pull(rig, useful_pull=useful_pull, line=line)

    # Proportional, so a ram force of one says it without asking for one of nothing.
    push = solve_pull(rig, ram_force=1.0).force_on_clamp * ram_force
    assert push @ line == pytest.approx(useful_pull * float(norm(line)), rel=1e-9)
