"""The gauge is another way to set the ram force: F = p A, and back."""

from math import pi

import pytest

from widgets import PullExplorer


@pytest.fixture
def explorer(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path))
    return PullExplorer()


def test_a_typed_pressure_sets_the_ram_force_on_the_rams_bore(explorer):
    explorer.pressure.box.value = "300 bar"

    # Our own worked figure: 300 bar on a 42 mm bore, recomputed by hand.
    force = 300e5 * pi * 0.042**2 / 4
    assert explorer.controls["ram_force_kn"].value == pytest.approx(
        force / 1e3, abs=5e-3
    )
    assert explorer.result.pull.ram_force == pytest.approx(force, rel=5e-4)


def test_the_gauge_follows_the_force_and_the_ram_without_moving_them(explorer):
    explorer.controls["ram_force_kn"].value = 20
    smaller = explorer.pressure.value
    explorer.controls["ram"].value = "ram 48"

    assert explorer.controls["ram_force_kn"].value == 20
    ratio = explorer.pressure.value / smaller
    assert ratio == pytest.approx((42 / 48) ** 2, rel=2e-3)


def test_the_gauge_speaks_psi_to_who_wants_it(explorer):
    explorer.use_units("lbf-inch")

    explorer.pressure.box.value = "4000"

    assert explorer.pressure.value == pytest.approx(275.8, abs=0.1)  # 4000 psi in bar
    assert "psi" in explorer.pressure.slider.description


def test_the_gauge_is_put_away_where_the_pull_is_held(explorer):
    explorer.controls["held"].value = "useful pull"

    assert explorer.pressure.widget.layout.display == "none"
