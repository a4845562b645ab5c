"""Texts over set-ups: put together only for the set-up that somebody looks at."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np

from workbook.language import say
from workbook.quantities.tables import with_sign

Show = Callable[[Any, str], str]
Shape = tuple[int, ...]
Index = int | tuple[int, ...]

# SI, of which few amounts are wider.
WIDE = {
    **{"force": 199.9e3, "energy": 1999.0, "pressure": 999e5},
    **{"small length": 0.0999, "angle": np.pi},
}


def common_shape(parts: Iterable[Any]) -> Shape:
    """Return the shape that arrays, numbers and texts broadcast to.

    Examples
    --------
    >>> common_shape([2.0, np.ones(3), "word", np.ones((2, 1))])
    (2, 3)
    """
    shapes = {getattr(part, "shape", ()) for part in parts} - {()}
    return np.broadcast_shapes(*shapes) if shapes else ()


def picked(part: Any, index: Index, shape: Shape) -> Any:
    """Return the one of many that stands at an index of the whole shape."""
    if isinstance(part, np.ndarray):
        return (np.broadcast_to(part, shape)[index] if part.ndim else part).item()
    if isinstance(part, str) or not isinstance(part, Text):
        return part
    return part.at(index, shape)


def _whole(text: Text, index: Index, shape: Shape | None) -> Shape:
    return text.shape if shape is None and index != () else shape or ()


class Text(ABC):
    """A text for every set-up of an array of them, of their ``shape``."""

    @property
    @abstractmethod
    def shape(self) -> Shape:
        """Shape of the set-ups it is for."""

    @abstractmethod
    def at(self, index: Index = (), shape: Shape | None = None) -> str:
        """Return the text of one set-up, by its index in ``shape`` or in its own."""

    def __str__(self) -> str:
        return self.at()


@dataclass(frozen=True, eq=False)
class Sentence(Text):
    """A sentence of the language: its keys and its values, each one or an array."""

    keys: tuple[Any, ...]
    values: Mapping[str, Any]
    show: Show

    @property
    def shape(self) -> Shape:
        """Shape of the set-ups it is for."""
        return common_shape([*self.keys, *self.values.values()])

    def at(self, index: Index = (), shape: Shape | None = None) -> str:
        """Return the sentence of one set-up."""
        whole = _whole(self, index, shape)
        keys = [picked(key, index, whole) for key in self.keys]
        values = {n: picked(v, index, whole) for n, v in self.values.items()}
        return say(*keys, show=self.show, **values)

    @property
    def forms(self) -> list[str]:
        """All that it says somewhere, of a sentence without values."""
        keys = (sorted({*np.ravel(key).tolist()}) for key in self.keys)
        return [say(*each, show=self.show) for each in product(*keys)]


@dataclass(frozen=True, eq=False)
class Amount(Text):
    """A bare amount in the reader's units."""

    value: Any
    kind: str
    show: Show

    @property
    def shape(self) -> Shape:
        """Shape of the set-ups it is for."""
        return getattr(self.value, "shape", ())

    def at(self, index: Index = (), shape: Shape | None = None) -> str:
        """Return the amount of one set-up."""
        whole = _whole(self, index, shape)
        return self.show(picked(self.value, index, whole), self.kind)

    @property
    def widest(self) -> str:
        """Return the widest amount of its kind that a picture has room for."""
        return self.show(WIDE[self.kind], self.kind)


@dataclass(frozen=True, eq=False)
class Signed(Amount):
    """An amount with its sign, plus too; nothing has none."""

    def at(self, index: Index = (), shape: Shape | None = None) -> str:
        """Return the amount of one set-up."""
        return with_sign(super().at(index, shape), self.show(0.0, self.kind))


def said(*keys: Any, show: Show, **values: Any) -> Sentence:
    """Return a sentence over set-ups, as `workbook.language.say` takes it.

    Keys and values may be arrays over set-ups, values texts over them too.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> both = said(
    ...     "picture", "direction", "side", np.array(["left", "right"]),
    ...     show=METRIC.show, angle=np.array([0.1, 0.2]),
    ... )
    >>> both.shape, both.at(1)
    ((2,), '11.5° to the right of straight ahead')
    """
    return Sentence(keys, values, show)


def forms_of(text: str | Text) -> list[str]:
    """Return what a text may be, for whoever makes room for it."""
    match text:
        case Sentence():
            return text.forms
        case Amount():
            return [text.widest]
    return [str(text)]


def where(stands: Any, text: str | Text, *, show: Show) -> Sentence:
    """Return a text where a set-up stands, and that it does not where it does not."""
    key = np.where(stands, "text", "fallen")
    return said("picture", "sheet", key, show=show, text=text)


def settled(text: str | Text) -> str | Text:
    """Return a text of one set-up as what it says, of many as it is."""
    return str(text) if isinstance(text, Text) and text.shape == () else text
