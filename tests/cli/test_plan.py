"""``pullwright plan``: what must move and what the bench offers, ranked."""

import io
import json

import numpy as np
import pytest

from workbook.cli import main
from workbook.language import text
from workbook.mechanics.planner.candidates import Limit
from workbook.mechanics.pull.linkage import Refusal
from workbook.scenes.kestrin import kestrin_plan
from workbook.scenes.plan_files import plan_from_toml
from workbook.scenes.set_up_files import from_toml

PLAN = kestrin_plan()


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def short(tmp_path):
    """Return a plan with one socket, which is quickly ranked."""
    file = tmp_path / "short.toml"
    before, _, rest = PLAN.partition('[[socket]]\nname = "far left"')
    fork = rest[rest.index("[[fork]]") :].replace("long fork", "short fork")
    kept = before.split("[[socket]]")
    file.write_text(f"{kept[0]}[[socket]]{kept[2]}{fork}", "utf-8")
    return str(file)


def refused(capsys, *argv):
    """Run a command that must refuse; return its one sentence."""
    assert main([*argv]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pullwright: ")
    assert err.count("\n") == 1
    return err


def test_the_table_shows_the_planners_own_ranking(short, tmp_path, capsys):
    plan = plan_from_toml((tmp_path / "short.toml").read_text("utf-8")).plan

    assert main(["plan", short]) == 0

    out = capsys.readouterr().out
    first = next(line for line in out.splitlines() if line.startswith("  1."))
    assert f"{np.degrees(plan.direction_error[0]):.1f}°" in first
    assert f"{100 * plan.worst_share[0]:.0f}%" in first
    assert f"{plan.stroke_left[0] * 1e3:.0f} mm" in first
    assert f"{plan.passed} of {plan.considered} set-ups are inside" in out
    assert "80% of its rating" in out
    assert "does not approve any real pull" in out


def test_the_table_counts_every_refusal_by_its_reason(short, capsys):
    assert main(["plan", str(short), "--json"]) == 0
    refused = json.loads(capsys.readouterr().out)["refused"]

    assert main(["plan", str(short)]) == 0
    out = capsys.readouterr().out

    table = out.split("Refused, each for the first reason\n")[1].split("\n\n")[0]
    shown = {
        row[2:].rsplit(None, 1)[0]: int(row.split()[-1]) for row in table.splitlines()
    }
    assert shown == {reason.replace("_", " "): n for reason, n in refused.items()}
    assert [*shown.values()] == sorted(shown.values(), reverse=True)


def test_the_wanted_line_is_the_correction_of_the_final_exercise(short, capsys):
    # The lessons' brief, C3: bearing 36.2 degrees to the left, rise 14.0 degrees.
    main(["plan", short, "--json"])

    x, y, z = json.loads(capsys.readouterr().out)["wanted_direction_1"]

    assert np.degrees(np.arctan2(y, x)) == pytest.approx(36.2, abs=0.05)
    assert np.degrees(np.arctan2(z, np.hypot(x, y))) == pytest.approx(14.0, abs=0.05)


def test_json_has_set_ups_whose_pulls_do_what_was_wanted(short, capsys):
    main(["plan", short, "--json"])

    data = json.loads(capsys.readouterr().out)

    assert data["passed"] + sum(data["refused"].values()) == data["considered"]
    for found in data["set_ups"]:
        along = np.dot(found["direction_1"], data["wanted_direction_1"])
        assert found["pull_tension_N"] * along == pytest.approx(22e3)
        assert np.arccos(along) == pytest.approx(found["direction_error_rad"])
        assert found["largest_share_1"] <= data["rating_margin_1"] == 0.8


def test_the_best_is_kept_as_a_set_up_file(short, tmp_path, capsys):
    file = tmp_path / "best.toml"

    assert main(["plan", short, "--write", str(file), "--json"]) == 0

    best = json.loads(capsys.readouterr().out)["set_ups"][0]
    pull = from_toml(file.read_bytes()).solved().pull
    assert pull.direction == pytest.approx(best["direction_1"], abs=0.01)
    assert float(pull.pull_tension) == pytest.approx(best["pull_tension_N"], rel=0.01)


def test_pounds_and_inches_are_shown_when_asked_for(short, capsys):
    main(["plan", short, "--units", "lbf-inch"])

    table = capsys.readouterr().out.split("What the model")[0]

    assert "lbf" in table
    assert " kN" not in table


def test_standard_input_is_read(short, tmp_path, capsys, monkeypatch):
    class Input:
        buffer = io.BytesIO((tmp_path / "short.toml").read_bytes())

    monkeypatch.setattr("sys.stdin", Input())

    assert main(["plan", "-"]) == 0

    assert capsys.readouterr().out.startswith("Kestrin 5, left rail tip\n")


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_picture_is_written_by_its_ending(short, tmp_path, ending):
    file = tmp_path / f"picture.{ending}"

    assert main(["plan", short, "--picture", str(file)]) == 0

    begins = {"png": b"\x89PNG", "svg": b"<svg", "pdf": b"%PDF"}[ending]
    assert file.read_bytes().startswith(begins)


BAD = {
    "empty": ("", "empty"),
    "no form": (PLAN.replace("form = 1", ""), "form = 1"),
    "not TOML": ("form = = 1", "not TOML"),
    "no job": ("form = 1\n", "job must be one table"),
    "no margin": (PLAN.replace("rating_margin = 0.8", ""), "has no rating_margin"),
    "past its rating": (PLAN.replace("= 0.8", "= 1.2"), "outside 0.01 to 1"),
    "no movement": (PLAN.replace("[26, 19, 8]", "[0, 0, 0]"), "no direction"),
    "two numbers": (PLAN.replace("[26, 19, 8]", "[26, 19]"), "3 numbers"),
    "text": (PLAN.replace("= 22", '= "22"'), "a number in kN"),
    "not a number": (PLAN.replace("= 22", "= nan"), "outside"),
    "unknown key": (PLAN.replace("slack_mm", "slak_mm"), "did you mean slack_mm?"),
    "unknown table": (PLAN.replace("[[fork]]", "[[forks]]"), "did you mean fork?"),
    "no sockets": (PLAN.split("[[socket]]")[0], "no [[socket]]"),
    "no fork": (PLAN.split("[[fork]]")[0], "no chain fork"),
    "unknown fork": (PLAN.replace("long fork", "tall fork"), "tall fork"),
    "none passes": (PLAN.replace("= 22", "= 500"), "None of"),
}


@pytest.mark.parametrize(("text", "names"), BAD.values(), ids=BAD.keys())
def test_a_bad_file_gets_one_sentence_that_names_the_trouble(
    text, names, tmp_path, capsys
):
    file, picture = tmp_path / "bad.toml", tmp_path / "picture.png"
    best = tmp_path / "best.toml"
    file.write_text(text, "utf-8")

    said = refused(
        capsys, "plan", str(file), "--picture", str(picture), "--write", str(best)
    )

    assert names in said
    assert "bad.toml" in said
    assert "{" not in said
    assert not picture.exists()
    assert not best.exists()


def test_a_picture_of_another_kind_keeps_no_set_up(short, tmp_path, capsys):
    best, picture = tmp_path / "best.toml", tmp_path / "picture.gif"

    refused(capsys, "plan", short, "--write", str(best), "--picture", str(picture))

    assert not best.exists()


def test_every_reason_that_refuses_a_set_up_has_its_words():
    reasons = [reason for reason in (*Refusal, *Limit) if reason.name != "STANDS"]

    said = {text("report", "plan", "refused", r.name.lower()) for r in reasons}

    assert len(said) == len(reasons) > 15
