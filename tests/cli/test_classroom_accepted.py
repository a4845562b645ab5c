"""What a session plan takes for right after all, or drops: marked again, taken back."""

import pytest

from workbook.cli import main

RIGHT = "right"
WHOLE = "M01_whole_tension"
pytestmark = pytest.mark.usefixtures("own_settings")


@pytest.fixture
def marked(small_class):
    """Mark two students once: mistakes, close, held, after the answer was shown."""
    one, two, _ = small_class.codes
    close = [("2.3", lambda own: small_class.typed_as(own, own.answer * 1.03))]
    odd = [("2.2", "3 kN"), ("2.2", "3.05 kN"), ("2.2", "9")]
    small_class.hand_in(one, [("2.1", "1 kN"), ("2.1", WHOLE), *close, *odd])
    late = [("2.1", "1 kN")] * 3
    small_class.hand_in(two, [*late, ("2.1", WHOLE), ("2.2", "4 kN"), ("2.4", RIGHT)])
    small_class.mark()
    return small_class


def remark(room, plan):
    """Mark again under a plan; return what that changed."""
    room.file.with_name("session.toml").write_text(f"form = 1\n{plan}", "utf-8")
    before = len([*room.out.glob("changes-*.csv")])
    assert main(["remark", str(room.file), str(room.out)]) == 0
    if len([*room.out.glob("changes-*.csv")]) == before:
        return {}
    rows = room.table(f"changes-{before + 1}.csv")
    return {
        (row["code"], row["exercise"]): (row["old mark"], row["new mark"], row["why"])
        for row in rows
    }


ACCEPT = f"""[lessons.L02.accept]
"2.1" = ["{WHOLE}"]
"2.2" = ["3 kN"]
"2.3" = ["close"]
"""


def test_what_is_right_after_all_counts_at_its_try_and_can_be_taken_back(marked):
    one, *_ = marked.codes
    before = marked.marks()

    given = remark(marked, ACCEPT)

    assert given == {
        (one, "2.1"): ("0", "90", f"accepted for all: {WHOLE}"),
        (one, "2.2"): ("0", "100", "accepted for all: 3 kN"),
        (one, "2.3"): ("80", "100", "accepted for all: close"),
    }  # the second student's came after the answer was shown, or is another value
    notes = (marked.out / "notes.txt").read_text("utf-8")
    assert f"2.1: {WHOLE} is right after all, in 1 answer." in notes
    # 3.05 kN lies within two per cent of 3 kN; what was held stays held.
    assert "2.2: 3 kN is right after all, in 2 answers." in notes
    names = {x["outcome"] for x in marked.kept("answer") if x["code"] == one}
    assert names == {"none_of_these", "accepted", "unit_missing"}

    back = remark(marked, "")

    assert {place: (old, new) for place, (old, new, _) in back.items()} == {
        place: (new, old) for place, (old, new, _) in given.items()
    }
    assert back[one, "2.2"][2] == "no longer: accepted for all: 3 kN"
    assert marked.marks() == before


def test_a_dropped_exercise_makes_no_mark_and_the_lessons_marks_are_listed(marked):
    one, two, _ = marked.codes
    few = 'counts = ["2.1", "2.3", "2.4"]'
    first = remark(marked, f"[lessons.L02]\n{few}")
    why = "what counts now: 2.1, 2.3, 2.4"
    # Of all seven exercises the first had 0.8, the second 1.
    assert first[one, "L02"] == ("11.43", "26.67", why)
    assert first[two, "L02"] == ("14.29", "33.33", why)

    dropped = remark(marked, f'[lessons.L02]\n{few}\ndrop = ["2.1"]')

    why = "what counts now: 2.3, 2.4"
    assert dropped[one, "L02"] == ("26.67", "40", why)
    assert dropped[two, "L02"] == ("33.33", "50", why)
    rows = {row["code"]: row for row in marked.table("marks-by-exercise.csv")}
    assert (rows[one]["2.1"], rows[one]["L02"]) == ("0", "40")
    assert "2.1 makes no mark." in (marked.out / "notes.txt").read_text("utf-8")
    assert remark(marked, f"[lessons.L02]\n{few}")[one, "L02"][:2] == ("40", "26.67")


def test_notes_stand_in_short_with_names_then_under_each_student(marked, capsys):
    one, two, _ = marked.codes
    path = marked.folder / f"hand-in {one}.txt"
    path.write_text(path.read_text("utf-8").replace('"1 kN"', '"1.1 kN"'), "utf-8")
    (marked.folder / "photo.jpg").write_bytes(b"\0")
    capsys.readouterr()

    marked.mark()

    name = f'O\'Neill, Zoë "Z" ({one})'
    said = (marked.out / "notes.txt").read_text("utf-8")
    short, own, nobodys, *_ = said.split("\n\n")
    assert "1 handed in a record that is not as it was written: " + name in short
    assert "1 file was not read: photo.jpg" in short
    assert own.startswith(name)
    assert "the chain breaks at line" in own
    assert two not in own
    assert "photo.jpg is not a text file" in nobodys
    err = capsys.readouterr().err
    assert "note: 1 file was not read: photo.jpg" in err
    assert "the chain breaks" not in err  # the terminal has it in short
