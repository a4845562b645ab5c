"""A set-up and a drawing as answers, by keyboard alone and on a narrow page."""

import json
from math import degrees

import nbformat
import pytest
from nbformat import v4

from workbook.exercises import exercise
from workbook.exercises.replay import variant_of
from workbook.reader.record import FILE
from workbook.scenes.setups import FIELDS

pytestmark = pytest.mark.browser

WHOSE = {"class_key": "practice", "student": "practice", "set": "practice"}
SET_OUT, DRAWN = (variant_of(exercise(id), **WHOSE) for id in ("7.7", "7.8"))


@pytest.fixture(scope="module")
def lab(kept_lab):
    """Open a lesson of the cards of 7.7, 7.8, again 7.8, and 16.5, for a new reader."""
    lab = kept_lab
    (lab.folder / FILE).unlink(missing_ok=True)
    source = "from widgets import ExerciseCard\nExerciseCard('{}')"
    cells = [
        v4.new_code_cell(source.format(id)) for id in ("7.7", "7.8", "7.8", "16.5")
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    lesson = v4.new_notebook(cells=cells, metadata=kernel)
    nbformat.write(lesson, lab.folder / "made.ipynb")
    lab.open("made.ipynb")
    lab.run_all()
    return lab


@pytest.fixture
def cards(lab):
    """Return the cards, the third of them for several tests."""
    return lab.panel.locator(".pw-card")


def last_answer(lab):
    """Return what the record kept last."""
    lines = (lab.folder / FILE).read_text(encoding="utf-8").splitlines()
    return [x for x in map(json.loads, lines) if x["kind"] == "answer"][-1]


def test_a_rig_is_set_out_by_keyboard_alone(cards, lab):
    card, keyboard = cards.nth(0), lab.page.keyboard
    free = SET_OUT.exercise.answer.free
    card.get_by_label("clamp to base").focus()

    for name in free:
        if name in SET_OUT.answer:
            keyboard.type(f"{SET_OUT.answer[name]:g}")
        if name != free[-1]:
            keyboard.press("Tab")
    keyboard.press("Enter")

    card.get_by_role("status").get_by_text("Right: the pull runs").wait_for()
    kept = last_answer(lab)
    made = SET_OUT.exercise.answer.read(kept["typed"], SET_OUT.given).made
    assert made == SET_OUT.answer
    assert {*made} <= {*FIELDS}


def test_forces_are_drawn_by_keyboard_alone(cards, lab):
    card, keyboard = cards.nth(1), lab.page.keyboard
    card.get_by_role("button", name="add an arrow").focus()

    for number, arrow in enumerate(DRAWN.answer, start=1):
        keyboard.press("Enter")  # add an arrow
        card.get_by_role("group", name=f"Arrow {number}").wait_for()
        keyboard.press("Tab")  # it acts at the first point, H
        keyboard.type(f"{degrees(arrow.angle) % 360:.0f}")
        keyboard.press("Tab")
        keyboard.type(f"{arrow.size / 1e3:.1f}")
        if number < len(DRAWN.answer):
            for _ in ("turn", "remove", "add"):
                keyboard.press("Tab")
    keyboard.press("Enter")

    card.get_by_role("status").get_by_text("Right: every arrow").wait_for()
    kept = last_answer(lab)
    assert kept["exercise"] == "7.8"
    assert kept["typed"].count("H ") == 3
    assert kept["score"] == 1.0


def test_an_arrow_is_dragged_out_of_its_point(cards, lab):
    card = cards.nth(2)
    card.scroll_into_view_if_needed()
    box = card.locator("[data-hook='H']").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    lab.page.mouse.move(x, y)
    lab.page.mouse.down()
    lab.page.mouse.move(x + 20, y)
    lab.page.mouse.move(x + 60, y)
    lab.page.mouse.up()

    arrow = card.locator(".pw-arrow").last
    assert arrow.get_by_label("angle").input_value() == "0"
    assert float(arrow.get_by_label("size").input_value()) > 10


def test_cards_fit_a_narrow_page(cards):
    cards.nth(2).get_by_role("button", name="add an arrow").click()
    for place in (0, 2, 3):
        card = cards.nth(place)
        card.evaluate("card => card.style.width = '328px'")

        over = card.evaluate(
            "card => [...card.querySelectorAll('*')]"
            ".filter((e) => e.scrollWidth > e.clientWidth + 1 && e.clientWidth).length"
        )

        assert over == 0
    # What is to be placed has room for its words beside or above its list.
    assert cards.nth(3).locator(".pw-match > span").first.bounding_box()["width"] > 150
