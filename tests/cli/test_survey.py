"""``pullwright survey``: measured points in, differences out."""

import io
import json

import numpy as np
import pytest

from workbook.cli import main
from workbook.scenes.kestrin import kestrin_points, kestrin_survey
from workbook.scenes.points import PointList, format_points, write_points
from workbook.scenes.surveys import read_specification, solve_survey

HEAD = "id,length,width,height,limit\n"
SPEC = HEAD + "A,0,500,300,3\nB,0,-500,300,3\nC,2000,500,300,3\nD,2000,-500,300,3\n"


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def spec(tmp_path):
    file = tmp_path / "spec.csv"
    file.write_text(SPEC, "utf-8")
    return str(file)


def refused(capsys, *argv):
    """Run a command that must refuse; return its one sentence."""
    assert main([*argv]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pullwright: ")
    assert err.count("\n") == 1
    return err


def test_the_table_shows_the_engines_own_differences(capsys):
    survey = solve_survey(kestrin_survey(), specification=read_specification("kestrin"))

    assert main(["survey", "kestrin", "--spec", "kestrin"]) == 0

    lines = capsys.readouterr().out.splitlines()
    row = next(line for line in lines if line.split()[:1] == ["left-tip"])
    along, left, up = (
        f"{d * 1e3:.1f}".replace("-", "−") for d in survey.differences[0]
    )
    assert row.split() == [
        "left-tip", along, "mm", left, "mm", up, "mm",
        f"{survey.totals[0] * 1e3:.1f}", "mm", "3.0", "mm",
        "outside", "in", "length,", "width,", "height",
    ]  # fmt: skip
    assert any("invented" in line for line in lines)
    assert "does not approve any real pull" in lines[-1]


def test_the_table_gives_diagonals_with_their_difference(capsys):
    main(["survey", "kestrin", "--spec", "kestrin"])

    points = kestrin_points()
    tip, root = points.ids.index("left-tip"), points.ids.index("right-root")
    specified = np.linalg.norm(points.positions[tip] - points.positions[root])
    out = capsys.readouterr().out
    row = next(line for line in out.splitlines() if "left-tip to right-root" in line)
    assert f"{specified * 1e3:.1f} mm" in row
    assert "−30." in row  # the mashed corner shortens it


def test_other_base_points_are_used_and_a_bent_one_is_hinted_at(capsys):
    base = "left-tip,left-sill-front,right-sill-front,left-sill-rear,right-sill-rear"

    assert main(["survey", "kestrin", "--spec", "kestrin", "--base", base]) == 0

    out = capsys.readouterr().out
    assert "The fit rests on left-tip, left-sill-front" in out
    assert "Hint: the other base points put left-tip by 33" in out


def test_three_base_points_give_no_hint_but_a_reason(spec, tmp_path, capsys):
    main(["survey", spec, "--spec", spec, "--base", "A,B,C"])

    assert "name a fourth" in capsys.readouterr().out


def test_json_has_the_differences_in_metres(capsys):
    assert main(["survey", "kestrin", "--spec", "kestrin", "--json"]) == 0

    data = json.loads(capsys.readouterr().out)
    rotation = np.array(data["rotation_1"])
    survey = kestrin_survey()
    for point, read in zip(data["points"], survey.positions, strict=True):
        moved = rotation @ read + data["translation_m"]
        assert moved - point["specified_m"] == pytest.approx(
            np.array(point["difference_m"]), abs=1e-12
        )
    assert data["points"][0]["limit_m"] == pytest.approx(0.003)
    assert data["points"][0]["outside"] == [True, True, True]
    assert len(data["diagonals"]) == 3


def test_a_box_of_own_points_is_measured(spec, capsys):
    main(["survey", spec, "--spec", spec, "--box", "C,D,A,B", "--json"])

    (box,) = json.loads(capsys.readouterr().out)["diagonals"]

    assert box["measured_m"] == pytest.approx([np.hypot(2, 1)] * 2)


def test_inches_are_shown_when_asked_for(capsys):
    main(["survey", "kestrin", "--spec", "kestrin", "--units", "lbf-inch"])

    out = capsys.readouterr().out

    assert "−1.03 in" in out
    assert " mm" not in out


def test_points_missing_from_a_list_are_named(spec, tmp_path, capsys):
    file = tmp_path / "read.csv"
    file.write_text(SPEC.replace("D,", "E,"), "utf-8")

    assert main(["survey", str(file), "--spec", spec]) == 0

    out = capsys.readouterr().out
    assert "Specified but not measured: D." in out
    assert "Measured but not specified: E." in out


def test_standard_input_is_read(spec, capsys, monkeypatch):
    class Input:
        buffer = io.BytesIO(SPEC.encode())

    monkeypatch.setattr("sys.stdin", Input())

    assert main(["survey", "-", "--spec", spec]) == 0

    assert "4 points" in capsys.readouterr().out


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_picture_is_written_by_its_ending(tmp_path, ending):
    file = tmp_path / f"picture.{ending}"

    command = ["survey", "kestrin", "--spec", "kestrin", "--picture", str(file)]
    assert main(command) == 0

    begins = {"png": b"\x89PNG", "svg": b"<svg", "pdf": b"%PDF"}[ending]
    assert file.read_bytes().startswith(begins)


def test_a_hundred_points_fit_on_a_picture(tmp_path):
    rng = np.random.default_rng(1)
    many = PointList(
        ids=tuple(f"P{k}" for k in range(100)), positions=rng.uniform(0, 2, (100, 3))
    )
    write_points(tmp_path / "many.csv", many)
    file, picture = str(tmp_path / "many.csv"), tmp_path / "picture.svg"

    assert main(["survey", file, "--spec", file, "--picture", str(picture)]) == 0

    assert "the 30 largest of 100" in picture.read_text("utf-8")


BAD = {
    "empty": ("", (), "is empty"),
    "no points": (HEAD, (), "no points"),
    "no header": ("A,1,2,3\n", (), "no column"),
    "unknown column": ("id,length,width,height,depth\n", (), "'depth'"),
    "text for number": (HEAD + "A,x,0,0,3\n", (), "'x' is not a number"),
    "not a number": (HEAD + "A,nan,0,0,3\n", (), "column length"),
    "far away": (HEAD + "A,1e9,0,0,3\n", (), "column length"),
    "no cell": (HEAD + "A,,0,0,3\n", (), "nothing there"),
    "twice": (HEAD + "A,0,0,0,3\nA,1,1,1,3\n", (), "'A' stands already"),
    "quotes": (HEAD + '"A,0,0,0,3\n', (), "quotation"),
    "other points": (HEAD + "Q,0,0,0,3\n", (), "no point is in both"),
    "two points": (SPEC.split("C,")[0], (), "at least 3"),
    "in one line": (
        HEAD + "A,0,500,300,3\nB,0,-500,300,3\nC,0,0,300,3\n",
        ("--base", "A,B,C"),
        "as wide as long",
    ),
    "unknown base": (SPEC, ("--base", "A,B,Cc"), "'Cc' is in neither list"),
    "short base": (SPEC, ("--base", "A,B"), "at least 3"),
    "base twice": (SPEC, ("--base", "A,B,B"), "'B' is named twice"),
    "short box": (SPEC, ("--box", "A,B"), "four corners"),
    "unknown corner": (SPEC, ("--box", "A,B,C,Z"), "corner 'Z'"),
    "no distance": (SPEC, ("--agree-mm", "nan"), "agreement"),
    "minus distance": (SPEC, ("--agree-mm", "-1"), "agreement"),
}


@pytest.mark.parametrize(("text", "more", "names"), BAD.values(), ids=BAD.keys())
def test_a_bad_file_gets_one_sentence_that_names_the_trouble(
    text, more, names, spec, tmp_path, capsys
):
    file, picture = tmp_path / "bad.csv", tmp_path / "picture.png"
    file.write_text(text, "utf-8")
    if names == "line":
        spec = str(file)

    said = refused(
        capsys, "survey", str(file), "--spec", spec, "--picture", str(picture), *more
    )

    assert names in said
    assert not picture.exists()


def test_a_binary_file_a_folder_and_a_lost_one_are_refused(spec, tmp_path, capsys):
    binary = tmp_path / "binary.csv"
    binary.write_bytes(bytes(range(256)))

    for bad, names in (
        (binary, "UTF-8"),
        (tmp_path, "cannot be read"),
        (tmp_path / "lost.csv", "cannot be read"),
    ):
        assert names in refused(capsys, "survey", str(bad), "--spec", spec)
        assert names in refused(capsys, "survey", spec, "--spec", str(bad))


@pytest.mark.parametrize(
    ("raw", "names"), [(bytes(range(256)), "UTF-8"), (b"a,b\n1,2\n", "line 1")]
)
def test_bad_input_is_refused_by_its_name(raw, names, spec, capsys, monkeypatch):
    class Input:
        buffer = io.BytesIO(raw)

    monkeypatch.setattr("sys.stdin", Input())

    said = refused(capsys, "survey", "-", "--spec", spec)

    assert "standard input" in said
    assert names in said


def test_another_ending_is_refused_and_nothing_is_printed(tmp_path, capsys):
    file = tmp_path / "picture.gif"

    said = refused(
        capsys, "survey", "kestrin", "--spec", "kestrin", "--picture", str(file)
    )

    assert ".png, .svg or .pdf" in said
    assert not file.exists()


def test_the_kestrin_by_name_and_by_file_are_the_same(tmp_path, capsys):
    file = tmp_path / "survey.csv"
    file.write_text(format_points(kestrin_survey()), "utf-8")

    main(["survey", "kestrin", "--spec", "kestrin"])
    by_name = capsys.readouterr().out
    main(["survey", str(file), "--spec", "kestrin"])

    assert capsys.readouterr().out == by_name
