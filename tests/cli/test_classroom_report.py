"""``pullwright report``: mistakes counted by name over everybody's numbers."""

import html
from xml.etree import ElementTree

import pytest

from widgets.prediction import PredictionLock
from widgets.question import ExerciseCard
from workbook.classroom.kept import read_kept
from workbook.classroom.mistakes import mistakes_in
from workbook.classroom.report import chart
from workbook.cli import main
from workbook.course import lesson
from workbook.course.lesson import SAFETY_GATE
from workbook.course.polls import poll_of
from workbook.course.shows import shown_by
from workbook.exercises import EXERCISES, exercise, wording
from workbook.exercises.replay import variant_of
from workbook.figures.drawing.marks import Polygon
from workbook.figures.pictures import subjects
from workbook.language import caution
from workbook.language import text as text_of
from workbook.quantities.units import METRIC
from workbook.reader.class_votes import CLASS_FILE, ClassVotes, choose
from workbook.reader.hand_in import write_hand_in
from workbook.reader.record import FILE, Record
from workbook.reader.way_in import WayIn
from workbook.scenes import codes

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
    assert sample.exercise.id == "2.4"
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
    names = [f"Student {n} ({room.codes[n]})" for n in range(7)]
    assert f"Students: {', '.join(names[n] for n in (1, 2))}." in opener
    assert f"Nothing came from {names[6]}." in text
    page = (room.out / "opener.html").read_text("utf-8")  # this one is for everybody
    assert html.escape(text_of("mistake", EVEN, "thought")) in page
    assert not [s for s in room.list.students if s.name in page or s.code in page]


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


def test_each_exercise_tells_who_is_right_at_which_try_with_hints_how_long(room):
    main(["report", str(room.file), str(room.out)])

    found = {(row["code"], row["exercise"]): row for row in room.table("report.csv")}
    one, _, three, four, *_ = room.codes
    told = {
        place: tuple(found[place].values())[3:9]
        for place in [(one, "2.1"), (three, "2.4"), (four, "2.4")]
    }
    assert told == {
        (one, "2.1"): ("right", "2", "2", "0", "25", "90"),
        (three, "2.4"): ("wrong", "", "3", "0", "38", "0"),
        (four, "2.4"): ("wrong", "", "1", "0", "25", "0"),
    }
    text = " ".join((room.out / "report.txt").read_text("utf-8").split())
    exercises = text.split("EXERCISES: ")[1]
    assert "2.1: right 1 at try 1, 1 at try 2. Middle time 12 s." in exercises
    assert f"Not right: Student 5 ({room.codes[5]}). 2.2: nobody was" in exercises


def test_files_that_are_not_as_they_were_are_left_out_and_named(room):
    path = f"hand-in {room.codes[1]}.txt"
    said = (room.folder / path).read_text("utf-8")
    (room.folder / path).write_text(said.replace('"score": 0.0', '"score": 1'), "utf-8")
    room.mark()

    main(["report", str(room.file), str(room.out)])

    text = " ".join((room.out / "report.txt").read_text("utf-8").split())
    assert f"1 file is left out here, for what notes.txt says of it: {path}" in text
    assert "4 students, 4× in 2.1, 2.3, 2.6" in text
    assert room.codes[1] not in {row["code"] for row in room.table("report.csv")}


def test_predictions_gates_and_what_came_after_are_told(room, tmp_path):
    explorer = lesson("L08").explorers[0]
    wrong = explorer.predict.wrong[0]
    for code, choice, answers in (
        (room.codes[0], "right", [("8.2", RIGHT)]),
        (room.codes[1], wrong, [("8.2", "1 deg"), ("8.2", RIGHT)]),
    ):
        record = Record(tmp_path / code / FILE)
        record.sign_in(student=code, class_key="oak")
        PredictionLock(explorer, record=record).lock(choice)
        for id, typed in [*answers, *((id, RIGHT) for id in SAFETY_GATE)]:
            own = room.variant(code, id)
            given = room.typed_text(own, typed)
            ExerciseCard(id, set="exit", record=record).answer(given)
            if code == room.codes[1]:
                break
        WayIn(lesson("L12"), record).open_by_hand("shown at the bench")
        record.append("gate", lesson="L08", gate="x", outcome="go", reason="quick")
        write_hand_in(record, folder=room.folder)
        (room.folder / f"hand-in {code}.txt").unlink()
    room.mark()
    assert main(["remark", str(room.file), str(room.out)]) == 0  # they are kept

    main(["report", str(room.file), str(room.out)])

    names = [f"Student {n} ({code})" for n, code in enumerate(room.codes)]
    text = " ".join((room.out / "report.txt").read_text("utf-8").split())
    assert f"L08 {explorer.name}: 1 of 2 predicted right, and 0 typed" in text
    assert f"Others chose {wrong} 1×." in text
    first = f"{lesson('L08').exit} right at once: 1 of 1 who predicted right"
    assert f"{first}, 0 of 1 others." in text
    assert "Passed the safety gate, 11.3, 11.5: 1." in text
    assert f"Not yet through the safety gate: {names[1]}" in text
    assert "L12 was opened by hand for Student 1: shown at the bench" in text
    assert f"Would have gone on at a stop-and-think question: {names[0]}" in text


def test_the_opener_asks_refutes_and_shows_with_the_students_numbers(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("8.4", "M14_bridle_half"), ("2.7", "<b> 1 kN")])
    small_class.mark()

    main(["report", str(small_class.file), str(small_class.out)])

    page = (small_class.out / "opener.html").read_text("utf-8")
    screens = page.split("<section>")[1:]
    own = small_class.variant(code, "8.4")
    assert len(screens) == 4
    assert caution("S0") in html.unescape(screens[0])
    assert f"{own.numbers['pull']:g} kN" in screens[1]
    assert all(html.escape(x) in screens[2] for x in wording.refutation(
        exercise("8.4"), "M14_bridle_half"))  # fmt: skip
    shown = shown_by(own, "M14_bridle_half")
    assert shown.how == "numbers"
    assert shown.code in screens[3]
    assert "<svg" in screens[3]


# Exercises whose numbers an explorer of their lesson can show, under names of its own.
SHOWN = {
    "2.1": {"tension": "tension_kn", "angle": "angle_deg"},
    "2.4": {"first": "tension_kn", "second": "second_kn", "between": "between_deg"},
    "2.5": {"first": "tension_kn", "second": "second_kn", "between": "between_deg"},
    "2.6": {"useful_pull": "useful_kn", "angle": "angle_deg"},
    "3.1": {"pull": "pull_kn", "offset": "side_mm", "width": "width_mm"},
    "3.2": {"pull": "pull_kn", "offset": "side_mm", "width": "width_mm"},
    "3.3": {
        "tension": "pull_kn", "rise": "rise_deg", "ahead": "hook_ahead_mm",
        "spacing": "spacing_mm",
    },
    "3.4": {"tension": "pull_kn", "rise": "rise_deg"},
    "6.3": {
        "pull": "tension_kn", "pull_height": "pull_height_mm",
        "hold_height": "hold_height_mm",
    },
    "6.4": {"tension": "tension_kn", "off": "angle_deg"},
    "8.4": {"pull": "pull_kn", "between": "between_deg"},
    "8.6": {"spacing": "spacing_mm", "between": "between_deg"},
    "9.1": {"span": "span_mm", "slack": "slack_mm"},
    "15.3": {
        "edge": "edge_mm", "sheet": "sheet_mm", "strength": "strength_n_per_mm2",
    },
    "15.4": {"pull": "pull_kn", "between": "between_deg"},
}  # fmt: skip


def test_the_set_up_with_a_questions_numbers_shows_its_right_answer():
    known = {}
    for (id, version), one in EXERCISES.items():
        if exercise(id).version != version or not one.mistakes:
            continue
        for student in range(3):
            own = variant_of(one, class_key="k", student=f"{student}", set="exit")
            shown = shown_by(own, "none")
            if shown is None or shown.how != "numbers":
                continue  # not all can be set to what was drawn
            left, known[id] = dict(shown.change), {}
            for name, number in own.numbers.items():
                field = next(f for f in left if left[f] == pytest.approx(number))
                known[id][name] = field
                del left[field]
            subject = subjects()[shown.explorer.subject]
            values = codes.decode(subject.word, subject.fields, shown.code)
            amounts = subject.amounts(subject.solve(values)).values()
            assert any(abs(v - own.answer) <= own.tolerance for v, _ in amounts)
    assert known == SHOWN


def test_votes_before_and_after_stand_in_the_report_and_in_the_opener(
    room, tmp_path, capsys
):
    file = tmp_path / "votes of the week.jsonl"
    asked = poll_of(lesson("L02"), class_key=room.list.key, system=METRIC)
    right = next(one for one in asked.choices if one.right)
    wrong = next(one for one in asked.choices if one.name == WHOLE)
    for key in (room.list.key, "another class"):
        choose(file, lesson="L02", class_key=key)
        votes = ClassVotes(file, "L02")
        votes.begin()
        votes.vote({right.letter: 11, wrong.letter: 13}, number=1)
    choose(file, lesson="L02", class_key=room.list.key.upper())
    votes.vote({right.letter: 5, wrong.letter: 19}, number=1)
    votes.vote({right.letter: 15, wrong.letter: 9}, number=2)
    votes.about = "2.1"
    votes.vote({"A": 24}, number=1)
    choose(file, lesson="L02", class_key="another class")
    votes.about = "2.2"
    votes.vote({"A": 8}, number=1)

    order = ["report", str(room.file), str(room.out), "--lesson", "L02"]
    assert main([*order, "--votes", str(file)]) == 0

    text = " ".join((room.out / "report L02.txt").read_text("utf-8").split())
    assert f"{wrong.letter} 19 → 9 ({wrong.text})" in text
    assert f"{right.letter} is right: 5 of 24, 15 of 24 after talking." in text
    assert f"Most others took {wrong.letter}: {wrong.tells}" in text
    assert "L02 2.1: A 24 (" in text
    assert "L02 2.2" not in text
    page = (room.out / "opener L02.html").read_text("utf-8")
    assert "You voted on this in L02. Vote again." in page
    assert "<dd>19 → 9 hands</dd>" in page
    assert html.escape(f"Right: {right.letter}, {right.text}") in page

    choose(file, lesson="L02", class_key=room.list.key)
    votes.about = ""
    votes.vote({right.letter: 20, wrong.letter: 4}, number=2)
    file.rename(room.file.parent / CLASS_FILE)  # where it is looked for
    assert main(order) == 0
    assert "20 of 24 after talking" in (room.out / "report L02.txt").read_text("utf-8")
    page = (room.out / "opener L02.html").read_text("utf-8")
    assert "<dd>19 → " not in page  # most are right by now
    assert main([*order, "--votes", str(file)]) == 1
    assert "votes of the week.jsonl is no file of votes" in capsys.readouterr().err
