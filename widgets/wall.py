"""What an instructor puts on the wall: one line of the script over what all look at."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import anywidget
import traitlets

from widgets.stage import module
from workbook.language import text

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

LOADING = "123456789fr"  # keys of the explorer in sight
KEYS = f"pscve{LOADING}"  # P, S and C are for the page: screen, script, controls


class Wall(anywidget.AnyWidget):
    """A line of the script over a picture that fills the screen, and its keys.

    The keys work from anywhere on the page: see ``wall.js``.

    Parameters
    ----------
    on_act : callable
        Receives the name of what was pressed: ``on``, ``back`` or a key.
    """

    _esm = module("wall.js")
    frame = traitlets.Dict().tag(sync=True)
    says = traitlets.Dict().tag(sync=True)

    def __init__(self, *, on_act: Callable[[str], None]) -> None:
        super().__init__(says=text("teach", "wall"))
        self.on_msg(lambda _widget, sent, _buffers: on_act(str(sent.get("act"))))

    def show(self, frame: Mapping[str, Any]) -> None:
        """Show the clock, the votes, the key to press next and what to say."""
        self.frame = {**frame, "keys": KEYS}
