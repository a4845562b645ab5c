"""Small tools round a picture: buttons, named set-ups, more pictures, units."""

from __future__ import annotations

from typing import TYPE_CHECKING

import ipywidgets as ipw

from workbook.language import say
from workbook.quantities.units import SYSTEMS

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable


def button(name: str, action: Callable[[], None]) -> ipw.Button:
    """Return a button that does one thing, named by an entry of ``explorer.toml``."""
    made = ipw.Button(description=say("explorer", name))
    made.on_click(lambda _button: action())
    return made


class NamedList:
    """The named set-ups of a lesson, and which of them stands now, if one does."""

    def __init__(self, names: Iterable[str], on_pick: Callable[[str], None]) -> None:
        numbered = [
            (say("explorer", "numbered", number=number, name=name), name)
            for number, name in enumerate(names, start=1)
        ]
        self.widget = ipw.Dropdown(options=[(say("explorer", "named"), ""), *numbered])
        self.widget.layout.width = "auto"
        self.widget.add_class("pw-named")
        self._loaded = ""
        self._on_pick = on_pick
        self.widget.observe(self._picked, names="value")

    def show(self, loaded: str) -> None:
        """Show the one that stands now; an empty name if none of them does."""
        self._loaded = self.widget.value = loaded

    def _picked(self, _change: object) -> None:
        if self.widget.value not in ("", self._loaded):
            self._on_pick(self.widget.value)
        # Where the pick was held, or the heading was picked, all stays as it was.
        self.widget.value = self._loaded


def checkboxes(
    names: Iterable[str],
    on_change: Callable[[], None],
    *,
    ticked: Collection[str] = (),
) -> dict[str, ipw.Checkbox]:
    """Return a box to tick for each picture that may be asked for."""
    made = {
        name: ipw.Checkbox(
            value=name in ticked,
            description=say("explorer", "extra", name),
            indent=False,
        )
        for name in names
    }
    for box in made.values():
        box.observe(lambda _change: on_change(), names="value")
    return made


def units_choice(present: str, on_choice: Callable[[str], None]) -> ipw.ToggleButtons:
    """Return a choice among the systems of units."""
    made = ipw.ToggleButtons(
        options=[*SYSTEMS], value=present, style={"button_width": "auto"}
    )
    made.observe(lambda _change: on_choice(made.value), names="value")
    return made.add_class("pw-units")
