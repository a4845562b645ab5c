"""Typed quantities: what people type, read in SI or asked back, never guessed."""

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.language import entries
from workbook.quantities.table import KINDS
from workbook.quantities.typed import LONGEST, read_quantity
from workbook.quantities.units import factor

TYPED_KINDS = [kind for kind, row in KINDS.items() if row.typed]

# International yard and pound agreement (1959): inch 25.4 mm, pound 0.45359237 kg.
# Standard gravity 9.80665 m/s^2: 3rd CGPM (1901).
INCH = 0.0254
POUND_FORCE = 0.45359237 * 9.80665
TONNE_FORCE = 1000 * 9.80665


@pytest.mark.parametrize(
    ("text", "newtons"),
    [
        ("12.4 kN", 12400),
        ("12,4 kN", 12400),
        ("12.4kN", 12400),
        ("12.4 KN.", 12400),
        (".5 kN", 500),
        ("12400 N", 12400),
        ("12 400 N", 12400),
        ("12\u00a0400\u202fN", 12400),
        ("12,400 N", 12400),
        ("1,234,567 N", 1234567),
        ("12.400,5 N", 12400.5),
        ("12,400.5 N", 12400.5),
        ("12.375 kN", 12375),
        ("1.2e4 N", 12000),
        ("+12.4 kN", 12400),
        ("-12.4 kN", -12400),
        ("− 12.4 kN", -12400),
        ("–12.4 kN", -12400),
        ("\u200e12.4 kN\u200f", 12400),
        ("2790 lbf", 2790 * POUND_FORCE),
        ("2,790 lbs", 2790 * POUND_FORCE),
        ("1.26 tf", 1.26 * TONNE_FORCE),
        ("1,26 metric tons", 1.26 * TONNE_FORCE),
        ("3 short tons", 3 * 2000 * POUND_FORCE),
        ("3 long tf", 3 * 2240 * POUND_FORCE),
        ("12 1/2 kN", 12500),
        ("1.24×10^4 N", 12400),
        ("1,24·10⁴ N", 12400),
        ("1.24 x 10 ^ 4 N", 12400),
        ("1.24*10**4 N", 12400),
        ("124 × 10⁻¹ kN", 12400),
        ("10³ N", 1000),
        ("-10^3 N", -1000),
        ("1'250 N", 1250),
        ("1’250’000 N", 1250000),
        ("1\u2009250 N", 1250),
        ("1/3 kN", 1000 / 3),
    ],
)
def test_a_force_is_read_in_every_way_people_type_it(text, newtons):
    typed = read_quantity(text, kind="force")

    assert typed.problem is None
    assert typed.value == pytest.approx(newtons, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("4 7/8 in", "length", 4.875 * INCH),
        ("4⅞ in", "length", 4.875 * INCH),
        ("4-7/8\u2033", "length", 4.875 * INCH),
        ("4'-2\"", "length", 50 * INCH),
        ("4′ 2½″", "length", 50.5 * INCH),
        ("-4 ft 2 in", "length", -50 * INCH),
        ("150 mm", "length", 0.150),
        ("1'250 mm", "length", 1.250),
        ("1.2500 mm", "length", 0.00125),
        ("12.375 in", "length", 12.375 * INCH),
        ("1.414", "ratio", 1.414),
        ("12 deg", "angle", math.radians(12)),
        ("12°", "angle", math.radians(12)),
        ("12,5 degrees", "angle", math.radians(12.5)),
        ("0.2 rad", "angle", 0.2),
        ("60 %", "share", 0.60),
        ("60 per cent", "share", 0.60),
        ("x 4", "ratio", 4),
        ("×4", "ratio", 4),
        ("4 times", "ratio", 4),
        ("4", "ratio", 4),
        ("2.25x", "ratio", 2.25),
        ("9.6 kN m", "moment", 9600),
        ("9.6 kNm", "moment", 9600),
        ("9,6 kN·m", "moment", 9600),
        ("69 J", "energy", 69),
        ("69 N m", "energy", 69),
        ("200 bar", "pressure", 200e5),
        ("20 N/mm^2", "pressure", 20e6),
        ("3,000 psi", "pressure", 3000 * POUND_FORCE / INCH**2),
        ("90 s", "time", 90),
    ],
)
def test_each_kind_of_quantity_is_read_in_its_own_units(text, kind, value):
    typed = read_quantity(text, kind=kind)

    assert typed.problem is None
    assert typed.value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "problem"),
    [
        ("", "force", "blank"),
        (" \u200e\t", "force", "blank"),
        ("9" * 81, "force", "too_long"),
        ("kN", "force", "not_a_number"),
        ("9**9**9 kN", "force", "not_a_number"),
        ("__import__('os')", "force", "not_a_number"),
        ("12.4.5 kN", "force", "not_a_number"),
        ("1,23,456 N", "force", "not_a_number"),
        ("1/0 in", "length", "not_a_number"),
        ("4 9/8 in", "length", "not_a_number"),
        ("1e999 N", "force", "not_a_number"),
        ("nan kN", "force", "not_a_number"),
        ("12\x00 kN", "force", "not_a_number"),
        ("12,400 kN", "force", "which_number"),
        ("12.400 N", "force", "which_number"),
        ("63,125 N", "force", "which_number"),
        ("1,200 mm", "length", "which_number"),
        ("1.200 mm", "length", "which_number"),
        ("63.125 N", "force", "which_number"),
        ("1'250", "length", "which_number"),
        ("1'250", "force", "unit_missing"),
        ("17.3 to 99 kN", "force", "two_numbers"),
        ("17.3 or 20 kN", "force", "two_numbers"),
        ("17.3 kN = 20 kN", "force", "two_numbers"),
        ("17-19 kN", "force", "two_numbers"),
        ("17,3 / 18 kN", "force", "two_numbers"),
        ("17/18 kN", "force", "two_numbers"),
        ("17,3, 18 kN", "force", "two_numbers"),
        ("17 ± 1 kN", "force", "two_numbers"),
        ("17.3 kN (3890 lbf)", "force", "two_numbers"),
        ("1.73×10 kN", "force", "two_numbers"),
        ("12°30'", "angle", "two_numbers"),
        ("17.3O kN", "force", "letter_in_number"),
        ("17.3OkN", "force", "letter_in_number"),
        ("1O.5 kN", "force", "letter_in_number"),
        ("17l", "force", "letter_in_number"),
        ("about 17 kN", "force", "words_before"),
        ("~17 kN", "force", "words_before"),
        ("F = 17 kN", "force", "words_before"),
        ("17.3 kN or lbf", "force", "more_than_unit"),
        ("17.3 kN or so", "force", "more_than_unit"),
        ("17.3 kN?", "force", "more_than_unit"),
        ("3 ton", "force", "which_ton"),
        ("3 Tons", "force", "which_ton"),
        ("3 t", "force", "which_ton"),
        ("12.4", "force", "unit_missing"),
        ("60", "share", "unit_missing"),
        ("12.4 foo", "force", "unit_unknown"),
        ("12.4 mm", "force", "unit_wrong_kind"),
        ("12.4 kg", "force", "unit_wrong_kind"),
        ("3 tons", "length", "unit_wrong_kind"),
        ("4'-2\"", "force", "unit_wrong_kind"),
    ],
)
def test_what_cannot_be_read_for_sure_is_named_and_not_guessed(text, kind, problem):
    typed = read_quantity(text, kind=kind)

    assert typed.problem == problem
    assert typed.value is None
    assert typed.unit is None
    assert typed.sentence


@pytest.mark.parametrize(
    "text",
    [
        "17.3 to 99 kN", "17.3 or 20 lbf", "17.3 = 20", "17.3O kN", "17-19 kN",
        "17,3 / 18 kN", "about 17 kN", "17.3 kN or lbf", "1,250 mm", "17.3 kN?",
    ],
)  # fmt: skip
def test_a_number_is_handed_on_only_where_it_stands_alone(text):
    assert read_quantity(text, kind="force").number is None


@pytest.mark.parametrize(
    ("typed", "unit", "kind"),
    [
        ("1.250", "mm", "length"),
        ("1.255", "mm", "length"),
        ("12,345", "mm", "length"),
        ("63.125", "N", "force"),
        ("12.345", "J", "energy"),
    ],
)
def test_either_way_to_type_it_again_is_read_the_second_time(typed, unit, kind):
    asked = read_quantity(f"{typed} {unit}", kind=kind)

    ways = [asked.values[name] for name in ("decimal", "thousands")]
    again = [read_quantity(f"{way} {unit}", kind=kind).number for way in ways]

    assert again[1] == pytest.approx(1000 * again[0])


@given(first=st.integers(0, 9999), second=st.integers(0, 9999))
@pytest.mark.parametrize("between", [" to ", " or ", " = ", " - ", "; ", " kN, ", "±"])
def test_no_second_number_is_ever_dropped(between, first, second):
    typed = read_quantity(f"{first}{between}{second} kN", kind="force")

    assert (typed.value, typed.number) == (None, None)


def test_a_bare_number_takes_the_unit_of_its_control():
    typed = read_quantity("40", kind="length", default_unit="mm")

    assert typed.value == pytest.approx(0.040)
    assert typed.unit == "mm"


def test_a_typed_unit_wins_over_the_unit_of_the_control():
    typed = read_quantity("2 in", kind="length", default_unit="mm")

    assert typed.value == pytest.approx(2 * INCH)


def test_a_number_without_its_unit_is_still_handed_on():
    typed = read_quantity("12,4", kind="force")

    assert typed.number == 12.4


def test_every_unit_that_is_offered_can_be_typed_and_converted():
    for kind, row in KINDS.items():
        for unit in row.typed:
            typed = read_quantity(f"2 {'x' if unit == '1' else unit}", kind=kind)

            assert typed.unit == unit
            assert typed.value == pytest.approx(2 * factor(unit))


def test_every_kind_of_quantity_has_a_name_for_the_reader():
    assert set(TYPED_KINDS) <= set(entries("en")["kind"])


@pytest.mark.parametrize("kind", TYPED_KINDS)
@settings(max_examples=60, deadline=None)
@given(text=st.text(max_size=LONGEST + 20))
def test_no_text_at_all_raises_or_gives_both_a_value_and_a_problem(kind, text):
    typed = read_quantity(text, kind=kind)

    assert (typed.value is None) == (typed.problem is not None)
    assert typed.value is None or math.isfinite(typed.value)


@settings(max_examples=300, deadline=None)
@given(text=st.text(alphabet="0123456789.,-+ /eE'\"°%×xkNmftinlb*^½\u202e"))
def test_no_text_that_looks_like_a_quantity_raises(text):
    typed = read_quantity(text, kind="length", default_unit="mm")

    assert (typed.value is None) == (typed.problem is not None)


@given(number=st.integers(0, 10**7), places=st.integers(0, 2))
def test_point_and_comma_are_the_same_decimal_mark(number, places):
    point = f"{number / 10**places:.{places}f}"

    texts = [f"{point} kN", f"{point.replace('.', ',')} kN"]

    read = [read_quantity(text, kind="force") for text in texts]

    assert read[0].value == read[1].value == pytest.approx(float(point) * 1e3)


@given(number=st.integers(1000, 10**9))
def test_thousands_marks_never_change_the_number(number):
    spaced = f"{number:,}".replace(",", " ")

    read = read_quantity(f"{spaced} N", kind="force")

    assert read.value == number


def test_a_hundred_thousand_characters_are_turned_away_at_once():
    start = time.perf_counter()

    typed = read_quantity("9" * 100_000, kind="force")

    assert typed.problem == "too_long"
    assert time.perf_counter() - start < 0.05


@pytest.mark.parametrize("part", range(2, 70))
def test_a_fraction_counts_parts_that_a_rule_has(part):
    # Halves to tenths, and the twelfths, 16ths, 32nds and 64ths of an inch rule.
    read = read_quantity(f"1/{part} in", kind="length")

    if part <= 10 or part in (12, 16, 32, 64):
        assert read.value == pytest.approx(INCH / part)
        assert read.sentence == ""
    else:
        assert read.problem == "two_numbers"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("10,000 mm", "length"),  # 10 m is the longest that makes sense
        ("50,000 N", "force"),  # 50 N the weakest, 500 kN the strongest
        ("500,000 N", "force"),
    ],
)
def test_the_ends_of_what_makes_sense_belong_to_it(text, kind):
    assert read_quantity(text, kind=kind).problem == "which_number"


def test_what_was_typed_is_quoted_printable_and_short():
    def quoted(text):
        return read_quantity(text, kind="force").values["typed"]

    assert quoted("5 kN\x07 6") == "5 kN? 6"
    assert quoted("5 kN " + 15 * "6") == "5 kN " + 15 * "6"
    assert quoted("5 kN " + 16 * "6") == "5 kN " + 14 * "6" + "…"


def test_the_units_that_a_ratio_takes_are_told_as_they_are_typed():
    assert read_quantity("3 kN", kind="ratio").values["units"] == "×, %"


@pytest.mark.parametrize("text", ["1e123 kN", "1.2e123 kN", "5^ kN", "5^3 kN", "5* kN"])
def test_a_power_that_is_none_makes_no_number(text):
    assert read_quantity(text, kind="force").problem == "not_a_number"


def test_eighty_characters_are_read_and_no_more():
    assert read_quantity("12.4 kN".ljust(80), kind="force").value == 12_400
    assert read_quantity("12.4 kN".ljust(81), kind="force").problem == "too_long"


@pytest.mark.parametrize(
    ("text", "kind", "problem"),
    [
        ("4 ft 1,250 in", "length", "not_a_number"),
        ("4 8/8 in", "length", "not_a_number"),
        ("-63.125 N", "force", "which_number"),
        ("17.3O, kN", "force", "letter_in_number"),
        ("17.3 kN·lbf·s", "force", "more_than_unit"),
    ],
)
def test_what_is_almost_a_quantity_is_asked_back(text, kind, problem):
    assert read_quantity(text, kind=kind).problem == problem


def test_minus_goes_with_feet_and_inches_both():
    typed = read_quantity("-4 ft 6 in", kind="length")

    assert (typed.number, typed.unit) == (-4.5, "ft")
    assert typed.value == pytest.approx(-54 * INCH)
