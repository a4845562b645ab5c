"""Controls: a slider and a typed box for a number, a list for a choice."""

from __future__ import annotations

from html import escape
from math import ceil, floor
from typing import TYPE_CHECKING

import ipywidgets as ipw
import traitlets

from workbook.errors import FormError
from workbook.quantities.table import UNITS
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import METRIC, UnitSystem, factor
from workbook.scenes.fields import Choice, Field, Number

if TYPE_CHECKING:
    from collections.abc import Callable


def alert(sentence: str) -> str:
    """Return a sentence that a screen reader speaks at once, as HTML."""
    return f'<span class="pw-note" role="alert">{escape(sentence)}</span>'


class NumberControl(traitlets.HasTraits):
    """A slider with a box to type in; ``value`` is in the unit of its field.

    What is typed and cannot be used stays in the box, with the reason under it.
    """

    value = traitlets.Float()

    def __init__(self, field: Number, *, system: UnitSystem = METRIC) -> None:
        super().__init__(value=field.start)
        self.field = field
        self._setting = False
        self.box = ipw.Text(continuous_update=False, layout=ipw.Layout(width="110px"))
        self.note = ipw.HTML()
        self.row = ipw.HBox().add_class("pw-control")
        self.widget = ipw.VBox([self.row])
        self.held = False
        self.moved: Callable[[], None] = lambda: None
        self.use(system)
        self.box.observe(self._typed, names="value")
        self.observe(self._changed, names="value")

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
        step = field.step if self.unit == field.unit else UNITS[self.unit].step
        self.slider = ipw.FloatSlider(
            value=self.value * to_shown,
            # Ends on whole steps, so that every step is a round number.
            min=step * ceil(field.low * to_shown / step - 1e-9),
            max=step * floor(field.high * to_shown / step + 1e-9),
            step=step,
            description=f"{field.label} ({self.unit})",
            readout=False,
            disabled=self.held,
            layout=ipw.Layout(width="620px"),
            style={"description_width": "210px"},
        )
        self.slider.observe(self._slid, names="value")
        self.row.children = [self.slider, self.box]
        self._show()

    def hold(self, held: bool) -> None:
        """Hold the control still, or let it go."""
        self.held = self.slider.disabled = self.box.disabled = held

    def _changed(self, _change: object) -> None:
        self.moved()  # first: the reader waits for the picture
        self._show()

    def _shown(self) -> float:
        return self.value * factor(self.field.unit) / factor(self.unit)

    def _show(self) -> None:
        """Bring slider and box to the value."""
        self._setting = True
        if abs(self.slider.value - self._shown()) > 1e-9 * max(1.0, abs(self._shown())):
            self.slider.value = self._shown()
        number = f"{self._shown():.{UNITS[self.unit].boxed}f}"
        if "." in number:
            number = number.rstrip("0").rstrip(".")
        self.box.value = "0" if number == "-0" else number
        self._setting = False
        self._tell("")

    def _slid(self, _change: object) -> None:
        # A browser's slider can stand on whole steps only: given a typed value
        # between two, it answers with the nearer one. That is no move.
        echo = abs(self.slider.value - self._shown()) <= 0.5001 * self.slider.step
        if not (self._setting or echo):
            value = self.slider.value * factor(self.unit) / factor(self.field.unit)
            self.value = self.nearest(value)

    def nearest(self, value: float) -> float:
        """Return the value that can be set nearest to one."""
        return self.field.checked(min(max(value, self.field.low), self.field.high))

    def _typed(self, _change: object) -> None:
        if self._setting:
            return
        typed = read_quantity(
            self.box.value, kind=self.field.kind, default_unit=self.unit
        )
        if typed.value is None:
            self._tell(typed.sentence)
            return
        try:
            value = self.field.checked(round(typed.value / factor(self.field.unit), 9))
        except FormError:
            self._tell(f"{self.field.label} goes from {self._limits()}.")
            return
        if value == self.value:
            self._show()
        self.value = value

    def _limits(self) -> str:
        show, scale = self.system.show, factor(self.field.unit)
        low, high = self.field.low * scale, self.field.high * scale
        return f"{show(low, self.field.kind)} to {show(high, self.field.kind)}"

    def _tell(self, sentence: str) -> None:
        self.note.value = alert(sentence) if sentence else ""
        rows = [self.row, *([self.note] if sentence else [])]
        if len(rows) != len(self.widget.children):
            self.widget.children = rows


class ChoiceControl(traitlets.HasTraits):
    """A list to choose from; ``value`` is the option chosen."""

    value = traitlets.Unicode()

    def __init__(self, field: Choice, *, system: UnitSystem = METRIC) -> None:
        super().__init__(value=field.start)
        self.field = field
        self.widget = ipw.Dropdown(
            options=[(field.shown(option), option) for option in field.options],
            value=field.start,
            description=field.label,
            layout=ipw.Layout(width="480px"),
            style={"description_width": "210px"},
        )
        traitlets.link((self.widget, "value"), (self, "value"))

    def use(self, system: UnitSystem) -> None:
        """Do nothing: a name has no unit."""

    def hold(self, held: bool) -> None:
        """Hold the control still, or let it go."""
        self.widget.disabled = held


Control = NumberControl | ChoiceControl


def control_for(field: Field, *, system: UnitSystem) -> Control:
    """Return the control of a field."""
    if isinstance(field, Choice):
        return ChoiceControl(field, system=system)
    return NumberControl(field, system=system)


def set_all(controls: dict[str, Control], values: dict[str, float | str]) -> None:
    """Bring every control to a value of a checked set."""
    for name, value in values.items():
        controls[name].value = value


def on_change(controls: dict[str, Control], action: Callable[[], None]) -> None:
    """Call ``action`` whenever any control's value changes."""
    for control in controls.values():
        if isinstance(control, NumberControl):
            control.moved = action
        else:
            control.observe(lambda _change: action(), names="value")
