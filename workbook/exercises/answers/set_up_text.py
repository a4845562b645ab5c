"""Set-ups as text: a code of an explorer, or some of its numbers by name.

A number goes by what its control is called, in any language there is, or by the short
name of its field. What is not named stays as the question has it.
"""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from workbook.errors import FormError
from workbook.exercises.answers.quantity import in_both
from workbook.exercises.declaration import Numbers, ReadAnswer
from workbook.language import shown, text_everywhere
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import METRIC, factor
from workbook.scenes import codes
from workbook.scenes.fields import Number, checked

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Field, Value

LONGEST = 400  # characters; a code and any list of numbers are shorter
_PARTS = re.compile(r"[;\n]|,(?=\s*[^\W\d])")  # a comma stands before a name as well
_NAMED = re.compile(r"\s*([^\W\d][\w\s-]*?)\s*[:=]?\s*([-+−–.,\d].*)")
SetTo = Mapping[str, Any]  # fields and their values, one or (...), in their own units


@dataclass(frozen=True, kw_only=True)
class SetUpText(ABC):
    """What kinds of answers have in common that set the fields of an explorer.

    Parameters
    ----------
    rig : mapping of str to str, float or callable
        Fields as the question has them: bound to a given number by its name, or of a
        value of their own. The rest is as the explorer starts.
    free : tuple of str
        Fields that the learner sets.
    """

    FIELDS: ClassVar[Mapping[str, Field]]
    WORD: ClassVar[str]
    NO_MATTER: ClassVar[frozenset[str]]  # what may differ in a code
    ALWAYS: ClassVar[Mapping[str, Value]]  # fields that have one value in all questions
    rig: Mapping[str, str | float]
    free: tuple[str, ...]

    @abstractmethod
    def in_place(self, made: SetTo) -> SetTo:
        """Return what was set, unless it cannot be set so."""

    def number(self, name: str) -> Number:
        """Return a field that is a number."""
        number = self.FIELDS[name]
        assert isinstance(number, Number)
        return number

    def start(self, given: Numbers) -> dict[str, Any]:
        """Return the fields as the question has them."""
        bound = {
            name: round(getattr(given, to) / factor(self.number(name).unit), 6)
            if isinstance(to, str) and to in vars(given)
            else to
            for name, to in self.rig.items()
        }
        return {**bound, **self.ALWAYS}

    def whole(self, given: Numbers) -> Mapping[str, Any]:
        """Return a value for every field, as the question has them."""
        return checked(self.FIELDS, self.start(given))

    def as_given(self, variant: Variant, system: UnitSystem) -> list[tuple[str, str]]:
        """Return what may be set, and its value in the question."""
        values = self.whole(variant.given)
        return [
            (self.FIELDS[n].label, self.value_text(n, values[n], system))
            for n in self.free
        ]

    # A typed answer --------------------------------------------------------------

    def read(self, typed: str, given: Numbers) -> ReadAnswer:
        """Read a code, or named numbers, each with its unit."""
        try:
            return ReadAnswer(made=self._read(typed, given))
        except FormError as refusal:
            return ReadAnswer(problem="set_up_unread", refusal=refusal)

    def _read(self, typed: str, given: Numbers) -> SetTo:
        if len(typed) > LONGEST:
            raise FormError("exercise.long_set_up", most=LONGEST)
        bare = re.sub(r"[\s\u2010-\u2015-]", "", typed).upper()
        if bare.startswith(self.WORD):
            return self._from_code(f"{self.WORD}-{bare.removeprefix(self.WORD)}", given)
        made: dict[str, float] = {}
        for part in filter(str.strip, _PARTS.split(self._by_short_names(typed))):
            name, value = self._named(part)
            if name in made:
                raise FormError("exercise.set_twice", name=self.FIELDS[name].label)
            made[name] = value
        if not made:
            raise FormError("exercise.nothing_set")
        return self.in_place(made)

    def _from_code(self, code: str, given: Numbers) -> SetTo:
        found = codes.decode(self.WORD, self.FIELDS, code)
        asked = self.whole(given)
        for name, field_ in self.FIELDS.items():
            if name in {*self.free, *self.NO_MATTER} or found[name] == asked[name]:
                continue
            value, wanted = (self.value_text(name, v[name]) for v in (found, asked))
            raise FormError(
                "exercise.other_rig", name=field_.label, value=value, wanted=wanted
            )
        return self.in_place({name: float(found[name]) for name in self.free})

    def _by_short_names(self, typed: str) -> str:
        """Return what was typed with a short name in place of what a field is called.

        What it is called may have a comma in it; a short name has none.
        """
        called = {
            " ".join(label.casefold().split()): short(name)
            for name in self.free
            for label in text_everywhere(*self.FIELDS[name].place, "label")
        }
        longest = sorted(called, key=len, reverse=True)
        either = "|".join(re.escape(label).replace(r"\ ", r"\s+") for label in longest)
        return re.sub(
            rf"(?<!\w)(?:{either})(?!\w)",
            lambda found: called[" ".join(found[0].casefold().split())],
            typed,
            flags=re.IGNORECASE,
        )

    def _named(self, part: str) -> tuple[str, float]:
        found = _NAMED.fullmatch(part)
        key = re.sub(r"[\s-]+", "_", found[1].strip().casefold()) if found else ""
        name = {short(free): free for free in self.free}.get(key)
        if found is None or name is None:
            raise FormError("exercise.not_to_set", said=shown(part.strip()[:40]))
        one = self.number(name)
        read = read_quantity(found[2], kind=one.kind)
        if read.value is None:
            raise FormError("exercise.set_to", name=one.label, trouble=read.sentence)
        return name, one.checked(read.value / factor(one.unit), called=one.label)

    # What is said of it ----------------------------------------------------------

    def text(self, made: SetTo, *, system: UnitSystem = METRIC) -> str:
        """Return a set-up as a reader sees it: what is not as in the question."""
        said = {
            self.FIELDS[n].label: self.value_text(n, v, system) for n, v in made.items()
        }
        return "; ".join(f"{label} {value}" for label, value in said.items())

    def typed(self, made: SetTo) -> str:
        """Return a set-up as it is typed in its boxes."""
        return "; ".join(
            f"{self.FIELDS[n].label} = {v:g} {self.number(n).unit}"
            for n, v in made.items()
        )

    def value_text(self, name: str, value: Value, system: UnitSystem = METRIC) -> str:
        """Return a field's value as a reader sees it."""
        one = self.FIELDS[name]
        if isinstance(one, Number):
            return in_both(f"{float(value):.10g}", one.unit, system)
        return one.shown(str(value))

    def in_key(self, variant: Variant) -> dict[str, Any]:
        """Return one right set-up, and the names of what goes wrong."""
        return {
            "answer": self.typed(variant.answer),
            "unit": "",
            "mistakes": [{"name": m.name} for m in variant.exercise.mistakes],
        }

    def mistakes_text(self, variant: Variant, *, system: UnitSystem = METRIC) -> str:
        """Return the names of the known mistakes: each is seen in what a rig does."""
        return "; ".join(mistake.name for mistake in variant.exercise.mistakes)


def short(name: str) -> str:
    """Return the name of a field without its unit, as old answers have it."""
    return name.rpartition("_")[0]
