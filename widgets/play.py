"""A stroke that is played: pictures along one field, many in one call."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Generic, NamedTuple, TypeVar

import numpy as np

from widgets.answer import ask
from workbook.language import say, text
from workbook.scenes.fields import Number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from workbook.figures.drawing.rooms import Sheets
    from workbook.figures.subject import Look, Subject, Values
    from workbook.quantities.units import UnitSystem

S = TypeVar("S")
STILLS = 5  # pictures in place of motion, ends included


class PlayedStep(NamedTuple, Generic[S]):
    """One picture along the way: value of the field, result, sheets."""

    value: float
    result: S
    sheets: Sheets


def steps_along(
    subject: Subject[S],
    values: Values,
    *,
    first: float,
    steps: int,
    look: Look[S],
    way: str = "",
) -> Iterator[PlayedStep[S]]:
    """Yield the pictures from a value of the played field on, as far as it stands."""
    field = _played_field(subject)
    standing: list[tuple[float, S]] = []
    for k in range(steps):
        value = first + k * field.step
        if not field.low <= value <= field.high:
            break
        result = _at(subject, values, value, way)
        if result is None:
            break
        standing.append((value, result))
    if not standing:
        return
    along: Any = np.array([value for value, _ in standing])
    whole = subject.sheets(subject.solve_by(way, {**values, field.name: along}), look)
    for k, (value, result) in enumerate(standing):
        yield PlayedStep(value, result, whole.at(k))


def stills(
    subject: Subject[S], values: Values, *, way: str = ""
) -> list[tuple[str, S]]:
    """Return results along the whole stroke, as far as it stands, each with its share.

    They stand on one picture for who wants nothing to move.
    """
    field = _played_field(subject)
    standing = []
    for value in np.arange(field.low, field.high + field.step / 2, field.step):
        result = _at(subject, values, float(value), way)
        if result is None:
            break
        standing.append(result)
    shares = np.linspace(0, 1, STILLS if standing else 0)
    return [
        (
            say("hand", "still", percent=f"{100 * share:.0f}"),
            standing[round(share * (len(standing) - 1))],
        )
        for share in shares
    ]


def played_words(
    subject: Subject[S],
    values: Values,
    result: S,
    *,
    since: float,
    system: UnitSystem,
    way: str = "",
) -> str:
    """Say how the most telling number has changed since the stroke began."""
    before = _at(subject, values, since, way)
    if before is None:
        return ""
    first, last = subject.told(before), subject.told(result)
    name, (value, kind) = next(iter(last.items()))
    return say(
        *("hand", "played"),
        name=text("amount", name),
        first=system.show(*first[name]),
        last=system.show(value, kind),
    )


def _played_field(subject: Subject[S]) -> Number:
    field = subject.fields[subject.played]
    assert isinstance(field, Number), f"{subject.played} is played and no number"
    return field


def _at(subject: Subject[S], values: Values, value: float, way: str) -> S | None:
    """Return the result with the played field at a value, if it stands."""
    field = _played_field(subject)
    there = {**values, field.name: field.checked(value)}
    return ask(subject, there, way=way).result
