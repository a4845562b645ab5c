"""Answer strips typed in the form: the grid, what is told, and the same marks."""

import csv
import shutil

import pytest

from widgets.from_paper import FromPaper
from workbook.cli import main

LIST = 'name,code,class_key\n"O\'Malley, Sean",NCDY,anvil\n王小明,QYM3,anvil\n'


@pytest.fixture
def form(tmp_path):
    listed = tmp_path / "class.csv"
    listed.write_text(LIST, "utf-8")
    return FromPaper("L08", listed)


def type_strip(form, code, **cells):
    form._heard({"act": "look_up", "typed": {"code": code}})
    fields = {one["name"] for one in form.frame["form"]["fields"]}
    typed = {f"{form.student.code}/{k}": v for k, v in cells.items()}
    assert typed.keys() <= fields
    form._heard({"act": "keep", "typed": typed})


def test_what_is_typed_in_the_form_is_marked_as_what_is_typed_in_a_grid(form, tmp_path):
    # 38 kN at 12 degrees to the side: 7.90 kN. 30 kN on legs 65 degrees apart: 17.8 kN.
    answers = {"8.2": "11,3", "8.3": "7,9 kN", "8.4": "15 kN"}
    type_strip(form, " ncdy", time="4.3.2026 11:40", prediction="b", **answers)

    done, held = form.frame["result"]["lines"]
    assert form.frame["intro"] == ["O'Malley, Sean (NCDY)"]
    assert done == "Kept."
    assert "row 2 (O'Malley, Sean), column 8.2: “11,3” was kept and not marked" in held
    files = [tmp_path / name for name in ("class.csv", "paper L08.csv", "other.csv")]
    folders = [tmp_path / name for name in ("form", "grid")]
    listed, ours, other = map(str, files)
    main(["grid", listed, "L08", "-o", other])
    empty = files[2].read_text("utf-8-sig")
    cells = 'NCDY,2026-03-04 11:40,B,,"11,3","7,9 kN",15 kN'
    files[2].write_text(empty.replace("NCDY,,,,,,", cells), "utf-8")
    for grid, folder in ((ours, folders[0]), (other, folders[1])):
        assert main(["typed", listed, grid, "-o", str(folder)]) == 0
    lines = [
        [x for x in (folder / "paper NCDY.txt").read_text("utf-8").splitlines()
         if x.startswith("{")]
        for folder in folders
    ]  # fmt: skip
    assert lines[0] == lines[1]
    assert any('"held": true' in x for x in lines[0])


def test_another_strip_keeps_the_first_and_comes_back_as_it_was(form, tmp_path):
    type_strip(form, "NCDY", **{"8.3": "7.9 kN"})
    assert form.frame["result"]["lines"] == ["Kept."]
    form._heard({"act": "next"})
    form._heard({"act": "look_up", "typed": {"code": "ZZZZ"}})
    assert form.frame["note"] == "No student of this class has the code ZZZZ."
    assert form.frame["form"]["act"] == "look_up"
    form._heard({"act": "look_up", "typed": {"code": " "}})
    assert form.frame["note"] == "Type the code that stands on the strip."
    type_strip(form, "QYM3", **{"8.3": "5.44 kN"})

    form._heard({"act": "look_up", "typed": {"code": "NCDY"}})
    assert form.drafts["NCDY/8.3"] == "7.9 kN"
    with (tmp_path / "paper L08.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = [*csv.DictReader(file)]
    assert [(x["code"], x["8.3 The side force"]) for x in rows] == [
        ("NCDY", "7.9 kN"),
        ("QYM3", "5.44 kN"),
    ]
    shutil.move(tmp_path / "class.csv", tmp_path / "gone.csv")
    (tmp_path / "paper L08.csv").unlink()
    (tmp_path / "paper L08.csv").mkdir()
    form._heard({"act": "keep", "typed": {"NCDY/8.3": "8 kN"}})
    assert form.frame["note"].startswith("paper L08.csv cannot be reached: is a dir")
    form._heard({"act": "look_up", "typed": {"code": "NCDY"}})
    assert form.frame["note"].startswith("class.csv cannot be reached: no such file")


def test_without_a_class_list_the_form_says_how_to_name_one():
    form = FromPaper("L08", None)

    assert "form" not in form.frame
    assert "--class" in form.frame["intro"][0]
