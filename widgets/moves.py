"""What the reader has moved: jumps that can be undone, and changes that are told."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from workbook.language import fill, text
from workbook.scenes.fields import Choice, Field, Value, si

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.figures.subject import Values
    from workbook.quantities.units import UnitSystem

UNDO_SECONDS = 5.0
RESTING_SECONDS = 1.0


class Jumps:
    """Jumps to other set-ups; the same one again within five seconds goes back."""

    def __init__(self) -> None:
        self._last = ""
        self._when = 0.0
        self._before: Values = {}

    def end_of(self, jump: str, *, here: Values, there: Values) -> Values:
        """Return where a jump from ``here`` ends: ``there``, or back where it began."""
        now = time.monotonic()
        if jump == self._last and now - self._when < UNDO_SECONDS:
            self._last = ""
            return self._before
        self._last, self._when, self._before = jump, now, here
        return there


class Changes:
    """Says what has changed since the controls last rested."""

    def __init__(self, fields: Mapping[str, Field], start: Values) -> None:
        self.fields = fields
        self._when, self._taken = 0.0, False
        self._last = self._rested = start

    def told(self, values: Values, system: UnitSystem, *, taken: bool = False) -> str:
        """Take note of the values shown now; name up to three that have changed.

        What a hand has ``taken`` does not rest until it lets go.
        """
        now = time.monotonic()
        if not self._taken and now - self._when > RESTING_SECONDS:
            self._rested = self._last
        self._when, self._last, self._taken = now, values, taken
        changed = [name for name in self.fields if values[name] != self._rested[name]]
        sentences = text("explorer", "changed")
        if not 0 < len(changed) <= len(sentences):
            return ""
        places = {}
        for number, name in enumerate(changed, start=1):
            places[f"name{number}"] = self.fields[name].label
            places[f"old{number}"] = self._said(name, self._rested[name], system)
            places[f"new{number}"] = self._said(name, values[name], system)
        return fill(sentences[len(changed) - 1], **places)

    def _said(self, name: str, value: Value, system: UnitSystem) -> str:
        field = self.fields[name]
        if isinstance(field, Choice):
            return field.shown(str(value))
        return system.show(si(field, value), field.kind)
