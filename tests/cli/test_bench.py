"""``pullwright bench``: pulls and clamps in, wrench and shares out."""

import io
import json
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from workbook.cli import main
from workbook.scenes.bench import solve_bench
from workbook.scenes.kestrin import kestrin_hold
from workbook.scenes.set_up_files import from_toml

CLAMPS = files("workbook.scenes").joinpath("kestrin_clamps.toml").read_text("utf-8")
PULL = (
    'form = 1\ntitle = "left tip"\n[clamp]\nforward_mm = 1540\nleft_mm = 440\n'
    "height_mm = 310\n[line]\nchain_angle_deg = 36\n[ram]\nextension_mm = 0\n"
)
HOLD = PULL.replace("left tip", "right hold").replace("440", "-440")


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def pulls(tmp_path):
    (tmp_path / "left.toml").write_text(PULL, "utf-8")
    (tmp_path / "right.toml").write_text(HOLD.replace("= 36", "= -60"), "utf-8")
    return [str(tmp_path / "left.toml"), str(tmp_path / "right.toml")]


def refused(capsys, *argv):
    """Run a command that must refuse; return its one sentence."""
    assert main([*argv]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pullwright: ")
    assert err.count("\n") == 1
    return err


def solved(pulls):
    setups = [from_toml(Path(name).read_bytes()) for name in pulls]
    return solve_bench(setups, hold=kestrin_hold())


def test_the_table_shows_the_engines_own_shares(pulls, capsys):
    bench = solved(pulls)

    assert main(["bench", *pulls, "--clamps", "kestrin"]) == 0

    out = capsys.readouterr().out
    row = next(line for line in out.splitlines() if line.startswith("  right front"))
    force = np.linalg.norm(bench.supports[1])
    assert f"{force / 1e3:.1f} kN" in row
    assert f"{100 * bench.held.shares[1]:.0f}%" in row
    assert f"The {bench.governing} governs" in out
    assert (
        f"Together the pulls make {np.linalg.norm(bench.wrench[:3]) / 1e3:.1f}" in out
    )
    assert "Without the weight, 0.0 kN is left" in out
    assert "does not approve any real pull" in out


def test_json_closes_the_bench_and_balances_the_body(pulls, capsys):
    assert main(["bench", *pulls, "--clamps", "kestrin", "--json"]) == 0

    data = json.loads(capsys.readouterr().out)
    held = np.sum([support["force_on_body_N"] for support in data["supports"]], axis=0)
    weight = np.array([0, 0, -data["weight_N"]])
    assert data["force_N"] + held + weight == pytest.approx(np.zeros(3), abs=1e-6)
    assert data["bench_left_over_N"] == pytest.approx(weight, abs=1e-6)
    pulled = np.sum([pull["force_N"] for pull in data["pulls"]], axis=0)
    assert data["force_N"] == pytest.approx(pulled)
    point, along = np.array(data["line_point_m"]), np.array(data["line_direction_1"])
    moment = np.cross(point, data["force_N"]) + data["couple_N_m"] * along
    assert data["moment_about_zero_N_m"] == pytest.approx(moment)


def test_a_rising_pull_lifts_the_body_off_its_stands(pulls, tmp_path, capsys):
    main(["bench", pulls[1], "--clamps", "kestrin"])
    level = capsys.readouterr().out
    rising = tmp_path / "rising.toml"
    rising.write_text(PULL.replace("extension_mm = 0", "extension_mm = 450"), "utf-8")

    main(["bench", str(rising), "--clamps", "kestrin"])

    assert "lifted off: left cowl stand, right cowl stand" in capsys.readouterr().out
    assert "The body has lifted off" in level  # its own rise is more than the weight


def test_a_weak_grip_slides_and_a_weak_clamp_is_over_its_rating(
    pulls, tmp_path, capsys
):
    file = tmp_path / "weak.toml"
    file.write_text(CLAMPS.replace("slip_kn = 24", "slip_kn = 2"), "utf-8")
    main(["bench", *pulls, "--clamps", str(file)])
    slid = capsys.readouterr().out
    file.write_text(CLAMPS.replace("rating_kn = 45", "rating_kn = 3"), "utf-8")

    main(["bench", *pulls, "--clamps", str(file)])

    assert "The jaws slide at: " in slid
    assert "past its rating, stop" in capsys.readouterr().out


def test_pounds_are_shown_when_asked_for(pulls, capsys):
    main(["bench", *pulls, "--clamps", "kestrin", "--units", "lbf-inch"])

    out = capsys.readouterr().out

    assert "lbf" in out
    assert " kN" not in out


def test_one_pull_is_read_from_standard_input(pulls, capsys, monkeypatch):
    class Input:
        buffer = io.BytesIO(PULL.encode())

    monkeypatch.setattr("sys.stdin", Input())

    assert main(["bench", "-", pulls[1], "--clamps", "kestrin"]) == 0

    assert "  left tip " in capsys.readouterr().out


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_picture_is_written_by_its_ending(pulls, tmp_path, ending):
    file = tmp_path / f"picture.{ending}"

    command = ["bench", *pulls, "--clamps", "kestrin", "--picture", str(file)]
    assert main(command) == 0

    begins = {"png": b"\x89PNG", "svg": b"<svg", "pdf": b"%PDF"}[ending]
    assert file.read_bytes().startswith(begins)


ONE = CLAMPS.split("[[clamp]]")[1]
BAD = {
    "empty": ("", "empty"),
    "no form": (CLAMPS.replace("form = 1", ""), "form = 1"),
    "another form": (CLAMPS.replace("form = 1", "form = 9"), "form = 1"),
    "not TOML": ("form = = 1", "not TOML"),
    "no clamps": ("form = 1\n", "no [[clamp]]"),
    "one table": ("form = 1\n[clamp]\n", "[[clamp]]"),
    "unknown table": ("form = 1\n[[clamps]]\n", "did you mean clamp?"),
    "unknown key": (CLAMPS.replace("slip_kn", "slipp_kn"), "did you mean slip_kn?"),
    "missing key": (CLAMPS.replace("rating_kn = 45", ""), "has no rating_kn"),
    "no name": (CLAMPS.replace('name = "left front"', ""), "needs a name"),
    "odd name": (CLAMPS.replace('"left front"', '"left\\nfront"'), "plain characters"),
    "name twice": (CLAMPS.replace("right front", "left front"), "'left front'"),
    "long title": (CLAMPS.replace('title = "', 'title = "' + 300 * "x"), "title"),
    "two numbers": (CLAMPS.replace("[22, 12, 18]", "[22, 12]"), "3 numbers"),
    "text": (CLAMPS.replace("forward_mm = 650", 'forward_mm = "a"'), "a number in mm"),
    "truth": (CLAMPS.replace("forward_mm = 650", "forward_mm = true"), "a number in"),
    "no number": (CLAMPS.replace("forward_mm = 650", "forward_mm = nan"), "outside"),
    "endless": (CLAMPS.replace("rating_kn = 45", "rating_kn = inf"), "outside"),
    "absurd": (CLAMPS.replace("left_mm = 730", "left_mm = 73000"), "outside -2500"),
    "huge": (CLAMPS.replace("left_mm = 730", f"left_mm = {10**400}"), "outside -2500"),
    "no rating": (CLAMPS.replace("rating_kn = 45", "rating_kn = 0"), "outside 0.1"),
    "minus": (CLAMPS.replace("[22, 12, 18]", "[-22, 12, 18]"), "stiffness_kn_per_mm"),
    "no way": (
        CLAMPS + "pushes = [0, 0, 0]\n",
        "no direction",
    ),
    "body twice": (CLAMPS.replace("[body]", "[[body]]"), "one table"),
    "free": (
        "form = 1\n[[clamp]]" + ONE,
        "turn",
    ),
    "too many": (
        "form = 1\n"
        + "".join(f"[[clamp]]{ONE.replace('left front', str(k))}" for k in range(41)),
        "at most 40",
    ),
}


@pytest.mark.parametrize(("text", "names"), BAD.values(), ids=BAD.keys())
def test_a_bad_clamp_file_gets_one_sentence_that_names_the_trouble(
    text, names, pulls, tmp_path, capsys
):
    file, picture = tmp_path / "bad.toml", tmp_path / "picture.png"
    file.write_text(text, "utf-8")

    said = refused(
        capsys, "bench", *pulls, "--clamps", str(file), "--picture", str(picture)
    )

    assert names in said
    assert "bad.toml" in said
    assert "{" not in said
    assert not picture.exists()


def test_the_set_up_that_does_not_stand_is_named(pulls, tmp_path, capsys):
    bad = tmp_path / "bad.toml"
    bad.write_text("form = 1\n[ram]\nlean_deg = 60", "utf-8")

    said = refused(capsys, "bench", pulls[0], str(bad), "--clamps", "kestrin")

    assert "bad.toml" in said
    assert "swivels" in said


def test_binary_huge_and_lost_files_are_refused(pulls, tmp_path, capsys):
    binary = tmp_path / "binary.toml"
    binary.write_bytes(bytes(range(256)))
    huge = tmp_path / "huge.toml"
    huge.write_text("#" * 200_000, "utf-8")

    for file, names in (
        (binary, "not a text file"),
        (huge, "100000 bytes"),
        (tmp_path / "lost.toml", "no such file"),
    ):
        assert names in refused(capsys, "bench", *pulls, "--clamps", str(file))
        assert names in refused(capsys, "bench", str(file), "--clamps", "kestrin")
