"""What can be set: numbers with a range, and choices among names.

One table of fields serves the controls of an explorer, the keys of a set-up
file and the places in a set-up code, so the three cannot disagree. A field's
numbers are in shop units, and its name carries the unit.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from importlib.resources import files
from typing import TYPE_CHECKING, Any, ClassVar

from workbook.errors import FormError
from workbook.quantities.table import UNITS, kind_of, unit_in
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Mapping

Value = float | str


@dataclass(frozen=True, kw_only=True)
class Number:
    """A number from ``low`` to ``high``, in the unit its name ends with.

    ``key`` is its key in a file, ``step`` one key press; typed numbers are kept
    to a tenth of a millimetre or degree, a hundredth of a kilonewton (``grain``).
    """

    name: str
    key: str = ""
    label: str
    meaning: str
    low: float
    high: float
    step: float
    start: float

    @property
    def unit(self) -> str:
        """Unit of the numbers."""
        return unit_in(self.name)

    @property
    def kind(self) -> str:
        """Kind of quantity, as `workbook.quantities.units.UnitSystem` names it."""
        return kind_of(self.unit)

    @property
    def grain(self) -> float:
        """Smallest difference that is kept, in ``unit``."""
        return 10.0 ** -UNITS[self.unit].kept

    @property
    def places(self) -> int:
        """How many different values the field can hold."""
        return round((self.high - self.low) / self.grain) + 1

    def checked(self, value: object) -> float:
        """Return ``value`` kept to the grain, or refuse it with the limits."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            msg = f"{self.name} must be a number in {self.unit}, not {value!r}"
            raise FormError(msg)
        if not self.low <= value <= self.high:
            shown = f"{value:g}" if isinstance(value, float) else str(value)[:20]
            msg = (
                f"{self.name} = {shown} is outside {self.low:g} to {self.high:g} "
                f"{self.unit}"
            )
            raise FormError(msg)
        return round(round(value / self.grain) * self.grain, 2)

    def to_place(self, value: Value) -> int:
        """Return the number of a value, for a code."""
        return round((float(value) - self.low) / self.grain)

    def from_place(self, place: int) -> float:
        """Return the value with a number."""
        return round(self.low + place * self.grain, 2)


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One of ``options``, the first unless another is the ``start``."""

    name: str
    key: str = ""
    label: str
    meaning: str
    options: tuple[str, ...]
    start: str

    @property
    def places(self) -> int:
        """How many options there are."""
        return len(self.options)

    def checked(self, value: object) -> str:
        """Return ``value`` if it is an option, or refuse it naming them all."""
        if value not in self.options:
            listed = ", ".join(repr(o) for o in self.options)
            msg = f"{self.name} must be one of {listed}, not {value!r}"
            raise FormError(msg)
        return str(value)

    def to_place(self, value: Value) -> int:
        """Return the number of an option, for a code."""
        return self.options.index(str(value))

    def from_place(self, place: int) -> str:
        """Return the option with a number."""
        return self.options[place]


Field = Number | Choice


def read_fields(file: str) -> dict[str, Field]:
    """Return the fields of a data file of this package, in their order."""
    data = tomllib.loads(files(__package__).joinpath(file).read_text("utf-8"))
    return {name: _field(name, entry) for name, entry in data.items()}


def _field(name: str, entry: dict[str, Any]) -> Field:
    if "options" in entry:
        return Choice(name=name, **{**entry, "options": tuple(entry["options"])})
    return Number(name=name, **entry)


def starts(fields: Mapping[str, Field]) -> dict[str, Value]:
    """Return every field's start value."""
    return {name: field.start for name, field in fields.items()}


class Checked(dict[str, Value]):
    """A value for every field, each checked: what has passed needs no second look."""


def checked(fields: Mapping[str, Field], values: Mapping[str, object]) -> Checked:
    """Return start values with ``values`` over them, each checked.

    Raises
    ------
    FormError
        If a name is unknown, or a value is of the wrong kind or out of range.
    """
    result = Checked(starts(fields))
    for name, value in values.items():
        if name not in fields:
            msg = (
                f"there is nothing called {name!r} to set; there is {', '.join(fields)}"
            )
            raise FormError(msg)
        result[name] = fields[name].checked(value)
    return result


def si(field: Number, value: Value) -> float:
    """Return a field's number in SI units."""
    return float(value) * factor(field.unit)


@dataclass(frozen=True, kw_only=True)
class Given:
    """What is given: a checked value for every field, start values for the rest.

    A subclass names its ``FIELDS``.
    """

    FIELDS: ClassVar[Mapping[str, Field]]
    values: Mapping[str, Value] = dataclass_field(default_factory=dict)

    def __post_init__(self) -> None:
        if not isinstance(self.values, Checked):
            object.__setattr__(self, "values", checked(self.FIELDS, self.values))

    def si(self, name: str) -> float:
        """Return a number in SI units."""
        number = self.FIELDS[name]
        assert isinstance(number, Number)
        return si(number, self.values[name])

    def chosen(self, name: str) -> str:
        """Return a choice."""
        return str(self.values[name])
