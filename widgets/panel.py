"""The controls of a subject: few in front, the rest behind a fold."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import ipywidgets as ipw

from widgets.controls import Control, NumberControl, control_for
from workbook.language import say
from workbook.quantities.units import factor
from workbook.scenes.fields import Checked

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.figures.subject import Paired, Subject, Values
    from workbook.quantities.units import UnitSystem


class ControlPanel:
    """A control for every field, and those that are paired with one.

    ``controls`` holds the first by name of field, ``paired`` the second by their own.
    """

    def __init__(
        self,
        subject: Subject[Any],
        values: Values,
        *,
        system: UnitSystem,
        front: Sequence[str],
        on_move: Callable[[], None],
    ) -> None:
        self.subject = subject
        self.controls: dict[str, Control] = {
            name: control_for(field, values[name], system=system)
            for name, field in subject.fields.items()
        }
        self.paired = {
            pair.field.name: NumberControl(pair.field, pair.field.low, system=system)
            for pair in subject.paired
        }
        self._on_move = on_move
        self._taken: list[NumberControl] = []  # and not shown yet
        for control in self.controls.values():
            control.moved = on_move
        for pair in subject.paired:
            self.paired[pair.field.name].moved = partial(self._paired_moved, pair)
        named = {**self.controls, **self.paired}
        self.front = [named[name].widget for name in front]
        self.fold = self._folded(front)

    @property
    def values(self) -> Checked:
        """The present value of every field."""
        return Checked({name: c.value for name, c in self.controls.items()})

    def bring(self, values: Values) -> None:
        """Bring every control to a checked value and tell nobody."""
        for name, value in values.items():
            self.controls[name].bring(value)

    def take_nearest(self, values: Mapping[str, float]) -> None:
        """Set number controls as near to values as they go; `settle` shows it."""
        for name, value in values.items():
            control = self._number(name)
            control.take(control.field.checked(control.nearest(value)))
            self._taken.append(control)

    def settle(self, values: Values) -> None:
        """Show what was taken, let pairs follow, and put away what makes no sense."""
        for control in self._taken:
            control.show()
        self._taken.clear()
        shown = self.subject.shown(values)
        for name in self.subject.only_with:
            layout = self.controls[name].widget.layout
            layout.display = None if name in shown else "none"
        for pair in self.subject.paired:
            control = self.paired[pair.field.name]
            amount = pair.to(_si(self._number(pair.of), values[pair.of]), values)
            nearest = control.nearest(amount / factor(pair.field.unit))
            control.bring(pair.field.checked(nearest))
            control.widget.layout.display = None if pair.of in shown else "none"

    def hold(self, held: bool) -> None:
        """Hold every control still, or let them go."""
        for control in self._all:
            control.hold(held)

    def use(self, system: UnitSystem) -> None:
        """Show every value in another system of units."""
        for control in self._all:
            control.use(system)

    @property
    def _all(self) -> list[Control]:
        return [*self.controls.values(), *self.paired.values()]

    def _number(self, name: str) -> NumberControl:
        control = self.controls[name]
        assert isinstance(control, NumberControl), f"{name} is paired and no number"
        return control

    def _paired_moved(self, pair: Paired) -> None:
        control, other = self._number(pair.of), self.paired[pair.field.name]
        amount = pair.back(_si(other, other.value), self.values)
        nearest = control.nearest(amount / factor(control.field.unit))
        control.bring(control.field.checked(nearest))
        self._on_move()

    def _folded(self, front: Sequence[str]) -> ipw.Accordion | None:
        beside = {
            pair.of: self.paired[pair.field.name]
            for pair in self.subject.paired
            if pair.field.name not in front
        }
        rest = [
            part.widget
            for name, control in self.controls.items()
            for part in (
                *([] if name in front else [control]),
                *([beside[name]] if name in beside else []),
            )
        ]
        if not rest:
            return None
        fold = ipw.Accordion([ipw.VBox(rest)], titles=(say("explorer", "more"),))
        fold.selected_index = None
        return fold.add_class("pw-quiet")


def _si(control: NumberControl, value: float | str) -> float:
    return float(value) * factor(control.field.unit)
