"""A drawing described once: marks in data coordinates, each with a role.

The description knows nothing of how it is shown. `on_axes` renders it with
matplotlib for print, `svg` as text for the screen; both take the looks of a
role from `styles`.

A drawing is a fixed list of marks. Their places, texts and whether they are shown
are arrays that broadcast over set-ups, shape (...): one set-up, a path or a grid.
``at`` takes one set-up out, and only that can be rendered. A mark is not shown
where a place of it is nan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import isfinite
from typing import Any, ClassVar, Literal, NamedTuple, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.figures.drawing.texts import (
    Index,
    Shape,
    Text,
    common_shape,
    picked,
    settled,
)

Array = NDArray[np.float64]
Coordinate = Any  # a float, or an array over set-ups (...)
Point = tuple[Coordinate, Coordinate] | Array  # x and y, or an array (..., 2)
Path = Sequence[Point] | Array  # points, or an array (..., n, 2)
Window = tuple[Coordinate, Coordinate, Coordinate, Coordinate]

LINES_PER_LETTERS = 0.4  # lines grow with letters, but less
_ALWAYS = np.asarray(True)
_sum = np.add.reduce  # without the detours of `np.sum`, for it is asked of every mark
_FOLLOWING = {"visible", "there"}  # from the parts of a mark, found once


class _Shaped(NamedTuple):
    shape: Shape


def path(points: Path) -> Array:
    """Return points as one array (..., n, 2), whatever each of them broadcasts over.

    Examples
    --------
    >>> path([(0.0, 0.0), (np.ones(5), 2.0)]).shape
    (5, 2, 2)
    """
    if isinstance(points, np.ndarray):
        return points
    try:
        plain = np.array(points, dtype=float)
    except ValueError:  # points of several shapes
        pass
    else:
        if plain.ndim == 2:  # of no shape at all: the same points always
            return plain
    pairs = [parts(point) for point in points]
    shape = common_shape(x for pair in pairs for x in pair)
    stacked = np.empty((*shape, len(pairs), 2))
    for k, (x, y) in enumerate(pairs):
        stacked[..., k, 0], stacked[..., k, 1] = x, y
    return stacked


def parts(point: Point) -> tuple[Coordinate, Coordinate]:
    """Return x and y of a point, one or an array (...) each."""
    return point if isinstance(point, tuple) else (point[..., 0], point[..., 1])


def place(point: Point) -> Array:
    """Return a point as one array (..., 2)."""
    if isinstance(point, np.ndarray):
        return point
    x, y = point
    if getattr(x, "shape", ()) == () == getattr(y, "shape", ()):
        return np.array((x, y), dtype=float)
    return path([point])[..., 0, :]


class _Mark:
    """What all marks have.

    ``role`` says how a mark looks, ``name`` which one of its drawing it is: the same
    in every set-up. ``shown`` (...) tells for each set-up whether it is there.
    ``depth`` (...) is its place from behind: of two marks the nearer one is drawn
    over the other, and of marks of one depth the later one. ``weight`` (...) is how
    many times its lines are as wide as its role's.
    """

    # What a mark has for each set-up, and how many axes stand behind the set-ups'.
    OWN: ClassVar[dict[str, int]]
    PLACES: ClassVar[tuple[str, ...]]
    depth: Coordinate = 0.0
    weight: Coordinate = 1.0

    def __init__(self, role: str, name: str, shown: ArrayLike) -> None:
        self.role, self.name = role, name
        self.shown = _ALWAYS if shown is True else np.asarray(shown, dtype=bool)

    def __repr__(self) -> str:
        return f"{type(self).__name__}({vars(self)})"

    @property
    def batch(self) -> Shape:
        """Shape of the set-ups, ``()`` for one."""
        shapes = ((np.shape(getattr(self, n)), tail) for n, tail in self._own())
        return common_shape(_Shaped(s[: len(s) - tail]) for s, tail in shapes)

    def _own(self) -> list[tuple[str, int]]:
        return [*self.OWN.items(), ("depth", 0), ("weight", 0)]

    def standing(self, depth: Coordinate, *, weight: Coordinate = 1.0) -> Self:
        """Return the mark at a depth, its lines of some weight."""
        return self._but(depth=depth, weight=weight)

    def _but(self, **changed: Any) -> Self:
        """Return the mark with some of its parts changed."""
        one = object.__new__(type(self))
        one.__dict__.update(self.__dict__, **changed)
        for name in _FOLLOWING & one.__dict__.keys():
            del one.__dict__[name]
        return one

    @property
    def places(self) -> Array:
        """Its points in one set-up (n, 2), from the first to the last."""
        return np.array([getattr(self, name) for name in self.PLACES])

    @cached_property
    def visible(self) -> bool:
        """Whether a mark of one set-up is there to be seen."""
        if not self.shown:
            return False
        # A sum is finite if all its parts are, and is found at once.
        places = [_sum(getattr(self, name), axis=None) for name in self.PLACES]
        return isfinite(sum(places))

    def of(self, index: Index, batch: Shape) -> Self:
        """Return the mark in one of the set-ups of a batch."""
        one = self._but()
        for name, tail in self._own():
            array = getattr(self, name)
            if np.ndim(array) > tail:
                rest = array.shape[array.ndim - tail :]
                setattr(one, name, np.broadcast_to(array, batch + rest)[index])
        return one


class _Points(_Mark):
    """What lines and polygons have: ``points`` (..., n, 2)."""

    OWN: ClassVar = {"points": 2, "shown": 0}
    PLACES: ClassVar = ("points",)

    def __init__(
        self, points: Path, role: str, name: str = "", *, shown: ArrayLike = True
    ) -> None:
        super().__init__(role, name, shown)
        self.points = path(points)

    @property
    def places(self) -> Array:
        """Its points in one set-up (n, 2), from the first to the last."""
        return self.points


class Line(_Points):
    """A line through points."""


class Polygon(_Points):
    """A closed outline, filled if its role has a fill."""


class Strokes(_Mark):
    """Many separate lines in one mark, ``points`` (..., k, n, 2), n points each.

    A stroke that has no place is left out, and the mark where none of them has one.
    """

    OWN: ClassVar = {"points": 3, "shown": 0}
    PLACES: ClassVar = ("points",)

    def __init__(
        self, points: Array, role: str, name: str = "", *, shown: ArrayLike = True
    ) -> None:
        super().__init__(role, name, shown)
        self.points = points

    @cached_property
    def there(self) -> NDArray[np.bool_]:
        """Which of its lines (..., k) have a place."""
        return np.asarray(np.isfinite(self.points).all(axis=(-2, -1)))

    @property
    def strokes(self) -> list[list[list[float]]]:
        """The lines of one set-up that have a place, each from first to last."""
        strokes: list[list[list[float]]] = self.points[self.there].tolist()
        return strokes

    @property
    def places(self) -> Array:
        """Every point (n, 2) of its lines in one set-up that have a place."""
        return self.points[self.there].reshape(-1, 2)

    @cached_property
    def visible(self) -> bool:
        """Whether any line of one set-up is there to be seen."""
        return bool(self.shown) and bool(self.there.any())


class Marker(_Mark):
    """A point ``at`` (..., 2).

    Its shape is ``disc``, ``ring``, ``square``, ``diamond``, ``triangle`` or ``cross``.
    """

    OWN: ClassVar = {"at": 1, "shown": 0}
    PLACES: ClassVar = ("at",)

    def __init__(
        self,
        at: Point,
        shape: str,
        role: str,
        name: str = "",
        *,
        shown: ArrayLike = True,
    ) -> None:
        super().__init__(role, name, shown)
        self.at, self.shape = place(at), shape


class Arrow(_Mark):
    """An arrow from tail to head (..., 2); the head's shape belongs to the role."""

    OWN: ClassVar = {"tail": 1, "head": 1, "shown": 0}
    PLACES: ClassVar = ("tail", "head")

    def __init__(
        self,
        tail: Point,
        head: Point,
        role: str,
        name: str = "",
        *,
        shown: ArrayLike = True,
    ) -> None:
        super().__init__(role, name, shown)
        self.tail, self.head = place(tail), place(head)


class Label(_Mark):
    """A text at a point (..., 2), shifted by some pixels (..., 2).

    ``align`` (...) is start, middle or end.
    """

    OWN: ClassVar = {"at": 1, "shift": 1, "align": 0, "shown": 0}
    PLACES: ClassVar = ("at",)

    def __init__(
        self,
        at: Point,
        text: str | Text,
        role: str = "text",
        shift: Point = (0.0, 0.0),
        align: str | NDArray[np.str_] = "middle",
        *,
        name: str = "",
        shown: ArrayLike = True,
    ) -> None:
        super().__init__(role, name, shown)
        self.at, self.shift, self.align, self.said = (
            place(at),
            place(shift),
            align,
            text,
        )

    @property
    def text(self) -> str:
        """What it says in its one set-up: put together once."""
        self.said = str(self.said)
        return self.said

    @property
    def batch(self) -> Shape:
        """Shape of the set-ups, ``()`` for one."""
        return common_shape([_Shaped(super().batch), self.said])

    def of(self, index: Index, batch: Shape) -> Self:
        """Return the mark in one of the set-ups of a batch."""
        one = super().of(index, batch)
        one.said = picked(self.said, index, batch)
        return one


Rank = Literal["warning", "force", "angle", "point", "rest"]


class FreeLabel(Label):
    """A label that finds its place by the rule of `workbook.figures.drawing.labels`.

    Its owner is the point ``at`` or, where it is given, the line ``along``
    (..., n, 2). A lower ``rank`` goes first, by the order of `Rank`. Where there is no
    room, ``short`` is said in place of the text. With ``within`` the first place tried
    is on its owner.
    """

    OWN: ClassVar = {**Label.OWN, "along": 2}

    def __init__(
        self,
        at: Point,
        text: str | Text,
        role: str = "text",
        *,
        name: str,
        rank: Rank = "rest",
        along: Path | None = None,
        short: str | Text = "",
        within: bool = False,
        shown: ArrayLike = True,
    ) -> None:
        super().__init__(at, text, role, name=name, shown=shown)
        self.along = None if along is None else path(along)
        self.rank, self.short, self.within = rank, short, within

    @property
    def batch(self) -> Shape:
        """Shape of the set-ups, ``()`` for one."""
        return common_shape([_Shaped(super().batch), self.short])

    @cached_property
    def visible(self) -> bool:
        """Whether a label of one set-up is there to be seen."""
        owner = True if self.along is None else isfinite(self.along.sum())
        return super().visible and owner

    def of(self, index: Index, batch: Shape) -> Self:
        """Return the mark in one of the set-ups of a batch."""
        one = super().of(index, batch)
        one.short = picked(self.short, index, batch)
        return one


Mark = Line | Polygon | Strokes | Marker | Arrow | Label


@dataclass(frozen=True, kw_only=True, eq=False)
class Drawing:
    """One view: what stands still, what moves, and the window on both.

    ``caption`` says what the view is, ``window`` is (left, right, bottom, top)
    in data coordinates, each one number or an array (...), of the same scale both
    ways if ``true_scale``.
    """

    caption: str | Text
    window: Window
    still: Sequence[Mark] = ()
    moving: Sequence[Mark] = ()
    true_scale: bool = True

    def __post_init__(self) -> None:
        object.__setattr__(self, "caption", settled(self.caption))

    @property
    def marks(self) -> list[Mark]:
        """Every mark, from the one behind to the one in front."""
        return [*self.still, *self.moving]

    @property
    def drawable(self) -> bool:
        """Whether there is a window on one set-up; without one nothing is drawn."""
        return isfinite(sum(self.window))

    @cached_property
    def seen(self) -> list[Mark]:
        """The marks of one set-up that are there to be seen, from behind."""
        if not self.drawable:
            return []
        seen = [mark for mark in self.marks if mark.visible]
        return sorted(seen, key=lambda mark: float(mark.depth))

    @cached_property
    def shape(self) -> Shape:
        """Shape of the set-ups it shows, ``()`` for one."""
        marks = (_Shaped(mark.batch) for mark in self.marks)
        return common_shape([self.caption, *self.window, *marks])

    def at(self, index: Index, shape: Shape | None = None) -> Drawing:
        """Return the drawing of one set-up, by its index in ``shape`` or in its own."""
        batch = self.shape if shape is None else shape
        left, right, low, top = (picked(side, index, batch) for side in self.window)
        return replace(
            self,
            caption=picked(self.caption, index, batch),
            window=(left, right, low, top),
            still=[mark.of(index, batch) for mark in self.still],
            moving=[mark.of(index, batch) for mark in self.moving],
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Panel:
    """Where a drawing goes on a sheet: left, top, width, height in pixels.

    ``over`` is the part of the height that is the caption's alone.
    """

    drawing: Drawing
    left: float
    top: float
    width: float
    height: float
    over: float = 0.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Sheet:
    """A picture of one or more panels, ``width`` by ``height`` pixels.

    ``text`` says in words what the picture shows, from the same numbers; ``letters``
    is how many times as large as on a page the letters are where it is shown.
    """

    panels: Sequence[Panel]
    width: float
    height: float
    text: str | Text = ""
    letters: float = 1.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", settled(self.text))

    @property
    def lines(self) -> float:
        """How many times as wide as on a page the lines are."""
        return 1.0 + LINES_PER_LETTERS * (self.letters - 1.0)

    @cached_property
    def shape(self) -> Shape:
        """Shape of the set-ups it shows, ``()`` for one."""
        return common_shape([self.text, *(panel.drawing for panel in self.panels)])

    def at(self, index: Index) -> Sheet:
        """Return the picture of one set-up."""
        shape = self.shape
        panels = [
            replace(panel, drawing=panel.drawing.at(index, shape))
            for panel in self.panels
        ]
        return replace(self, panels=panels, text=picked(self.text, index, shape))
