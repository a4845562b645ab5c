"""Worked examples: every number is computed, and the explorer shows the same."""

import re
from math import pi
from types import SimpleNamespace

import pytest

from workbook.course import lesson, lessons
from workbook.course.tables import solved
from workbook.course.worked import numbers_of, worked_text
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.pictures import subjects
from workbook.figures.sketches.sketches import scene
from workbook.language import text
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import INCH, METRIC

WORKED = [
    pytest.param(one, worked, id=f"{one.id} {worked.name}")
    for one in lessons().values()
    for worked in one.worked
]
each = pytest.mark.parametrize(("one", "worked"), WORKED)
in_both = pytest.mark.parametrize("system", [METRIC, INCH], ids=["metric", "inch"])


def plain(kind):
    return kind.removeprefix("small ")


def numbers(id, name):
    one = lesson(id)
    worked = next(worked for worked in one.worked if worked.name == name)
    return numbers_of(worked, one.explorer(worked.explorer))


def test_the_hardest_lessons_have_worked_examples():
    assert {param.values[0].id for param in WORKED} == {
        "L01",
        "L02",
        "L03",
        "L04",
        "L05",
        "L06",
        "L07",
        "L08",
        "L09",
        "L10",
        "L11",
        "L12",
        "L13",
        "L14",
        "L15",
        "L16",
    }


@pytest.mark.parametrize(
    ("id", "name", "found", "value"),
    [
        # 20 kN at 30°: × 0.8660 and × 0.5. With 15 kN at 40°: 11.49 and 9.642 kN, so
        # that both are √(31.49² + 9.642²) = 32.93 kN, atan(9.642 ÷ 31.49) = 17.02°.
        ("L02", "parts", "along", 17.32e3),
        ("L02", "parts", "across", 10e3),
        ("L02", "together", "across", 9.642e3),
        ("L02", "together", "both", 32.93e3),
        ("L02", "together", "turn", 17.02 * pi / 180),
        # 40 kN: sin 80° ÷ sin 65° = 1.0866 and sin 35° ÷ sin 65° = 0.6329 of it; the
        # pull at 20°: cos 20° = 0.9397, sin 20° = 0.3420.
        ("L07", "split", "ram_and_anchor", 80 * pi / 180),
        ("L07", "split", "pull_leg", 43.46e3),
        ("L07", "split", "anchor_leg", 25.31e3),
        ("L07", "split", "forward", 40.84e3),
        ("L07", "split", "upward", 14.87e3),
        # 90° less half of 45° − 20°; 50 mm × 40 ÷ 43.46.
        ("L07", "equal_legs", "ram_angle", 77.5 * pi / 180),
        ("L07", "travel", "travel", 46.0e-3),
        # 873.1 mm × 1500 ÷ 500 = 2619 mm; × 50 ÷ 600 = 218.3 mm; atan(218.3 ÷ 1500).
        ("L08", "slot", "reach", 2.619),
        ("L08", "slot", "shift", 0.2183),
        ("L08", "slot", "side_angle", 8.28 * pi / 180),
        # 24 kN ÷ 2 ÷ cos 40° = 15.67 kN.
        ("L08", "bridle", "leg", 15.67e3),
        # √(250 mm × 90 mm) = 150 mm.
        ("L09", "sag", "sag", 0.150),
        # 13 kN/mm ÷ 2.030; 15 kN ÷ 6.404 kN/mm = 2.342 mm; 15 × 2.342 ÷ 2 = 17.57 J.
        ("L09", "energy", "stretch", 2.342e-3),
        ("L09", "energy", "energy", 17.57),
        ("L09", "energy", "twice", 70.27),
        # 706.9 mm² × 20 N/mm², 12 kN ÷ 706.9 mm²; 3 × 1385.4 mm² × 19.418 mm ÷ 8333.
        ("L12", "third", "force", 14.137e3),
        ("L12", "third", "needed", 169.77e5),
        ("L12", "time", "time", 9.685),
    ],
)
def test_a_step_finds_what_a_hand_finds(id, name, found, value):
    assert numbers(id, name)[found] == pytest.approx(value, rel=5e-4)


@each
def test_the_explorer_shows_what_the_steps_find(one, worked):
    explorer = one.explorer(worked.explorer)
    shown = subjects()[explorer.subject].told(solved(explorer, **worked.change))

    found = numbers_of(worked, explorer)

    # The taught way to take a tilt out leaves some hundredths of a millimetre, which
    # no reader sees.
    rel = 2e-3 if (one.id, worked.name) == ("L04", "tilt") else 1e-6
    for step in worked.steps:
        if step.shown_as:
            value, kind = shown[step.shown_as]
            assert value == pytest.approx(found[step.finds], rel=rel)
            assert METRIC.show(value, kind) == METRIC.show(found[step.finds], kind)


def test_the_lean_for_equal_legs_is_that_of_the_named_set_up():
    lean = lesson("L07").explorer("lean").named["equal_legs"]["lean_deg"]

    stands = numbers("L07", "equal_legs")["ram_angle"]

    assert stands == pytest.approx((90 - lean) * pi / 180, abs=1e-4)


@each
@in_both
def test_every_step_is_told_whole_and_no_name_in_its_picture_is_cut(
    one, worked, system
):
    shown = worked_text(worked, one, system=system)

    assert "{" not in str(shown)
    assert len(shown.given) > 0
    for step in shown.steps:
        assert re.match(r"= .* = \S", step.put)
        if not step.scene:
            continue
        sheet = scene(step.scene, step.words, **step.numbers)
        figure = figure_of(sheet)
        figure.canvas.draw()
        for label in figure.axes[0].texts:
            box = label.get_window_extent()
            assert box.x0 > -1, label.get_text()
            assert box.x1 < sheet.width + 1, label.get_text()


@each
def test_the_first_step_has_a_picture_or_the_example_is_two_lines(one, worked):
    assert worked.steps[0].scene or len(worked.steps) <= 2


@each
def test_a_step_is_said_in_short_sentences(one, worked):
    said = text("lesson", one.id, "worked", worked.name)

    for line in (*said["given"], *(step["do"] for step in said["steps"])):
        for sentence in re.split(r"(?<=[.?!:]) ", line):
            assert len(sentence.split()) < 20, sentence


@each
@in_both
def test_who_goes_on_with_the_numbers_shown_comes_to_the_next(one, worked, system):
    explorer = one.explorer(worked.explorer)
    exact = numbers_of(worked, explorer)
    shown = worked_text(worked, one, system=system)
    rounded = dict(exact)  # each found number as it is shown, read back
    for step, told in zip(worked.steps, shown.steps, strict=True):
        of = SimpleNamespace(**rounded)
        again = read_quantity(told.put.rpartition("= ")[2], kind=plain(step.kind))

        assert again.value == pytest.approx(step.of(of), rel=1.5e-2, abs=1e-9), (
            step.finds
        )
        rounded[step.finds] = again.value
