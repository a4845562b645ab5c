"""What can be set: numbers with limits, and choices among names.

One table of fields serves the controls of an explorer, the keys of a file and the
places in a set-up code, so that they cannot disagree. A field's numbers are in shop
units, and its name ends with the unit. What a reader sees of it stands in the
language, in the file of its subject below ``field/``.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from functools import cached_property
from importlib.resources import files
from typing import TYPE_CHECKING, Any, ClassVar, cast

import numpy as np
from numpy.typing import NDArray

from workbook.errors import FormError
from workbook.language import text
from workbook.quantities.table import UNITS, kind_of, unit_in
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Mapping

Array = NDArray[np.float64]
Value = float | str
Amounts = dict[str, tuple[Any, str]]  # SI value, one or (...), and kind by name

LONGEST_QUOTE = 40  # characters of what a stranger typed


@dataclass(frozen=True, kw_only=True)
class _Worded:
    """A name, the ``key`` it has in a set-up file, and its words in the language."""

    name: str
    subject: str
    key: str = ""

    @property
    def label(self) -> str:
        """What it is called beside a control."""
        return str(self._words("label"))

    @property
    def meaning(self) -> str:
        """What it is, in a few words."""
        return str(self._words("meaning"))

    @property
    def place(self) -> tuple[str, ...]:
        """Where its words stand in every language."""
        return ("field", *self.subject.split("."), self.name)

    def _words(self, *keys: str) -> Any:
        return text(*self.place, *keys)


@dataclass(frozen=True, kw_only=True)
class Number(_Worded):
    """A number from ``low`` to ``high``, or a row of ``count``, in its name's unit.

    ``start`` is what counts where nothing is given; without one it must be given.
    ``step`` is one key press; typed numbers are kept to a tenth of a millimetre or
    degree, a hundredth of a kilonewton (``grain``).
    """

    low: float
    high: float
    step: float = 1.0
    start: float | tuple[float, ...] | None = None
    count: int = 1

    @cached_property
    def unit(self) -> str:
        """Unit of the numbers."""
        return unit_in(self.name)

    @cached_property
    def kind(self) -> str:
        """Kind of quantity, as `workbook.quantities.units.UnitSystem` names it."""
        return kind_of(self.unit)

    @cached_property
    def grain(self) -> float:
        """Smallest difference that is kept, in ``unit``."""
        return 10.0 ** -UNITS[self.unit].kept

    @cached_property
    def places(self) -> int:
        """How many different values the field can hold."""
        return round((self.high - self.low) / self.grain) + 1

    def within(self, value: object, *, called: str = "") -> float:
        """Return ``value``, or refuse it with the limits and what it is called."""
        called = called or self.name
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise FormError(
                "field.no_number", called=called, unit=self.unit, value=quoted(value)
            )
        if not self.low <= value <= self.high:
            raise FormError(
                "field.outside",
                called=called,
                value=f"{value:g}" if isinstance(value, float) else quoted(value)[:20],
                low=self.low,
                high=self.high,
                unit=self.unit,
            )
        return value

    def checked(self, value: object, *, called: str = "") -> float:
        """Return ``value`` kept to the grain, or refuse it as `within` does."""
        kept = self.within(value, called=called)
        return round(round(kept / self.grain) * self.grain, 2)

    def each_checked(self, values: Array) -> Any:
        """Return an array of values, every one checked."""
        for end in (values.min(), values.max()):
            self.within(float(end))
        return np.round(np.round(values / self.grain) * self.grain, 2)

    def to_place(self, value: Value) -> int:
        """Return the number of a value, for a code."""
        return round((float(value) - self.low) / self.grain)

    def from_place(self, place: int) -> float:
        """Return the value with a number."""
        return round(self.low + place * self.grain, 2)


@dataclass(frozen=True, kw_only=True)
class Choice(_Worded):
    """One of ``options``, the first unless another is the ``start``."""

    options: tuple[str, ...]
    start: str

    @property
    def places(self) -> int:
        """How many options there are."""
        return len(self.options)

    def shown(self, option: str) -> str:
        """Return what a reader sees of an option; a part of the shop is its name."""
        try:
            return str(self._words("options", option))
        except KeyError:
            return option

    def checked(self, value: object, *, called: str = "") -> str:
        """Return ``value`` if it is an option, or refuse it naming them all."""
        if value not in self.options:
            raise FormError(
                "field.no_option",
                called=called or self.name,
                options=[repr(option) for option in self.options],
                value=quoted(value),
            )
        return str(value)

    def to_place(self, value: Value) -> int:
        """Return the number of an option, for a code."""
        return self.options.index(str(value))

    def from_place(self, place: int) -> str:
        """Return the option with a number."""
        return self.options[place]


Field = Number | Choice


def quoted(value: object) -> str:
    """Return what a stranger typed, short, in quotes and on one line."""
    try:
        return repr(value)[:LONGEST_QUOTE]
    except ValueError:  # Python writes no number of over 4300 digits
        return str(FormError("field.endless"))


def read_fields(subject: str) -> dict[str, Field]:
    """Return the fields of a data file of this package, in their order.

    Parameters
    ----------
    subject : str
        What the file is about, such as ``"pull"``; behind a dot the table in it.

    Examples
    --------
    >>> [*read_fields("hold.stand")]
    ['stiffness_kn_per_mm', 'rating_kn', 'pushes']
    """
    file, *tables = subject.split(".")
    place = files(__package__).joinpath(f"{file}_fields.toml")
    data = tomllib.loads(place.read_text("utf-8"))
    for table in tables:
        data = data[table]
    return {name: _field(name, subject, entry) for name, entry in data.items()}


def _field(name: str, subject: str, entry: dict[str, Any]) -> Field:
    given: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value
        for key, value in entry.items()
    }
    made = Choice if "options" in given else Number
    return made(name=name, subject=subject, **given)


def starts(fields: Mapping[str, Field]) -> dict[str, Value]:
    """Return every field's start value; all have one."""
    return {name: cast("Value", field.start) for name, field in fields.items()}


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
            raise FormError("field.unknown", name=repr(name), known=[*fields])
        field = fields[name]
        if isinstance(field, Number) and isinstance(value, np.ndarray):
            result[name] = field.each_checked(value)
        else:
            result[name] = field.checked(value)
    return result


def si(field: Number, value: Value) -> float:
    """Return a field's number in SI units."""
    return float(value) * factor(field.unit)


@dataclass(frozen=True, kw_only=True)
class Given:
    """What is given: a checked value for every field, start values for the rest.

    A number may be an array over set-ups (...); all arrays broadcast, and a choice is
    the same for all. A subclass names its ``FIELDS``.
    """

    FIELDS: ClassVar[Mapping[str, Field]]
    values: Mapping[str, Any] = dataclass_field(default_factory=dict)

    def __post_init__(self) -> None:
        if not isinstance(self.values, Checked):
            object.__setattr__(self, "values", checked(self.FIELDS, self.values))

    def si(self, name: str) -> float:
        """Return a number in SI units."""
        number = self.FIELDS[name]
        assert isinstance(number, Number)
        return si(number, self.values[name])

    def array(self, name: str) -> Array:
        """Return a number in SI units, one for each of the set-ups (...)."""
        number = self.FIELDS[name]
        assert isinstance(number, Number)
        return np.asarray(self.values[name], dtype=float) * factor(number.unit)

    def chosen(self, name: str) -> str:
        """Return a choice."""
        return str(self.values[name])

    def shown(self, name: str) -> str:
        """Return a choice as a reader sees it."""
        choice = self.FIELDS[name]
        assert isinstance(choice, Choice)
        return choice.shown(self.chosen(name))
