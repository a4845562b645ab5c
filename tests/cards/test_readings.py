"""A reading: typed in its own box, compared with the explorer, kept, and come back."""

from dataclasses import replace

import pytest

from widgets import LessonParts
from widgets.reading import Reading
from workbook.course import lesson, lessons
from workbook.language import say, text
from workbook.quantities.units import INCH, METRIC
from workbook.reader.record import record_here

HUNG = lesson("L09").explorer("hung")
LEAN = lesson("L07").explorer("lean")


def shown(box):
    """Return the sign on a box and what it says."""
    result = box.frame["result"]
    return result["sign"], " ".join(result["lines"])


def typed(box, what):
    """Type into a box as the page does."""
    name = box.frame["form"]["fields"][0]["name"]
    box._handle_custom_msg({"act": "read", "typed": {name: what}}, [])
    return shown(box)


@pytest.fixture
def box():
    return Reading(LEAN, "anchor_leg")


# 40 kN × sin 35° ÷ sin 65° = 25.3 kN, by the rule of sines; 25.3 kN = 5690 lbf.
@pytest.mark.parametrize("right", ["25.3 kN", "25,3 kN", "25300 N", "5690 lbf"])
def test_a_right_reading_is_told_in_whatever_unit_it_is(box, right):
    assert typed(box, right) == ("✓", say("reading", "there"))


@pytest.mark.parametrize("wrong", ["24.5 kN", "26.1 kN", "60 kN"])
def test_a_wrong_reading_is_told_without_the_number(box, wrong):
    sign, said = typed(box, wrong)

    assert (sign, said) == ("✗", say("reading", "another"))
    assert "25" not in said


def test_the_other_sign_is_told_apart(box):
    assert typed(box, "-25.3 kN") == ("≈", say("reading", "sign"))


def test_the_number_beside_it_is_named(box):
    # 43.5 kN is what the pull leg carries there.
    sign, said = typed(box, "43.5 kN")

    assert sign == "≈"
    assert text("amount", "pull leg") in said
    assert text("amount", "anchor leg") in said


@pytest.mark.parametrize(
    ("unclear", "trouble"),
    [
        ("it leans", "not_a_number"),
        ("about 25 kN", "words_before"),
        ("25.3", "unit_missing"),
        ("25.3 mm", "unit_wrong_kind"),
        ("2.5 tons", "which_ton"),
        ("  ", "blank"),
    ],
)
def test_what_is_no_amount_is_asked_back_and_stays_in_the_box(box, unclear, trouble):
    box.drafts = {box.frame["form"]["fields"][0]["name"]: unclear}

    sign, said = typed(box, unclear)

    first = text("typed", trouble).partition("{")[0]
    assert sign == "?"
    assert said.startswith(first) if first else unclear.split()[0] in said
    assert [*box.drafts.values()] == [unclear]


def test_a_reading_of_another_set_up_is_told_apart():
    # The explorer of the lesson stands at 30 mm of slack: 150.8 mm of chain sag.
    here = LessonParts(lesson("L09"))
    explorer = here.explorer()
    box = here.reading("sag_5").cards[0]

    before = typed(box, "150.8 mm")
    explorer.set(slack_mm=60)
    after = typed(box, "150.8 mm")

    assert before == ("≈", say("reading", "now"))
    assert after == ("✗", say("reading", "another"))


def test_a_reading_is_kept_as_an_observation_of_its_own():
    here = LessonParts(lesson("L07"))
    explorer = here.explorer()
    explorer.lock.lock("M12_gauge_is_chain")

    typed(here.reading("anchor_leg").cards[0], " 25.3 kN")

    (line,) = record_here().mine("observation")
    assert (line["lesson"], line["explorer"]) == ("L07", "lean")
    assert (line["reading"], line["typed"]) == ("anchor_leg", "25.3 kN")
    assert line["question"] == LEAN.asks("anchor_leg")
    assert here.explorer().lock.seen is None  # the prediction's own box stays empty


def test_nothing_typed_is_not_kept(box):
    typed(box, "  ")

    assert not record_here().path.exists()


def test_a_reading_comes_back_compared(box):
    typed(box, "24 kN")
    typed(box, "25.3 kN")

    again = Reading(LEAN, "anchor_leg")

    assert [*again.drafts.values()] == ["25.3 kN"]
    assert shown(again) == ("✓", say("reading", "there"))
    assert Reading(LEAN, "equal_legs").frame["result"] is None
    assert len(record_here().mine("observation")) == 2


def test_each_reader_has_readings_of_ones_own(box):
    typed(box, "25.3 kN")

    record_here().sign_in(student="K7", class_key="oak")
    anew = box.frame["result"]
    record_here().practise()

    assert anew is None
    assert shown(box) == ("✓", say("reading", "there"))


READINGS = [
    # Once it is open: a lesson behind the gate asks nothing before.
    pytest.param(
        replace(one, behind=()), explorer, name, id=f"{one.id} {explorer.name} {name}"
    )
    for one in lessons().values()
    for explorer in one.explorers
    for name in explorer.readings
]


@pytest.mark.parametrize("system", [METRIC, INCH], ids=["metric", "inch"])
@pytest.mark.parametrize(("one", "explorer", "name"), READINGS)
def test_what_its_own_explorer_shows_is_right(one, explorer, name, system):
    here, observe = LessonParts(one), explorer.readings[name]
    made = here.explorer(explorer.name)
    amount = made.amounts(made.at(**observe.at[0]))[observe.amount]

    box = here.reading(name, explorer=explorer.name).cards[0]

    assert typed(box, made.subject.units(system).show(*amount))[0] == "✓"
