"""What is said of a job: its questions, its faults, what an answer comes to.

Names of sockets, forks, stations and parts are what they are called in acts, in every
language.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.bay.metal import metal_stiffness
from workbook.bay.questions import ITEMS
from workbook.language import say, text
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from workbook.bay.car import BayCar
    from workbook.bay.state import Fault
    from workbook.quantities.units import UnitSystem


def question_words(car: BayCar, item: str, *, system: UnitSystem = METRIC) -> str:
    """Return what a part of a question asks, with the car's own numbers.

    Examples
    --------
    >>> from workbook.bay.car import car_for
    >>> car = car_for(class_key="oak", student="S0")
    >>> question_words(car, "rise")
    'Rise of that way, plus up'
    """
    return say(
        "bay",
        "ask",
        item,
        show=system.show,
        **car.ask,
        line=car.line,
        stiffness=metal_stiffness(car),
    )


def condition_words(condition: str) -> str:
    """Return what was noticed on the car, as lesson 01 says it."""
    return str(text("exercise", "L01", "1.5 v1", "item", condition))


def fault_words(fault: Fault) -> str:
    """Say one fault in a sentence or two."""
    values = dict(fault.values)
    if fault.name == "wrong_go":
        values["what"] = condition_words(values["what"])
    said = say("bay", "fault", fault.name, **values)
    caught = values.get("caught")
    if caught is None:
        return said
    held = say("bay", "fault", "caught" if caught == "yes" else "not_caught")
    return f"{said} {held}"


def shown_answer(
    step: str, item: str, value: float | str, *, system: UnitSystem = METRIC
) -> str:
    """Return an answer that is known, in the reader's units; a choice as it is."""
    if isinstance(value, str):
        return value
    return system.show(value, ITEMS[step][item].kind)
