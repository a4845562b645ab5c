"""Fields: what controls, files and codes all take their limits from."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.errors import FormError
from workbook.figures.pictures import subjects
from workbook.language import entries, set_language
from workbook.quantities.units import METRIC
from workbook.scenes import bridles, setups
from workbook.scenes.fields import Choice, Number, checked, si, starts

TABLES = {subject.word: subject.fields for subject in subjects().values()}
FIELDS = [field for table in TABLES.values() for field in table.values()]
NUMBERS = [field for field in FIELDS if isinstance(field, Number)]
CHOICES = [field for field in FIELDS if isinstance(field, Choice)]


def test_there_are_numbers_and_choices():
    assert len(NUMBERS) > 30
    assert len(CHOICES) > 8


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
def test_a_number_starts_inside_its_range_and_on_its_grain(field):
    assert field.low < field.high
    assert field.step > 0
    for value in (field.low, field.start, field.high):
        assert field.checked(value) == value
    steps = (field.start - field.low) / field.step
    assert steps >= 0
    assert (field.high - field.low) / field.step >= 8


ENDS = {  # units that are no words
    **{"%": "percent", "N/mm²": "n_per_mm2"},
    **{"kN/mm": "kn_per_mm", "L/min": "l_per_min"},
}


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_a_field_says_what_it_is(field):
    assert field.label
    assert field.meaning
    assert not field.label.endswith(".")
    if isinstance(field, Number):
        assert field.kind in METRIC.unit
        # A name ends with its unit, so that no number stands without one.
        assert field.name.endswith(f"_{ENDS.get(field.unit, field.unit.lower())}")


@pytest.mark.parametrize("field", CHOICES, ids=lambda field: field.name)
def test_a_choice_has_two_options_or_more_and_starts_with_one(field):
    assert len(set(field.options)) == len(field.options) >= 2
    assert field.start in field.options


@pytest.mark.parametrize("field", CHOICES, ids=lambda field: field.name)
def test_an_option_has_words_of_its_own_unless_it_is_a_name_of_the_shop(field):
    parts = {"ram", "clamp", "fork", "head", "chain_size"}
    words = entries("en")["field"][field.subject][field.name].get("options", {})

    assert set(words) == (set() if field.name in parts else set(field.options))
    shown = [field.shown(option) for option in field.options]
    assert shown == [words.get(option, option) for option in field.options]
    assert len(set(shown)) == len(shown)


def test_an_option_is_shown_in_the_readers_language(monkeypatch, tmp_path):
    folder = tmp_path / "field-words" / "field"
    folder.mkdir(parents=True)
    (tmp_path / "field-words" / "language.toml").write_text('plurals = "en"', "utf-8")
    (folder / "pull.toml").write_text(
        '[held]\nlabel = "gehalten"\n[held.options]\n"ram force" = "Kraft"', "utf-8"
    )
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(tmp_path))
    set_language("field-words")
    try:
        solved = setups.Setup()

        assert solved.shown("held") == "Kraft"
        assert solved.chosen("held") == "ram force"
        assert solved.FIELDS["held"].label == "gehalten"
        assert solved.FIELDS["held"].meaning.startswith("which quantity")
    finally:
        set_language("en")


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_places_and_values_belong_together_one_to_one(field):
    ends = (0, 1, field.places // 2, field.places - 1)
    for place in ends:
        assert field.to_place(field.from_place(place)) == place

    if isinstance(field, Number):
        assert field.from_place(0) == field.low
        assert field.from_place(field.places - 1) == field.high


@settings(max_examples=200, deadline=None)
@given(field=st.sampled_from(NUMBERS), share=st.floats(0, 1))
def test_a_number_is_kept_to_its_grain_once_for_all(field, share):
    value = field.low + share * (field.high - field.low)

    kept = field.checked(min(max(value, field.low), field.high))

    assert field.low <= kept <= field.high
    assert abs(kept - value) <= field.grain / 2 * (1 + 1e-6)
    assert field.checked(kept) == kept
    assert field.from_place(field.to_place(kept)) == kept


def test_a_tenth_of_a_millimetre_and_a_hundredth_of_a_kilonewton_are_kept():
    fields = {field.name: field for field in NUMBERS}
    assert fields["span_mm"].checked(1234.56) == 1234.6
    assert fields["between_deg"].checked(33.33) == 33.3
    assert fields["pull_kn"].checked(12.337) == 12.34
    assert fields["pull_kn"].checked(12.33) == 12.33


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
@pytest.mark.parametrize(
    "value", ["20", None, True, math.nan, math.inf, -math.inf, 1e9, [1], 1j], ids=str
)
def test_what_is_no_number_in_range_is_refused_with_the_way_out(value, field):
    with pytest.raises(FormError, match=field.name) as refusal:
        field.checked(value)

    assert field.unit in str(refusal.value)


@pytest.mark.parametrize("field", CHOICES, ids=lambda field: field.name)
@pytest.mark.parametrize("value", ["", "RAM FORCE", None, 0, ["none"]], ids=str)
def test_what_is_no_option_is_refused_naming_them_all(value, field):
    with pytest.raises(FormError, match="must be one of") as refusal:
        field.checked(value)

    assert all(repr(option) in str(refusal.value) for option in field.options)


@pytest.mark.parametrize("table", TABLES.values(), ids=TABLES)
def test_values_lie_over_the_start_values(table):
    assert checked(table, {}) == starts(table)
    for name, field in table.items():
        last = field.from_place(field.places - 1)

        values = checked(table, {name: last})

        assert values == {**starts(table), name: last}


def test_an_unknown_name_is_refused_with_all_known_ones():
    with pytest.raises(FormError, match="nothing called 'tension'") as refusal:
        checked(bridles.ROLLER_FIELDS, {"tension": 3})

    assert "between_deg, tension_kn" in str(refusal.value)


def test_shop_units_become_si():
    # 1 mm = 0.001 m, 180 deg = pi rad, 1 kN = 1000 N (ISO 80000).
    fields = {field.name: field for field in NUMBERS}
    assert si(fields["span_mm"], 2000) == pytest.approx(2.0)
    assert si(fields["between_deg"], 180) == pytest.approx(math.pi)
    assert si(fields["pull_kn"], 24) == pytest.approx(24e3)


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
def test_an_array_of_values_is_checked_and_kept_as_each_of_them(field):
    values = np.linspace(field.low, field.high, 7) + 1e-7 * (np.arange(7) % 2)

    kept = checked({field.name: field}, {field.name: values})[field.name]

    assert kept.tolist() == [field.checked(float(value)) for value in values]


@pytest.mark.parametrize("wrong", [-301.0, 301.0, math.nan])
def test_one_value_of_an_array_that_is_out_of_range_is_refused(wrong):
    values = {"fork_offset_mm": np.array([[0.0, 10.0], [wrong, 20.0]])}

    with pytest.raises(FormError, match=r"fork_offset_mm.*-300 to 300 mm"):
        setups.Setup(values=values)


def test_one_number_is_asked_for_where_there_is_one():
    many = setups.Setup(values={"stroke_mm": np.array([0.0, 50.0])})

    assert many.array("stroke_mm").tolist() == [0.0, 0.05]
    assert many.array("lean_deg") == many.si("lean_deg")
    with pytest.raises(TypeError):
        many.si("stroke_mm")
