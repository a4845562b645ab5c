"""The panel of acts in the practice bay: what each asks, and which are open.

A form asks what its act takes. A choice comes back as JSON of its value, a number as
it was typed, several as a list; `act_of` makes an act of them. What is wrong with it is
for the bay to say.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import permutations
from typing import TYPE_CHECKING, Any

from workbook.bay.acts import FIELDS
from workbook.bay.car import VERSION
from workbook.bay.floor import bay_floor
from workbook.bay.questions import ITEMS
from workbook.bay.wording import condition_words, question_words
from workbook.equipment import shop
from workbook.errors import FormError
from workbook.exercises.bank.lesson_11 import STEPS
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.language import say, text
from workbook.mechanics.survey.damage import KINDS
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import factor
from workbook.reader.school import school_limits
from workbook.scenes.fields import Number
from workbook.scenes.kestrin_rail import SIDES

if TYPE_CHECKING:
    from workbook.bay.state import Bay
    from workbook.quantities.units import UnitSystem

RAMS, HOLDS = ("A", "B", "C"), ("H1", "H2", "H3")
HINGES = 8  # of one rail, from the root on
EVERYBODY = "everybody"
FLOOR = (-20_000.0, 20_000.0)  # mm, of the floor to either side
GROUPS: Mapping[str, tuple[str, ...]] = {
    "rules": ("begin",),
    "see": ("make_safe", "survey", "story"),
    "body": ("clamp", "unclamp", "tie", "untie", "stand", "take_stand", "crossmember"),
    "set": ("set_out", "hold", "strip"),
    "safe": ("cable", "people", "call"),
    "oil": ("valve", "take_up", "look", "pump", "relieve", "stop", "release"),
    "write": ("answer", "record"),
}
"""Acts in the order of the job."""

DRAWN = ("clamp", "unclamp", "tie", "stand", "take_stand", "set_out", "hold")
"""Whose form has something that is taken in the picture."""


@dataclass(frozen=True, kw_only=True)
class FormPart:
    """One thing a form asks: a choice, several, a number or a text.

    ``options`` are values with what they are called; ``unit`` is that of a number that
    is typed, ``kind`` what it measures, ``within`` its ends where no field has them.
    What is ``asked`` has no choice made beforehand.
    """

    name: str
    how: str
    options: tuple[tuple[Any, str], ...] = ()
    kind: str = ""
    unit: str = ""
    first: str = ""
    within: tuple[float, float] | None = None
    asked: bool = False

    @property
    def label(self) -> str:
        """What stands before it."""
        named = self.called
        if self.how != "number":
            return named
        field = FIELDS.get(self.name)
        if isinstance(field, Number):
            return say(
                "practice_bay",
                "between",
                name=named,
                low=field.low,
                high=field.high,
                unit=self.unit,
            )
        return say("practice_bay", "number", name=named, unit=self.unit)

    def spec(self) -> dict[str, Any]:
        """Return it as the page takes it."""
        options = [[json.dumps(value), called] for value, called in self.options]
        return {
            "name": self.name,
            "how": self.how,
            "label": self.label,
            "options": options,
            "first": self.first,
            "asked": say("practice_bay", "chosen") if self.asked else "",
        }

    def read(self, given: object) -> Any:
        """Return the value that was given, as an act takes it."""
        if self.how == "choice":
            return json.loads(given) if isinstance(given, str) and given else None
        if self.how == "several":
            return [json.loads(one) for one in given] if isinstance(given, list) else []
        if self.how == "text":
            return str(given or "")
        typed = read_quantity(
            str(given or ""), kind=self.kind, default_unit=self.unit or "1"
        )
        if typed.value is None:
            problem = typed.sentence
            if self.kind == "count" and typed.number is not None:
                problem = say("practice_bay", "bare")
            raise FormError("practice_bay.number", called=self.called, problem=problem)
        return self._within(float(typed.value))

    @property
    def called(self) -> str:
        """What it is called, alone."""
        return say("practice_bay", "part", self.name)

    def _within(self, value: float) -> float | int:
        """Return a number in the unit that the act takes it in, if that takes it."""
        plain = round(value / factor(self.unit), 9) if self.unit else value
        if self.kind == "count" and plain != round(plain):
            raise FormError("practice_bay.whole", called=self.called, given=plain)
        field = FIELDS.get(self.name)
        ends = (field.low, field.high) if isinstance(field, Number) else self.within
        if ends is not None and not ends[0] <= plain <= ends[1]:
            percent = self.kind == "ratio" and ends[1] < plain <= 100 * ends[1]
            raise FormError(
                "practice_bay.percent" if percent else "practice_bay.outside",
                called=self.called,
                given=plain,
                low=ends[0],
                high=ends[1],
                unit=f" {self.unit}" if self.unit else "",
            )
        return round(plain) if self.kind == "count" else plain


def _choice(name: str, options: Any, *, asked: bool = False) -> FormPart:
    pairs = tuple(one if isinstance(one, tuple) else (one, str(one)) for one in options)
    return FormPart(name=name, how="choice", options=pairs, asked=asked)


def _several(name: str, options: Any) -> FormPart:
    pairs = tuple(one if isinstance(one, tuple) else (one, str(one)) for one in options)
    return FormPart(name=name, how="several", options=pairs)


def _number(
    name: str,
    kind: str,
    unit: str = "",
    *,
    first: str = "",
    within: tuple[float, float] | None = None,
) -> FormPart:
    return FormPart(
        name=name, how="number", kind=kind, unit=unit, first=first, within=within
    )


def _yes(name: str) -> FormPart:
    called = text("practice_bay", "yes", name)
    options = ((True, called["on"]), (False, called["off"]))
    return _choice(name, options, asked=True)


def _named(parts: Any) -> list[str]:
    return [one.name for one in parts]


def _condition(names: Any) -> list[tuple[str, str]]:
    return [(name, condition_words(name)) for name in names]


def _chain() -> tuple[FormPart, ...]:
    parts = shop()
    return (
        _choice("chain", _named(parts.chains)),
        _choice("clamp", _named(parts.clamps)),
    )


def _asked(bay: Bay, system: UnitSystem) -> list[tuple[list[str], str]]:
    rows = []
    for step, items in ITEMS.items():
        for item, one in items.items():
            words = question_words(bay.car, item, system=system)
            if one.choices:
                words = say("bay", "paper", "one_of", words=words, choices=one.choices)
            rows.append(([step, item], f"{step} {words}"))
    return rows


def _steps() -> list[tuple[str, str]]:
    words = text("exercise", "L11", "11.1 v1", "item")
    return [(step, words[step]) for step in sorted(STEPS)]


def _out(bay: Bay) -> list[str]:
    return [*bay.rams, *bay.holds]


def _orders(bay: Bay) -> list[tuple[list[str], str]]:
    return [
        ([*order], say("practice_bay", "order", hits=[*order]))
        for order in permutations(sorted(bay.car.hits))
    ]


def _set_by_the_school(name: str) -> str:
    """Return what the session plan says; nothing is filled in without one."""
    limits = school_limits()
    return f"{limits[name]:g}" if name in limits else ""


Asks = Callable[["Bay", "UnitSystem"], tuple[FormPart, ...]]
ASKS: Mapping[str, Asks] = {
    "begin": lambda _b, _s: (
        _number("rating_margin", "ratio", first=_set_by_the_school("margin")),
        _number(
            "zone_half_angle_deg", "angle", "deg", first=_set_by_the_school("zone_deg")
        ),
    ),
    "make_safe": lambda b, _s: (
        _choice(
            "what",
            _condition(c for c in b.car.conditions if c not in b.made_safe),
        ),
    ),
    "survey": lambda _b, _s: (),
    "story": lambda b, _s: (
        _several("kinds", [(k, say("term", "damage", k)) for k in KINDS]),
        _choice("order", _orders(b), asked=True),
        _several("stoppers", _condition(b.car.conditions)),
    ),
    "clamp": lambda b, _s: (
        _choice("station", (s for s in bay_floor().stations if s not in b.stations)),
    ),
    "unclamp": lambda b, _s: (_choice("station", b.stations),),
    "tie": lambda _b, _s: (
        _choice("station", bay_floor().stations),
        _choice("post", bay_floor().posts),
    ),
    "untie": lambda b, _s: (_choice("name", b.ties),),
    "stand": lambda b, _s: (_choice("side", (s for s in SIDES if s not in b.stands)),),
    "take_stand": lambda b, _s: (_choice("side", b.stands),),
    "crossmember": lambda b, _s: (_yes("on"),),
    "set_out": lambda _b, _s: (
        _choice("ram", RAMS),
        _choice("part", _named(shop().rams)),
        _choice("place", bay_floor().places),
        _choice("socket", bay_floor().sockets),
        _choice("fork", bay_floor().forks),
        _number("slot", "count", first="0", within=(-99, 99)),
        _choice(
            "extension",
            (("", say("practice_bay", "none")), *_named(shop().extensions)),
        ),
        *_chain(),
        _number("links", "count", within=(1, 999)),
        _choice("head", _named(shop().heads)),
    ),
    "hold": lambda _b, _s: (
        _choice("name", HOLDS),
        _choice("place", bay_floor().places),
        _choice("post", bay_floor().posts),
        *_chain(),
    ),
    "strip": lambda b, _s: (_choice("name", _out(b)),),
    "cable": lambda b, _s: (
        _several("of", _out(b)),
        _choice("to", bay_floor().ties, asked=True),
        _yes("loose"),
    ),
    "people": lambda _b, _s: (
        _choice("who", ((EVERYBODY, say("practice_bay", "all")), *bay_floor().people)),
        _number("forward", "length", "mm", within=FLOOR),
        _number("left", "length", "mm", within=FLOOR),
    ),
    "call": lambda _b, _s: (_choice("step", _steps(), asked=True),),
    "valve": lambda b, _s: (_choice("ram", b.rams), _yes("open")),
    "take_up": lambda _b, _s: (),
    "look": lambda _b, _s: (),
    "pump": lambda _b, _s: (_number("air_bar", "pressure", "bar"),),
    "relieve": lambda _b, _s: (
        _choice("side", SIDES),
        _several("hinges", [(k, str(k + 1)) for k in range(HINGES)]),
        _number("share", "ratio"),
    ),
    "stop": lambda _b, _s: (_choice("who", bay_floor().people),),
    "release": lambda _b, _s: (),
    "answer": lambda b, s: (
        _choice("asked", _asked(b, s)),
        FormPart(name="typed", how="text"),
    ),
    "record": lambda _b, _s: (
        _choice("field", RECORD),
        FormPart(name="text", how="text"),
    ),
}
"""What the form of each act asks."""


def _some_open(bay: Bay) -> bool:
    return any(ram.is_open and not ram.lost for ram in bay.rams.values())


_CAN: Mapping[str, Callable[[Bay], object]] = {
    "make_safe": lambda b: len(b.made_safe) < len(b.car.conditions),
    "clamp": lambda b: len(b.stations) < len(bay_floor().stations),
    "unclamp": lambda b: b.stations,
    "untie": lambda b: b.ties,
    "stand": lambda b: len(b.stands) < len(SIDES),
    "take_stand": lambda b: b.stands,
    "strip": _out,
    "cable": _out,
    "valve": lambda b: b.rams,
    "take_up": _some_open,
    "look": _out,
    "pump": _some_open,
    "stop": lambda b: b.loaded,
    "release": lambda b: b.loaded or b.pressure > 0,
}
AFTER_A_STOP = ("answer", "record")


def why_closed(bay: Bay, act: str) -> str:
    """Return why an act cannot be done now, in one sentence; empty if it can."""
    if act == "begin":
        closed = "begun" if bay.rules is not None else ""
    elif bay.rules is None:
        closed = "not_begun"
    elif bay.stopped is not None and act not in AFTER_A_STOP:
        closed = "over"
    else:
        closed = "" if _CAN.get(act, _always)(bay) else act
    return say("practice_bay", "closed", closed) if closed else ""


def _always(_bay: Bay) -> bool:
    return True


def panel(bay: Bay, *, system: UnitSystem) -> list[dict[str, Any]]:
    """Return all acts by group as the page takes them; only open ones have a form."""
    return [
        {
            "title": say("practice_bay", "group", group),
            "acts": [_spec(bay, act, system) for act in acts],
        }
        for group, acts in GROUPS.items()
    ]


def _spec(bay: Bay, act: str, system: UnitSystem) -> dict[str, Any]:
    why = why_closed(bay, act)
    return {
        "act": act,
        "title": title_of(act),
        "why": why,
        "drawn": act in DRAWN,
        "parts": [] if why else [one.spec() for one in ASKS[act](bay, system)],
    }


def title_of(act: str) -> str:
    """Return what an act is called."""
    return say("practice_bay", "act", act)


def act_of(
    bay: Bay, name: str, given: Mapping[str, object], *, system: UnitSystem
) -> dict[str, Any]:
    """Return the act that a filled-in form stands for.

    Raises
    ------
    FormError
        One sentence where something is not chosen, or no number.
    """
    parts = ASKS[name](bay, system)
    read = {part.name: part.read(given.get(part.name)) for part in parts}
    for part in parts:
        if read[part.name] is None:
            raise FormError("practice_bay.choose", called=part.label)
    return made_of(name, read)


def made_of(name: str, read: Mapping[str, Any]) -> dict[str, Any]:
    """Return the act that what was read of its form stands for."""
    return {"act": name, **_MAKES.get(name, dict)(dict(read))}


def _set_out(read: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a ram is set out with; no extension is left out."""
    return {part: value for part, value in read.items() if value != ""}


def _people(read: Mapping[str, Any]) -> dict[str, Any]:
    at = [read["forward"], read["left"]]
    all_of_them = read["who"] == EVERYBODY
    who = [*bay_floor().people] if all_of_them else [read["who"]]
    return {"at": {one: at for one in who}}


_MAKES: Mapping[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "begin": lambda read: {"version": VERSION, **read},
    "tie": lambda read: {
        "name": say("practice_bay", "tie_name", **read),
        **read,
    },
    "cable": lambda read: {"name": "+".join(read["of"]) or "-", **read},
    "people": _people,
    "set_out": _set_out,
    "answer": lambda read: {
        "step": read["asked"][0],
        "item": read["asked"][1],
        "typed": read["typed"],
    },
}
