"""The hand-in: one file, in plain words, that its student can look at and delete."""

import json
import re
from datetime import datetime

import pytest

from workbook.cli import main
from workbook.reader.hand_in import handed_in
from workbook.reader.record import FILE, Record
from workbook.reader.record_lines import LONGEST_LINE, Reader, line_text

TODAY = f"{datetime.now():%Y-%m-%d}"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Return a lesson folder with the record of two students and some practice."""
    record = Record(tmp_path / FILE)
    record.append("answer", typed="1 kN")
    record.sign_in(student="K8", class_key="oak")
    record.append("answer", typed="2 kN")
    record.sign_in(student="K7", class_key="oak")
    record.append("prediction", choice="40 kN")
    record.append("answer", typed="3 kN\n# no header \u2028")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def hand_ins(folder):
    return sorted(folder.glob("hand-in*"))


def test_one_file_has_the_lines_of_one_student_and_says_what_they_are(folder, capsys):
    status = main(["hand-in"])

    (file,) = hand_ins(folder)
    lines = file.read_text(encoding="utf-8").splitlines()
    header = [line for line in lines if line.startswith("#")]
    kept = [json.loads(line) for line in lines if not line.startswith("#")]
    said = capsys.readouterr().out
    assert status == 0
    assert file.name == f"hand-in K7 {TODAY}.txt"
    assert file.name in said
    assert said.count("\n") == 1
    own = [x for x in kept if x.get("student") == "K7"]
    assert [x["kind"] for x in own] == ["identity", "prediction", "answer"]
    assert own == Record(folder / FILE).mine("identity", "prediction", "answer")
    assert any("Student K7, class oak" in line for line in header)
    assert any("answers 1, predictions 1" in line for line in header)
    assert any("delete" in line for line in header)
    assert header[-1] == lines[-1] == f"# end: {len(kept)} lines"


def test_of_others_at_the_same_computer_only_check_sums_leave(folder):
    main(["hand-in"])

    text = hand_ins(folder)[0].read_text(encoding="utf-8")
    others = [json.loads(x) for x in text.splitlines() if '"others"' in x]
    assert "K8" not in text
    assert "1 kN" not in text
    assert "2 kN" not in text
    assert [len(x["lines"]) for x in others] == [2, 2]
    for one in others:
        assert {*one} == {"format", "kind", "prev", "who", "lines"}
        assert re.fullmatch(
            "([0-9a-f]{16}){4}", one["prev"] + one["who"] + "".join(one["lines"])
        )


def test_only_what_the_chain_of_the_own_lines_needs_is_inside(folder):
    record = Record(folder / FILE)
    record.sign_in(student="K8", class_key="oak")
    for n in range(1_200):
        record.append("answer", typed=f"{n} kN")
    record.sign_in(student="K7", class_key="oak")
    main(["hand-in"])
    record.sign_in(student="K8", class_key="oak")
    record.append("answer", typed="5 kN")
    record.reader = Reader(student="K7", class_key="oak")

    rows = handed_in(record)

    runs = [len(x["lines"]) for x in rows if x["kind"] == "others"]
    assert runs == [2, 2, 500, 500, 201]
    assert [x["kind"] for x in rows[-2:]] == ["identity", "tip"]
    assert max(map(len, map(line_text, rows))) < LONGEST_LINE


def test_a_second_hand_in_leaves_the_first_as_it_is(folder):
    main(["hand-in"])
    first = hand_ins(folder)[0].read_bytes()
    Record(folder / FILE).append("answer", typed="4 kN")

    statuses = [main(["hand-in"]), main(["hand-in"])]

    names = {file.name for file in hand_ins(folder)}
    stem = f"hand-in K7 {TODAY}"
    assert statuses == [0, 0]
    assert names == {f"{stem}.txt", f"{stem} (2).txt", f"{stem} (3).txt"}
    assert (folder / f"{stem}.txt").read_bytes() == first


def test_the_record_itself_stays_as_it_is(folder):
    before = (folder / FILE).read_bytes()

    main(["hand-in", str(folder)])

    assert (folder / FILE).read_bytes() == before


@pytest.mark.parametrize("code", ["../K7", "a/b\\c", "Ä 7", 'x:*?"<>|'])
def test_any_student_code_makes_a_file_name_for_every_system(folder, code):
    record = Record(folder / FILE)
    record.sign_in(student=code, class_key="oak")
    record.append("answer", typed="3 kN")

    assert main(["hand-in"]) == 0

    (file,) = hand_ins(folder)
    assert re.fullmatch(r"hand-in [\w-]+ [0-9-]{10}\.txt", file.name)


def test_the_folder_in_the_home_is_taken_where_there_is_no_record_here(
    folder, tmp_path_factory, monkeypatch
):
    home = tmp_path_factory.mktemp("home")
    folder.rename(home / "Pullwright")
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("USERPROFILE", str(home))
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))

    assert main(["hand-in"]) == 0

    assert len(hand_ins(home / "Pullwright")) == 1


def refused(capsys, *arguments):
    status = main(["hand-in", *arguments])
    said = capsys.readouterr().err
    assert status == 1
    assert said.startswith("pullwright: ")
    assert said.count("\n") == 1
    return said


def test_without_a_record_the_way_out_is_said(tmp_path, capsys):
    assert FILE in refused(capsys, str(tmp_path))


def test_practice_alone_is_not_handed_in(tmp_path, capsys):
    Record(tmp_path / FILE).append("answer", typed="1 kN")

    assert "sign in" in refused(capsys, str(tmp_path))
    assert not hand_ins(tmp_path)


def test_a_student_who_did_nothing_has_nothing_to_hand_in(tmp_path, capsys):
    Record(tmp_path / FILE).sign_in(student="K7", class_key="oak")

    assert "K7 has answered nothing" in refused(capsys, str(tmp_path))


def test_a_cut_off_record_is_handed_in_as_far_as_it_goes(folder):
    with (folder / FILE).open("ab") as file:
        file.write(b'{"kind": "answer", "student": "K7", "cla')

    assert main(["hand-in"]) == 0

    assert "# end: 7 lines" in hand_ins(folder)[0].read_text(encoding="utf-8")


def test_each_of_a_pair_gets_a_file_and_whoever_did_nothing_gets_none(folder, capsys):
    record = Record(folder / FILE)
    record.sign_in(student="M1", class_key="oak", pair="M2")
    record.append("answer", typed="4 kN")
    assert main(["hand-in"]) == 0
    assert [file.name for file in hand_ins(folder)] == [f"hand-in M1 {TODAY}.txt"]
    record.swap()
    record.append("answer", typed="5 kN")
    capsys.readouterr()

    assert main(["hand-in"]) == 0

    assert capsys.readouterr().out.count("\n") == 2
    second = (folder / f"hand-in M2 {TODAY}.txt").read_text(encoding="utf-8")
    assert '"5 kN"' in second
    assert '"4 kN"' not in second


def test_work_of_a_pair_is_handed_in_for_both_by_who_goes_on_alone(folder, capsys):
    record = Record(folder / FILE)
    record.sign_in(student="M3", class_key="oak")
    record.append("answer", typed="3 kN")  # in no pair with M1
    record.sign_in(student="M1", class_key="oak", pair="M2")
    record.append("answer", typed="4 kN")
    record.swap()
    record.append("answer", typed="5 kN")
    record.sign_in(student=" m1", class_key="Oak")
    record.append("answer", typed="6 kN")

    assert main(["hand-in"]) == 0

    names = [file.name for file in hand_ins(folder)]
    assert sorted(names) == [f"hand-in M2 {TODAY}.txt", f"hand-in m1 {TODAY}.txt"]
    own = (folder / f"hand-in m1 {TODAY}.txt").read_text(encoding="utf-8")
    assert [f'"{n} kN"' in own for n in (3, 4, 5, 6)] == [False, True, False, True]
    theirs = (folder / f"hand-in M2 {TODAY}.txt").read_text(encoding="utf-8")
    assert [f'"{n} kN"' in theirs for n in (3, 4, 5, 6)] == [False, False, True, False]
    assert record.reader.student == "m1"


def test_a_pair_that_did_nothing_is_told_so(folder, capsys):
    Record(folder / FILE).sign_in(student="M1", class_key="oak", pair="M2")

    assert main(["hand-in"]) != 0

    assert hand_ins(folder) == []
    assert "M1" in capsys.readouterr().err
