"""One step: the engine is asked once, and answers or refuses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from workbook.errors import WorkbookError

if TYPE_CHECKING:
    from workbook.figures.subject import Subject, Values

S = TypeVar("S")


@dataclass(frozen=True, kw_only=True)
class Answer(Generic[S]):
    """What the engine makes of values: a result, or a refusal in its place."""

    values: Values
    result: S | None = None
    refusal: WorkbookError | None = None


def ask(subject: Subject[S], values: Values, *, way: str = "") -> Answer[S]:
    """Return the engine's answer to checked values, a stroke played in some way."""
    try:
        return Answer(values=values, result=subject.solve_by(way, values))
    except WorkbookError as refusal:
        return Answer(values=values, refusal=refusal)
