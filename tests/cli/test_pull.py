"""``pullwright pull``: a set-up file in, a table, fields or a picture out."""

import io
import json
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.image import imread

from workbook.cli import main
from workbook.course import lessons
from workbook.course.tables import code_of
from workbook.figures.drawing.views import VIEWS
from workbook.language import caution
from workbook.mechanics.pull.linkage import Pull
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import Setup, from_code


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def setup_file(tmp_path):
    file = tmp_path / "left rail.toml"
    file.write_text(
        'form = 1\ntitle = "Left rail"\n[fork]\noffset_mm = 50\n'
        "[ram]\nextension_mm = 450\n[pull]\nram_force_kn = 25\n",
        "utf-8",
    )
    return file


def refused(capsys, *argv):
    """Run a command that must refuse; return its one sentence."""
    assert main([*argv]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pullwright: ")
    assert err.count("\n") == 1
    return err


def test_every_code_that_a_handout_prints_is_taken(capsys):
    codes = {
        code_of(lesson.explorer(explorer), **change)
        for lesson in lessons().values()
        if lesson.handout is not None
        for explorer, change in lesson.handout.codes
    }

    for code in codes:
        assert main(["pull", code.lower()]) == 0
        assert f"set-up code: {code}" in capsys.readouterr().out
    assert len({code.partition("-")[0] for code in codes}) > 12


def test_what_a_code_of_another_explorer_shows(tmp_path, capsys):
    code = "BRIDLE1-2B1G-ZA0"  # 24 kN, 80° between the legs: 12 / cos 40° = 15.66

    assert main(["pull", code, "--picture", str(tmp_path / "a.svg")]) == 0
    table = capsys.readouterr().out
    assert main(["pull", code, "--json"]) == 0
    fields = json.loads(capsys.readouterr().out)

    assert "15.7 kN" in table
    assert table.count(caution("S0")) == 1
    assert (fields["explorer"], fields["code"]) == ("bridle", code)
    assert fields["left_leg_N"] == pytest.approx(15664.89, abs=0.01)
    assert "set-up code" in (tmp_path / "a.svg").read_text("utf-8")
    mistyped = code.replace("2B1G", "2B1H")
    assert "compare it symbol by symbol" in refused(capsys, "pull", mistyped)


def test_the_table_shows_the_engines_own_numbers_with_units(setup_file, capsys):
    solved = Setup(
        values={"fork_offset_mm": 50, "extension_mm": 450, "ram_force_kn": 25}
    ).solved()

    assert main(["pull", str(setup_file)]) == 0

    out = capsys.readouterr().out
    rows = {line[2:26].strip(): line[26:].strip() for line in out.splitlines()}
    assert out.startswith("Left rail\n")
    assert rows["pull leg"].startswith(f"{solved.pull.pull_tension / 1e3:.1f} kN")
    assert rows["anchor leg"].startswith(f"{solved.pull.anchor_tension / 1e3:.1f} kN")
    side = float(np.degrees(solved.pull.side_angle))
    assert rows["pull: side angle"] == f"{side:.1f}°"
    assert "does not approve any real pull" in out


def test_the_code_in_the_table_restores_the_set_up(setup_file, capsys):
    main(["pull", str(setup_file)])

    code = capsys.readouterr().out.splitlines()[1].removeprefix("set-up code: ")

    restored = from_code(code).values
    assert restored["fork_offset_mm"] == 50
    assert restored["extension_mm"] == 450
    assert restored["ram_force_kn"] == 25


def test_the_code_is_taken_in_the_place_of_the_file(setup_file, capsys):
    main(["pull", str(setup_file)])
    by_file = capsys.readouterr().out.splitlines()
    code = by_file[1].removeprefix("set-up code: ")

    assert main(["pull", code.lower()]) == 0

    assert capsys.readouterr().out.splitlines()[1:] == by_file[1:]
    assert main(["bench", code, "--clamps", "kestrin"]) == 0
    assert "25.0 kN" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("PULL1-08G0-2M5T-Q", "was mistyped"),
        ("NOPE1-08G0-2M5", "must begin with PULL1-"),
        ("PULL1-no-such.toml", "no such file"),
    ],
)
def test_a_code_that_is_none_is_refused_and_a_file_that_is_none_too(
    capsys, typed, reason
):
    assert reason in refused(capsys, "pull", typed)


def test_inches_are_shown_when_asked_for(setup_file, capsys):
    main(["pull", str(setup_file), "--units", "lbf-inch"])

    out = capsys.readouterr().out

    assert "5620 lbf" in out  # 25 kN
    assert " kN" not in out


def test_json_has_every_field_of_the_pull_in_si(setup_file, capsys):
    assert main(["pull", str(setup_file), "--json"]) == 0

    data = json.loads(capsys.readouterr().out)

    names = {name.rpartition("_")[0] for name in data["pull"]}
    assert names == set(Pull.__dataclass_fields__) - {"refusal"}
    assert data["pull"]["ram_force_N"] == pytest.approx(25e3)
    on_bench = np.sum(
        [
            data["pull"][name]
            for name in ("force_on_clamp_N", "base_on_bench_N", "anchor_on_bench_N")
        ],
        axis=0,
    )
    assert on_bench == pytest.approx(np.zeros(3), abs=1e-6)
    assert len(data["load_path"]) == 6


def test_standard_input_is_read(setup_file, capsys, monkeypatch):
    class Input:
        buffer = io.BytesIO(setup_file.read_bytes())

    monkeypatch.setattr("sys.stdin", Input())

    assert main(["pull", "-"]) == 0

    assert capsys.readouterr().out.startswith("Left rail\n")


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_picture_is_written_by_its_ending(setup_file, tmp_path, ending):
    file = tmp_path / f"picture.{ending}"

    assert main(["pull", str(setup_file), "--picture", str(file)]) == 0

    begins = {"png": b"\x89PNG", "svg": b"<svg", "pdf": b"%PDF"}[ending]
    assert file.read_bytes().startswith(begins)
    if ending == "svg":
        ElementTree.fromstring(file.read_text("utf-8"))
    if ending == "png":
        assert len(np.unique(imread(file).reshape(-1, 4), axis=0)) > 50


def test_another_ending_is_refused_and_writes_nothing(setup_file, tmp_path, capsys):
    file = tmp_path / "picture.gif"

    said = refused(capsys, "pull", str(setup_file), "--picture", str(file))

    assert ".png, .svg or .pdf" in said
    assert not file.exists()


BAD = {
    "empty": ("", "empty"),
    "no form": ("[fork]\noffset_mm = 3", "form = 1"),
    "another form": ("form = 2", "form = 1"),
    "not TOML": ("form = = 1", "not TOML"),
    "unknown key": ("form = 1\n[fork]\nofset_mm = 3", "fork.offset_mm"),
    "section as value": ("form = 1\nfork = 3", "fork"),
    "text for number": ('form = 1\n[fork]\noffset_mm = "3"', "fork.offset_mm"),
    "truth for number": ("form = 1\n[fork]\noffset_mm = true", "fork.offset_mm"),
    "list for number": ("form = 1\n[fork]\noffset_mm = [1, 2]", "fork.offset_mm"),
    "not a number": ("form = 1\n[ram]\nlean_deg = nan", "ram.lean_deg"),
    "infinite": ("form = 1\n[ram]\nlean_deg = inf", "ram.lean_deg"),
    "absurd": ("form = 1\n[line]\nclamp_to_base_mm = 1e30", "line.clamp_to_base_mm"),
    "huge integer": (f"form = 1\n[ram]\nlean_deg = {10**400}", "ram.lean_deg"),
    "5000 digits": (f"form = 1\n[ram]\nlean_deg = {'9' * 5000}", "not TOML"),
    "unknown part": ('form = 1\n[ram]\npart = "crane"', "ram.part"),
    "lean and leg": (
        "form = 1\n[ram]\nlean_deg = 3\nanchor_leg_mm = 900",
        "ram.anchor_leg_mm",
    ),
    "title of wrong kind": ("form = 1\ntitle = 7", "title"),
    "leg too long": ("form = 1\n[ram]\nanchor_leg_mm = 3000", "anchor leg"),
    "past the swivel": ("form = 1\n[ram]\nlean_deg = 60", "swivels"),
    "stroke spent": ("form = 1\n[ram]\nstroke_mm = 290", "stroke"),
    "runs free": ('form = 1\n[chain]\nat_head = "free over the ram"', "fixed roller"),
    "across": (
        'form = 1\n[pull]\nheld = "useful pull"\n[wanted]\nside_angle_deg = -85',
        "wanted line",
    ),
}


@pytest.mark.parametrize(("text", "names"), BAD.values(), ids=BAD.keys())
def test_a_bad_file_gets_one_sentence_that_names_the_trouble(
    text, names, tmp_path, capsys
):
    file = tmp_path / "bad.toml"
    file.write_text(text, "utf-8")

    said = refused(capsys, "pull", str(file))

    assert names in said
    assert "{" not in said


def test_a_binary_file_a_huge_one_and_a_folder_are_refused(tmp_path, capsys):
    binary = tmp_path / "binary.toml"
    binary.write_bytes(bytes(range(256)))
    huge = tmp_path / "huge.toml"
    huge.write_text("#" * 200_000, "utf-8")

    assert "not a text file" in refused(capsys, "pull", str(binary))
    assert "100000 bytes" in refused(capsys, "pull", str(huge))
    assert "directory" in refused(capsys, "pull", str(tmp_path))
    assert "no such file" in refused(capsys, "pull", str(tmp_path / "none.toml"))


def test_a_written_set_up_reads_back_the_same(tmp_path, capsys):
    setup = Setup(
        title='A "quoted" title', values={"lean_deg": -5, "held": "ram stroke"}
    )
    file = tmp_path / "own.toml"
    file.write_text(to_toml(setup), "utf-8")

    main(["pull", str(file)])

    out = capsys.readouterr().out
    assert 'A "quoted" title' in out.splitlines()
    assert setup.code in out


@pytest.mark.parametrize("name", sorted(VIEWS))
def test_a_picture_in_space_is_seen_from_where_it_is_asked(setup_file, tmp_path, name):
    file, flat = tmp_path / "space.svg", tmp_path / "flat.svg"
    asked = ["pull", str(setup_file), "--picture"]

    assert main([*asked, str(file), "--seen-from", name]) == 0
    assert main([*asked, str(flat)]) == 0

    space = file.read_text("utf-8")
    assert "the pull in space: shadows lie on the bench" in space
    assert "the pull in space" not in flat.read_text("utf-8")
    others = set(VIEWS) - {name}
    for other in others:
        assert main([*asked, str(flat), "--seen-from", other]) == 0
        assert flat.read_text("utf-8") != space
