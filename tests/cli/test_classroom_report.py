"""``pullwright report``: mistakes counted by name over everybody's numbers."""

from xml.etree import ElementTree

import pytest

from workbook.classroom.kept import read_kept
from workbook.classroom.report import chart, mistakes_in, report_text
from workbook.cli import main
from workbook.exercises import exercise, wording
from workbook.figures.drawing.marks import Polygon
from workbook.language import caution

RIGHT = "right"
WHOLE, SINE, EVEN = "M01_whole_tension", "M02_sin_cos", "M05_plain_sum"


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def room(make_room):
    """Six students; M01 in five variants of three exercises, others fewer times."""
    room = make_room([{"name": f"Student {n}"} for n in range(7)])
    answers = [
        [("2.1", WHOLE), ("2.1", RIGHT)],
        [("2.2", WHOLE), ("2.4", EVEN)],
        [("2.6", WHOLE), ("2.4", EVEN), ("2.4", EVEN), ("2.4", EVEN)],
        [("2.1", RIGHT), ("2.2", "77 kN"), ("2.4", "99"), ("2.4", "99")],
        [("2.3", WHOLE), ("2.3", "M03_wrong_reference_line"), ("9.6", "no_change")],
        [("2.1", WHOLE), ("2.3", "M03_wrong_reference_line"), ("2.4", "=1+1 kN")],
    ]
    for code, own in zip(room.codes, answers, strict=False):
        room.hand_in(code, own)
    order = ["mark", str(room.file), str(room.folder), "-o", str(room.out)]
    assert main(order) == 0
    return room


def mistakes(room):
    return mistakes_in(read_kept(room.out / "marks.jsonl", room.list).answers)


def test_one_mistake_is_counted_over_all_numbers_and_exercises(room):
    found = {mistake.name: mistake for mistake in mistakes(room)}

    whole = found[WHOLE]
    numbers = {
        tuple(room.variant(code, id).numbers.values())
        for code, id in zip(
            [room.codes[n] for n in (0, 1, 2, 4, 5)],
            ("2.1", "2.2", "2.6", "2.3", "2.1"),
            strict=True,
        )
    }
    assert len(numbers) == 5
    assert (whole.students, whole.answers) == (5, 5)
    assert whole.exercises == ("2.1", "2.2", "2.3", "2.6")
    assert (found[EVEN].students, found[EVEN].answers) == (2, 4)
    assert (found["none_of_these"].students, found["unit_missing"].answers) == (1, 2)
    assert not {"right", "close"} & found.keys()


def test_the_most_common_come_first_and_the_unknown_last(room):
    names = [mistake.name for mistake in mistakes(room)]

    assert names == [
        WHOLE, EVEN, "M03_wrong_reference_line", "no_change",
        "none_of_these", "unit_missing", "words_before",
    ]  # fmt: skip


def test_the_sample_has_typed_text_numbers_and_the_right_answer(room):
    sample = next(m.sample for m in mistakes(room) if m.name == EVEN)

    code = min(room.codes[1:3])
    own = room.variant(code, "2.4")
    both = own.given.first + own.given.second
    assert sample.exercise == "2.4"
    assert sample.typed == room.typed_as(own, both)
    assert f"first {own.numbers['first']:g} kN" in sample.numbers
    assert sample.right == wording.answer_text(own)


def test_tomorrows_opener_has_the_three_commonest_with_what_to_say(room, capsys):
    capsys.readouterr()

    assert main(["report", str(room.file), str(room.out)]) == 0

    text = " ".join((room.out / "report.txt").read_text("utf-8").split())
    opener, rest = text.split("ALL MISTAKES BY NAME")
    for number, name in enumerate((WHOLE, EVEN, "M03_wrong_reference_line"), 1):
        assert f"{number}. {name}: " in opener
    for sentence in wording.refutation(exercise("2.4"), EVEN):
        assert sentence in opener
    assert "5 students, 5× in 2.1, 2.2, 2.3, 2.6" in opener
    assert "no_change: 1 student, 1× in 9.6" in rest
    unknown, held = rest.split("NOT RECOGNISED")[1].split("HELD: ASKED BACK")
    assert "none_of_these: " in unknown
    assert "unit_missing: " in held
    assert "words_before: " in held
    assert text.startswith("6 of 7 students handed in answers.")
    assert text.endswith(caution("S0"))
    out = capsys.readouterr().out
    assert f"{WHOLE}: 5 students, 5 times" in out
    assert not [name for name in room.list.students if name.name in text]


def test_the_picture_has_a_bar_for_each_mistake_as_long_as_its_count(room):
    found = mistakes(room)

    (panel,) = chart(found, 6).panels

    bars = [mark for mark in panel.drawing.moving if isinstance(mark, Polygon)]
    lengths = [max(x for x, _ in mark.points) for mark in bars]
    assert lengths == pytest.approx([m.students / 6 for m in found])
    assert {mark.role for mark in bars[:4]} == {"bar part"}
    assert {mark.role for mark in bars[4:]} == {"bar frame"}


def test_the_picture_is_a_whole_svg_that_names_every_mistake(room):
    main(["report", str(room.file), str(room.out)])

    root = ElementTree.fromstring((room.out / "report.svg").read_text("utf-8"))

    said = "".join(root.itertext())
    assert all(mistake.name in said for mistake in mistakes(room))


def test_one_lesson_alone_can_be_asked_for(room):
    assert main(["report", str(room.file), str(room.out), "--lesson", "L09"]) == 0

    text = (room.out / "report L09.txt").read_text("utf-8")
    assert "no_change" in text
    assert WHOLE not in text


def test_a_lesson_nobody_answered_is_refused(room, capsys):
    capsys.readouterr()

    assert main(["report", str(room.file), str(room.out), "--lesson", "L08"]) == 1

    assert "no answers to L08" in capsys.readouterr().err


def test_a_class_without_mistakes_gets_a_report_too(small_class):
    small_class.hand_in(small_class.codes[0], [("2.1", RIGHT)])
    order = [str(small_class.file), str(small_class.folder)]
    main(["mark", *order, "-o", str(small_class.out)])

    assert main(["report", str(small_class.file), str(small_class.out)]) == 0

    text = (small_class.out / "report.txt").read_text("utf-8")
    assert "No known mistake was made." in text


def test_what_was_typed_cannot_steer_the_terminal_that_shows_the_report(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", "\x1b[2J\u202e5 kN")])
    order = [str(small_class.file), str(small_class.folder)]
    main(["mark", *order, "-o", str(small_class.out)])

    main(["report", str(small_class.file), str(small_class.out)])

    text = (small_class.out / "report.txt").read_text("utf-8")
    assert "\\x1b[2J" in text
    assert not [c for c in text if not c.isprintable() and c != "\n"]


def test_a_report_of_nothing_still_reads(room):
    text = report_text([], students=0, listed=3)

    assert text.startswith("0 of 3 students")
    assert "They are those above." in text
