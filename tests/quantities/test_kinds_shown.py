"""How each kind of quantity is shown, typed and held to what makes sense."""

from math import inf, pi

import pytest

from workbook.quantities.table import KINDS, UNITS
from workbook.quantities.tables import columns
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import INCH, METRIC, TON, figures

# A value in SI, and how it reads in either system: unit and decimals are a choice.
SHOWN = {
    "length": (1.23456, "1235 mm", "48.60 in"),
    "small length": (0.0123456, "12.3 mm", "0.49 in"),
    "force": (12345.6, "12.3 kN", "2775 lbf"),
    "small force": (12.3456, "12 N", "2.8 lbf"),
    "strength": (2.19555e8, "220 N/mm²", "31844 psi"),
    "pressure": (1.23456e7, "123 bar", "1791 psi"),
    "angle": (0.123456, "7.1°", "7.1°"),
    "energy": (123.456, "123.5 J", "91 ft lbf"),
    "moment": (1234.56, "1.23 kN m", "911 lbf ft"),
    "mass": (12.3456, "12.3 kg", "12.3 kg"),
    "line mass": (1.23456, "1.23 kg/m", "0.83 lb/ft"),
    "line load": (12.3456, "12.3 N/m", "12.3 N/m"),
    "stiffness": (1.23456e6, "1.2 kN/mm", "7050 lbf/in"),
    "flow": (1.23456e-5, "0.7 L/min", "45 in³/min"),
    "time": (1.23456, "1.2 s", "1.2 s"),
    "share": (0.123456, "12%", "12%"),
    "ratio": (1.23456, "1.23", "1.23"),
    "count": (12.0, "12", "12"),
}

# Where tons-force are chosen; all else is as in the metric system. By hand:
# 12345.6 / 9806.65 = 1.2589; 12.3456 / 9.80665 = 1.259; 1234.56 / 9806.65 = 0.12589.
IN_TONS = {
    "force": "1.26 tf", "small force": "1.3 kgf", "moment": "0.126 tf m",
    "stiffness": "0.13 tf/mm",
}  # fmt: skip

# What makes sense in a workshop, in SI.
SENSIBLE = {
    "length": (0.0, 10.0),
    "force": (50.0, 500e3),
    "strength": (1e6, 5e9),
    "pressure": (1e5, 1500e5),
    "angle": (0.0, 2 * pi),
    "energy": (0.0, 500e3),
    "moment": (0.0, 500e3),
    "mass": (0.0, inf),
    "line mass": (0.0, 100.0),
    "line load": (0.0, 1e3),
    "stiffness": (0.0, 1e8),
    "flow": (0.0, 1e-3),
    "time": (0.0, inf),
    "share": (0.0, 10.0),
    "ratio": (0.0, 100.0),
    "count": (0.0, 1000.0),
}

# Decimals kept in a field, at most shown in a box, and a slider's step.
FIELDS = {
    "kN": (2, 2, 1.0),
    "in": (1, 2, 0.25),
    "lbf": (1, 0, 100.0),
    "tf": (1, 2, 0.1),
    "bar": (1, 0, 1.0),
    "psi": (1, 0, 50.0),
    "tf/mm": (1, 2, 0.1),
    "lbf/in": (1, 0, 100.0),
    "in³/min": (1, 0, 5.0),
}


def test_every_kind_is_shown_in_every_system():
    shown = {
        kind: (value, METRIC.show(value, kind), INCH.show(value, kind))
        for kind, (value, *_) in SHOWN.items()
    }

    assert set(shown) == set(KINDS)
    assert shown == SHOWN
    in_tons = {kind: TON.show(value, kind) for kind, (value, *_) in SHOWN.items()}
    assert in_tons == {kind: row[1] for kind, row in SHOWN.items()} | IN_TONS


def test_every_kind_that_is_typed_has_sensible_ends():
    ends = {
        kind: (row.smallest_sensible, row.largest_sensible)
        for kind, row in KINDS.items()
        if row.typed
    }

    assert ends == SENSIBLE


def test_fields_and_boxes_keep_the_decimals_of_their_unit():
    assert {u: (x.kept, x.boxed, x.step) for u, x in UNITS.items()} == {
        unit: FIELDS.get(unit, (1, 1, 1.0)) for unit in UNITS
    }


@pytest.mark.parametrize(
    ("typed", "inches"), [("3 3/4 in", 3.75), ("4/4 in", 1.0), ("5/4 in", 1.25)]
)
def test_a_ruler_fraction_is_read(typed, inches):
    assert read_quantity(typed, kind="length").value == pytest.approx(inches * 0.0254)


@pytest.mark.parametrize("typed", ["3 4/4 in", "3 5/4 in"])
def test_a_fraction_behind_a_whole_number_is_less_than_one(typed):
    assert read_quantity(typed, kind="length").value is None


def test_nothing_is_shown_without_a_minus():
    assert METRIC.show(-1.0, "force") == "0.0 kN"
    assert METRIC.show(-100.0, "force") == "−0.1 kN"
    assert METRIC.show(-1000.0, "force") == "−1.0 kN"


@pytest.mark.parametrize(
    ("value", "least", "shown"),
    [
        (0.0, 1, "0"), (-17.35, 0, "-17.4"), (-0.05, 1, "-0.05"), (9.996, 0, "10"),
        (9.996, 1, "10.0"), (123.4, 1, "123"), (1.0, 2, "1.00"),
        (1.0, 3, "1.00"), (99.95, 1, "100"), (1e-5, 0, "0.00001"),
        (-2.346e-9, 1, "-0.00000000235"),
    ],
)  # fmt: skip
def test_a_number_has_three_figures_whatever_its_size(value, least, shown):
    assert figures(value, least=least) == shown


def test_columns_are_as_wide_as_their_widest_cell():
    assert columns([["tip", "1", ""]]) == ["  tip  1"]
    assert columns([["a", "12345", "x", "end"], ["point", "1", "yyy", ""]]) == [
        "  a      12345    x  end",
        "  point      1  yyy",
    ]
