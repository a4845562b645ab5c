"""The reader's record: nothing typed is lost, whatever stops the computer."""

import json
import shutil
import subprocess
import sys
import threading
import time
from errno import EACCES, ENOLCK, ENOSYS, EROFS

import pytest
from writers import raw_lines, start_writer

from workbook.errors import FormError
from workbook.reader import record_file as module
from workbook.reader.record import FILE, Record, record_here
from workbook.reader.record_file import add_line
from workbook.reader.record_lines import Reader, line_text, read_line


def test_reading_and_looking_write_nothing(path):
    record = Record(path)

    assert record.lines() == record.mine("answer") == []
    assert not record.reader.signed_in
    assert not path.exists()


def test_the_first_line_says_who_works(path):
    Record(path).append("answer", typed="12,4 kN")

    start, first, second = [json.loads(raw) for raw in raw_lines(path)[:3]]

    assert (start["kind"], len(start["random"])) == ("start", 32)
    assert (first["kind"], first["student"]) == ("identity", "practice")
    assert (second["kind"], second["typed"]) == ("answer", "12,4 kN")
    assert second["format"] == 1
    assert second["time"][10] == "T"
    assert second["time"][-6] in "+-"


def test_each_line_names_student_class_and_partner(path):
    record = Record(path)
    record.sign_in(student=" K7 ", class_key="oak", pair="K9")

    line = record.append("hint", number=1)

    assert (line["student"], line["class_key"], line["pair"]) == ("K7", "oak", "K9")
    assert [x["kind"] for x in record.lines()] == ["start", "identity", "hint"]


@pytest.mark.parametrize("code", ["", "  ", "x" * 41, "K\x007", "Practice"])
def test_a_code_that_cannot_serve_is_refused_and_nobody_signs_in(path, code):
    record = Record(path)

    with pytest.raises(FormError, match="student code"):
        record.sign_in(student=code, class_key="oak")

    assert not record.reader.signed_in
    assert not path.exists()


def test_a_killed_lesson_loses_no_line_that_was_kept(path):
    kept = []
    for round_ in range(4):
        writer = start_writer(path, f"round {round_}", 100_000)
        said = [int(writer.stdout.readline()) for _ in range(5 + 20 * round_)]
        kept += [(f"round {round_}", k) for k in said]
        writer.kill()
        writer.communicate()

    found = {(x.get("who"), x.get("k")) for x in Record(path).lines()}

    assert set(kept) <= found
    assert all(read_line(raw) for raw in raw_lines(path)[:-1])


def test_a_line_cut_off_anywhere_costs_only_itself(path):
    record = Record(path)
    record.append("answer", typed="12 kN")
    before = path.read_bytes()
    record.append("answer", typed="13 kN")
    last = path.read_bytes()[len(before) :]
    for cut in range(1, len(last)):
        path.write_bytes(before + last[:cut])

        Record(path).append("answer", typed="14 kN")

        typed = [x.get("typed") for x in Record(path).mine("answer")]
        whole = cut == len(last) - 1  # only the end of the line was missing
        assert typed == ["12 kN", *(["13 kN"] if whole else []), "14 kN"]
        assert [x["kind"] for x in Record(path).lines()].count("torn") == 1
        assert before + last[:cut] == path.read_bytes()[: len(before) + cut]


def test_two_lessons_writing_at_once_mix_no_lines(path):
    writers = [start_writer(path, who, 500) for who in ("one", "two")]
    for writer in writers:
        writer.communicate()

    raw = raw_lines(path)
    lines = [json.loads(x) for x in raw[:-1]]
    answers = [(x["who"], x["k"]) for x in lines if x["kind"] == "answer"]

    assert raw[-1] == b""
    assert [k for who, k in answers if who == "one"] == list(range(500))
    assert [k for who, k in answers if who == "two"] == list(range(500))


HOLDER = """
import sys
from filelock import FileLock
with FileLock(sys.argv[1]):
    print("held", flush=True)
    sys.stdin.readline()
"""


@pytest.fixture
def holder(path):
    """Hold the record's lock in another process."""
    lock = path.with_name(module.LOCK_FILE)
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, lock],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline() == "held\n"
    yield process
    process.kill()
    process.communicate()


def test_the_lock_is_waited_for_and_given_back(path, holder):
    writer = threading.Thread(target=add_line, args=(path, {"kind": "hint"}))
    writer.start()
    writer.join(0.3)
    before = path.read_bytes()
    holder.stdin.write("let go\n")
    holder.stdin.flush()
    writer.join(1.5)  # sooner than its patience ends
    after = path.read_bytes()

    start = time.monotonic()
    add_line(path, {"kind": "hint"})

    assert before == b""
    assert after.count(b"\n") == 1
    assert time.monotonic() - start < 1  # free again


def test_a_lock_that_a_killed_lesson_held_is_free(path, holder):
    holder.kill()
    holder.wait()

    start = time.monotonic()
    add_line(path, {"kind": "hint"})

    assert time.monotonic() - start < 1


def test_a_lock_that_never_comes_free_loses_no_line(path, holder, monkeypatch):
    monkeypatch.setattr(module, "PATIENCE", 0.1)

    add_line(path, {"kind": "hint"})

    assert path.read_bytes().count(b"\n") == 1
    assert holder.poll() is None


@pytest.mark.parametrize("errno", [ENOSYS, ENOLCK, EROFS, EACCES])
def test_where_no_lock_is_to_be_had_the_line_is_kept_at_once(path, monkeypatch, errno):
    def refused(*_args, **_named):
        raise OSError(errno, "no")

    monkeypatch.setattr(module.FileLock, "_acquire", refused)

    start = time.monotonic()
    add_line(path, {"kind": "hint"})

    assert path.read_bytes().count(b"\n") == 1
    assert time.monotonic() - start < 1


def test_in_a_folder_that_takes_no_file_the_record_still_grows(path):
    add_line(path, {"kind": "hint"})
    path.with_name(module.LOCK_FILE).unlink()
    path.with_name(module.LOCK_FILE).mkdir()  # stands in for a folder made read-only

    add_line(path, {"kind": "hint"})

    assert path.read_bytes().count(b"\n") == 2


def test_beside_the_record_lies_at_most_one_hidden_empty_file(path):
    Record(path).append("hint", number=1)

    others = [other for other in path.parent.iterdir() if other != path]

    assert all(o.name.startswith(".") and o.stat().st_size == 0 for o in others)
    assert len(others) <= 1


JUNK = [
    b"hello",
    b"[1, 2]",
    b'{"no": "kind"}',
    b'{"kind": 7}',
    b"\xff\xfe\x00",
    b"[" * 100_000,
    b"[" * 19_000,
    b'{"kind": "answer", "k": ' + b"9" * 9000 + b"}",
    b'{"kind": "answer", "student": "practice", "class_key": "practice", "typed": "'
    + b"x" * 30_000
    + b'"}',
    b'{"kind": "identity", "student": 3, "class_key": null}',
]


@pytest.mark.parametrize("junk", JUNK, ids=range(len(JUNK)))
def test_what_is_no_line_is_skipped_and_kept(path, junk):
    record = Record(path)
    record.append("answer", typed="12 kN")
    with path.open("ab") as file:
        file.write(junk + b"\n")

    record.append("answer", typed="13 kN")

    assert [x["typed"] for x in Record(path).mine("answer")] == ["12 kN", "13 kN"]
    assert junk in path.read_bytes()


def test_lines_of_another_lesson_are_seen_at_once(path):
    one, two = Record(path), Record(path)
    one.append("answer", typed="12 kN")

    seen = [x["typed"] for x in two.mine("answer")]
    two.append("answer", typed="13 kN")

    assert seen == ["12 kN"]
    assert [x["typed"] for x in one.mine("answer")] == ["12 kN", "13 kN"]


def take_away(path):
    path.unlink()


def rename(path):
    path.rename(path.with_name("mine.jsonl"))


def empty(path):
    path.write_bytes(b"")


def put_another_there(path):
    other = path.with_name("other.jsonl")
    Record(other).append("hint", number=2)
    other.replace(path)


def cut_in_an_editor(path):
    raw = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*raw[:2], raw[2].replace(b"12 kN", b"14,5 kN"), raw[3]]))


@pytest.mark.parametrize(
    "harm", [take_away, rename, empty, put_another_there, cut_in_an_editor]
)
def test_a_record_that_is_gone_is_said_at_once_and_written_again(path, harm):
    record = Record(path)
    record.sign_in(student="K7", class_key="oak")
    for typed in ("12 kN", "13 kN"):
        record.append("answer", typed=typed)
    before = record.whole_with_texts()
    harm(path)

    seen = [x["typed"] for x in record.mine("answer")]
    moved = record.moved
    record.append("answer", typed="14 kN")

    assert {*seen} >= {"12 kN", "13 kN"}
    assert str(path) in moved
    assert record.trouble == ""
    after = Record(path)
    assert {text for _, text in before} <= {t for _, t in after.whole_with_texts()}
    assert "14 kN" in [x["typed"] for x in after.mine("answer")]
    assert after.reader == record.reader


@pytest.mark.parametrize("harm", [take_away, rename])
def test_two_lessons_write_a_lost_record_again_once(path, harm):
    one = Record(path)
    one.sign_in(student="K7", class_key="oak")
    two = Record(path)
    two.append("hint", number=1)
    one.lines()
    before = path.read_bytes()
    harm(path)

    one.append("answer", typed="12 kN")
    two.append("answer", typed="13 kN")

    assert path.read_bytes().startswith(before)
    assert [x["typed"] for x in one.mine("answer")] == ["12 kN", "13 kN"]
    assert [x["kind"] for x in two.lines()].count("start") == 1
    assert (one.moved != "", two.moved) == (True, "")


def test_a_lost_folder_leaves_all_in_view_until_it_is_back(tmp_path):
    place = tmp_path / "lessons"
    place.mkdir()
    record = Record(place / FILE)
    record.append("answer", typed="12 kN")
    place.rename(tmp_path / "elsewhere")

    record.append("answer", typed="13 kN")
    seen, said = [x["typed"] for x in record.mine("answer")], record.trouble
    place.mkdir()
    record.append("answer", typed="14 kN")

    assert seen == ["12 kN", "13 kN"]
    assert "cannot be kept" in said
    kept = [x["typed"] for x in Record(place / FILE).mine("answer")]
    assert kept == ["12 kN", "13 kN", "14 kN"]


def test_the_same_file_saved_anew_is_nothing_to_tell(path):
    record = Record(path)
    record.append("answer", typed="12 kN")
    copy = path.with_name("copy")
    shutil.copy(path, copy)
    copy.replace(path)

    record.append("answer", typed="13 kN")

    assert record.moved == ""
    assert [x["typed"] for x in record.mine("answer")] == ["12 kN", "13 kN"]


def test_a_line_too_long_to_be_read_is_refused_and_nothing_is_kept(path):
    record = Record(path)
    record.append("answer", typed="12 kN")
    before = path.read_bytes()

    with pytest.raises(FormError, match="Shorten it to at most 2000 characters"):
        record.append("gate", reason="\x00" * 2_000, choice="\x01" * 2_000)

    assert path.read_bytes() == before
    record.append("gate", reason="\x00" * 1_600, choice="\x01" * 1_600)
    assert len(Record(path).mine("gate")) == 1


def test_who_signs_in_in_another_lesson_is_taken_over_when_asked(path):
    one, two = Record(path), Record(path)
    told = []
    one.watch(told.append)
    two.sign_in(student="K7", class_key="oak")

    changes = [one.catch_up(), one.catch_up()]

    assert changes == [True, False]
    assert one.reader == Reader(student="K7", class_key="oak")
    assert told == [{"kind": "identity"}]


def test_students_at_one_computer_see_only_their_own_lines(path):
    record = Record(path)
    record.sign_in(student="K7", class_key="oak")
    record.append("answer", typed="12 kN")
    record.sign_in(student="K8", class_key="oak")
    record.append("answer", typed="13 kN")

    assert [x["typed"] for x in record.mine("answer")] == ["13 kN"]
    record.sign_in(student="k7", class_key="OAK ")
    assert [x["typed"] for x in record.mine("answer")] == ["12 kN"]


def test_a_copied_file_goes_on_elsewhere(path, tmp_path, monkeypatch):
    record = Record(path)
    record.sign_in(student="K7", class_key="oak")
    record.append("answer", exercise="2.1", typed="12 kN")
    elsewhere = tmp_path / "another computer"
    elsewhere.mkdir()
    shutil.copy(path, elsewhere)
    monkeypatch.chdir(elsewhere)

    there = record_here()
    there.append("answer", exercise="2.1", typed="13 kN")

    assert there.reader == record.reader
    assert [x["typed"] for x in there.mine("answer")] == ["12 kN", "13 kN"]
    assert len(record.mine("answer")) == 1


@pytest.mark.parametrize(
    "typed",
    [
        "two\nlines\r\n",
        "a\u2028b\x85c",
        "\ud800",
        "\u202egnp",
        "−12,4 °",
        '"\\',
        "\x00",
    ],
)
def test_whatever_is_typed_is_one_line_and_comes_back(path, typed):
    Record(path).append("answer", typed=typed)

    text = path.read_bytes().decode()

    assert len(text.splitlines()) == text.count("\n") == 3
    assert Record(path).mine("answer")[0]["typed"] == typed


def test_endless_text_and_numbers_are_cut_to_fit(path):
    record = Record(path)

    record.append("answer", typed="x" * 100_000, seconds=float("inf"))

    line = record.mine("answer")[0]
    assert len(line["typed"]) == 2000
    assert line["seconds"] is None


def test_without_a_place_to_write_work_goes_on_in_memory_and_is_said(tmp_path):
    gone = tmp_path / "gone"
    record = Record(gone / FILE)
    record.append("answer", typed="12 kN")
    said = record.trouble
    in_memory = [x["typed"] for x in record.mine("answer")]
    gone.mkdir()

    record.append("answer", typed="13 kN")

    assert "cannot be kept" in said
    assert "no such file" in said
    assert in_memory == ["12 kN"]
    assert record.trouble == ""
    typed = [x["typed"] for x in Record(gone / FILE).mine("answer")]
    assert typed == ["12 kN", "13 kN"]


def test_a_folder_in_place_of_the_file_is_said_and_not_fatal(path):
    path.mkdir()
    record = Record(path)

    record.append("answer", typed="12 kN")

    assert FILE in record.trouble
    assert [x["typed"] for x in record.mine("answer")] == ["12 kN"]


def test_a_file_too_large_to_be_a_record_is_left_alone(path, monkeypatch):
    monkeypatch.setattr(module, "LARGEST", 2**20)
    path.write_bytes(b"x" * (2**20 + 1))

    record = Record(path)
    record.append("answer", typed="12 kN")

    assert "larger than 1 MB" in record.trouble
    assert path.stat().st_size == 2**20 + 1
    assert len(record.mine("answer")) == 1


def test_lines_are_text_that_people_can_read():
    assert line_text({"kind": "answer", "typed": "45°"}).count("45°") == 1
