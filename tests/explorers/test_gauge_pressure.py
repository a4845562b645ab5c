"""The gauge is another way to set the ram force: F = p A, and back."""

from math import pi

import pytest

from widgets import PullExplorer


@pytest.fixture
def explorer(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path))
    return PullExplorer()


@pytest.fixture
def gauge(explorer):
    return explorer.panel.paired["gauge_bar"]


def test_a_typed_pressure_sets_the_ram_force_on_the_rams_bore(explorer, gauge):
    gauge.box.value = "300 bar"

    # Our own worked figure: 300 bar on a 42 mm bore, recomputed by hand.
    force = 300e5 * pi * 0.042**2 / 4
    assert explorer.controls["ram_force_kn"].value == pytest.approx(
        force / 1e3, abs=5e-3
    )
    assert explorer.result.pull.ram_force == pytest.approx(force, rel=5e-4)


def test_the_gauge_follows_the_force_and_the_ram_without_moving_them(explorer, gauge):
    explorer.controls["ram_force_kn"].value = 20
    smaller = gauge.value
    explorer.controls["ram"].value = "ram 48"

    assert explorer.controls["ram_force_kn"].value == 20
    ratio = gauge.value / smaller
    assert ratio == pytest.approx((42 / 48) ** 2, rel=2e-3)


def test_the_gauge_speaks_psi_to_who_wants_it(explorer, gauge):
    explorer.use_units("lbf-inch")

    gauge.box.value = "4000"

    assert gauge.value == pytest.approx(275.8, abs=0.1)  # 4000 psi in bar
    assert "psi" in gauge.slider.description


def test_the_gauge_is_put_away_where_the_pull_is_held(explorer, gauge):
    explorer.controls["held"].value = "useful pull"

    assert gauge.widget.layout.display == "none"


def test_force_and_gauge_follow_each_other_wherever_they_stand(explorer, gauge):
    pair = explorer.subject.paired[0]
    for ram in explorer.subject.fields["ram"].options:
        values = {**explorer.values, "ram": ram}
        for force in (0.5e3, 17.3e3, 100e3):
            there = pair.to(force, values)

            assert pair.back(there, values) == pytest.approx(force)
            assert there > 0


def test_a_gauge_moved_by_hand_is_one_step(explorer, gauge):
    before = explorer.stage.frame["count"]

    gauge.slider.value += gauge.slider.step

    assert explorer.stage.frame["count"] == before + 1
    assert explorer.values["ram_force_kn"] != explorer.start["ram_force_kn"]
