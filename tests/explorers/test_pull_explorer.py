"""The pull explorer against the linkage it shows."""

import pytest

from widgets import PullExplorer
from workbook.mechanics.pull.linkage import solve_pull
from workbook.mechanics.pull.setting_out import lay_out
from workbook.scenes.setups import Setup


@pytest.fixture
def explorer():
    return PullExplorer()


def test_a_pull_is_as_the_engine_says(explorer):
    explorer.set(fork_offset_mm=50, extension_mm=500, ram_force_kn=42)

    expected = Setup(
        values={"fork_offset_mm": 50, "extension_mm": 500, "ram_force_kn": 42}
    ).solved()
    pull, shown = expected.pull, explorer.result.pull
    assert shown.pull_tension == pull.pull_tension
    assert shown.head == pytest.approx(pull.head)
    numbers = dict(explorer.subject.numbers(explorer.result, explorer.system))
    assert numbers["pull leg"] == f"{pull.pull_tension / 1e3:.1f} kN"
    assert numbers["anchor leg"] == f"{pull.anchor_tension / 1e3:.1f} kN"
    words = explorer.stage.frame["words"]
    assert f"the pull leg carries {pull.pull_tension / 1e3:.1f} kN" in words
    assert "Held fixed: ram force, 42.0 kN" in words


def test_the_forces_on_the_head_balance(explorer):
    explorer.set(fork_offset_mm=-120, chain_angle_deg=35, lean_deg=22)

    rig, pull = explorer.result.rig, explorer.result.pull
    forces = [
        (float(pull.ram_force), pull.head - rig.base),
        (float(pull.pull_tension), rig.clamp - pull.head),
        (float(pull.anchor_tension), rig.anchor - pull.head),
    ]
    total = sum(force * way / (way @ way) ** 0.5 for force, way in forces)
    assert total == pytest.approx([0, 0, 0], abs=1e-6 * float(pull.ram_force))


@pytest.mark.parametrize(
    ("held", "name", "amount"),
    [
        ("useful pull", "useful_pull_kn", "along wanted"),
        ("chain tension", "chain_tension_kn", "pull leg"),
        ("ram force", "ram_force_kn", "ram force"),
    ],
)
def test_what_is_held_fixed_stays_when_the_lean_changes(explorer, held, name, amount):
    for lean in (-5, 10, 30):
        explorer.set(held=held, lean_deg=lean, **{name: 17.5})

        result = explorer.result
        kept = {
            "along wanted": result.along,
            "pull leg": result.pull.pull_tension,
            "ram force": result.pull.ram_force,
        }
        assert kept[amount] == pytest.approx(17.5e3)


def test_the_load_path_is_drawn_when_it_is_asked_for(explorer):
    assert explorer.stage.frame["more"] == ""

    explorer.extras["load path"].value = True

    assert explorer.stage.frame["more"].count("<svg") == 1
    assert "of its rating" in explorer.stage.frame["more"]


def test_a_lesson_rig_and_the_explorer_lay_out_the_same_rig(explorer):
    rig = lay_out(
        clamp=[0.8, 0.4, 0.45],
        chain_angle=0.17453292519943295,
        clamp_distance=1.2,
        fork_distance=0.7,
        fork_offset=0.0,
        closed_length=0.45,
        extension=0.3,
        stroke=0.0,
        full_stroke=0.2,
        swivel=0.7853981633974483,
        lean=0.17453292519943295,
    )

    by_hand = solve_pull(rig, ram_force=30e3)

    assert explorer.result.pull.pull_tension == pytest.approx(by_hand.pull_tension)
