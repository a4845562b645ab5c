"""What a learner reads off an explorer: typed, read and compared with its number."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan
from typing import TYPE_CHECKING, Any, Literal

from workbook.course.tables import solved
from workbook.figures.pictures import subjects
from workbook.language import say, text
from workbook.quantities.typed import read_quantity

if TYPE_CHECKING:
    from workbook.course.lesson import Exploration, Observation

Told = Literal["there", "sign", "now", "beside", "another"]


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """What a typed reading comes to.

    ``told`` is ``"there"`` where the explorer shows it in a set-up that was asked for,
    ``"sign"`` where it does but for the sign, ``"now"`` where it shows it as it stands
    instead, ``"beside"`` where it is another of the numbers asked for set-ups have,
    ``"another"`` where it is none; ``None`` where no amount was typed. ``sentence``
    says it to the reader. ``read`` is what was typed, ``shown`` the nearest that the
    explorer shows where it was asked for and ``present`` what it shows as it stands,
    nan where that is not known, all in SI; ``kind`` is what they are.
    """

    told: Told | None
    sentence: str
    kind: str
    read: float = nan
    shown: float = nan
    present: float = nan


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
        return Comparison(told=None, sentence=read.sentence, kind=kind)

    value = read.value
    there = [amounts[observe.amount][0] for amounts in asked]
    present = {} if now is None else subject.told(now)
    here = float(present.get(observe.amount, (nan, kind))[0])
    nearest = min(there, key=lambda shown: abs(value - shown))

    def is_shown(shown: float) -> bool:
        return abs(value - shown) <= observe.within * abs(shown)

    def come_to(told: Told, sentence: str) -> Comparison:
        return Comparison(
            told=told,
            sentence=sentence,
            kind=kind,
            read=value,
            shown=nearest,
            present=here,
        )

    if any(map(is_shown, there)):
        return come_to("there", say("reading", "there"))
    if any(abs(value + shown) <= observe.within * abs(shown) for shown in there):
        return come_to("sign", say("reading", "sign"))
    if is_shown(here):
        return come_to("now", say("reading", "now"))
    for amounts in asked:
        for name, (amount, its_kind) in amounts.items():
            if _plain(its_kind) == _plain(kind) and is_shown(amount):
                return come_to("beside", _beside(name, observe.amount))
    return come_to("another", say("reading", "another"))


def _plain(kind: str) -> str:
    """Return a kind of quantity as it is typed: a small force is a force."""
    return kind.removeprefix("small ")


def _beside(name: str, wanted: str) -> str:
    names = {"typed": text("amount", name), "wanted": text("amount", wanted)}
    return say("reading", "beside", **names)
