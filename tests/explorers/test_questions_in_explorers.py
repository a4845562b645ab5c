"""A question that an explorer can answer: what it shows is marked right."""

from bisect import bisect_left
from math import atan2, degrees, hypot

import pytest

from workbook import course
from workbook.course.predictions import options
from workbook.course.tables import solved
from workbook.exercises import exercise
from workbook.exercises.engine import variant_for
from workbook.exercises.marking import mark
from workbook.figures.pictures import subjects
from workbook.quantities.units import METRIC

SLOT = course.lesson("08").explorer("slot")


def numbers_of(given, extension_mm):
    """Return what the explorer shows of a rig with so long an extension."""
    rig = solved(
        SLOT,
        fork_offset_mm=given["offset"],
        fork_distance_mm=given["fork"],
        clamp_height_mm=given["clamp_height"],
        clamp_distance_mm=given["clamp_distance"],
        lean_deg=round(degrees(atan2(given["head_out"], given["head_up"])), 1),
        extension_mm=extension_mm,
    )
    return dict(subjects()[SLOT.subject].numbers(rig, METRIC))


def as_shown(given):
    """Set the extension until the head stands as high as it is given; read the shift.

    As somebody at the screen does: in whole millimetres, by what is shown.
    """
    closed = 450
    extensions = range(round(given["head_up"]) - closed, 900)

    def head_height(extension):
        shown = numbers_of(given, extension)["head height"]
        return float(shown.split()[0].replace(",", ""))

    found = bisect_left(extensions, given["head_up"], key=head_height)
    return numbers_of(given, extensions[found])["head moved to the left"]


def test_what_the_explorer_shows_of_a_slot_is_right_for_200_students():
    outcomes = [
        mark(variant, as_shown(variant.numbers)).name
        for variant in (
            variant_for(exercise("8.1"), class_key="oak", student=f"K{n}", set="exit")
            for n in range(200)
        )
    ]

    assert outcomes == ["right"] * 200


@pytest.mark.parametrize(
    "explorer",
    [
        explorer
        for lesson in course.lessons().values()
        for explorer in lesson.explorers
        if explorer.predict and explorer.predict.variant and explorer.observe
    ],
    ids=lambda explorer: f"{explorer.lesson} {explorer.name}",
)
def test_a_prediction_calls_right_what_its_explorer_then_shows(explorer):
    asked, observed = explorer.predict, explorer.observe
    result = solved(explorer, **observed.at[0])

    value, kind = subjects()[explorer.subject].amounts(result)[observed.amount]
    shown = METRIC.show(value, kind)

    assert mark(asked.variant, shown).name == "right"


def test_the_right_choice_of_the_slots_prediction_is_the_number_on_the_screen():
    shown = dict(subjects()["pull"].numbers(solved(SLOT, "left"), METRIC))

    offered = options(SLOT.predict, class_key="oak", student="K7")

    (right,) = [option.text for option in offered if option.name == "right"]
    assert right == shown["head moved to the left"] == "218 mm"


def test_the_rig_of_the_question_has_the_length_that_the_sketch_shows():
    # By hand: 50 x (500 x 100 + 1500 x 860) / (600 x 500) = 223.3 to the left, so
    # that the ram is the root of 100² + 223.3² + 860² = 894.1 long.
    given = exercise("8.1").by_hand.numbers
    length = hypot(100, 223.33, 860)

    shown = numbers_of(given, length - 450)

    assert shown["head height"] == "860 mm"
    assert shown["head moved to the left"] == "223 mm"
