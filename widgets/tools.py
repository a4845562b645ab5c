"""Small tools round a picture: buttons, named set-ups, more pictures, units."""

from __future__ import annotations

from typing import TYPE_CHECKING

import ipywidgets as ipw

from workbook.language import say
from workbook.quantities.units import SYSTEMS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable


def button(name: str, action: Callable[[], None]) -> ipw.Button:
    """Return a button that does one thing, named by an entry of ``explorer.toml``."""
    made = ipw.Button(description=say("explorer", name))
    made.on_click(lambda _button: action())
    return made


def named_list(names: Iterable[str], on_pick: Callable[[str], None]) -> ipw.Dropdown:
    """Return a list of named set-ups; the one picked is loaded, the list stays."""
    numbered = [
        (say("explorer", "numbered", number=number, name=name), name)
        for number, name in enumerate(names, start=1)
    ]
    made = ipw.Dropdown(options=[(say("explorer", "named"), ""), *numbered])
    made.layout.width = "auto"

    def picked(_change: object) -> None:
        if made.value:
            on_pick(made.value)
            made.value = ""

    made.observe(picked, names="value")
    return made.add_class("pw-named")


def checkboxes(
    names: Iterable[str], on_change: Callable[[], None]
) -> dict[str, ipw.Checkbox]:
    """Return a box to tick for each picture that may be asked for."""
    made = {
        name: ipw.Checkbox(description=say("explorer", "extra", name), indent=False)
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
