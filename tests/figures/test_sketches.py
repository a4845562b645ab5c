"""The sketch of each exercise: the given values named, the wanted one left open."""

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from functools import cache

import pytest

from workbook import language
from workbook.exercises import EXERCISES, exercise, wording
from workbook.exercises.answers.picked import Picked
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_for, variant_from
from workbook.figures.drawing.marks import Label, Polygon
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.svg import render
from workbook.figures.drawing.windows import placed
from workbook.figures.sketches.sketches import sketch
from workbook.quantities.units import INCH, METRIC

pytestmark = pytest.mark.usefixtures("settings_folder")

SEEDS = range(30)
LETTER = 0.6  # width of a letter in sizes of the text, on the wide side
SKETCHED = {one.key: one for one in EXERCISES.values() if one.sketch}
HIDDEN = [
    one.key
    for one in SKETCHED.values()
    if isinstance(one.answer, Quantity)
    and one.answer.kind == "angle"  # and nothing of the question is drawn to measure
    and not any(isinstance(to, str) for to in one.sketch.bound.values())
]


@cache
def variants(key):
    """Return an exercise with the numbers of each seed."""
    return [
        variant_for(SKETCHED[key], class_key="oak", student="K7", attempt=1 + seed)
        for seed in SEEDS
    ]


def every():
    return [variant for key in SKETCHED for variant in variants(key)]


def drawn(variant):
    """Return the sketch in both systems of units, and as a later part if it is one."""
    carried = {False, variant.exercise.carry is not None}
    return [
        sketch(variant, system=system, carried=later)
        for system in (METRIC, INCH)
        for later in carried
    ]


def marks_of(sheet):
    """Return each mark with the panel it is in."""
    return [
        (panel, mark)
        for panel in sheet.panels
        for mark in (*panel.drawing.still, *panel.drawing.moving)
    ]


def labels_of(sheet):
    return [mark.text for _, mark in marks_of(sheet) if isinstance(mark, Label)]


def boxes(sheet):
    """Return the box of every label in pixels of the sheet: left, right, top, low."""
    found = []
    for panel, mark in marks_of(sheet):
        if not isinstance(mark, Label):
            continue
        x0, y0, kx, ky = placed(panel)
        size = STYLES[mark.role].size
        wide = LETTER * size * len(mark.text)
        before = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.align] * wide
        x = x0 + kx * mark.at[0] + mark.shift[0] - before
        y = y0 - ky * mark.at[1] + mark.shift[1]
        found.append((mark.text, x, x + wide, y - size / 2, y + size / 2))
    return found


def whole(value, text):
    """Tell whether a value stands in a text, not as a piece of a longer number."""
    return re.search(rf"(?<![\d.−]){re.escape(value)}(?!\.?\d|\w|°)", text) is not None


def test_every_exercise_that_does_not_go_by_a_list_has_a_sketch():
    lists = {one.id for one in EXERCISES.values() if isinstance(one.answer, Picked)}
    lists |= {one.id for one in EXERCISES.values() if one.carry and one.carry.choices}

    assert {one.id for one in EXERCISES.values() if not one.sketch} <= lists
    assert len(HIDDEN) >= 4


def test_an_exercise_without_a_sketch_has_none():
    plain = replace(exercise("9.6"), sketch=None)

    assert sketch(variant_from(plain, plain.by_hand.numbers)) is None


@pytest.mark.parametrize("key", SKETCHED)
def test_every_word_of_a_sketch_is_drawn(key):
    variant = variants(key)[0]
    sheet, words = sketch(variant), wording.sketch_words(variant)

    captions = {panel.drawing.caption for panel in sheet.panels}
    drawn_words = {*labels_of(sheet), *captions, sheet.text}

    assert {*words.values()} <= drawn_words


def test_a_sketch_is_well_formed_and_has_no_number_that_is_none():
    for variant in every():
        for sheet in drawn(variant):
            text = render(sheet)

            element = ElementTree.fromstring(text)

            assert element.get("role") == "img"
            assert element.get("aria-label") == sheet.text
            assert not re.search(r"\bnan\b|\binf\b", text)


def test_no_label_leaves_the_sheet():
    for variant in every():
        for sheet in drawn(variant):
            for text, left, right, top, low in boxes(sheet):
                where = (variant.exercise.id, dict(variant.numbers), text)

                assert left >= 0, where
                assert right <= sheet.width, where
                assert top >= 0, where
                assert low <= sheet.height, where


def test_no_label_lies_on_another():
    for variant in every():
        for sheet in drawn(variant):
            placed_ones = boxes(sheet)
            for k, (text, left, right, top, low) in enumerate(placed_ones):
                for other, left2, right2, top2, low2 in placed_ones[k + 1 :]:
                    apart_x = right <= left2 or right2 <= left
                    apart_y = low <= top2 + 2 or low2 <= top + 2

                    assert apart_x or apart_y, (
                        variant.exercise.id, dict(variant.numbers), text, other
                    )  # fmt: skip


@pytest.mark.parametrize("system", [METRIC, INCH], ids=lambda system: system.name)
def test_every_value_the_question_gives_is_named_in_picture_and_words(system):
    for variant in every():
        question = wording.question(variant, system=system)
        sheet = sketch(variant, system=system)
        labels = " | ".join(labels_of(sheet))

        given = [
            v for v in wording.shown(variant, system).values() if whole(v, question)
        ]

        # What is offered stands in a list below the question.
        assert given or isinstance(variant.exercise.answer, Picked)
        for value in given:
            assert whole(value, labels), (variant.exercise.id, value, labels)
            assert whole(value, sheet.text), (variant.exercise.id, value)


def test_the_answer_is_nowhere_and_what_is_wanted_is_marked():
    for variant in every():
        for system in (METRIC, INCH):
            answer = wording.answer_text(variant, system=system)
            if answer in wording.shown(variant, system).values():
                continue  # a given number may happen to be as large
            sheet = sketch(variant, system=system)

            labels = labels_of(sheet)

            # A letter is in many words; what it stands for is in no sketch.
            lettered = isinstance(variant.exercise.answer, Picked)
            assert lettered or not whole(answer, " | ".join([*labels, sheet.text]))
            assert sum("?" in label for label in labels) == 1
            assert "Wanted: " in sheet.text


@pytest.mark.parametrize(
    "one",
    [one for one in SKETCHED.values() if one.carry],
    ids=lambda one: one.key,
)
def test_a_later_part_does_not_tell_the_answer_of_the_part_before(one):
    for variant in variants(one.key):
        name = variant.exercise.carry.name
        earlier = wording.shown(variant)[name]
        others = {n: v for n, v in wording.shown(variant).items() if n != name}
        if earlier in others.values():
            continue
        sheet = sketch(variant, carried=True)

        told = " | ".join([*labels_of(sheet), sheet.text])

        named = language.text("exercise", one.lesson, one.key, "carried")
        assert named in told
        assert not whole(earlier, told)


@pytest.mark.parametrize("key", HIDDEN)
def test_a_sketch_that_asks_for_an_angle_does_not_show_it(key):
    shapes, ways = set(), set()
    for variant in variants(key):
        sheet = sketch(variant)

        shapes.add(
            str([m for _, m in marks_of(sheet) if not isinstance(m, Label | Polygon)])
        )
        ways.add(str(variant.exercise.sketch.numbers(variant.given)))

    # Drawn one way, or two: which of two lines is the steeper one.
    assert len(shapes) == len(ways) <= 2
    assert "not to scale" in sheet.text
    assert "not to scale" in sheet.panels[0].drawing.caption


@pytest.mark.parametrize("key", SKETCHED)
def test_both_renderers_draw_a_sketch(key):
    sheet = sketch(variants(key)[0])

    figure = figure_of(sheet)
    svg = render(sheet)

    printed = {text.get_text() for text in figure.axes[0].texts}
    shown = {
        "".join(e.itertext())
        for e in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    }
    assert set(labels_of(sheet)) <= printed
    assert set(labels_of(sheet)) <= shown
    figure.savefig("sketch.png")


def test_each_gap_of_a_car_stands_where_its_name_says():
    own = variant_for(exercise("1.3"), class_key="oak", student="K7")
    (panel,) = sketch(own).panels
    at = {
        x.said: x.at
        for x in panel.drawing.moving
        if isinstance(x, Label) and len(str(x.said)) == 1
    }
    places = own.exercise.answer.lettered(own.given)
    found = {place: at[letter] for letter, place in places.items()}

    assert len(found) == 12
    for place, (x, y) in found.items():
        side, _, rest = place.partition("_")
        mirrored = "right" if side == "left" else "left"
        assert found[f"{mirrored}_{rest}"][0] == x
        assert (y > found[f"{mirrored}_{rest}"][1]) == (side == "left")
    order = ("lid", "rear_door", "front_door", "fender", "hood_rear", "hood_front")
    ahead = [found[f"left_{rest}"][0] for rest in order]
    assert ahead == sorted(ahead)
