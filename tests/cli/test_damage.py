"""``pullwright damage``: the differences of a survey as kinds of damage."""

import io
import json

import pytest

from workbook.cli import main
from workbook.mechanics.survey.damage import (
    KINDS,
    DamageFrame,
    DamageSizes,
    damage_field,
)
from workbook.scenes.kestrin import kestrin_points, kestrin_survey
from workbook.scenes.points import PointList, format_points, write_points
from workbook.scenes.surveys import read_specification, size_of, solve_survey

PLANES = ["--planes-mm", "900,1540,880"]
SIZES = DamageSizes(mash=0.02, sidesway=0.006, sag=0.009, diamond=0.004, twist=0.01)


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def spec(tmp_path):
    write_points(tmp_path / "spec.csv", kestrin_points())
    return str(tmp_path / "spec.csv")


@pytest.fixture
def bent(tmp_path):
    """Return a survey bent ahead of the hinge by known sizes."""
    points = kestrin_points()
    frame = DamageFrame(hinge_x=0.9, front_x=1.54, width=0.88)
    sizes = DamageSizes(mash=SIZES.mash, sidesway=SIZES.sidesway, sag=SIZES.sag)
    field = damage_field(points.positions, sizes=sizes, frame=frame)
    write_points(
        tmp_path / "bent.csv",
        PointList(ids=points.ids, positions=points.positions + field),
    )
    return str(tmp_path / "bent.csv")


def refused(capsys, *argv):
    """Run a command that must refuse; return its one sentence."""
    assert main([*argv]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("pullwright: ")
    assert err.count("\n") == 1
    return err


def rows_of(out):
    """Return size and standard error, as printed, by kind."""
    return {
        line.split()[0]: line.split()[1:5]
        for line in out.splitlines()
        if line.startswith("  ") and line.split()[0] in KINDS
    }


def test_known_damage_is_printed_with_its_sizes(spec, bent, capsys):
    base = "left-sill-front,right-sill-front,left-sill-rear,right-sill-rear"

    assert main(["damage", bent, "--spec", spec, "--base", base, *PLANES]) == 0

    rows = rows_of(capsys.readouterr().out)
    assert rows["mash"][:2] == ["+20.0", "mm"]
    assert rows["sidesway"][:2] == ["+6.0", "mm"]
    assert rows["sag"][:2] == ["+9.0", "mm"]
    assert rows["diamond"][0] == "0.0"
    assert set(rows) == set(KINDS)


def test_the_table_shows_the_engines_own_sizes_and_errors(capsys):
    specification = read_specification("kestrin")
    survey = solve_survey(kestrin_survey(), specification=specification)
    reading = survey.damage(frame=specification.frame)

    assert main(["damage", "kestrin", "--spec", "kestrin"]) == 0

    out = capsys.readouterr().out
    rows = rows_of(out)
    for kind in ("mash", "sidesway", "sag", "diamond"):
        size, error = size_of(reading, kind)
        shown = f"{size * 1e3:+.1f}".replace("-", "−")
        assert rows[kind] == [shown, "mm", f"{error * 1e3:.1f}", "mm"]
    assert "mash is looked for on the left side" in out
    assert f"Left unexplained: {100 * reading.share_unexplained:.0f}%" in out
    assert "invented" in out
    assert "does not approve any real pull" in out


def test_one_rail_down_is_not_called_sag(capsys):
    # kestrin.toml: the left corner was driven 12 mm down and 25 mm to the right, the
    # right rail only drawn over by the crossmember.
    specification = read_specification("kestrin")
    survey = solve_survey(kestrin_survey(), specification=specification)
    names = survey.points.ids
    tips = survey.differences[[names.index("left-tip"), names.index("right-tip")]]
    assert tips[:, 2] == pytest.approx([-8.0e-3, 0.0], abs=1e-3)

    main(["damage", "kestrin", "--spec", "kestrin"])
    out = capsys.readouterr().out

    assert "one side only  only the left side is low, by 8.1 mm" in out
    assert "hangs this far too low" not in out
    # Both rails stand to the right, the struck one more: near the tips' own readings.
    assert tips[:, 1] == pytest.approx([-18.8e-3, -6.3e-3], abs=5e-5)
    assert "to the right at the front plane: 18.3 mm on the left, 5.9 mm on" in out
    assert "opposite" not in out


def test_one_rail_down_is_told_in_words_with_the_picture(tmp_path):
    file = tmp_path / "picture.svg"

    main(["damage", "kestrin", "--spec", "kestrin", "--picture", str(file)])

    said = file.read_text("utf-8")
    assert "not sag, for only the left side is low, by 8.1 mm" in said
    assert "under 0.1°" in said


def test_an_error_is_never_nothing(spec, bent, capsys):
    base = "left-sill-front,right-sill-front,left-sill-rear,right-sill-rear"
    main(["damage", bent, "--spec", spec, "--base", base, *PLANES])

    rows = rows_of(capsys.readouterr().out)

    assert {tuple(row[2:]) for row in rows.values() if row[1] == "mm"} == {
        ("under", "0.1")
    }


SIGNS = {
    "mash": ("shorter", "longer"),
    "sidesway": ("to the left", "to the right"),
    "sag": ("too low", "too high"),
    "diamond": ("the left side is pushed back", "the right side is pushed back"),
    "twist": ("left side up", "right side up"),
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("sign", [1, -1])
def test_the_sentence_says_the_sign(kind, sign, spec, tmp_path, capsys):
    points = kestrin_points()
    frame = DamageFrame(hinge_x=0.9, front_x=1.54, width=0.88)
    sizes = DamageSizes(**{kind: sign * getattr(SIZES, kind)})
    field = damage_field(points.positions, sizes=sizes, frame=frame)
    moved = PointList(ids=points.ids, positions=points.positions + field)
    write_points(tmp_path / "moved.csv", moved)
    # Base points on which the kind does nothing: the fit takes none of it.
    still = [n for n, d in zip(points.ids, field, strict=True) if not d.any()]
    base = ["--base", ",".join(still)] if len(still) > 3 else []

    main(["damage", str(tmp_path / "moved.csv"), "--spec", spec, *base, *PLANES])

    [row] = [r for r in capsys.readouterr().out.splitlines() if f"  {kind} " in r]
    told, other = SIGNS[kind][::sign]
    assert told in row
    assert other not in row


def test_json_gives_each_side(capsys):
    main(["damage", "kestrin", "--spec", "kestrin", "--json"])

    kinds = {k["kind"]: k for k in json.loads(capsys.readouterr().out)["kinds"]}

    assert kinds["sag"]["one_side_only"] == "left"
    assert kinds["sag"]["left_m"] == pytest.approx(0.0081, abs=1e-4)
    assert kinds["sag"]["right_m"] == pytest.approx(0.0, abs=2e-4)
    assert kinds["sidesway"]["one_side_only"] is None
    assert "left_m" not in kinds["mash"]


def test_json_says_the_unit_of_each_kind(capsys):
    main(["damage", "kestrin", "--spec", "kestrin", "--json"])

    data = json.loads(capsys.readouterr().out)

    kinds = {kind["kind"]: kind for kind in data["kinds"]}
    assert kinds["mash"]["size_m"] == pytest.approx(0.0262, abs=1e-4)
    assert "size_rad" in kinds["twist"]
    assert data["hinge_m"] == pytest.approx(0.9)
    assert set(data["unexplained_m"]) == set(kestrin_points().ids)


def test_fewer_kinds_and_another_side_are_read(capsys):
    command = ["damage", "kestrin", "--spec", "kestrin", "--mash-side", "both"]
    main([*command, "--kinds", "mash,sidesway"])

    out = capsys.readouterr().out

    assert set(rows_of(out)) == {"mash", "sidesway"}
    assert "on both sides" in out


def test_degrees_and_inches_are_shown_when_asked_for(capsys):
    main(["damage", "kestrin", "--spec", "kestrin", "--units", "lbf-inch"])

    out = capsys.readouterr().out

    assert "+1.03 in" in out
    assert "0.0°" in out
    assert " mm" not in out


def test_standard_input_is_read(spec, bent, capsys, monkeypatch):
    class Input:
        buffer = io.BytesIO(format_points(kestrin_points()).encode())

    monkeypatch.setattr("sys.stdin", Input())

    assert main(["damage", "-", "--spec", spec, *PLANES]) == 0

    assert rows_of(capsys.readouterr().out)["mash"][0] == "0.0"


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_picture_is_written_by_its_ending(tmp_path, ending):
    file = tmp_path / f"picture.{ending}"

    command = ["damage", "kestrin", "--spec", "kestrin", "--picture", str(file)]
    assert main(command) == 0

    begins = {"png": b"\x89PNG", "svg": b"<svg", "pdf": b"%PDF"}[ending]
    assert file.read_bytes().startswith(begins)


BAD = {
    "no planes": ((), "give hinge plane"),
    "two planes": (("--planes-mm", "900,1540"), "three numbers"),
    "words for planes": (("--planes-mm", "a,b,c"), "three numbers"),
    "no number": (("--planes-mm", "nan,1,2"), "three numbers"),
    "endless": (("--planes-mm", "inf,1,2"), "three numbers"),
    "planes swapped": (("--planes-mm", "1540,900,880"), "must step forward"),
    "no width": (("--planes-mm", "900,1540,0"), "must step forward"),
    "unknown kind": ((*PLANES, "--kinds", "dent"), "'dent'"),
    "kind twice": ((*PLANES, "--kinds", "mash,mash"), "once each"),
    "nothing ahead": (("--planes-mm", "5000,6000,880"), "show nothing of"),
    "unknown base": ((*PLANES, "--base", "a,b,c"), "base point 'a'"),
}


@pytest.mark.parametrize(("more", "names"), BAD.values(), ids=BAD.keys())
def test_bad_words_get_one_sentence_that_names_the_trouble(
    more, names, spec, bent, tmp_path, capsys
):
    picture = tmp_path / "picture.png"

    said = refused(
        capsys, "damage", bent, "--spec", spec, "--picture", str(picture), *more
    )

    assert names in said
    assert not picture.exists()


def test_too_few_points_are_refused(spec, tmp_path, capsys):
    file = tmp_path / "few.csv"
    file.write_text("id,length,width,height\nleft-tip,1540,440,420\n", "utf-8")

    assert "at least 3" in refused(capsys, "damage", str(file), "--spec", spec, *PLANES)
