"""What every explorer must do, whatever it shows."""

import random
import re
import subprocess
import sys
from types import SimpleNamespace

import pytest

import widgets.explorer
from widgets.prediction import PredictionLock
from workbook.course import lesson
from workbook.errors import FormError
from workbook.language import CAUTIONS, caution, left_out
from workbook.quantities.units import INCH, METRIC, factor
from workbook.reader.settings import settings_file
from workbook.scenes.fields import Choice

NO_NUMBER = re.compile(r"\b(nan|inf|None)\b")
# Place by place, what a pull of each lesson must show (standing texts of the course).
CAUTIONS_OF = {
    "PullExplorer": {"S0", "S1", "S8"},
    "ChainSagExplorer": {"S0", "S1", "S5"},
    "ArrowExplorer": {"S0"},
    "BridleExplorer": {"S0", "S1", "S8"},
    "RollerExplorer": {"S0", "S1", "S8"},
}
QUESTION = lesson("L00").prediction


def levels(field):
    """Return nine values of a number, ends included, or every option."""
    if isinstance(field, Choice):
        return list(field.options)
    step = (field.high - field.low) / 8
    return [field.checked(field.low + k * step) for k in range(9)]


def numbers(explorer):
    """Return the controls of numbers, by name."""
    fields = explorer.fields
    return {n: c for n, c in explorer.controls.items() if not _choice(fields[n])}


def _choice(field):
    return isinstance(field, Choice)


def assert_answer_or_reason(explorer):
    frame = explorer.stage.frame
    if explorer.result is None:
        assert len(explorer.refusal) > 20, explorer.values
        assert frame["picture"] == frame["numbers"] == "", explorer.values
        assert explorer.refusal in frame["spoken"], explorer.values
    else:
        assert frame["picture"].startswith("<svg"), explorer.values
        assert frame["words"], explorer.values
    shown = f"{frame['picture']} {frame['numbers']} {frame['spoken']}"
    assert not NO_NUMBER.search(shown), explorer.values


def test_every_value_of_every_control_gives_an_answer_or_a_reason(explorer):
    answers = 0
    for name, field in explorer.fields.items():
        for value in levels(field):
            explorer.set(**{**explorer.start, name: value})

            assert_answer_or_reason(explorer)
            answers += explorer.result is not None

    assert answers > 5


def test_controls_set_together_give_an_answer_or_a_reason(explorer):
    rng = random.Random(7)
    for _ in range(40):
        values = {name: rng.choice(levels(f)) for name, f in explorer.fields.items()}

        explorer.set(**values)

        assert_answer_or_reason(explorer)


def test_a_code_restores_every_control(made):
    rng = random.Random(11)
    first, second = made(), made()
    values = {name: rng.choice(levels(f)) for name, f in made.fields.items()}
    first.set(**values)

    second._code.value = first.code

    assert second.values == first.values == made(code=first.code).values
    assert second.values != second.start


def test_a_mistyped_code_moves_nothing_and_says_so(explorer):
    before = explorer.values

    explorer._code.value = explorer.code[:-1] + "*"

    assert explorer.values == before
    assert "mistyped" in explorer._code_note.value


def test_an_unknown_name_or_value_is_refused(explorer):
    name = next(iter(numbers(explorer)))

    with pytest.raises(FormError, match="nothing called 'colour'"):
        explorer.set(colour=1)
    with pytest.raises(FormError, match="is outside"):
        explorer.set(**{name: 1e9})


# ------------------------------------------------------------------ typed values


def test_a_typed_decimal_comma_is_read_as_a_decimal_point(explorer):
    for name, control in numbers(explorer).items():
        field = explorer.fields[name]
        wanted = field.checked(round(field.low + 0.37 * (field.high - field.low), 1))

        control.box.value = f"{wanted:.1f}".replace(".", ",")

        assert control.value == pytest.approx(wanted)
        assert not control.note.value


def test_a_typed_unit_is_converted(explorer):
    other = {"length": "in", "force": "lbf", "angle": "rad", "pressure": "psi"}
    for name, control in numbers(explorer).items():
        field = explorer.fields[name]
        unit = other[field.kind]
        wanted = field.checked(round(field.low + 0.61 * (field.high - field.low), 1))
        size = wanted * factor(field.unit) / factor(unit)

        control.box.value = f"{size:.6f} {unit}"

        assert control.value == pytest.approx(wanted, abs=field.grain)
        assert not control.note.value


@pytest.mark.parametrize("typed", ["1e9", "-1e9", "3 J", "20 s", "a lot", "1/0"])
def test_what_cannot_be_used_stays_typed_with_the_reason(explorer, typed):
    before = explorer.values
    for control in numbers(explorer).values():
        control.box.value = typed

        assert control.box.value == typed
        assert 'role="alert"' in control.note.value
        assert control.note in control.widget.children

    assert explorer.values == before


def test_a_typed_unit_counts_whatever_the_reader_sees(explorer):
    explorer.use_units("lbf-inch")
    for name, control in numbers(explorer).items():
        field = explorer.fields[name]
        wanted = field.checked(round(field.low + 0.43 * (field.high - field.low), 1))

        control.box.value = f"{wanted:.1f} {field.unit}"

        assert control.value == pytest.approx(wanted)


def test_limits_are_told_in_the_readers_units(explorer):
    explorer.use_units("lbf-inch")
    for name, control in numbers(explorer).items():
        field = explorer.fields[name]

        control.box.value = "1e9"

        ends = [
            explorer.system.show(end * factor(field.unit), field.kind)
            for end in (field.low, field.high)
        ]
        assert f"{field.label} goes from {ends[0]} to {ends[1]}." in (
            control.note.value.replace("&#x27;", "'")
        )


def test_a_slider_names_its_quantity_and_unit(explorer):
    for name, control in numbers(explorer).items():
        field = explorer.fields[name]

        assert control.slider.description == f"{field.label} ({field.unit})"
        assert control.slider.min == field.low
        assert control.slider.max == field.high


# --------------------------------------------------------------- freeze and compare


def test_three_set_ups_freeze_and_no_more(explorer, settings):
    for k in range(4):
        explorer.set(**{**explorer.start, **settings[k % len(settings)]})
        explorer.freeze()

    assert [letter for letter, _, _ in explorer.frozen] == ["I", "II", "III"]
    assert explorer._compare.value.count("<th>") == 6


def test_the_table_shows_the_difference_of_each_number(explorer, moved):
    explorer.freeze()
    then = explorer.amounts(explorer.result)
    explorer.set(**moved)
    now = explorer.amounts(explorer.result)

    table = explorer._compare.value

    differ = 0
    for name in then.keys() & now.keys():
        (value, kind), (other, _) = now[name], then[name]
        size = explorer.system.show(abs(value - other), kind)
        sign = "−" if explorer.system.show(value - other, kind)[0] == "−" else "+"
        row = re.search(rf"<td>{re.escape(name)}</td>.*?</tr>", table)[0]
        assert row.endswith(f"<td>{sign}{size}</td></tr>"), name
        differ += value != other
    assert differ


def test_a_frozen_set_up_stays_in_sight_until_cleared(explorer, moved):
    explorer.freeze()
    explorer.set(**moved)

    assert "ghost I<" in explorer.stage.frame["picture"]
    assert "pw-ghost" in explorer.stage.frame["picture"]

    explorer.clear()

    assert "ghost I<" not in explorer.stage.frame["picture"]
    assert explorer._compare.value == ""


# --------------------------------------------------------------- reset, undo, names


@pytest.fixture
def clock(monkeypatch):
    """Time that stands still until it is set."""
    now = SimpleNamespace(monotonic=lambda: now.seconds, seconds=100.0)
    monkeypatch.setattr(widgets.explorer, "time", now)
    return now


def test_reset_goes_back_to_the_start(made, moved):
    explorer = made(moved)
    changed = {name: levels(f)[-1] for name, f in made.fields.items()}
    explorer.set(**changed)

    explorer.reset()

    assert explorer.values == explorer.start
    assert all(explorer.start[name] == value for name, value in moved.items())


def test_a_second_reset_within_five_seconds_undoes_it(explorer, moved, clock):
    explorer.set(**moved)
    before = explorer.values

    explorer._key("r")
    clock.seconds += 4.9
    explorer._key("r")

    assert explorer.values == before != explorer.start


def test_a_second_reset_after_five_seconds_undoes_nothing(explorer, moved, clock):
    explorer.set(**moved)

    explorer._key("r")
    clock.seconds += 5.1
    explorer._key("r")

    assert explorer.values == explorer.start


def test_number_keys_load_named_set_ups_and_undo_them(made, moved, clock):
    explorer = made(named={"as it was": {}, "moved": moved})
    start = explorer.values

    explorer._key("2")
    loaded = explorer.values
    explorer._key("2")

    assert loaded == {**start, **{k: loaded[k] for k in moved}} != start
    assert explorer.values == start
    explorer._key("9")  # there is no ninth: nothing happens
    assert explorer.values == start


def test_the_list_of_named_set_ups_loads_them(made, moved):
    explorer = made(named={"moved": moved})

    explorer._names.value = "moved"

    assert explorer.values == {**explorer.start, **made(moved).start}
    assert explorer._names.value == ""


def test_what_changed_is_said_and_forgotten_once_at_rest(explorer, moved, clock):
    name, value = next(iter(moved.items()))
    clock.seconds += 10

    explorer.set(**{name: value})

    if explorer.result is not None:
        assert "Changed: " in explorer.stage.frame["spoken"]
        assert explorer.fields[name].label in explorer.stage.frame["spoken"]
        clock.seconds += 10
        explorer.freeze()
        assert "Changed: " not in explorer.stage.frame["spoken"]


# ------------------------------------------------------------------------- units


def test_other_units_change_the_text_and_not_the_answer(explorer):
    amounts, values = explorer.amounts(explorer.result), explorer.values
    metric = explorer.stage.frame

    explorer.use_units("lbf-inch")

    assert explorer.amounts(explorer.result) == amounts
    assert explorer.values == values
    assert "kN" in metric["spoken"]
    assert "lbf" in explorer.stage.frame["spoken"]
    assert not re.search(r"\bkN\b(?!/mm)", explorer.stage.frame["spoken"])
    assert explorer.stage.frame["numbers"] != metric["numbers"]


def test_the_choice_of_units_is_remembered(made, settings_folder):
    made().use_units("lbf-inch")

    assert settings_file().parent == settings_folder
    assert made().system.unit == INCH.unit

    made().use_units("kN-mm")
    assert made().system.unit == METRIC.unit


def test_a_slider_moves_in_the_readers_units(explorer):
    explorer.use_units("lbf-inch")
    for name, control in numbers(explorer).items():
        field, slider = explorer.fields[name], control.slider
        steps = round(0.83 * (slider.max - slider.min) / slider.step)

        slider.value = slider.min + steps * slider.step

        wanted = slider.value * factor(control.unit) / factor(field.unit)
        assert control.value == pytest.approx(wanted, abs=field.grain)
        assert control.value != field.start


# -------------------------------------------------------------------- prediction


def held(explorer):
    widgets_held = [
        control.slider if hasattr(control, "slider") else control.widget
        for control in explorer.controls.values()
    ]
    widgets_held += [explorer._freeze, explorer._reset, explorer._code]
    return {widget.disabled for widget in widgets_held}


def test_controls_are_held_until_a_prediction_is_locked(made, moved):
    explorer = made(lock=PredictionLock(QUESTION), named={"moved": moved})
    start = explorer.values

    for key in "rf1":
        explorer._key(key)

    assert held(explorer) == {True}
    assert explorer.values == start
    assert not explorer.frozen

    explorer.lock.choice.value = "to the right"
    explorer.lock.lock()

    assert held(explorer) == {False}
    assert explorer.lock.outcome == "slip_sign"
    explorer._key("1")
    assert explorer.values != start


def test_an_empty_prediction_does_not_lock_and_is_told(made):
    explorer = made(lock=PredictionLock(QUESTION))

    explorer.lock.lock()

    assert explorer.lock.answer is None
    assert "Choose one" in explorer.lock.note.value
    assert held(explorer) == {True}


def test_an_answer_of_ones_own_locks_too(made):
    explorer = made(lock=PredictionLock(QUESTION))
    explorer.lock.choice.value = explorer.lock.other
    explorer.lock.lock()
    assert explorer.lock.answer is None  # chosen, but nothing typed

    explorer.lock.own.value = " about the same "
    explorer.lock.lock()

    assert explorer.lock.answer == "about the same"
    assert explorer.lock.outcome == "none_of_these"
    assert held(explorer) == {False}


def test_a_lesson_reads_an_answer_while_the_controls_are_held(made, moved):
    explorer = made(lock=PredictionLock(QUESTION))

    answer = explorer.at(**moved)

    assert explorer.amounts(answer) == made().amounts(made(moved).result)
    assert explorer.values == explorer.start


# ------------------------------------------------------------------ what it shows


def test_a_mistake_in_a_picture_is_shown_and_raised(explorer, moved, monkeypatch):
    def broken(*_args, **_kwargs):
        msg = "no ink"
        raise ZeroDivisionError(msg)

    monkeypatch.setattr(type(explorer), "sheets", broken)

    with pytest.raises(ZeroDivisionError, match="no ink"):
        explorer.set(**moved)

    assert "no ink" in explorer.stage.frame["words"]
    assert explorer.stage.frame["picture"] == ""


def test_cautions_stand_word_for_word_under_the_picture(explorer):
    foot = explorer._foot().replace("&#x27;", "'")

    wanted = CAUTIONS_OF[type(explorer).__name__]
    for code, words in ((c, caution(c)) for c in CAUTIONS):
        assert (words in foot) == (code in wanted), code
    assert left_out() in foot


def test_at_most_three_controls_are_in_front(explorer):
    choices = [n for n, f in explorer.fields.items() if _choice(f)]
    for name in choices or ["none"]:
        for option in explorer.fields[name].options if choices else [None]:
            if option is not None:
                explorer.set(**{**explorer.start, name: option})

            layouts = [explorer.controls[n].widget.layout for n in explorer.front]

            assert sum(layout.display != "none" for layout in layouts) <= 3


def test_the_badge_names_what_is_held_fixed(explorer):
    held_words = explorer.held(explorer.values)

    assert f"Held fixed: {held_words}" in explorer._badge.value
    assert explorer.words(explorer.result).startswith(f"Held fixed: {held_words}")


def test_words_are_two_to_four_sentences(made, settings):
    for setting in settings:
        explorer = made(setting)
        words = explorer.words(explorer.result)

        assert 2 <= len(re.findall(r"[.](?= |$)", words)) <= 4, words


def test_a_projector_gets_a_wide_picture_of_the_same_numbers(explorer):
    before = explorer.stage.frame

    explorer.stage.projector = True

    assert 'viewBox="0 0 1240 430"' in explorer.stage.frame["picture"]
    assert explorer.stage.frame["numbers"] == before["numbers"]


def test_no_explorer_loads_the_state_machine_of_plots():
    probe = (
        "import sys, widgets\n"
        "from workbook.figures.drawing.on_axes import figure_of\n"
        "from widgets.explorer import Explorer\n"
        "for made in vars(widgets).values():\n"
        "    if isinstance(made, type) and issubclass(made, Explorer):\n"
        "        explorer = made()\n"
        "        for sheet in explorer.sheets(explorer.result, []):\n"
        "            figure_of(sheet).canvas.draw()\n"
        "print(*sys.modules)\n"
    )

    loaded = subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True
    ).stdout.split()

    assert "matplotlib.figure" in loaded
    assert "matplotlib.pyplot" not in loaded
