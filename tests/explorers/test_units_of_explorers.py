"""The reader's units: of text and sliders, never of the answer."""

import re

import pytest

from workbook.quantities.units import INCH, METRIC, factor
from workbook.reader.settings import settings_file

ANGLES_ALONE = {"fire"}
WITHOUT_FORCES = {"damage", "final check", "hit", "measuring"}


def test_other_units_change_the_text_and_not_the_answer(explorer):
    if explorer.subject.name in ANGLES_ALONE:
        pytest.skip("it tells angles and counts, which are the same in every unit")
    before, after = ("kN", "lbf")
    if explorer.subject.name in WITHOUT_FORCES:
        before, after = ("mm", "in")
    amounts, values = explorer.amounts(explorer.result), explorer.values
    metric = explorer.stage.frame

    explorer.use_units("lbf-inch")

    assert explorer.amounts(explorer.result) == amounts
    assert explorer.values == values
    assert re.search(rf"\d {before}\b", metric["spoken"])
    assert re.search(rf"\d {after}\b", explorer.stage.frame["spoken"])
    assert not re.search(rf"\b{before}\b(?!/mm)", explorer.stage.frame["spoken"])
    assert explorer.stage.frame["numbers"] != metric["numbers"]


def test_the_choice_of_units_is_remembered(made, settings_folder):
    made().use_units("lbf-inch")

    assert settings_file().parent == settings_folder
    assert made().system.unit == INCH.unit

    made().use_units("kN-mm")
    assert made().system.unit == METRIC.unit


def test_a_slider_moves_in_the_readers_units(explorer, numbers):
    explorer.use_units("lbf-inch")
    for name, control in numbers.items():
        field, slider = explorer.subject.fields[name], control.slider
        steps = round(0.83 * (slider.max - slider.min) / slider.step)

        slider.value = slider.min + steps * slider.step

        wanted = slider.value * factor(control.unit) / factor(field.unit)
        assert control.value == pytest.approx(wanted, abs=field.grain)
        assert control.value != field.start
