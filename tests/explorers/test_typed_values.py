"""What is typed into a control is read with its unit, or answered and kept."""

import pytest

from workbook.quantities.units import factor


def test_a_typed_decimal_comma_is_read_as_a_decimal_point(explorer, numbers):
    for name, control in numbers.items():
        field = explorer.subject.fields[name]
        wanted = field.checked(round(field.low + 0.37 * (field.high - field.low), 1))

        control.box.value = f"{wanted:.1f}".replace(".", ",")

        assert control.value == pytest.approx(wanted)
        assert not control.note.value


def test_a_typed_unit_is_converted(explorer, numbers):
    other = {
        **{"length": "in", "force": "lbf", "angle": "rad", "pressure": "psi"},
        **{"share": "%", "strength": "MPa", "stiffness": "N/m", "flow": "in³/min"},
    }
    for name, control in numbers.items():
        field = explorer.subject.fields[name]
        unit = other[field.kind]
        wanted = field.checked(round(field.low + 0.61 * (field.high - field.low), 1))
        size = wanted * factor(field.unit) / factor(unit)

        control.box.value = f"{size:.6f} {unit}"

        assert control.value == pytest.approx(wanted, abs=field.grain)
        assert not control.note.value


@pytest.mark.parametrize("typed", ["1e9", "-1e9", "3 J", "20 s", "a lot", "1/0"])
def test_what_cannot_be_used_stays_typed_with_the_reason(explorer, typed, numbers):
    before = explorer.values
    for control in numbers.values():
        control.box.value = typed

        assert control.box.value == typed
        assert 'role="alert"' in control.note.value
        assert control.note in control.widget.children

    assert explorer.values == before


def test_a_typed_unit_counts_whatever_the_reader_sees(explorer, numbers):
    explorer.use_units("lbf-inch")
    for name, control in numbers.items():
        field = explorer.subject.fields[name]
        wanted = field.checked(round(field.low + 0.43 * (field.high - field.low), 1))

        control.box.value = f"{wanted:.1f} {field.unit}"

        assert control.value == pytest.approx(wanted)


def test_limits_are_told_in_the_readers_units(explorer, numbers):
    explorer.use_units("lbf-inch")
    for name, control in numbers.items():
        field = explorer.subject.fields[name]

        control.box.value = "1e9"

        ends = [
            explorer.system.show(end * factor(field.unit), field.kind)
            for end in (field.low, field.high)
        ]
        assert f"{field.label} goes from {ends[0]} to {ends[1]}." in (
            control.note.value.replace("&#x27;", "'")
        )


def test_a_slider_names_its_quantity_and_unit(explorer, numbers):
    for name, control in numbers.items():
        field = explorer.subject.fields[name]

        assert control.slider.description == f"{field.label} ({field.unit})"
        assert control.slider.min == field.low
        assert control.slider.max == field.high
