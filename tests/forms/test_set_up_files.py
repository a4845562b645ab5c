"""A set-up is one thing as a file, as a code, in the page that explains it."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

import workbook.scenes
from workbook.errors import FormError, MechanismError
from workbook.reports.pull import PullReport
from workbook.scenes.fields import Number
from workbook.scenes.set_up_files import KEYS, from_toml, to_toml
from workbook.scenes.setups import ANCHOR_LEG, FIELDS, Setup

PAGE = Path(workbook.scenes.__file__).with_name("README.md").read_text("utf-8")


@pytest.mark.parametrize("field", [*FIELDS.values(), ANCHOR_LEG], ids=lambda f: f.key)
def test_the_page_explains_every_key_with_its_own_range(field):
    row = next(
        line for line in PAGE.splitlines() if line.startswith(f"| `{field.key}`")
    )

    assert field.meaning in row
    if isinstance(field, Number):
        assert f"{field.low:g} to {field.high:g} {field.unit}" in row
    else:
        assert all(f"`{option}`" in row for option in field.options)


def test_the_page_explains_every_field_of_the_json():
    fields = PullReport(Setup().solved()).fields()

    names = [f"pull.{name}" for name in fields.pop("pull")]
    names += [name for name in fields if name != "pull"]
    assert [name for name in names if f"`{name}`" not in PAGE] == []


def test_the_example_on_the_page_is_a_set_up_that_stands():
    example = PAGE.split("```toml\n")[1].split("```")[0]

    solved = from_toml(example).solved()

    assert solved.pull.pull_tension > 0
    assert solved.setup.code in PAGE


@pytest.mark.parametrize("seed", range(20))
def test_a_written_file_reads_back_the_same(seed):
    rng = np.random.default_rng(seed)
    values = {
        name: float(rng.uniform(f.low, f.high))
        if isinstance(f, Number)
        else str(rng.choice(f.options))
        for name, f in FIELDS.items()
    }
    setup = Setup(title='5" \\ é\t\n' + str(seed), values=values)

    text = to_toml(setup)

    assert from_toml(text) == setup
    assert [*tomllib.loads(text)] == [
        "form", "title", *dict.fromkeys(key.split(".")[0] for key in KEYS)
    ]  # fmt: skip


def test_an_anchor_leg_in_place_of_the_lean_gives_the_same_rig():
    by_lean = Setup(values={"lean_deg": 12, "fork_offset_mm": 40})
    leg = float(by_lean.rig().anchor_leg) * 1e3

    by_leg = Setup(values={"fork_offset_mm": 40}, anchor_leg_mm=leg)

    assert by_leg.solved().pull.head == pytest.approx(by_lean.solved().pull.head)
    with pytest.raises(FormError, match="lean"):
        _ = by_leg.code


def test_what_is_held_fixed_is_what_comes_out():
    held = {"useful pull": "along", "chain tension": "pull_tension"}
    values = {"useful_pull_kn": 17.5, "chain_tension_kn": 17.5, "fork_offset_mm": 60}

    for name, meant in held.items():
        solved = Setup(values={**values, "held": name}).solved()
        found = solved.along if meant == "along" else solved.pull.pull_tension
        assert found == pytest.approx(17.5e3, rel=1e-12)


def test_a_fixed_roller_pulls_alike_on_both_sides_and_the_bench_balances():
    values = {"chain_at_head": "over a fixed roller", "lean_deg": 30}

    pull = Setup(values=values).solved().pull

    assert pull.pull_tension == pytest.approx(pull.anchor_tension, rel=1e-12)
    assert pull.ram_force == pytest.approx(30e3, rel=1e-12)  # what its anchor carries
    on_bench = pull.force_on_clamp + pull.base_on_bench + pull.anchor_on_bench
    assert np.abs(on_bench).max() < 1e-9 * 30e3


def test_a_chain_that_runs_free_over_the_ram_is_refused_with_the_way_out():
    with pytest.raises(MechanismError, match="fixed roller"):
        Setup(values={"chain_at_head": "free over the ram"}).solved()


def test_along_and_across_the_wanted_line_make_up_the_whole_pull():
    solved = Setup(values={"wanted_side_angle_deg": 25, "wanted_rise_deg": 5}).solved()

    whole = np.hypot(solved.along, solved.across)

    assert whole == pytest.approx(float(solved.pull.pull_tension), rel=1e-12)
