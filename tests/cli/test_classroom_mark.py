"""``pullwright mark``: what counts, and what is kept of every try."""

import json

import pytest

from widgets.prediction import PredictionLock
from widgets.question import ExerciseCard
from workbook.course import lesson
from workbook.exercises import exercises_of
from workbook.reader.hand_in import write_hand_in, write_hand_ins
from workbook.reader.record import FILE, Record

RIGHT = "right"
WHOLE = "M01_whole_tension"

pytestmark = pytest.mark.usefixtures("own_settings")


def test_marks_follow_the_tries(small_class):
    one, two, three = small_class.codes
    small_class.hand_in(one, [("2.1", RIGHT), ("2.2", WHOLE), ("2.2", RIGHT)])
    small_class.hand_in(two, [("2.1", WHOLE)] * 3 + [("2.1", RIGHT)])
    small_class.hand_in(three, [("2.1", "12"), ("2.1", "13"), ("9.1", "v_shape")])

    small_class.mark()

    scores = {place: m["score"] for place, m in small_class.marks().items()}
    assert scores == {
        (one, "2.1"): 1.0,
        (one, "2.2"): 0.9,
        (two, "2.1"): 0.0,
        (three, "2.1"): 0.0,
        (three, "9.1"): 0.6,
    }
    assert small_class.notes() == []


def test_what_the_cards_write_marks_as_the_screen_said(small_class, tmp_path):
    code = small_class.codes[0]
    record = Record(tmp_path / FILE)
    record.sign_in(student=code, class_key=" OAK ")

    def right_of(id):
        own = small_class.variant(code, id)
        return small_class.typed_as(own, own.answer)

    for one in exercises_of("L08"):
        card = ExerciseCard(one.id, set="exit", record=record)
        wrong = ("1", "2", "3 kN") if one.id in {"8.3", "8.4"} else ("1",)
        for typed in (*wrong, right_of(one.id)):
            card.answer(typed)
            if card.task.work.asked_for_thinking:
                card.think(card.task.work.last.choices[-1])
    on_screen = {
        one.id: ExerciseCard(one.id, set="exit", record=record).task.work.best
        for one in exercises_of("L08")
    }
    write_hand_in(record, folder=small_class.folder)

    small_class.mark()

    assert small_class.notes() == []
    marks = {id: m["score"] for (_, id), m in small_class.marks().items()}
    assert marks == on_screen
    assert len(set(marks.values())) > 1


def test_both_of_a_pair_are_marked(small_class, tmp_path):
    driver, checker = small_class.codes[:2]
    record = Record(tmp_path / FILE)
    record.sign_in(student=driver, class_key="oak", pair=checker)
    lock = PredictionLock(lesson("L07").explorers[0], record=record)
    lock.know()
    card = ExerciseCard("7.2", set="exit", record=record)
    on_screen = {}
    for code, wrong in ((driver, ["1 kN"]), (checker, ["1 kN", "2 kN"])):
        right = small_class.typed_as(card.task.variant, card.task.variant.answer)
        for typed in (*wrong, right):
            card.answer(typed)
        on_screen[code] = card.task.work.best
        record.swap()
    write_hand_ins(record, folder=small_class.folder)

    small_class.mark()

    assert small_class.notes() == []
    assert {code: m["score"] for (code, _), m in small_class.marks().items()} == (
        on_screen
    )
    assert len({*on_screen.values()}) == 2


def test_what_a_lesson_asks_besides_bears_on_no_mark_and_is_no_trouble(
    small_class, tmp_path
):
    code = small_class.codes[0]
    record = Record(tmp_path / FILE)
    record.sign_in(student=code, class_key="oak")
    for explorer, passes_by in zip(lesson("L08").explorers, (True, False), strict=True):
        lock = PredictionLock(explorer, record=record)
        lock.know() if passes_by else lock.lock("right")
        lock.look("12 kN")
    card = ExerciseCard("8.1", set="exit", record=record)
    card.answer("1")
    write_hand_in(record, folder=small_class.folder)

    small_class.mark()

    kinds = [line["kind"] for line in record.mine("known", "prediction", "observation")]
    assert kinds == ["known", "observation", "prediction", "observation"]
    assert small_class.notes() == []
    assert [*small_class.marks()] == [(code, "8.1")]


def test_a_later_part_goes_on_from_what_was_really_typed(small_class):
    code = small_class.codes[0]
    angle = small_class.variant(code, "7.6a").answer * 1.3

    def right_from(angle):
        own = small_class.variant(code, "7.6b")
        return small_class.typed_as(own, own.carrying(angle).answer)

    path = small_class.hand_in(
        code,
        [
            ("7.6a", f"{angle:.6f} rad"),
            ("7.6b", right_from(angle)),
        ],
    )
    forged = [json.loads(x) for x in path.read_text().splitlines() if '"answer"' in x]
    forged[1]["typed"] = right_from(angle * 1.2)
    forged[1]["carried"] = angle * 1.2

    small_class.mark()
    honest = small_class.marks()[code, "7.6b"]["score"]
    path.write_text(small_class.text_of(forged, student=code), "utf-8")
    small_class.mark()

    assert honest == 1.0
    assert small_class.marks()[code, "7.6b"]["score"] < 1.0
    assert "in 7.6b (outcome, value, score, carried)" in small_class.notes()[0]


def test_a_part_given_up_earns_nothing_more_and_is_not_gone_on_from(
    small_class, tmp_path
):
    code = small_class.codes[0]
    record = Record(tmp_path / FILE)
    record.sign_in(student=code, class_key="oak")
    cards = {id: ExerciseCard(id, set="exit", record=record) for id in ("7.6a", "7.6b")}

    cards["7.6b"].give_up_earlier()
    own = cards["7.6b"].task.variant
    cards["7.6b"].answer(small_class.typed_as(own, own.answer))
    write_hand_in(record, folder=small_class.folder)
    (path,) = small_class.folder.iterdir()
    rows = path.read_text("utf-8").splitlines()
    lines = [json.loads(x) for x in rows if '"student"' in x]
    small_class.mark()
    honest = {id: mark["score"] for (_, id), mark in small_class.marks().items()}
    (late,) = small_class.lines_of(code, [("7.6a", RIGHT)])
    forged = small_class.text_of([*lines, late], student=code)
    path.write_text(forged, "utf-8")
    small_class.mark()

    assert [x["kind"] for x in lines] == ["identity", "given_up", "answer"]
    assert honest == {"7.6b": 1.0}
    assert small_class.marks()[code, "7.6a"]["score"] == 0.0
    assert any("7.6a (score" in note for note in small_class.notes())


def test_every_try_is_kept_with_what_was_typed_and_when(small_class):
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", "12"), ("2.1", "1 kN"), ("2.1", RIGHT)])
    lines = [{**line, "pair": "K9"} for line in lines]
    hint = {**lines[0], "kind": "hint", "number": 2}
    text = small_class.text_of([*lines[:2], hint, lines[2]], student=code)
    (small_class.folder / "a.txt").write_text(text, "utf-8")

    small_class.mark()

    held, wrong, right = small_class.kept("answer")
    assert (held["held"], held["outcome"], held["try"]) == (True, "unit_missing", 0)
    assert (wrong["value"], wrong["unit"], wrong["try"]) == (1e3, "kN", 1)
    assert [x["hints"] for x in (held, wrong, right)] == [0, 0, 2]
    assert (right["score"], right["try"], right["typed"]) == (0.9, 2, lines[2]["typed"])
    assert (right["time"], right["seconds"]) == (lines[2]["time"], 12.5)
    assert (right["file"], right["pair"]) == ("a.txt", "K9")
    assert right["numbers"] == dict(small_class.variant(code, "2.1").numbers)


@pytest.mark.parametrize(
    ("set", "attempt"),
    [("practice", 1), ("practice", 2), ("review", 1), ("test", 1), ("exit", 2)],
)
def test_what_does_not_count_earns_no_mark_but_is_kept(small_class, set, attempt):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)], set=set, attempt=attempt)

    small_class.mark()

    assert small_class.marks() == {}
    (kept,) = small_class.kept("answer")
    assert (kept["outcome"], kept["set"], kept["attempt"]) == (RIGHT, set, attempt)
    assert small_class.notes() == []


def test_an_answer_that_was_marked_is_more_than_one_that_was_held(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", "12"), ("2.1", WHOLE)])

    small_class.mark()

    found = small_class.marks()[code, "2.1"]
    assert (found["held"], found["outcome"]) == (False, WHOLE)


def test_wrong_practice_uses_nothing_up(small_class):
    code = small_class.codes[0]
    wrong = small_class.lines_of(code, [("2.1", "1 kN")] * 3, set="practice")
    right = small_class.lines_of(code, [("2.1", RIGHT)])
    text = small_class.text_of([*wrong, *right], student=code)
    (small_class.folder / "a.txt").write_text(text, "utf-8")

    small_class.mark()

    assert small_class.marks()[code, "2.1"]["score"] == 1.0
    assert small_class.notes() == []


def test_a_line_of_no_known_set_is_not_marked(small_class):
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", RIGHT)] * 3)
    for line, set in zip(lines, ("Exit", None, ["exit"]), strict=True):
        line["set"] = set
    text = small_class.text_of(lines, student=code)
    (small_class.folder / "a.txt").write_text(text, "utf-8")

    small_class.mark()

    assert small_class.marks() == {}
    assert "3 lines that lack what an answer needs" in small_class.notes()[0]


def test_the_same_answers_handed_in_twice_count_once(small_class):
    code = small_class.codes[0]
    first = [("2.1", WHOLE), ("2.1", "1 kN")]
    small_class.hand_in(code, first, name="monday.txt")
    small_class.hand_in(code, [*first, ("2.1", RIGHT)], name="friday.txt")

    small_class.mark()

    assert small_class.marks()[code, "2.1"]["score"] == 0.7
    assert len(small_class.kept("answer")) == 3
    (note,) = small_class.notes()
    assert note.startswith("friday.txt of ")
    assert "goes on from monday.txt" in note


def test_a_late_hand_in_changes_its_own_mark_and_lists_it(small_class, capsys):
    one, two, three = small_class.codes
    small_class.hand_in(one, [("2.1", RIGHT)])
    small_class.mark()
    small_class.hand_in(two, [("2.1", RIGHT)])
    capsys.readouterr()

    small_class.mark()

    (row,) = small_class.table("changes-1.csv")
    assert (row["code"], row["old mark"], row["new mark"]) == (two, "", "100")
    assert row["why"] == "something else was handed in"
    said = capsys.readouterr().out
    assert f"changed: =Kim ({two}) 2.1 none -> 100" in said
    assert f"Nothing to mark from 1: Łukasz ({three})." in said
