"""The lock of a prediction holds an explorer until something is answered."""

import re
from dataclasses import replace

import pytest

from widgets import LessonParts
from widgets.prediction import PredictionLock
from workbook.course import lesson, lessons
from workbook.figures.pictures import subjects
from workbook.language import say, text
from workbook.quantities.units import INCH
from workbook.reader.record import record_here
from workbook.reader.settings import remember_units

ONE = lesson("L00").explorers[0]


def held(explorer):
    return explorer.held


# What a lock holds of each explorer is in test_held_explorers.
@pytest.fixture(params=["pull", "roller"])
def subject(request):
    """Return the subject with the most to be set, and the one with the least."""
    return subjects()[request.param]


@pytest.fixture
def explorer(made):
    return made(lock=PredictionLock(ONE))


def press(lock, act, **sent):
    """Send what the page sends when a reader presses a button of the card."""
    typed = {"own": "", "look": ""} | sent.pop("typed", {})
    lock._handle_custom_msg({"act": act, "typed": typed, **sent}, [])


def test_a_choice_locks_and_lets_the_controls_go(explorer):
    assert held(explorer)
    assert explorer.lock.frame["state"] == "open"

    press(explorer.lock, "lock", choice="slip_sign")

    assert explorer.lock.answer == "to the right"
    assert explorer.lock.outcome == "slip_sign"
    assert explorer.lock.frame["state"] == "locked"
    assert not held(explorer)


@pytest.mark.parametrize("act", [("lock", "slip_sign"), ("know", None)])
def test_controls_are_free_before_the_card_asks_what_was_seen(explorer, act):
    """Who reads on at once types into a box that takes it."""
    asked, box = [], explorer.panel.front[0]
    explorer.lock.observe(
        lambda change: asked.append("pw-held" in box._dom_classes), names="frame"
    )

    press(explorer.lock, act[0], choice=act[1])

    assert asked == [False]


@pytest.mark.parametrize("choice", [None, "none_of_these", "nonsense"])
def test_an_empty_prediction_does_not_lock_and_is_told(explorer, choice):
    press(explorer.lock, "lock", choice=choice)

    assert explorer.lock.answer is None
    assert explorer.lock.frame["note"] == say("prediction", "choose")
    assert held(explorer)
    assert not record_here().path.exists()


@pytest.mark.parametrize("choice", [None, "none_of_these"])
def test_an_answer_of_ones_own_locks_too(explorer, choice):
    press(explorer.lock, "lock", choice=choice, typed={"own": " about the same "})

    assert explorer.lock.answer == "about the same"
    assert explorer.lock.outcome == "none_of_these"
    assert not held(explorer)


def test_nothing_on_the_card_gives_the_answer_before_it_is_locked(explorer):
    frame = explorer.lock.frame

    assert "result" not in frame
    assert "because" not in frame
    assert say("prediction", "look") not in str(frame)
    assert "%" not in str(frame)  # how near is near enough


def test_once_locked_the_focus_goes_to_what_is_seen(explorer):
    press(explorer.lock, "lock", choice="right")

    frame = explorer.lock.frame
    assert (frame["focus"], frame["form"]["act"]) == ("form", "look")
    assert frame["title"] == say("prediction", "yours", answer="to the left")


# ------------------------------------------------------------------ I know this


def test_whoever_knows_it_passes_by_and_it_is_kept(explorer):
    press(explorer.lock, "know")

    (line,) = record_here().mine("known")
    assert (line["lesson"], line["explorer"]) == ("L00", "one_pull")
    assert line["question"] == ONE.predict.question
    assert not record_here().mine("prediction")
    assert explorer.lock.frame["state"] == "known"
    assert not held(explorer)


def test_to_know_it_stands_beside_the_lock(explorer):
    (beside,) = explorer.lock.frame["form"]["beside"]

    assert beside == {"act": "know", "text": say("prediction", "know")}


def test_what_is_known_comes_back_and_a_number_may_still_be_typed(made):
    press(PredictionLock(ONE), "know")

    again = made(lock=PredictionLock(ONE))
    state = again.lock.frame["state"]
    press(again.lock, "look", typed={"look": "0°"})

    assert (state, held(again)) == ("known", False)
    assert again.lock.frame["result"]["lines"]
    assert "because" not in again.lock.frame or again.lock.frame["because"] is None


# ------------------------------------------------------------------------- seen


@pytest.mark.parametrize(
    ("typed", "state"),
    [
        *(("to the left", "locked"), ("7", "locked"), ("7 or 8°", "locked")),
        *(("7 kN", "locked"), ("7°", "seen"), ("7,5 deg", "seen")),
    ],
)
def test_only_an_amount_counts_as_seen_and_anything_is_kept(explorer, typed, state):
    press(explorer.lock, "lock", choice="right")
    press(explorer.lock, "look", typed={"look": f" {typed} "})

    assert explorer.lock.frame["state"] == state
    assert [x["typed"] for x in record_here().mine("observation")] == [typed]


def test_what_is_to_be_read_off_is_named_once_it_tells_no_answer(explorer):
    named = text("amount", explorer.lock.one.observe.amount)
    before = str(explorer.lock.frame)
    press(explorer.lock, "lock", choice="right")
    (box,) = explorer.lock.frame["form"]["fields"]

    assert f"It is called “{named}”." in box["label"]
    assert "It is called" not in before


def test_words_alone_are_answered_with_a_wish_for_a_number(explorer):
    press(explorer.lock, "lock", choice="right")
    press(explorer.lock, "look", typed={"look": "it turns"})

    frame = explorer.lock.frame
    assert frame["result"]["lines"] == [say("prediction", "number_missing")]
    assert frame["because"] is None


def test_nothing_typed_is_told_and_not_kept(explorer):
    press(explorer.lock, "lock", choice="right")
    press(explorer.lock, "look", typed={"look": "  "})

    assert explorer.lock.frame["note"] == say("typed", "blank")
    assert record_here().mine("observation") == []


# ------------------------------------------------------------------------ givens


def test_what_is_given_stands_beside_the_question_in_the_readers_units():
    asked = lesson("L07").explorer("lean")
    given = replace(asked.predict, givens=("ram_force_kn", "chain_at_head"))

    told = PredictionLock(replace(asked, predict=given)).frame["givens"]
    remember_units(INCH)
    inch = PredictionLock(replace(asked, predict=given)).frame["givens"]

    labels = [text("field", "pull", name, "label") for name in given.givens]
    assert [label for label, _ in told] == labels
    # 40 kN are 40,000 N / 4.4482 N per lbf = 8,992 lbf.
    assert (told[0][1], inch[0][1]) == ("40.0 kN", "8992 lbf")
    nothing = replace(asked.predict, givens=())
    assert PredictionLock(replace(asked, predict=nothing)).frame["givens"] is None


def test_other_units_show_the_choices_anew():
    explorer = LessonParts(lesson("L07")).explorer()
    before = explorer.lock.frame["form"]["choices"]

    explorer.use_units(INCH.name)

    after = explorer.lock.frame["form"]["choices"]
    assert {"43.5 kN"} & {text for _, text in before}
    assert [name for name, _ in after] == [name for name, _ in before]
    assert all("lbf" in text for _, text in after[:-1])


def test_a_hidden_picture_has_the_sketch_of_its_question_in_its_place():
    for one in lessons().values():
        for explorer in one.explorers:
            made = LessonParts(one).explorer(explorer.name)
            if not explorer.curtain:
                assert made.lock.sketch is None
                continue
            picture = made.stage.frame["picture"]
            assert picture.count("<svg") == 1, (one.id, explorer.name)
            assert "pw-curtained" in made.box._dom_classes
            made.lock.lock("right")
            assert made.stage.frame["picture"] != picture
            assert "pw-curtained" not in made.box._dom_classes


# ---------------------------------------------------------------- whose it is


def test_the_card_tells_whose_work_it_is_once_there_is_a_record():
    lock = PredictionLock(ONE)
    assert lock.frame["whose"] == ""

    press(lock, "lock", choice="right")
    mine = lock.frame["whose"]
    record_here().sign_in(student="K7", class_key="oak")

    assert len(mine) == 16
    assert len({mine, lock.frame["whose"], ""}) == 3


def test_units_are_those_remembered():
    remember_units(INCH)

    assert "lbf" in str(PredictionLock(lesson("L07").explorers[0]).frame["form"])


# What is expected, as it is drawn --------------------------------------------


def explorer_of(lesson_id, name, made_with=LessonParts):
    return made_with(lesson(lesson_id)).explorer(name)


DRAWN = [
    ("L02", "swing", "M02_sin_cos", "picture", "P 6.8 kN"),
    ("L03", "body", "M25_even_share", "beside", "P: expected"),
    ("L06", "line", "M02_sin_cos", "beside", "P: expected"),
    ("L06", "two", "M06_half_way", "picture", "P 12.0 kN"),
    ("L07", "lean", "M11_ram_half", "beside", "P: expected"),
    ("L08", "slot", "M18_slot_shift_only", "picture", "P 50 mm"),
    ("L08", "bridle", "M14_bridle_half", "beside", "P: expected"),
    ("L09", "hung", "M19_sag_is_slack", "picture", "P 15.0 mm"),
    ("L10", "path", "slip_mult_div", "beside", "P: expected"),
    ("L14", "body", "M16_one_chain", "beside", "P: expected"),
    ("L15", "rail", "M30_no_springback", "picture", "P 14.0 mm"),
    ("L15", "edge", "one_edge_only", "beside", "P: expected"),
]


@pytest.mark.parametrize(("id", "name", "choice", "where", "words"), DRAWN)
def test_what_is_expected_stands_in_the_picture_only_once_it_is_locked(
    id, name, choice, where, words
):
    explorer = explorer_of(id, name)
    # The projector leaves what is beside it room for letters only.
    short = {words, "P"}

    def texts():
        return {text for text in re.findall(r">([^<>]+)</text>", frame()[where])}

    def frame():
        return explorer.stage.frame

    assert not short & texts()
    explorer.lock.lock(choice)

    assert short & texts()
    assert "In the picture it is P." in explorer.lock.frame["title"]
    assert "near" in frame()[where] or "band" in frame()[where]
    # What was seen does not take it away.
    explorer.lock.look("1 kN")
    assert short & texts()


def test_what_is_expected_is_in_the_readers_units_and_as_they_typed_it():
    explorer = explorer_of("L07", "lean")
    explorer.lock.lock(None, own="9000 lbf")

    assert explorer.lock.expected.value == pytest.approx(9000 * 4.4482216)
    assert "40.0 kN" in explorer.stage.frame["beside"]
    explorer.use_units("lbf-inch")
    assert "9000 lbf" in explorer.stage.frame["beside"]


@pytest.mark.parametrize(("id", "name", "own"), [("L00", "one_pull", "12 kN")])
def test_words_and_other_amounts_are_no_length_in_a_picture(id, name, own):
    explorer = explorer_of(id, name)
    explorer.lock.lock(None, own=own)

    assert explorer.lock.expected is None
    assert explorer.lock.frame["title"] == say("prediction", "yours", answer=own)


@pytest.mark.parametrize("own", ["1e9 kN", "-20 kN", "400 kN"])
def test_what_is_out_of_all_proportion_is_kept_and_not_drawn(own):
    explorer = explorer_of("L07", "lean")  # which shows 43.5 kN
    explorer.lock.lock(None, own=own)

    assert explorer.lock.expected is None
    assert explorer.lock.frame["title"] == say("prediction", "yours", answer=own)
    assert "P: expected" not in explorer.stage.frame["beside"]


def test_who_knows_it_expects_nothing_in_the_picture():
    explorer = explorer_of("L07", "lean")
    explorer.lock.know()

    assert explorer.lock.expected is None
    assert "P: expected" not in explorer.stage.frame["beside"]


@pytest.mark.parametrize("typed", ["1", "4 mm", "x1", "about 40 kN"])
def test_a_digit_alone_is_not_seen(typed):
    explorer = explorer_of("L07", "lean")
    explorer.lock.lock("right")

    explorer.lock.look(typed)

    assert explorer.lock.state == "locked"
    assert explorer.lock.frame["result"]["lines"] != [say("prediction", "kept")]
    explorer.lock.look("40 kN")
    assert explorer.lock.state == "seen"
