"""Looking the car over: what stops the job, the story, readings; what is typed."""

from __future__ import annotations

from dataclasses import replace

from workbook.bay.acts import one_of
from workbook.bay.car import VERSION
from workbook.bay.questions import ITEMS
from workbook.bay.state import Bay, BayReading, Rules
from workbook.errors import OutOfRangeError
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.mechanics.survey.damage import KINDS
from workbook.quantities.units import factor
from workbook.scenes.kestrin import NAME, measured_kestrin
from workbook.scenes.surveys import read_specification, solve_survey


def story(
    bay: Bay,
    *,
    kinds: tuple[str, ...],
    order: tuple[str, ...],
    stoppers: tuple[str, ...],
) -> Bay:
    """Tell what happened: kinds of damage, order of repair, what stops the job."""
    told = {
        "kinds": tuple(one_of(KINDS, kind, what="kind") for kind in kinds),
        "order": tuple(one_of(bay.car.hits, hit, what="hit") for hit in order),
        "stoppers": tuple(
            one_of(bay.car.conditions, one, what="condition") for one in stoppers
        ),
    }
    return replace(bay, story=told)


def make_safe(bay: Bay, *, what: str) -> Bay:
    """Have someone trained deal with a condition."""
    one_of(bay.car.conditions, what, what="condition")
    return replace(bay, made_safe=bay.made_safe | {what})


def survey(bay: Bay, *, base: tuple[str, ...] = ()) -> Bay:
    """Read every point of the body, and lay the readings over the specified ones."""
    under_load = bay.loaded
    read = measured_kestrin(bay.rails, rng=bay.car.readings(len(bay.readings) + 1))
    laid = solve_survey(read, specification=read_specification(NAME), base=base)
    reading = BayReading(act=bay.count + 1, survey=laid, under_load=under_load)
    if under_load:
        bay = bay.fault("measured_under_load")
    return replace(bay, readings=(*bay.readings, reading))


def answer(bay: Bay, *, step: str, item: str, typed: str) -> Bay:
    """Type an answer to one of the questions C1 to C12; the last one counts."""
    one_of(ITEMS, step, what="step")
    one_of(ITEMS[step], item, what="item")
    return replace(bay, answers={**bay.answers, (step, item): typed})


def record(bay: Bay, *, field: str, text: str) -> Bay:
    """Write one field of the repair record."""
    one_of(RECORD, field, what="record_field")
    return replace(bay, record={**bay.record, field: text})


def begin(
    bay: Bay, *, version: int, rating_margin: float, zone_half_angle_deg: float
) -> Bay:
    """Begin the job with what the school sets."""
    if bay.rules is not None:
        raise OutOfRangeError("bay.begun")
    if version != VERSION:
        raise OutOfRangeError("bay.version", version=version, known=VERSION)
    rules = Rules(margin=rating_margin, half_angle=zone_half_angle_deg * factor("deg"))
    return replace(bay, rules=rules)
