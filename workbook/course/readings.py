"""What a learner reads off an explorer: typed, read and compared with its number."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from workbook.course.tables import solved
from workbook.figures.pictures import subjects
from workbook.language import say, text
from workbook.quantities.typed import read_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.course.lesson import Exploration, Observation

Told = Literal["there", "now", "beside", "another"]


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """What a typed reading comes to.

    ``told`` is ``"there"`` where the explorer shows it in a set-up that was asked for,
    ``"now"`` where it shows it as it stands instead, ``"beside"`` where it is another
    of the numbers asked for set-ups have, ``"another"`` where it is none; ``None``
    where no amount was typed. ``sentence`` says it to the reader.
    """

    told: Told | None
    sentence: str


def compare(
    typed: str, observe: Observation, one: Exploration, *, now: Any = None
) -> Comparison:
    """Compare what was typed with what an explorer shows.

    Parameters
    ----------
    typed : str
        A reading with its unit, or whatever was typed.
    observe : Observation
        What is to be read, and in which set-ups.
    one : Exploration
        The explorer it is read on.
    now : optional
        What the explorer shows as it stands: a result of its subject.

    Returns
    -------
    Comparison

    Examples
    --------
    >>> from workbook.course import lesson
    >>> lean = lesson("L07").explorer("lean")
    >>> compare("9780 lbf", lean.observe, lean).told
    'there'
    >>> compare("it leans", lean.observe, lean).told is None
    True
    """
    subject = subjects()[one.subject]
    asked = [subject.told(solved(one, **changes)) for changes in observe.at]
    kind = asked[0][observe.amount][1]
    read = read_quantity(typed, kind=_plain(kind))
    if read.value is None:
        return Comparison(told=None, sentence=read.sentence)

    def is_shown(amounts: Mapping[str, tuple[float, str]], name: str) -> bool:
        value, its_kind = amounts.get(name, (0.0, ""))
        off = abs(read.value - value) if read.value is not None else 0.0
        return _plain(its_kind) == _plain(kind) and off <= observe.within * abs(value)

    if any(is_shown(amounts, observe.amount) for amounts in asked):
        return Comparison(told="there", sentence=say("reading", "there"))
    if now is not None and is_shown(subject.told(now), observe.amount):
        return Comparison(told="now", sentence=say("reading", "now"))
    for name in asked[0]:
        if any(is_shown(amounts, name) for amounts in asked):
            return Comparison(told="beside", sentence=_beside(name, observe.amount))
    return Comparison(told="another", sentence=say("reading", "another"))


def _plain(kind: str) -> str:
    """Return a kind of quantity as it is typed: a small force is a force."""
    return kind.removeprefix("small ")


def _beside(name: str, wanted: str) -> str:
    names = {"typed": text("amount", name), "wanted": text("amount", wanted)}
    return say("reading", "beside", **names)
