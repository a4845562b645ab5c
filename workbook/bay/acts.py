"""The acts of a job: what each takes, and one sentence for what it cannot be.

An act is a table of plain values, as JSON has them: ``act`` and what it takes. What
is read here is of the right kind and size; whether it can be done is for
`workbook.bay.job.do` to say.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from workbook.errors import FormError
from workbook.scenes.fields import Number, quoted, read_fields
from workbook.scenes.forms import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterable

LONGEST_NAME = 60
LONGEST_TEXT = 1_000
MOST_NAMES = 40
FIELDS = read_fields("bay")


def one_of(names: Iterable[str], value: object, *, what: str) -> str:
    """Return a name that is known, or refuse it with the nearest.

    Parameters
    ----------
    names : iterable of str
        All there are.
    value : object
        What was given.
    what : str
        What such a thing is called, below ``bay_name`` in ``term.toml``.
    """
    known = [*names]
    if isinstance(value, str) and value in known:
        return value
    refusal = FormError(
        "bay.no_such", what=f"bay_name.{what}", name=quoted(value), known=known
    )
    near = get_close_matches(value, known, n=1) if isinstance(value, str) else []
    raise did_you_mean(refusal, near[0]) if near else refusal


def _name(value: object, called: str) -> str:
    if (
        isinstance(value, str)
        and 0 < len(value.strip()) <= LONGEST_NAME
        and value.isprintable()
    ):
        return value
    raise FormError("bay.no_name", called=called, most=LONGEST_NAME)


def _text(value: object, called: str) -> str:
    if isinstance(value, str) and len(value) <= LONGEST_TEXT:
        return value
    raise FormError("bay.no_text", called=called, most=LONGEST_TEXT)


def _flag(value: object, called: str) -> bool:
    if isinstance(value, bool):
        return value
    raise FormError("bay.no_flag", called=called)


def _names(value: object, called: str) -> tuple[str, ...]:
    if isinstance(value, list | tuple) and len(value) <= MOST_NAMES:
        names = tuple(_name(one, called) for one in value)
        if len({*names}) == len(names):
            return names
    raise FormError("bay.no_names", called=called, most=MOST_NAMES)


def _wholes(value: object, called: str) -> tuple[int, ...]:
    if isinstance(value, list | tuple) and 0 < len(value) <= MOST_NAMES:
        return tuple(_whole(one, called) for one in value)
    raise FormError("bay.no_wholes", called=called, most=MOST_NAMES)


def _whole(value: object, called: str) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 1000:
        return value
    raise FormError("bay.no_whole", called=called)


def _number(value: object, called: str) -> float:
    field = FIELDS[called]
    assert isinstance(field, Number)
    return float(field.within(value))


def _places(value: object, called: str) -> dict[str, tuple[float, float]]:
    if isinstance(value, Mapping) and 0 < len(value) <= MOST_NAMES:
        return {_name(who, called): _place(at, called) for who, at in value.items()}
    raise FormError("bay.no_places", called=called)


def _place(value: object, called: str) -> tuple[float, float]:
    if isinstance(value, list | tuple) and len(value) == 2:
        x, y = value
        if all(_is_place(one) for one in (x, y)):
            return float(x), float(y)
    raise FormError("bay.no_places", called=called)


def _is_place(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return math.isfinite(value) and abs(value) <= 20_000


Read = Callable[[object, str], Any]


@dataclass(frozen=True, kw_only=True)
class ActForm:
    """What one act takes: how each value is read, and which may be left out."""

    takes: Mapping[str, Read]
    optional: tuple[str, ...] = ()
    on_paper: bool = False


_CHAIN = {"chain": _name, "clamp": _name, "place": _name}
ACTS: Mapping[str, ActForm] = {
    "begin": ActForm(
        takes={
            "version": _whole,
            "rating_margin": _number,
            "zone_half_angle_deg": _number,
        }
    ),
    "story": ActForm(
        takes={"kinds": _names, "order": _names, "stoppers": _names}, on_paper=True
    ),
    "make_safe": ActForm(takes={"what": _name}),
    "survey": ActForm(takes={"base": _names}, optional=("base",)),
    "clamp": ActForm(takes={"station": _name}, on_paper=True),
    "unclamp": ActForm(takes={"station": _name}, on_paper=True),
    "tie": ActForm(
        takes={"name": _name, "station": _name, "post": _name}, on_paper=True
    ),
    "untie": ActForm(takes={"name": _name}, on_paper=True),
    "stand": ActForm(takes={"side": _name}, on_paper=True),
    "take_stand": ActForm(takes={"side": _name}, on_paper=True),
    "crossmember": ActForm(takes={"on": _flag}),
    "set_out": ActForm(
        takes={
            "ram": _name,
            "part": _name,
            "socket": _name,
            "fork": _name,
            "slot": _whole,
            "extension": _name,
            **_CHAIN,
            "links": _whole,
            "head": _name,
        },
        optional=("extension",),
        on_paper=True,
    ),
    "strip": ActForm(takes={"name": _name}, on_paper=True),
    "hold": ActForm(takes={"name": _name, "post": _name, **_CHAIN}, on_paper=True),
    "cable": ActForm(
        takes={"name": _name, "of": _names, "to": _name, "loose": _flag}, on_paper=True
    ),
    "people": ActForm(takes={"at": _places}, on_paper=True),
    "call": ActForm(takes={"step": _name}),
    "valve": ActForm(takes={"ram": _name, "open": _flag}),
    "take_up": ActForm(takes={}),
    "look": ActForm(takes={}),
    "pump": ActForm(takes={"air_bar": _number}),
    "stop": ActForm(takes={"who": _name}),
    "release": ActForm(takes={}),
    "relieve": ActForm(takes={"side": _name, "hinges": _wholes, "share": _number}),
    "answer": ActForm(
        takes={"step": _name, "item": _name, "typed": _text}, on_paper=True
    ),
    "record": ActForm(takes={"field": _name, "text": _text}, on_paper=True),
    "undo": ActForm(takes={}),
}
"""Every act by its name, in the order of a job."""

Act = Mapping[str, Any]


def read_act(given: object) -> dict[str, Any]:
    """Return an act, every value read.

    Parameters
    ----------
    given : object
        As a line of a log has it.

    Returns
    -------
    dict
        ``act`` and what it takes; what was left out is not there.

    Raises
    ------
    FormError
        One sentence that names what is wrong and the way out.

    Examples
    --------
    >>> read_act({"act": "valve", "ram": "A", "open": True})
    {'act': 'valve', 'ram': 'A', 'open': True}
    """
    if not isinstance(given, Mapping):
        raise FormError("bay.no_act")
    name = one_of(ACTS, given.get("act"), what="act")
    form = ACTS[name]
    for key in given:
        if key != "act" and key not in form.takes:
            raise FormError(
                "bay.unknown_key", act=name, name=quoted(key), known=[*form.takes]
            )
    for key in form.takes:
        if key not in given and key not in form.optional:
            raise FormError("bay.missing", act=name, name=key)
    read = {
        key: how(given[key], key) for key, how in form.takes.items() if key in given
    }
    return {"act": name, **read}
