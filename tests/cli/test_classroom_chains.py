"""Whose file it is and what was done to it: marks nobody lowers, notes that ask."""

import json
import random
import shutil
from datetime import UTC, datetime, timedelta, timezone

import pytest

from widgets.question import ExerciseCard
from workbook.classroom.marking import mark_again, mark_folder
from workbook.classroom.marks import Corrections
from workbook.exercises.sets import EXIT
from workbook.language import text
from workbook.reader.chain import owner, text_sum
from workbook.reader.hand_in import write_hand_in
from workbook.reader.record import FILE, Record

RIGHT, WHOLE = "right", "M01_whole_tension"
NONE = Corrections()


def marked(room):
    """Mark the folder; return marks in per cent by code and exercise, and notes."""
    result = mark_folder(room.list, room.folder, room.out, corrections=NONE, titles={})
    scores = {place: round(100 * m["score"]) for place, m in room.marks().items()}
    return scores, [note.text for note in result.notes]


PHRASES = {
    "broken": "the chain breaks at line",
    "again": "goes on from an earlier line",
    "cut": "does not end as its record did",
    "starts": "different starts",
    "forked": "goes on in different ways",
    "apart": "Each was marked alone",
    "ahead": "still to come",
    "early": "before this workbook was made",
    "back": "the clock went back",
    "fast": "sooner than the question",
    "unchained": "no chain",
    "loose": "outside its chain",
    "before": "before records were chained",
}


def entry_of(note):
    """Return which of the things that a chain shows a note is about."""
    return next((name for name, part in PHRASES.items() if part in note), note)


def entries(notes):
    return [entry_of(note) for note in notes]


# ---------------------------------------------------------------- several hand-ins


@pytest.mark.parametrize("start", ["", "ff"])
def test_a_second_file_with_wrong_tries_before_lowers_nobodys_mark(small_class, start):
    code = small_class.codes[0]
    path = small_class.hand_in(code, [("2.1", RIGHT)])
    earlier = datetime(2026, 1, 12, 8, 59, 57, tzinfo=timezone(timedelta(hours=1)))
    small_class.hand_in(
        code, [("2.1", WHOLE)] * 3, name="a.txt", start=earlier, start_of=start
    )

    scores, notes = marked(small_class)

    assert scores == {(code, "2.1"): 100}
    (apart,) = [note for note in notes if entry_of(note) == "apart"]
    assert 'O\'Neill, Zoë "Z"' in apart
    assert f"2.1: 0 in a.txt, 100 in {path.name}." in apart
    assert ("starts" in entries(notes)) == bool(start)


def test_one_record_at_two_times_is_one_and_tells_of_no_quarrel(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", WHOLE)], name="monday.txt")
    small_class.hand_in(code, [("2.1", WHOLE), ("2.1", RIGHT)], name="tuesday.txt")
    shutil.copy(small_class.folder / "monday.txt", small_class.folder / "again.txt")

    scores, notes = marked(small_class)

    assert scores == {(code, "2.1"): 90}
    copied, earlier = notes
    assert "was handed in again, line for line, as monday.txt" in copied
    assert earlier.startswith("tuesday.txt")
    assert "goes on from again.txt" in earlier
    assert [x["file"] for x in small_class.kept("answer")] == ["tuesday.txt"] * 2


def test_two_computers_each_with_its_lesson_keep_both_marks(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)], name="a.txt", start_of="01")
    small_class.hand_in(code, [("7.1", RIGHT)], name="b.txt", start_of="02")

    scores, notes = marked(small_class)

    assert scores == {(code, "2.1"): 100, (code, "7.1"): 100}
    assert entries(notes) == ["starts", "apart"]
    assert "No two of them give different marks" in notes[1]


def test_marking_again_keeps_the_records_apart(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", WHOLE)] * 3, name="a.txt", start_of="01")
    small_class.hand_in(code, [("2.1", RIGHT)], name="b.txt", start_of="02")
    before, notes = marked(small_class)

    again = mark_again(small_class.list, small_class.out, corrections=NONE, titles={})

    after = {place: round(100 * m["score"]) for place, m in small_class.marks().items()}
    assert after == before == {(code, "2.1"): 100}
    assert again.changes == []
    assert [note.text for note in again.notes] == notes


# ------------------------------------------------------------- what is done to a file


class Desk:
    """One student's record, made by the cards, and what an attacker does to it."""

    def __init__(self, room, place):
        self.room, self.place = room, place
        place.mkdir()
        self.code = room.codes[0]
        self.record = Record(place / FILE)
        self.record.sign_in(student=self.code, class_key="oak")

    def answer(self, id, what):
        """Answer on the card of an exit question."""
        card = ExerciseCard(id, set=EXIT, record=self.record)
        own = card.task.variant
        wrong = {m.name: v for m, v in own.armed}.get(WHOLE)
        value = own.answer if what == RIGHT else wrong
        card.answer(self.room.typed_as(own, value), seconds=40.0)
        if card.task.work.asked_for_thinking:
            card.think(card.task.work.last.choices[0])

    def work(self):
        """Use two tries up, then be right; be right in another exercise."""
        self.answer("2.1", WHOLE)
        self.answer("2.1", WHOLE)
        self.answer("2.1", RIGHT)
        self.answer("2.2", RIGHT)

    def lines(self):
        """Return the lines of the record, ends included."""
        return self.record.path.read_bytes().splitlines(keepends=True)

    def put(self, lines):
        """Put other lines in the record."""
        self.record.path.write_bytes(b"".join(lines))

    def hand_in(self, change=None):
        """Hand in what the folder holds now, a change made to the lines of the file."""
        path = write_hand_in(Record(self.record.path), folder=self.room.folder)
        if change:
            raw = path.read_bytes().splitlines(keepends=True)
            first = next(n for n, x in enumerate(raw) if x.startswith(b"{"))
            rows = change(raw[first:-1])
            path.write_bytes(
                b"".join([*raw[:first], *rows, b"# end: %d lines\n" % len(rows)])
            )
        return path


@pytest.fixture
def desk(small_class, tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))
    return Desk(small_class, tmp_path / "lessons")


def wrong(raw):
    return b'"M01_whole_tension"' in raw


def test_an_honest_record_of_the_cards_gives_no_note(desk):
    desk.work()
    desk.hand_in()

    scores, notes = marked(desk.room)

    assert scores == {(desk.code, "2.1"): 70, (desk.code, "2.2"): 100}
    assert notes == []


def cut(rows):
    return [raw for raw in rows if not wrong(raw)]


def edit(old, new):
    def change(rows):
        found = [n for n, raw in enumerate(rows) if old in raw]
        rows[found[0]] = rows[found[0]].replace(old, new)
        return rows

    return change


def swapped(rows):
    rows[2], rows[4] = rows[4], rows[2]
    return rows


def doubled(rows):
    return [*rows[:4], rows[3], *rows[4:]]


def own_as_others(rows):
    """Hide wrong tries as if they were somebody else's, by what stands in the file."""
    hidden = {"format": 1, "kind": "others", "who": "01" * 8, "lines": ["01" * 8]}
    return [
        json.dumps({**hidden, "prev": json.loads(raw)["prev"]}).encode() + b"\n"
        if wrong(raw)
        else raw
        for raw in rows
    ]


def without_prev(rows):
    lines = [{k: v for k, v in json.loads(raw).items() if k != "prev"} for raw in rows]
    return [
        json.dumps(x, ensure_ascii=False).encode() + b"\n"
        for x in lines
        if x["kind"] not in {"start", "tip"}
    ]


ATTACKS = {
    "wrong tries cut out": (cut, {"broken"}),
    "last lines cut off": (lambda rows: rows[:-3], {"cut"}),
    "last lines cut off, not the tip": (lambda x: [*x[:-3], x[-1]], {"broken"}),
    "the start cut out": (lambda rows: rows[1:], {"broken"}),
    "a score changed": (edit(b'"score": 0.0', b'"score": 1.0'), {"broken"}),
    "a time changed": (edit(b'"time": "20', b'"time": "19'), {"broken"}),
    "what was typed changed": (edit(b'"typed": "', b'"typed": "1'), {"broken"}),
    "lines moved": (swapped, {"broken", "again"}),
    "a line doubled": (doubled, {"again"}),
    "own tries hidden as another's": (own_as_others, {"broken"}),
    "the chain taken out": (without_prev, {"unchained"}),
}  # fmt: skip


AT_THE_END = {name for name in ATTACKS if name.startswith("last lines")}
DONE = [
    pytest.param(*ATTACKS[name], where, id=f"{name}, in the {where}")
    for name in ATTACKS
    for where in ("record", "hand-in")
    if where == "hand-in" or name not in AT_THE_END
]


@pytest.mark.parametrize(("change", "seen", "where"), DONE)
def test_what_an_editor_does_is_told_by_name_and_is_no_verdict(
    desk, change, seen, where
):
    desk.work()
    if where == "record":
        desk.put(change(desk.lines()))
    desk.hand_in(change if where == "hand-in" else None)

    _, notes = marked(desk.room)

    told = [note for note in notes if entry_of(note) in seen]
    assert told, notes
    for note in told:
        if entry_of(note) != "unchained":
            assert 'O\'Neill, Zoë "Z"' in note
            assert "no verdict" in note
            assert "does that" in note


def test_own_tries_hidden_by_their_true_check_sums_are_told(desk):
    desk.work()
    start = json.loads(desk.lines()[0])["random"]
    who = owner(start, desk.code, "oak")

    def hidden(rows):
        for n, raw in enumerate(rows):
            if wrong(raw):
                line = {"format": 1, "kind": "others", "prev": json.loads(raw)["prev"]}
                line |= {"who": who, "lines": [text_sum(raw)]}
                rows[n] = json.dumps(line).encode() + b"\n"
        return rows

    desk.hand_in(hidden)

    _, notes = marked(desk.room)

    assert entries(notes)[0] == "broken"


def end_cut_off(desk):
    desk.work()
    desk.put(desk.lines()[:-2])


def fresh_folder(desk):
    desk.work()
    desk.record.path.rename(desk.place / "hidden")
    desk.record = Record(desk.record.path)
    desk.record.sign_in(student=desk.code, class_key="oak")
    desk.answer("2.1", RIGHT)


@pytest.mark.parametrize("hide", [end_cut_off, fresh_folder])
def test_what_no_laptop_can_show_is_not_claimed_to_be_seen(desk, hide):
    hide(desk)
    desk.hand_in()

    _, notes = marked(desk.room)

    assert notes == []


def test_another_students_lines_pasted_in_are_told(desk, tmp_path):
    other = Desk(desk.room, tmp_path / "other")
    other.code = desk.room.codes[1]
    other.record.sign_in(student=other.code, class_key="oak")
    other.answer("2.1", RIGHT)
    right = [x for x in other.lines() if b'"answer"' in x]
    desk.answer("2.2", RIGHT)
    mine = [x.replace(other.code.encode(), desk.code.encode()) for x in right]
    desk.put([*desk.lines(), *mine])
    desk.hand_in()

    scores, notes = marked(desk.room)

    assert scores[desk.code, "2.1"] < 100  # his numbers are others
    assert "broken" in entries(notes)
    assert any("2.1 (seed" in note for note in notes)


def test_a_fresh_folder_is_told_where_the_old_one_was_handed_in(desk, tmp_path):
    desk.answer("2.1", WHOLE)
    desk.hand_in()
    fresh = Desk(desk.room, tmp_path / "fresh")
    fresh.answer("2.1", RIGHT)
    fresh.hand_in()

    scores, notes = marked(desk.room)

    assert scores == {(desk.code, "2.1"): 100}
    assert entries(notes) == ["starts", "apart"]
    assert "2 different starts" in notes[0]


def test_tries_cut_off_and_gone_on_from_are_told_where_they_were_handed_in(desk):
    desk.answer("2.2", RIGHT)
    before = desk.lines()
    desk.answer("2.1", WHOLE)
    desk.hand_in()
    desk.put(before)
    desk.record = Record(desk.record.path)
    desk.answer("2.1", RIGHT)
    desk.hand_in()

    _, notes = marked(desk.room)

    assert entries(notes) == ["forked", "apart"]


def test_a_record_deleted_under_an_open_lesson_resets_no_tries(desk):
    desk.answer("2.1", WHOLE)
    desk.record.path.unlink()
    desk.answer("2.1", RIGHT)
    desk.hand_in()

    scores, notes = marked(desk.room)

    assert scores == {(desk.code, "2.1"): 90}
    assert notes == []


def test_two_students_at_one_computer_hand_in_without_a_note(desk):
    desk.work()
    second = desk.room.codes[1]
    desk.record.sign_in(student=second, class_key="oak")
    desk.work()
    desk.hand_in()
    desk.record.sign_in(student=desk.code, class_key="oak")
    desk.answer("7.1", RIGHT)
    desk.hand_in()

    scores, notes = marked(desk.room)

    assert scores[second, "2.1"] == scores[desk.code, "2.1"] == 70
    assert notes == []


def at(room, code, when, *, name="x.txt", **options):
    return room.hand_in(
        code, [("2.1", RIGHT), ("2.2", RIGHT)], name=name, start=when, **options
    )


CLOCKS = {
    "years ahead": (datetime.now(UTC) + timedelta(days=700), {"ahead"}),
    "years back": (datetime(2001, 5, 1, tzinfo=UTC), {"early"}),
    "an empty battery": (datetime(1970, 1, 1, 0, 1, tzinfo=UTC), {"early"}),
    "another time zone": (datetime.now(UTC) + timedelta(hours=20), set()),
}  # fmt: skip


@pytest.mark.parametrize(("when", "seen"), CLOCKS.values(), ids=CLOCKS.keys())
def test_a_clock_that_cannot_be_right_is_told(small_class, when, seen):
    at(small_class, small_class.codes[0], when)

    _, notes = marked(small_class)

    assert {*entries(notes)} == seen


@pytest.mark.parametrize(("back", "told"), [(3_600, True), (61, True), (30, False)])
def test_a_clock_set_back_is_told(small_class, back, told):
    code = small_class.codes[0]
    one, two = small_class.lines_of(code, [("2.1", RIGHT), ("2.2", RIGHT)])
    earlier = datetime.fromisoformat(one["time"]) - timedelta(seconds=back)
    rows = [one, {**two, "time": earlier.isoformat()}]
    path = small_class.folder / "x.txt"
    path.write_text(small_class.text_of(rows, student=code), "utf-8")

    scores, notes = marked(small_class)

    assert scores == {(code, "2.1"): 100, (code, "2.2"): 100}
    assert entries(notes) == (["back"] if told else [])


QUICK = {
    "both too short": (0, 1.0, True),
    "no time in the box": (0, None, True),
    "filled in first, then checked": (0, 60.0, False),
    "on paper first, then typed": (60, 1.0, False),
}


@pytest.mark.parametrize(("gap", "seconds", "told"), QUICK.values(), ids=QUICK.keys())
def test_right_sooner_than_the_question_can_be_read_is_told(
    small_class, gap, seconds, told
):
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", RIGHT), ("2.2", RIGHT), ("7.1", RIGHT)])
    for n, line in enumerate(lines):
        when = datetime(2026, 2, 1, 9, tzinfo=UTC) + timedelta(seconds=gap * n)
        line |= {"time": when.isoformat(), "seconds": seconds}
    path = small_class.folder / "x.txt"
    path.write_text(small_class.text_of(lines, student=code), "utf-8")

    _, notes = marked(small_class)

    assert entries(notes) == (["fast"] if told else [])
    assert not told or "2.2, 7.1" in notes[0] or "2.2 and 7.1" in notes[0]


# ---------------------------------------------------------------- before there was one


def test_hand_ins_without_a_chain_are_marked_and_told_in_one_note(small_class):
    one, two, _ = small_class.codes
    for code in (one, two):
        small_class.hand_in(code, [("2.1", WHOLE), ("2.1", RIGHT)], start_of="")

    scores, notes = marked(small_class)

    assert scores == {(one, "2.1"): 90, (two, "2.1"): 90}
    assert entries(notes) == ["unchained"]
    assert f"hand-in {one}.txt" in notes[0]
    assert f"hand-in {two}.txt" in notes[0]


def test_what_a_laptop_can_hide_stands_under_the_notes(small_class):
    small_class.hand_in(small_class.codes[0], [("2.1", RIGHT)])
    marked(small_class)

    told = (small_class.out / "notes.txt").read_text("utf-8")

    limits = text("classroom", "chain", "limits")
    assert limits in told
    assert "a fresh folder, where only its record was handed in" in limits


def test_any_bytes_in_the_chain_are_read_or_told(small_class):
    code, draws = small_class.codes[0], random.Random(5)
    path = small_class.hand_in(code, [("2.1", RIGHT), ("2.2", RIGHT)])
    rows = [json.loads(x) for x in path.read_text("utf-8").splitlines() if x[0] == "{"]
    odd = [None, 7, [], {}, "", "x" * 9_000, "\ud800", 10**400, [[1]], True, {"a": 1}]
    names = ("kind", "prev", "random", "who", "lines", "student", "class_key", "time")
    for _ in range(400):
        changed = [dict(row) for row in rows]
        changed.insert(2, {"kind": "others", "prev": "", "who": "", "lines": [1, "a"]})
        for _ in range(3):
            row = draws.choice(changed)
            row[draws.choice(names)] = draws.choice([*odd, "start", "others", "tip"])
        path.write_text("\n".join(map(json.dumps, changed)), "utf-8")
        shutil.rmtree(small_class.out, ignore_errors=True)

        _, notes = marked(small_class)

        assert notes
