"""``pullwright class``: names in, a list with codes out that never change."""

import csv
import random
import shutil
import subprocess
from pathlib import Path

import matplotlib
import pytest

from workbook.classroom.roll import (
    LARGEST,
    SYMBOLS,
    ClassList,
    Student,
    made_class,
    read_class,
    read_names,
    write_class,
)
from workbook.cli import main

ODD_NAMES = [
    "O'Neill, Zoë \"Z\"",
    "#eval(\"1\") *bold* $x$ \\ <a> @ref",
    "=HYPERLINK(\"x\")",
    "'t Hooft",
    "Łukasz Żółć",
    "Nguyễn Thị Ánh",
    "Ирина",
    "張偉",
    "עדי",
    "-Jo",
    "@home",
]  # fmt: skip


needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler-utils is not installed"
)


def words_of(pdf):
    said = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True)
    return said.stdout.decode("utf-8")


def rows(path):
    """Read a CSV file as a spreadsheet would."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [*csv.DictReader(file)]


def made(tmp_path, text, *options, name="names.txt"):
    """Run the command on a names file; return its status and the list's path."""
    names, out = tmp_path / name, tmp_path / "class.csv"
    names.write_text(text, "utf-8")
    return main(["class", str(names), "-o", str(out), *options]), out


def refused(capsys, status):
    """Return the one sentence of a refusal."""
    out, err = capsys.readouterr()
    assert (status, out) == (1, "")
    assert err.startswith("pullwright: ")
    assert err.count("\n") == 1
    return err


def test_a_name_a_line_becomes_a_list_with_codes_and_one_key(tmp_path, capsys):
    status, out = made(tmp_path, "Kim Lee\n\n  Zoë   Quinn \nAda\n")

    assert status == 0
    listed = rows(out)
    assert [row["name"] for row in listed] == ["Kim Lee", "Zoë Quinn", "Ada"]
    assert len({row["class_key"] for row in listed}) == 1
    assert "3 students" in capsys.readouterr().out
    for row in listed:
        assert set(row["code"]) <= set(SYMBOLS)
        assert row["code"][0].isalpha()


def test_odd_names_come_back_as_they_went_in(tmp_path):
    status, out = made(tmp_path, "\n".join(ODD_NAMES))

    again = read_class(out)

    assert status == 0
    assert [student.name for student in again.students] == ODD_NAMES


def test_no_cell_of_the_list_begins_a_formula(tmp_path):
    _, out = made(tmp_path, "\n".join([*ODD_NAMES, "+1", "\t=2", "＝3"]))

    cells = [cell for row in rows(out) for cell in row.values()]

    assert not [cell for cell in cells if cell.lstrip()[:1] in set("=+-@＝\t")]


def test_a_table_gives_ids_logins_and_sections_in_any_order(tmp_path):
    text = 'Section;Name;id;shoe size\nA;"O\'Neill; Zoë";007;38\n;Kim;;\n'

    status, out = made(tmp_path, text, name="names.csv")

    zoe, kim = read_class(out).students
    assert status == 0
    assert (zoe.name, zoe.id, zoe.section) == ("O'Neill; Zoë", "007", "A")
    assert (kim.name, kim.id) == ("Kim", "")


def test_running_again_adds_names_and_changes_no_code(tmp_path):
    _, out = made(tmp_path, "Kim\nAda\n")
    before = read_class(out)

    _, out = made(tmp_path, "Zoë\nADA\n")

    after = read_class(out)
    assert after.key == before.key
    assert after.students[:2] == (
        before.students[0],
        Student(name="ADA", code=before.students[1].code),
    )
    assert [student.name for student in after.students] == ["Kim", "ADA", "Zoë"]


def test_an_id_holds_a_student_through_a_change_of_name():
    first = made_class([Student(name="Ada Low", id="7")], key="oak")

    after = made_class([Student(name="Ada High", id="7")], earlier=first)

    assert after.students[0].code == first.students[0].code
    assert after.students[0].name == "Ada High"


def test_an_id_counts_more_than_a_name_somebody_else_has():
    people = [Student(name="Kim"), Student(name="Ada", id="7")]
    kim, ada = made_class(people, key="oak").students

    # Ada, number 7, now goes by the name of Kim.
    before = ClassList(key="oak", students=(kim, ada))
    after = made_class([Student(name="Kim", id="7")], earlier=before)

    assert after.students == (kim, Student(name="Kim", id="7", code=ada.code))


def test_two_of_one_name_are_told_apart_by_their_ids():
    two = [Student(name="Kim", id="1"), Student(name="Kim", id="2")]

    first = made_class(two)
    again = made_class(two[::-1], earlier=first)

    assert again == first
    assert first.students[0].code != first.students[1].code


def test_two_of_one_name_in_an_export_are_told_apart_by_their_addresses(tmp_path):
    export = (
        "\ufeffNr.;Student Name;E-Mail\n1;Kim Weld;a@x\n2;Kim Weld;b@x\n3;Ada;c@x\n"
    )
    status, out = made(tmp_path, export)
    first = [(x["name"], x["email"], x["code"]) for x in rows(out)]
    again = export.replace("c@x", "ada@x").replace("a@x", "A@x", 1)
    made(tmp_path, again)

    assert status == 0
    assert [x[:2] for x in first] == [
        ("Kim Weld", "a@x"),
        ("Kim Weld", "b@x"),
        ("Ada", "c@x"),
    ]
    assert [x["code"] for x in rows(out)] == [code for *_, code in first]
    assert rows(out)[2]["email"] == "ada@x"


def test_any_two_codes_of_a_large_class_differ_in_two_places():
    people = [Student(name=str(n)) for n in range(300)]

    codes = [s.code for s in made_class(people, chance=random.Random(1)).students]

    near = [
        (a, b)
        for i, a in enumerate(codes)
        for b in codes[:i]
        if sum(x != y for x, y in zip(a, b, strict=True)) < 2
    ]
    assert not near


def test_another_key_for_the_same_list_is_refused(tmp_path, capsys):
    _, out = made(tmp_path, "Kim\n", "--class-key", "oak tree")
    before = out.read_bytes()
    capsys.readouterr()

    status, _ = made(tmp_path, "Kim\n", "--class-key", "elm")

    assert "oak tree" in refused(capsys, status)
    assert out.read_bytes() == before


BAD = {
    "empty": ("\n \n", "no names"),
    "name twice": ("Kim\nAda\nkim\n", "“kim” stands there twice"),
    "id twice": ("name,id\nKim,1\nAda,1\n", "id “1”"),
    "name left out": ("name,id\n,1\n", "line 2 has no name"),
    "bare comma": ("name\nO'Neill, Zoë\n", "double quotes"),
    "endless cell": ("x" * 201, "200 characters"),
    "too many": ("\n".join(map(str, range(5_001))), "at most 5000"),
    "binary": ("a\0b", "not text in UTF-8"),
}


@pytest.mark.parametrize(("text", "words"), BAD.values(), ids=BAD.keys())
def test_a_names_file_that_cannot_serve_gets_one_sentence(
    text, words, tmp_path, capsys
):
    status, out = made(tmp_path, text)

    assert words in refused(capsys, status)
    assert not out.exists()


def test_a_names_file_in_another_code_page_or_too_large_is_refused(tmp_path, capsys):
    names, out = tmp_path / "names.txt", tmp_path / "class.csv"
    names.write_bytes("Zoë".encode("latin-1"))

    status = main(["class", str(names), "-o", str(out)])
    assert "UTF-8" in refused(capsys, status)

    names.write_bytes(b"\n" * (LARGEST + 1))
    status = main(["class", str(names), "-o", str(out)])
    assert "4 MB" in refused(capsys, status)


def test_a_file_that_is_no_class_list_is_never_overwritten(tmp_path, capsys):
    (tmp_path / "class.csv").write_text("my only copy of the thesis", "utf-8")

    status, out = made(tmp_path, "Kim\n")

    assert "not a class list" in refused(capsys, status)
    assert out.read_text("utf-8") == "my only copy of the thesis"


BROKEN = {
    "another key in a line": ("name,code,class_key\nKim,CDF,a\nAda,GHJ,b\n", "same"),
    "no key": ("name,code,class_key\nKim,CDF,\n", "same class_key"),
    "no code": ("name,code,class_key\nKim,,oak\n", "no code"),
    "code twice": ("name,code,class_key\nKim,CDF,a\nAda,cdf,a\n", "twice"),
    "no table": ("Kim\n", "not a class list"),
}


@pytest.mark.parametrize(("text", "words"), BROKEN.values(), ids=BROKEN.keys())
def test_a_broken_class_list_gets_one_sentence(text, words, tmp_path, capsys):
    (tmp_path / "class.csv").write_text(text, "utf-8")

    status, _ = made(tmp_path, "Zoë\n")

    assert words in refused(capsys, status)


def test_what_was_written_is_read_back_whole(tmp_path):
    listed = ClassList(
        key="oak",
        students=(
            Student(name="Kim", code="CDFG", id="007", login="k,im", email="-k@x"),
        ),
    )

    write_class(tmp_path / "class.csv", listed)

    assert read_class(tmp_path / "class.csv") == listed


def test_a_list_saved_by_a_spreadsheet_with_semicolons_is_still_read(tmp_path):
    file = tmp_path / "names.csv"
    file.write_text("\ufeffname;id\r\nKim;1\r\n", "utf-8")

    assert read_names(file) == [Student(name="Kim", id="1")]


@pytest.mark.parametrize(
    ("text", "people"),
    [
        (
            'Last name,First name,Email address\nLee,Bo,b@x\n"O\'Neil, Jr",Ada,\n',
            [("Bo Lee", "", "b@x"), ("Ada O'Neil, Jr", "", "")],
        ),
        (
            'Student,ID,SIS User ID,SIS Login ID,Section\n"Lee, Bo",1,77,bo,A\n',
            [("Lee, Bo", "77", "")],
        ),
        ("SIS User ID;Name;ID\n77;Bo Lee;1\n", [("Bo Lee", "77", "")]),
        ("Surname\tForename\tStudent ID\n王\t小明\t7\n", [("小明 王", "7", "")]),
        ("Students\nKim\nAda\n", [("Kim", "", ""), ("Ada", "", "")]),
        ("Lee, Bo\nO'Neil, Ada\n", [("Lee, Bo", "", ""), ("O'Neil, Ada", "", "")]),
        ("Full name;Given name\nBo Lee;Bo\n", [("Bo Lee", "", "")]),
    ],
)
def test_usual_headings_are_understood_and_are_nobody(tmp_path, text, people):
    status, out = made(tmp_path, text, name="names.csv")

    assert status == 0
    listed = read_class(out).students
    assert [(one.name, one.id, one.email) for one in listed] == people


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("Email,Section\nb@x,A\n", "use name, or first name and last name"),
        ("Nom;Prénom\nLee;Bo\n", "line 1 has no headings"),
        ("Lee\tBo\nRay\tAda\n", "line 1 has no headings"),
        ("Lee,Bo,b@x\nRay,Ada,a@x\n", "line 1 has no headings"),
    ],
)
def test_a_table_whose_names_cannot_be_told_is_refused(tmp_path, capsys, text, reason):
    status, out = made(tmp_path, text, name="names.csv")

    assert reason in refused(capsys, status)
    assert not out.exists()


@needs_poppler
def test_codes_to_cut_out_stand_beside_the_list(tmp_path, capsys):
    status, out = made(tmp_path, "\n".join(f"Student {n}" for n in range(13)))

    slips = tmp_path / "class code slips.pdf"
    assert status == 0
    assert f"{slips}: the codes" in capsys.readouterr().out
    pages = words_of(slips).split("\f")[:-1]
    assert [page.count("Student code") for page in pages] == [12, 1]
    for student in read_class(out).students:
        assert sum(student.name in p and student.code in p for p in pages) == 1
    slips.write_bytes(b"mine")
    assert made(tmp_path, "Student 1")[0] == 1
    assert slips.read_bytes() == b"mine"
    assert len(read_class(out).students) == 13


@needs_poppler
def test_letters_that_no_font_has_are_said_and_a_font_can_be_named(tmp_path, capsys):
    # A character for private use: no font of ours or the machine's has it, and of
    # matplotlib's fonts the one that has a box for every character there is.
    own = Path(matplotlib.get_data_path(), "fonts/ttf/LastResortHE-Regular.ttf")
    names = "Kim\nLi \U0010abcd\U000fabcd"
    made(tmp_path, names)
    _, err = capsys.readouterr()
    assert r"“Li \U0010abcd\U000fabcd” has letters" in err
    assert r"here has: \U0010abcd, \U000fabcd." in err
    assert "Kim" not in err

    named = ("--font", str(own))
    assert made(tmp_path, names, *named)[0] == 0
    assert capsys.readouterr().err == ""
    assert "\U0010abcd" in words_of(tmp_path / "class code slips.pdf")
    (tmp_path / "ours").mkdir()
    for name, said in (("one.ttf", own.read_bytes()), ("licence.txt", b"free")):
        (tmp_path / "ours" / name).write_bytes(said)
    plan = tmp_path / "session.toml"
    plan.write_text('form = 1\n[school]\nfont = "ours"', "utf-8")
    for order in ("handout", "key"):
        folder = tmp_path / order
        given = [order, str(tmp_path / "class.csv"), "L02", "-o", str(folder)]
        assert main(given) == 0
        assert capsys.readouterr().err == ""
        pages = [words_of(pdf) for pdf in folder.glob("*.pdf")]
        assert any("\U0010abcd" in page for page in pages)

    plan.write_text('form = 1\n[school]\nfont = "none.ttf"', "utf-8")
    assert "none.ttf" in refused(capsys, made(tmp_path, names)[0])
    (tmp_path / "odd.ttf").write_text("no font", "utf-8")
    named = ("--font", str(tmp_path / "odd.ttf"))
    said = refused(capsys, made(tmp_path, names, *named)[0])
    assert "odd.ttf holds no font: name a folder of fonts" in said
    (tmp_path / "empty").mkdir()
    named = ("--font", str(tmp_path / "empty"))
    assert "empty holds no font" in refused(capsys, made(tmp_path, names, *named)[0])
