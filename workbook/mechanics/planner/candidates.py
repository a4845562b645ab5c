"""Every set-up that a shop floor allows, and how each one fits a job.

A candidate is six places in the shop's lists: `AXES`. The ram stands in a
socket with one extension; a chain locked in its head runs to the clamp and to a
slot, and its anchor leg is a whole number of links.

Left out, beside what `workbook.mechanics.pull.linkage` leaves out: the width of ram
and chain at a keep-out box, and where the hook and the shortener sit.
"""

from __future__ import annotations

from dataclasses import Field, dataclass, field, fields, replace
from enum import IntEnum
from math import prod
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.holding.wrenches import components, direction_of
from workbook.mechanics.magnitudes import (
    called,
    finite,
    magnitude,
    numbers,
    one_number,
    refuse_where,
)
from workbook.mechanics.planner.keep_out import boxes, crosses
from workbook.mechanics.pull.linkage import Pull, Refusal, Rig, solve_pulls
from workbook.mechanics.vectors import Array, norm

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

AXES = ("socket", "slot", "extension", "ram", "chain", "links")
PARTS = ("ram", "head", "pull leg", "clamp", "anchor leg", "fork slot")
Places = NDArray[np.intp]


@dataclass(frozen=True, kw_only=True)
class ShopFloor:
    """What there is to choose from, list by list.

    Parameters
    ----------
    sockets : array_like, shape (m, 3)
        Places of the ram's base B. [m]
    slots : array_like, shape (k, 3)
        Fork slots, places of the anchor point A. [m]
    slot_ratings : array_like, broadcast to (k,)
        What each slot may carry. [N]
    extensions : array_like, shape (e,)
        Lengths of tube; nought for none. [m]
    closed_lengths : array_like, shape (r,)
        Rams, pin to head, closed. [m]
    full_strokes, swivels, ram_ratings, head_ratings : array_like, broadcast to (r,)
        The most each ram travels [m], leans from the vertical [rad] and pushes
        [N], and what the head on it may carry [N].
    chain_pitches : array_like, shape (c,)
        Length of one link. [m]
    chain_ratings : array_like, broadcast to (c,)
        What each chain may carry. [N]
    links : array_like of int, shape (l,)
        Numbers of links that the anchor leg may have.
    keep_out : array_like, shape (b, 2, 3), optional
        Low and high corner of boxes that ram and chain must not touch. [m]
    names : mapping, optional
        What to call the entries of a list of `AXES`; else they are numbered.

    Raises
    ------
    OutOfRangeError
        If a list is empty or does not fit, or a number is not one the part can
        have.
    """

    sockets: Array
    slots: Array
    slot_ratings: Array
    extensions: Array
    closed_lengths: Array
    full_strokes: Array
    swivels: Array
    ram_ratings: Array
    head_ratings: Array
    chain_pitches: Array
    chain_ratings: Array
    links: NDArray[np.int64]
    keep_out: Array = field(default_factory=lambda: boxes([]))
    names: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        read: dict[str, Any] = {
            "sockets": _points(self.sockets, "sockets"),
            "slots": _points(self.slots, "slots"),
            "extensions": _extensions(self.extensions),
            "closed_lengths": _row(
                magnitude, self.closed_lengths, "closed_lengths", "m"
            ),
            "chain_pitches": _row(magnitude, self.chain_pitches, "chain_pitches", "m"),
            "links": _links(self.links),
            "keep_out": boxes(self.keep_out),
            "names": MappingProxyType(dict(self.names)),
        }
        for name, of, unit in _EACH:
            value = magnitude(getattr(self, name), name=name, unit=unit)
            read[name] = _one_each(value, name, len(read[of]))
        for name, value in read.items():
            object.__setattr__(self, name, value)
        for axis, count in zip(AXES, self.shape, strict=True):
            if axis in self.names and len(self.names[axis]) != count:
                given = len(self.names[axis])
                raise OutOfRangeError(
                    "planner.names", given=given, count=count, axis=f"axis.{axis}"
                )

    @property
    def shape(self) -> tuple[int, ...]:
        """Length of each list, in the order of `AXES`."""
        return (
            len(self.sockets),
            len(self.slots),
            len(self.extensions),
            len(self.closed_lengths),
            len(self.chain_pitches),
            len(self.links),
        )

    @property
    def count(self) -> int:
        """How many set-ups there are."""
        return prod(self.shape)

    def told(self, choice: Sequence[int] | Places) -> list[str | WorkbookError]:
        """Return what a sentence calls the parts of one choice (6,), in order."""
        return [
            str(self.names[axis][int(at)])
            if axis in self.names
            else WorkbookError("planner.links", count=int(self.links[at]))
            if axis == "links"
            else WorkbookError(
                "planner.numbered", axis=f"axis.{axis}", number=int(at) + 1
            )
            for axis, at in zip(AXES, choice, strict=True)
        ]

    def named(self, choice: Sequence[int] | Places) -> dict[str, str]:
        """Return what the parts of one choice (6,) are called, by axis."""
        return {
            axis: str(self.names[axis][int(at)])
            if axis in self.names
            else f"{self.links[at]} links"
            if axis == "links"
            else f"{axis} {at + 1}"
            for axis, at in zip(AXES, choice, strict=True)
        }


# What each entry of another list has one of, or all have one of together.
_EACH = (
    ("slot_ratings", "slots", "N"),
    ("full_strokes", "closed_lengths", "m"),
    ("swivels", "closed_lengths", "rad"),
    ("ram_ratings", "closed_lengths", "N"),
    ("head_ratings", "closed_lengths", "N"),
    ("chain_ratings", "chain_pitches", "N"),
)


def _points(value: object, name: str) -> Array:
    read = components(numbers(value, name=name), name=name)
    if read.ndim != 2 or not len(read):
        raise OutOfRangeError("planner.points", name=called(name), shape=read.shape)
    return read


def _row(reader: Any, value: object, name: str, unit: str = "") -> Array:
    read = np.asarray(reader(value, name=name, unit=unit))
    if read.ndim != 1 or not len(read):
        raise OutOfRangeError("planner.row", name=called(name), shape=read.shape)
    return read


def _extensions(value: object) -> Array:
    read = _row(finite, value, "extensions", "m")
    refuse_where(read < 0, "planner.extension", extension=read)
    return read


def _links(value: object) -> NDArray[np.int64]:
    read = _row(magnitude, value, "links")
    refuse_where(read != np.rint(read), "planner.part_of_a_link", count=read)
    return read.astype(np.int64)


def _one_each(value: Array, name: str, count: int) -> Array:
    try:
        return np.broadcast_to(value, (count,))
    except ValueError:
        raise OutOfRangeError(
            "planner.one_each", name=called(name), shape=value.shape, count=count
        ) from None


@dataclass(frozen=True, kw_only=True)
class Job:
    """What is wanted of a pull, and what may not be passed.

    Parameters
    ----------
    clamp : array_like, shape (3,)
        Clamp point C. [m]
    movement : array_like, shape (3,), optional
        How far and where the point must go: a correction, opposite to the
        difference. [m]
    direction : array_like, shape (3,), optional
        Where it must go, if not how far; any length. Give this or ``movement``.
    useful_pull : float
        Pull wanted along that line. [N]
    clamp_rating : float
        What the clamp may carry. [N]
    slack : float
        Stroke that the ram has spent when the chain is taut. [m]
    rating_margin : float
        Greatest share of any rating to be used; the school sets it. As it
        stands, 1, it is the rating itself, with nothing in hand.
    direction_limit : float
        Greatest angle of the pull off the wanted line. As it stands, a right
        angle, it only excludes pulls that do nothing along the line. [rad]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not one that it can be.
    """

    clamp: Array
    movement: Array | None = None
    direction: Array | None = None
    useful_pull: float
    clamp_rating: float
    slack: float = 0.0
    rating_margin: float = 1.0
    direction_limit: float = np.pi / 2

    def __post_init__(self) -> None:
        if (self.movement is None) == (self.direction is None):
            raise OutOfRangeError("planner.movement_or_direction")
        object.__setattr__(self, "clamp", _point(self.clamp, "clamp"))
        for name in ("movement", "direction"):
            if (given := getattr(self, name)) is not None:
                object.__setattr__(self, name, _point(given, f"wanted_{name}"))
                direction_of(given, name=f"wanted_{name}")
        for name in (
            "useful_pull",
            "clamp_rating",
            "slack",
            "rating_margin",
            "direction_limit",
        ):
            object.__setattr__(self, name, one_number(getattr(self, name), name=name))
        magnitude(self.useful_pull, name="useful_pull", unit="N")
        magnitude(self.clamp_rating, name="clamp_rating", unit="N")
        if not 0 <= self.slack < np.inf:
            raise OutOfRangeError("planner.slack", slack=self.slack)
        if not 0 < self.rating_margin <= 1:
            raise OutOfRangeError("planner.rating_margin", margin=self.rating_margin)
        if not 0 < self.direction_limit <= np.pi / 2:
            raise OutOfRangeError("planner.direction_limit", limit=self.direction_limit)

    @property
    def line(self) -> Array:
        """Unit vector of the wanted line, shape (3,)."""
        wanted = self.direction if self.movement is None else self.movement
        return direction_of(wanted, name="wanted_line")  # type: ignore[arg-type]

    @property
    def distance(self) -> float:
        """How far the point must go; nought where only the line is given. [m]"""
        return 0.0 if self.movement is None else float(norm(self.movement))


def _point(value: object, name: str) -> Array:
    read = components(numbers(value, name=name), name=name)
    if read.shape != (3,):
        raise OutOfRangeError("planner.one_point", name=called(name), shape=read.shape)
    return read


class Limit(IntEnum):
    """What refuses a set-up that stands; lower numbers are those of `Refusal`.

    The first limit that a set-up fails, in this order, is its reason.
    """

    KEEP_OUT = 10
    OFF_THE_LINE = 11
    STROKE = 12
    RAM_RATING = 13
    HEAD_RATING = 14
    PULL_LEG_RATING = 15
    CLAMP_RATING = 16
    ANCHOR_LEG_RATING = 17
    FORK_SLOT_RATING = 18


@dataclass(frozen=True, kw_only=True)
class Fit:
    """How candidates (n,) fit the bay, before any force is asked of them.

    ``pull`` is for a ram force of 1 N, with a swivel without limit. ``shares``
    (6, n) has the part of each rating of `PARTS` that 1 N of pull takes [1/N].
    ``reason`` (n,) has a `Refusal`, `Limit.KEEP_OUT` or 0 where it fits, and
    ``over`` (n,) how far a refused one is from fitting, where that has a size.
    """

    rig: Rig
    pull: Pull
    shares: Array
    reason: NDArray[np.int8]
    over: Array


def rig_of(job: Job, *, floor: ShopFloor, choices: Places) -> Rig:
    """Return the rigs of choices, shape (..., 6), at the end of the slack."""
    socket, slot, tube, ram, chain, links = np.moveaxis(choices, -1, 0)
    return Rig(
        clamp=job.clamp,
        base=floor.sockets[socket],
        anchor=floor.slots[slot],
        closed_length=floor.closed_lengths[ram],
        extension=floor.extensions[tube],
        stroke=np.asarray(job.slack),
        full_stroke=floor.full_strokes[ram],
        anchor_leg=floor.links[links] * floor.chain_pitches[chain],
        swivel=floor.swivels[ram],
    )


def fit(job: Job, *, floor: ShopFloor, choices: Places) -> Fit:
    """Solve candidates and see which stand, swivel and keep out of the boxes.

    Parameters
    ----------
    job : Job
        What is wanted.
    floor : ShopFloor
        The lists.
    choices : ndarray of int, shape (n, 6)
        Places in the lists, in the order of `AXES`.

    Returns
    -------
    Fit
    """
    rig = rig_of(job, floor=floor, choices=choices)
    # The swivel is looked at here, so that the lean of a near miss is known.
    pull = solve_pulls(replace(rig, swivel=np.asarray(np.pi)), ram_force=1.0)
    reason, over = pull.refusal.copy(), _gap(rig)
    # A ram set out at the limit of its swivel stands, as in the linkage.
    leaning = pull.stands & ~(pull.tilt <= rig.swivel + 1e-9)
    reason[leaning] = Refusal.PAST_SWIVEL
    over[leaning] = (pull.tilt - rig.swivel)[leaning]
    if len(floor.keep_out):
        stands = np.flatnonzero(reason == 0)
        shut = stands[_shut_out(rig, pull, stands, floor.keep_out)]
        reason[shut] = Limit.KEEP_OUT
    return Fit(
        rig=rig,
        pull=pull,
        shares=_shares(job, floor, pull, choices),
        reason=reason,
        over=over,
    )


def _gap(rig: Rig) -> Array:
    """Return how far ram and anchor leg are from meeting; nought if they do. [m]"""
    apart, R, La = norm(rig.anchor - rig.base), rig.ram_length, rig.anchor_leg
    return np.maximum(0.0, np.maximum(np.abs(R - apart) - La, La - R - apart))


def _shut_out(rig: Rig, pull: Pull, at: Places, keep_out: Array) -> NDArray[np.bool_]:
    """Tell which of the rigs ``at`` have a part in a box."""
    head = pull.head[at]
    ends = (rig.base[at], rig.anchor[at], rig.clamp)
    entered = [crosses(head, end, keep_out=keep_out) for end in ends]
    return np.asarray(np.logical_or.reduce(entered))


def _shares(job: Job, floor: ShopFloor, pull: Pull, choices: Places) -> Array:
    """Return the part of each rating taken by 1 N of pull, shape (6, n)."""
    _, slot, _, ram, chain, _ = choices.T
    ram_force = pull.travel_ratio
    anchor = pull.anchor_tension * ram_force
    return np.stack(
        [
            ram_force / floor.ram_ratings[ram],
            ram_force / floor.head_ratings[ram],
            1.0 / floor.chain_ratings[chain],
            np.full(len(choices), 1.0 / job.clamp_rating),
            anchor / floor.chain_ratings[chain],
            anchor / floor.slot_ratings[slot],
        ]
    )


def chunks(floor: ShopFloor, *, size: int) -> Iterator[Places]:
    """Run through all choices, some at a time, each of shape (n, 6)."""
    for start in range(0, floor.count, size):
        at = np.arange(start, min(start + size, floor.count))
        yield np.stack(np.unravel_index(at, floor.shape), axis=-1)


def clamp_is_free(job: Job, floor: ShopFloor) -> None:
    """Refuse a clamp point in or on a keep-out box: every pull leg would touch it.

    Raises
    ------
    OutOfRangeError
        With the box.
    """
    for number, box in enumerate(floor.keep_out, start=1):
        if crosses(job.clamp, job.clamp, keep_out=box[None]):
            x, y, z = (float(part) for part in job.clamp)
            raise OutOfRangeError(
                "planner.clamp_in_a_box", x=x, y=y, z=z, number=number
            )


def best(keys: Array, *, keep: int) -> Places:
    """Return the places of the ``keep`` best, best first.

    Parameters
    ----------
    keys : ndarray, shape (k, n)
        What decides, the first row before the second; less is better.
    keep : int
        How many.

    Examples
    --------
    >>> best(np.array([[1.0, 0.0, 0.0], [0.0, 5.0, 4.0]]), keep=2).tolist()
    [2, 1]
    """
    few = np.arange(keys.shape[1])
    if len(few) > keep:
        few = np.flatnonzero(keys[0] <= np.partition(keys[0], keep - 1)[keep - 1])
    return few[np.lexsort(keys[::-1, few])[:keep]]


Record = TypeVar("Record")


def some(record: Record, places: Places) -> Record:
    """Return some rows of a dataclass of arrays (n, ...)."""
    rows = {f.name: getattr(record, f.name)[places] for f in _arrays(record)}
    return type(record)(**rows)


def together(records: Sequence[Record]) -> Record:
    """Return the rows of dataclasses of arrays (n, ...) one after another."""
    first = records[0]
    rows = {
        f.name: np.concatenate([getattr(r, f.name) for r in records])
        for f in _arrays(first)
    }
    return type(first)(**rows)


def _arrays(record: object) -> tuple[Field[Any], ...]:
    return fields(record)  # type: ignore[arg-type]
