"""``pullwright mark`` before strangers' files: bad, packed, linked, edited, copied."""

import json
import os
import re
import zipfile

import pytest

from widgets.question import ExerciseCard
from workbook.cli import main
from workbook.course import lesson
from workbook.reader.hand_in import write_hand_in
from workbook.reader.record import FILE, Record
from workbook.reader.way_in import WayIn

RIGHT = "right"
WHOLE = "M01_whole_tension"

pytestmark = pytest.mark.usefixtures("own_settings")


EDITS = {
    "score": ("score", 1.0),
    "outcome": ("outcome", "right"),
    "value": ("value", 17.0),
    "seed": ("seed", "00" * 32),
    "try": ("try", 3),
    "held": ("held", True),
    "a number no float holds": ("value", 10**400),
    "not a number": ("score", float("nan")),
    "a list": ("score", [[1]]),
}


@pytest.mark.parametrize(("name", "value"), EDITS.values(), ids=EDITS.keys())
def test_an_edited_line_is_told_and_marked_from_what_was_typed(
    name, value, small_class
):
    code = small_class.codes[0]
    (line,) = small_class.lines_of(code, [("2.1", WHOLE)])
    path = small_class.folder / "edited.txt"
    text = small_class.text_of([line], student=code, start="")
    changed = json.dumps({**line, name: value}, ensure_ascii=False)
    lines = [changed if '"answer"' in x else x for x in text.splitlines()]
    path.write_text("\n".join(lines) + "\n", "utf-8")

    small_class.mark()

    assert small_class.marks()[code, "2.1"]["score"] == 0.0
    chain, note = small_class.notes()
    assert note.startswith(f"edited.txt of {code} says")
    assert f"2.1 ({name}" in note
    assert "carries no chain (edited.txt)" in chain


def test_a_copied_file_with_another_code_in_it_is_told(small_class):
    one, two, _ = small_class.codes
    path = small_class.hand_in(one, [("2.1", RIGHT), ("2.2", RIGHT)])
    copied = path.read_text("utf-8").replace(one, two)
    (small_class.folder / "mine.txt").write_text(copied, "utf-8")

    small_class.mark()

    assert small_class.marks()[two, "2.1"]["score"] == 0.0
    chain, note = small_class.notes()
    assert "the chain breaks" in chain
    assert note.startswith(f"mine.txt of {two}")
    assert "2.1 (seed" in note


def test_answers_typed_in_one_second_by_two_are_told_once_the_copy_first(small_class):
    one, two, _ = small_class.codes
    own = [("2.1", RIGHT), ("2.2", RIGHT), ("2.3", RIGHT)]
    path = small_class.hand_in(one, own)
    copied = path.read_text("utf-8").replace(one, two)
    (small_class.folder / "a.txt").write_text(copied, "utf-8")

    small_class.mark()

    (said,) = (x for x in small_class.notes() if "alike" in x)
    assert said.startswith(f"a.txt of =Kim ({two}): 3 answers are alike to the second")
    assert f'{path.name} of O\'Neill, Zoë "Z" ({one})' in said
    short = (small_class.out / "notes.txt").read_text("utf-8")
    assert f"typed in the same seconds: =Kim ({two})." in short

    for code in (one, two):  # the same guess in the same seconds may be chance
        guesses = [(id, "3 kN") for id in ("2.1", "2.2", "2.3", "2.4")]
        small_class.hand_in(code, guesses, name=f"{code}.txt")
    path.unlink()
    (small_class.folder / "a.txt").unlink()
    small_class.mark()
    assert not [x for x in small_class.notes() if "alike" in x]


def test_a_file_with_anothers_code_in_its_name_is_told(small_class):
    one, two, _ = small_class.codes
    small_class.hand_in(one, [("2.1", RIGHT)])
    copied = small_class.folder / f"hand-in {two} 2026-11-27.txt"
    copied.write_bytes((small_class.folder / f"hand-in {one}.txt").read_bytes())

    small_class.mark()

    note, several = small_class.notes()
    assert note == (
        f"{copied.name} has the code of =Kim ({two}) in its name, and the work of "
        f'O\'Neill, Zoë "Z" ({one}) in it: ask both'
    )
    assert several.startswith(f"hand-in {one}.txt of ")
    assert f"line for line, as {copied.name}" in several


def bad_files(small_class):
    """Put bad files of many kinds beside the good ones; return words by file."""
    one, two, three = small_class.codes
    folder = small_class.folder
    (folder / "photo.jpg").write_bytes(bytes(range(256)) * 40)
    (folder / "huge.txt").write_bytes(b"x" * (4 * 2**20 + 1))
    (folder / "endless.txt").write_text("{}\n" * 20_001, "utf-8")
    (folder / "essay.txt").write_text("Dear teacher,\n\nmy dog ...\n", "utf-8")
    (folder / "empty.txt").write_text("", "utf-8")
    (folder / "deep.txt").write_text("[" * 9_000 + "]" * 9_000, "utf-8")
    small_class.hand_in(two, [("2.1", RIGHT)], name="elm.txt", key="elm")
    small_class.hand_in("CCCC", [("2.1", RIGHT)], name="stranger.txt")
    own = small_class.lines_of(one, [("2.4", RIGHT)])
    others = small_class.lines_of(two, [("2.4", WHOLE)])
    (folder / "both.txt").write_text(
        small_class.text_of(own + others, student=one), "utf-8"
    )
    future = [{**own[0], "version": 7}, {**own[0], "exercise": "99.1"}]
    (folder / "future.txt").write_text(
        small_class.text_of(future, student=three), "utf-8"
    )
    absurd = [{**own[0], name: value} for name, value in (
        ("attempt", 10**30), ("attempt", True), ("typed", 3), ("version", "1"),
        ("exercise", ["2.1"]), ("time", None), ("number", -1),
    )]  # fmt: skip
    (folder / "absurd.txt").write_text(
        small_class.text_of(absurd, student=one), "utf-8"
    )
    cut = small_class.text_of(own, student=one)[:-10]
    (folder / "cut.txt").write_text(cut, "utf-8")
    more = small_class.text_of(own, student=one).replace("# end: 3 ", "# end: 5 ")
    (folder / "fewer.txt").write_text(more, "utf-8")
    return {
        "photo.jpg": "not a text file",
        "huge.txt": "larger than 4 MB",
        "endless.txt": "over 20000 lines",
        "essay.txt": "no line of a hand-in",
        "empty.txt": "no line of a hand-in",
        "deep.txt": "no line of a hand-in",
        "elm.txt": "another class key, “elm”",
        "stranger.txt": "a code not on the list, “CCCC”",
        "both.txt": f"another student, {two}",
        "future.txt": "version 7, which is not known",
        "absurd.txt": "7 lines that lack what an answer needs",
        "cut.txt": "no end line",
        "fewer.txt": "ends with “5 lines” but has 3",
    }


def test_each_bad_file_is_told_by_name_and_the_rest_is_marked(small_class, capsys):
    _, two, _ = small_class.codes
    expected = bad_files(small_class)
    small_class.hand_in(two, [("2.1", RIGHT)])

    small_class.mark()

    assert small_class.marks()[two, "2.1"]["score"] == 1.0
    assert (two, "2.4") not in small_class.marks()
    said = small_class.notes()
    for name, words in expected.items():
        assert [x for x in said if x.startswith(name) and words in x], name
    err = capsys.readouterr().err
    assert "Traceback" not in err
    assert "nan" not in err


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes or links here")
def test_links_pipes_and_locked_files_are_told_and_not_opened(small_class, tmp_path):
    secret = tmp_path / "secret.txt"
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", RIGHT)])
    secret.write_text(small_class.text_of(lines, student=code), "utf-8")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "more.txt").write_bytes(secret.read_bytes())
    (small_class.folder / "link.txt").symlink_to(secret)
    (small_class.folder / "folder").symlink_to(tmp_path / "elsewhere")
    os.mkfifo(small_class.folder / "pipe.txt")

    small_class.mark()

    said = dict(note.split(" ", 1) for note in small_class.notes())
    assert small_class.marks() == {}
    assert "link" in said["link.txt"]
    assert "link" in said["folder"]
    assert "not a plain file" in said["pipe.txt"]


def test_files_in_folders_of_their_own_are_found(small_class):
    code = small_class.codes[0]
    path = small_class.hand_in(code, [("2.1", RIGHT)])
    (small_class.folder / "Zoë O").mkdir()
    path.rename(small_class.folder / "Zoë O" / "a b.txt")

    small_class.mark()

    assert small_class.marks()[code, "2.1"]["score"] == 1.0
    assert small_class.kept("answer")[0]["file"] == os.path.join("Zoë O", "a b.txt")  # noqa: PTH118


def test_a_lesson_opened_by_hand_is_told_with_its_reason(small_class, tmp_path):
    record = Record(tmp_path / FILE)
    record.sign_in(student=small_class.codes[0], class_key="oak")
    WayIn(lesson("L08"), record).open_by_hand("shown at\x1b the bench " + "x" * 400)
    record.append("opened", lesson="L09", reason=5)  # a line that nobody here wrote
    ExerciseCard("8.1", set="exit", record=record).answer("1")
    write_hand_in(record, folder=small_class.folder)

    small_class.mark()

    [note] = small_class.notes()
    assert re.search(r"L08 opened by hand on 20\d\d-\d\d-\d\d: shown at", note)
    assert "\x1b" not in note
    assert note.count("x") < 200 < len(note)


def test_control_characters_never_reach_the_terminal_or_the_notes(small_class, capsys):
    code = small_class.codes[0]
    evil = "\x1b[2J\u202e\ud800"
    lines = small_class.lines_of(code, [("2.1", evil), ("2.1", "1 kN")])
    (answer,) = small_class.lines_of(code, [("2.1", RIGHT)])
    stranger = [{**answer, "class_key": evil}]
    text = small_class.text_of([*lines, *stranger], student=code)
    (small_class.folder / "\x1b[31mred.txt").write_text(text, "utf-8")

    small_class.mark()

    said = capsys.readouterr()
    kept = (small_class.out / "notes.txt").read_text("utf-8")
    marks = (small_class.out / "marks.jsonl").read_text("utf-8")
    for text in (said.out, said.err, kept, marks):
        assert not [c for c in text if not c.isprintable() and c != "\n"]
    assert "\\x1b[31mred.txt" in kept
    assert "\\x1b[2J" in kept


def test_an_empty_or_missing_folder_is_refused(small_class, capsys):
    order = ["mark", str(small_class.file)]

    assert main([*order, str(small_class.folder), "-o", str(small_class.out)]) == 1
    assert "is empty" in capsys.readouterr().err
    assert main([*order, str(small_class.folder / "x"), "-o", "y"]) == 1
    assert "is not a folder" in capsys.readouterr().err
    assert not small_class.out.exists()


def test_what_was_packed_or_saved_otherwise_is_told_with_the_way_out(small_class):
    one = small_class.codes[0]
    plain = small_class.hand_in(one, [("2.1", RIGHT)])
    (small_class.folder / "a.txt").write_text(plain.read_text("utf-8"), "utf-16")
    with zipfile.ZipFile(small_class.folder / "b.zip", "w") as packed:
        packed.write(plain)

    small_class.mark()

    utf_16, packed = small_class.notes()
    assert utf_16.startswith("a.txt was saved as UTF-16: ask for it as it was made")
    assert packed.startswith("b.zip is a zip archive or an office document: unpack it")
    assert {*small_class.marks()} == {(one, "2.1")}
