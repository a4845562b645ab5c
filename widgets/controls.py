"""Controls: a slider and a typed box for a number, a list for a choice.

A control holds only what its field accepts. ``control.value = ...`` is a move, like
the reader's own: it is checked, and ``moved`` is called. `bring` sets a checked value
and tells nobody.
"""

from __future__ import annotations

import time
from collections import deque
from html import escape
from math import ceil, floor
from typing import TYPE_CHECKING

import ipywidgets as ipw
import traitlets

from workbook.errors import FormError
from workbook.language import say
from workbook.quantities.table import UNITS
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import UnitSystem, factor, with_unit
from workbook.scenes.fields import Choice, Field, Number, si

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.scenes.fields import Value

# A slider in another unit than its field's has at least so many steps.
LEAST_STEPS = 4
ANSWERS = 2.0  # s within which a browser's slider answers what it was put to


def alert(sentence: str) -> str:
    """Return a sentence that a screen reader speaks at once, as HTML."""
    return f'<span class="pw-note" role="alert">{escape(sentence)}</span>'


def mark_held(widget: ipw.DOMWidget, held: bool) -> None:
    """Mark what no hand may move now: the page says why when it is pressed."""
    if held:
        widget.add_class("pw-held")
    else:
        widget.remove_class("pw-held")


class Slider(ipw.FloatSlider):  # type: ignore[misc]
    """A slider whose every move is one message, not answered by its own echo."""

    value = traitlets.CFloat(0.0).tag(sync=True, echo_update=False)


class NumberControl:
    """A slider with a box to type in; ``value`` is in the unit of its field.

    What is typed and cannot be used stays in the box, with the reason under it.
    Held, it can be reached and read, but no hand moves it.
    """

    def __init__(self, field: Number, value: Value, *, system: UnitSystem) -> None:
        self.field = field
        self.moved: Callable[[], None] = lambda: None
        self._value = float(value)
        self._setting = False
        self._held = False
        self._taken = False  # from elsewhere, and not shown yet
        self._puts: deque[tuple[float, float]] = deque()  # when, and to what
        self.box = ipw.Text(continuous_update=False, layout=ipw.Layout(width="auto"))
        self.note = ipw.HTML()
        self.row = ipw.HBox().add_class("pw-control")
        self.widget = ipw.VBox([self.row])
        self.use(system)
        self.box.observe(self._typed, names="value")

    @property
    def value(self) -> float:
        """The value it stands on, in the unit of its field."""
        return self._value

    @value.setter
    def value(self, value: Value) -> None:
        moved_to = self.field.checked(value)
        if moved_to != self._value:
            self._value = moved_to
            self.moved()  # first: the reader waits for the picture
        self.show()

    def bring(self, value: Value) -> None:
        """Set a checked value and tell nobody."""
        self.take(value)
        self.show()

    def take(self, value: Value) -> None:
        """Set a checked value that is shown later, with `show`."""
        self._value, self._taken = float(value), True

    def nearest(self, value: float) -> float:
        """Return the value that can be set nearest to one."""
        return min(max(value, self.field.low), self.field.high)

    @property
    def unit(self) -> str:
        """The unit shown: the reader's for the field's kind."""
        return self.system.unit[self.field.kind]

    def use(self, system: UnitSystem) -> None:
        """Show the same value in another system of units.

        The slider is made anew: while one is changed piece by piece, a browser
        answers with values of neither system.
        """
        self.system = system
        field, to_shown = self.field, factor(self.field.unit) / factor(self.unit)
        step = field.step
        if self.unit != field.unit:
            unit, span = UNITS[self.unit], (field.high - field.low) * to_shown
            # What has no room for whole steps goes by the last decimal of its box.
            step = unit.step if span >= LEAST_STEPS * unit.step else 10.0**-unit.boxed
        self.slider = Slider(
            value=self._value * to_shown,
            # Ends on whole steps, so that every step is a round number.
            min=step * ceil(field.low * to_shown / step - 1e-9),
            max=step * floor(field.high * to_shown / step + 1e-9),
            step=step,
            description=say("explorer", "label", name=field.label, unit=self.unit),
            readout=False,
            layout=ipw.Layout(width="auto"),
        )
        self.slider.observe(self._slid, names="value")
        self.row.children = [self.slider, self.box]
        self.show()

    def hold(self, held: bool) -> None:
        """Hold the control still, or let it go."""
        self._held = held
        mark_held(self.widget, held)

    @property
    def said(self) -> str:
        """The value as it stands in the box, with its unit."""
        return with_unit(self._number(), self.unit)

    @property
    def shown_as(self) -> dict[str, object]:
        """How a page says a value of the field: times, decimals, what follows."""
        per = factor(self.field.unit) / factor(self.unit)
        ending = with_unit("", self.unit)
        return {"per": per, "places": UNITS[self.unit].boxed, "ending": ending}

    @property
    def step(self) -> float:
        """One key press of the slider, in the unit of the field."""
        return float(self.slider.step * factor(self.unit) / factor(self.field.unit))

    def _shown(self) -> float:
        return self._value * factor(self.field.unit) / factor(self.unit)

    def _number(self) -> str:
        number = f"{self._shown():.{UNITS[self.unit].boxed}f}"
        if "." in number:
            number = number.rstrip("0").rstrip(".")
        return "0" if number == "-0" else number

    def show(self) -> None:
        """Bring slider and box to the value."""
        shown = self._shown()
        self._setting = True
        if abs(self.slider.value - shown) > 1e-9 * max(1.0, abs(shown)):
            self.slider.value = shown
            if self._taken:
                self._puts.append((time.monotonic(), shown))
        self._taken = False
        self.box.value = self._number()
        self._setting = False
        self._tell("")

    def _slid(self, _change: object) -> None:
        if self._held:
            self.show()
            return
        if self._setting or self._is_here(self._shown()):
            return
        if self._answers_late():
            self.show()
            return
        self._puts.clear()
        value = self.slider.value * factor(self.unit) / factor(self.field.unit)
        self.value = self.nearest(value)

    def _is_here(self, shown: float) -> bool:
        """Tell whether the slider stands on a value, as a browser has it.

        There it can stand on whole steps only: put between two, it answers with the
        nearer one. That is no move.
        """
        return bool(abs(self.slider.value - shown) <= 0.5001 * self.slider.step)

    def _answers_late(self) -> bool:
        """Tell whether the slider answers what it was put to before, and forget that.

        While a hand moves on, such an answer comes after what has moved since.
        """
        now = time.monotonic()
        while self._puts:
            when, shown = self._puts.popleft()
            if now - when <= ANSWERS and self._is_here(shown):
                return True
        return False

    def _typed(self, _change: object) -> None:
        if self._setting:
            return
        if self._held:
            self.show()
            return
        typed = read_quantity(
            self.box.value, kind=self.field.kind, default_unit=self.unit
        )
        if typed.value is None:
            self._tell(typed.sentence)
            return
        try:
            self.value = round(typed.value / factor(self.field.unit), 9)
        except FormError:
            self._tell(self._limits())

    def _limits(self) -> str:
        low, high = (
            self.system.show(si(self.field, end), self.field.kind)
            for end in (self.field.low, self.field.high)
        )
        return say("explorer", "limits", name=self.field.label, low=low, high=high)

    def _tell(self, sentence: str) -> None:
        self.note.value = alert(sentence) if sentence else ""
        rows = [self.row, *([self.note] if sentence else [])]
        if len(rows) != len(self.widget.children):
            self.widget.children = rows


class ChoiceControl:
    """A list to choose from; ``value`` is the option chosen."""

    def __init__(self, field: Choice, value: Value) -> None:
        self.field = field
        self.moved: Callable[[], None] = lambda: None
        self._value = str(value)
        self._held = False
        self.widget = ipw.Dropdown(
            options=[(field.shown(option), option) for option in field.options],
            value=self._value,
            description=field.label,
            layout=ipw.Layout(width="auto"),
            style={"description_width": "initial"},
        )
        self.widget.observe(self._picked, names="value")

    @property
    def value(self) -> str:
        """The option it stands on."""
        return self._value

    @value.setter
    def value(self, value: Value) -> None:
        moved_to = self.field.checked(value)
        if moved_to != self._value:
            self._value = moved_to
            self.moved()
        self.widget.value = self._value

    def bring(self, value: Value) -> None:
        """Set an option and tell nobody."""
        self._value = self.widget.value = str(value)

    def use(self, system: UnitSystem) -> None:
        """Do nothing: a name has no unit."""

    def hold(self, held: bool) -> None:
        """Hold the control still, or let it go."""
        self._held = held
        mark_held(self.widget, held)

    def _picked(self, _change: object) -> None:
        self.value = self._value if self._held else self.widget.value


Control = NumberControl | ChoiceControl


def control_for(field: Field, value: Value, *, system: UnitSystem) -> Control:
    """Return the control of a field, on a checked value."""
    if isinstance(field, Choice):
        return ChoiceControl(field, value)
    return NumberControl(field, value, system=system)
