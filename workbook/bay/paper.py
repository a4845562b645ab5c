"""The job on paper: the same car, choices with their results, answers typed as acts.

Where there is no screen, what can be pulled is offered by letter: for each way that a
tip has to go, the planner's best set-out and its last. What each of three pressures
leaves is printed, worked out on the learner's own car, with the ways before it done.
What is written on the paper is typed as lines of text and becomes the acts of a log.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

from workbook.bay.acts import one_of
from workbook.bay.car import VERSION
from workbook.bay.floor import bay_floor
from workbook.bay.good_job import MOST_PULLS, GoodHands, plan_for, set_out_of
from workbook.bay.job import do
from workbook.bay.questions import ITEMS
from workbook.errors import FormError, WorkbookError
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from workbook.bay.car import BayCar
    from workbook.bay.state import Bay, BayReading

LETTERS = "ABCDEFGHJKLMNPQR"
PARTS = (0.85, 1.0, 1.12)
"""Pressures that are offered, in parts of the one that leaves nothing."""
LONGEST_PAPER = 20_000
MOST_LINES = 300


@dataclass(frozen=True, kw_only=True, eq=False)
class PaperResult:
    """What one pressure of one choice leaves: ``air`` in bar, the survey or none.

    None where something let go or tore: then there is nothing left to read.
    """

    air: float
    reading: BayReading | None


@dataclass(frozen=True, kw_only=True, eq=False)
class PaperPull:
    """One choice: its letter, its act, and what its pressures leave."""

    letter: str
    act: Mapping[str, Any]
    results: tuple[PaperResult, ...]


@cache
def paper_pulls(
    car: BayCar, *, margin: float, half_angle: float
) -> tuple[PaperPull, ...]:
    """Return every choice that the paper of a car offers, way by way.

    Parameters
    ----------
    car : BayCar
    margin, half_angle : float
        The school's. [1], [rad]
    """
    hands = GoodHands(car)
    hands.prepares(margin=margin, half_angle=half_angle)
    pulls: list[PaperPull] = []
    for _ in range(MOST_PULLS):
        out = hands.farthest_out()
        if out is None:
            break
        plan = plan_for(car, hands.bay, tip=out[0], axis=out[1], margin=margin)
        before = hands.bay
        hands.pulls(plan, *out)
        pumped = [act["air_bar"] for act in hands.acts[-4:] if act["act"] == "pump"]
        for at in (0, len(plan.choices) - 1):
            act = set_out_of(plan, place=out[0], at=at)
            pulls.append(
                PaperPull(
                    letter=LETTERS[len(pulls)],
                    act=act,
                    results=tuple(
                        _result(before, act, air=round(part * sum(pumped), 2))
                        for part in PARTS
                    ),
                )
            )
    return tuple(pulls)


def _result(bay: Bay, act: Mapping[str, Any], *, air: float) -> PaperResult:
    """Return what a pull leaves that everything else was done for."""
    opened = {"act": "valve", "ram": act["ram"], "open": True}
    try:
        for one in (act, opened, {"act": "take_up"}, {"act": "pump", "air_bar": air}):
            bay = do(bay, one)
        if bay.stopped is not None or bay.metal.torn:
            return PaperResult(air=air, reading=None)
        bay = do(do(bay, {"act": "release"}), {"act": "survey"})
    except WorkbookError:
        return PaperResult(air=air, reading=None)
    return PaperResult(air=air, reading=bay.readings[-1])


# --------------------------------------------------------------------- typed from paper


@dataclass(kw_only=True)
class PaperJob:
    """What was written on one paper: whose it is, and what it says by name."""

    code: str = ""
    margin: float = 0.0
    zone_deg: float = 0.0
    said: dict[str, str] = field(default_factory=dict)


NAMES = (
    "code", "margin", "zone", "kinds", "order", "stop", "clamps", "ties", "cable",
    "wait", "steps", "pulls",
)  # fmt: skip


def is_paper(text: str) -> bool:
    r"""Tell whether some text is typed from a paper: its first line says whose.

    Examples
    --------
    >>> is_paper("code: K7MR"), is_paper('# a hand-in\n{"kind": "bay"}')
    (True, False)
    """
    first = next((line for line in text.splitlines() if line.strip()), "")
    return first.partition(":")[0].strip().casefold() == NAMES[0]


def read_paper(text: str) -> PaperJob:
    r"""Return what was typed from a paper: a name, a colon, what was written, a line.

    Raises
    ------
    FormError
        One sentence that names the line.

    Examples
    --------
    >>> paper = read_paper("code: K7MR\nmargin: 0.8\nzone: 30\nC3 bearing: 36 deg")
    >>> paper.code, paper.zone_deg, paper.said["C3 bearing"]
    ('K7MR', 30.0, '36 deg')
    """
    if len(text) > LONGEST_PAPER or text.count("\n") > MOST_LINES:
        raise FormError("bay.paper_too_long", most=LONGEST_PAPER)
    known = [
        *NAMES,
        *(f"{step} {item}" for step, items in ITEMS.items() for item in items),
        *(f"record {name}" for name in RECORD),
    ]
    paper = PaperJob()
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        name, colon, value = (part.strip() for part in line.partition(":"))
        if not colon:
            raise FormError("bay.paper_line", number=number)
        one_of(known, name, what="paper_line")
        if name in paper.said:
            raise FormError("bay.paper_twice", number=number, name=name)
        paper.said[name] = value
    paper.code = paper.said.get("code", "")
    if not paper.code:
        raise FormError("bay.paper_no_code")
    paper.margin = _number(paper, "margin")
    paper.zone_deg = _number(paper, "zone")
    return paper


def acts_of_paper(paper: PaperJob, car: BayCar) -> list[dict[str, Any]]:
    """Return the acts that a paper comes to, in the order in which they are done.

    Raises
    ------
    FormError
        If a pull is none that the paper offers.
    """
    said = paper.said
    acts: list[dict[str, Any]] = [
        {
            "act": "begin",
            "version": VERSION,
            "rating_margin": paper.margin,
            "zone_half_angle_deg": paper.zone_deg,
        }
    ]
    stops = [_condition(car, number) for number in _names(said.get("stop", ""))]
    if "kinds" in said:
        story = {"kinds": _names(said["kinds"]), "order": _names(said.get("order", ""))}
        acts.append({"act": "story", **story, "stoppers": stops})
    acts += [{"act": "make_safe", "what": what} for what in stops]
    acts += [{"act": "survey"}, {"act": "crossmember", "on": False}]
    acts += [{"act": "clamp", "station": s} for s in _names(said.get("clamps", ""))]
    for number, pair in enumerate(_names(said.get("ties", "")), start=1):
        station, _, post = (part.strip() for part in pair.partition(" to "))
        name = f"tie {number}"
        acts.append({"act": "tie", "name": name, "station": station, "post": post})
    offered = paper_pulls(
        car, margin=paper.margin, half_angle=paper.zone_deg * factor("deg")
    )
    for chosen in _names(said.get("pulls", "")):
        acts += _pull(paper, chosen, {pull.letter: pull for pull in offered})
    for name, value in said.items():
        first, _, rest = name.partition(" ")
        if first in ITEMS:
            acts.append({"act": "answer", "step": first, "item": rest, "typed": value})
        if first == "record":
            acts.append({"act": "record", "field": rest, "text": value})
    return acts


def _pull(
    paper: PaperJob, chosen: str, offered: Mapping[str, PaperPull]
) -> list[dict[str, Any]]:
    """Return the acts of one pull: a letter, and which of its pressures."""
    found = re.fullmatch(r"([A-Z]) ?([0-9])", chosen)
    pull = offered.get(found[1]) if found else None
    if not found or pull is None or not 1 <= int(found[2]) <= len(pull.results):
        raise FormError("bay.paper_pull", chosen=chosen[:20], known=[*offered])
    ram, tied = pull.act["ram"], paper.said.get("cable", "")
    cable = {"name": ram, "of": [ram], "to": tied, "loose": False}
    return [
        dict(pull.act),
        *([{"act": "cable", **cable}] if tied else []),
        *_waiting(paper),
        {"act": "valve", "ram": ram, "open": True},
        *({"act": "call", "step": s} for s in _names(paper.said.get("steps", ""))),
        {"act": "take_up"},
        {"act": "look"},
        {"act": "pump", "air_bar": pull.results[int(found[2]) - 1].air},
        {"act": "release"},
        {"act": "survey"},
    ]


def _waiting(paper: PaperJob) -> list[dict[str, Any]]:
    """Return the act of sending everybody away, where a place was written."""
    if "wait" not in paper.said:
        return []
    return [{"act": "people", "at": dict.fromkeys(bay_floor().people, _waits(paper))}]


def _waits(paper: PaperJob) -> list[float]:
    numbers = re.fullmatch(r"(-?[0-9]{1,5})[ ,]+(-?[0-9]{1,5})", paper.said["wait"])
    if not numbers:
        raise FormError("bay.paper_wait", typed=paper.said["wait"][:20])
    return [float(numbers[1]), float(numbers[2])]


def _condition(car: BayCar, number: str) -> str:
    if number.isdecimal() and 1 <= int(number) <= len(car.conditions):
        return car.conditions[int(number) - 1]
    raise FormError("bay.paper_stop", typed=number[:20], most=len(car.conditions))


def _names(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]


def _number(paper: PaperJob, name: str) -> float:
    try:
        return float(paper.said[name])
    except (KeyError, ValueError):
        raise FormError("bay.paper_number", name=name) from None
