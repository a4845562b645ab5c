"""The repair record of a job: its 14 fields, filled from what was done.

What a log knows is written by itself: readings, anchors, each pull as it stood, stress
relief. What only people know (the procedure, who, parts, checks, signatures) is what
they wrote, or a gap.
"""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from workbook.bay.log import BayJob, job_of
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.language import say, text
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from workbook.bay.state import Bay, BayReading, PullDone
    from workbook.quantities.units import UnitSystem

GAP = "after release"
"""The field that is left out of the worked record, for a class to find."""

TIPS = ("left-tip", "right-tip")


def filled_record(job: BayJob, *, system: UnitSystem = METRIC) -> dict[str, str]:
    """Return the 14 fields of a job's record; a gap is empty.

    What somebody has written goes before what the log would say.
    """
    own = job.bay.record
    return {
        name: own.get(name, "").strip()
        or (_MADE[name](job, system) if name in _MADE else "")
        for name in RECORD
    }


def field_names() -> dict[str, str]:
    """Return what a reader calls each field, in their order."""
    names = text("repair_record", "field")
    return {name: names[name] for name in RECORD}


@cache
def worked_job() -> BayJob:
    """Return a whole job, as somebody does it who knows what the metal does.

    Its acts are those of `workbook.bay.good_job` on this car, and what was written.
    """
    source = files("workbook.bay").joinpath("worked_job.json")
    told = json.loads(source.read_text(encoding="utf-8"))
    job = job_of(student=told["student"], class_key=told["class_key"])
    for act in told["acts"]:
        job.do(act)
    for name, written in text("repair_record", "written").items():
        job.do({"act": "record", "field": name, "text": written})
    return job


def worked_record(*, system: UnitSystem = METRIC) -> dict[str, str]:
    """Return the record of the worked job, with one gap to be found."""
    return {**filled_record(worked_job(), system=system), GAP: ""}


def _say(key: str, system: UnitSystem, **values: Any) -> str:
    return say("repair_record", "made", key, show=system.show, **values)


def _vehicle(job: BayJob, system: UnitSystem) -> str:
    return _say("vehicle", system, student=job.student) if job.acts else ""


def _story(job: BayJob, system: UnitSystem) -> str:
    if not job.bay.story:
        return ""
    told = {name: [*words] for name, words in job.bay.story.items()}
    return _say("story", system, kinds=told["kinds"], order=told["order"])


def _before(job: BayJob, system: UnitSystem) -> str:
    first = job.bay.pulls[0].first_act if job.bay.pulls else job.bay.count + 1
    found = [one for one in job.bay.readings if one.act < first]
    return _reading(found[-1], system) if found else ""


def _after(job: BayJob, system: UnitSystem) -> str:
    if not job.bay.pulls or not job.bay.readings:
        return ""
    last = job.bay.readings[-1]
    return _reading(last, system) if last.act > job.bay.pulls[-1].first_act else ""


def _after_release(job: BayJob, system: UnitSystem) -> str:
    return "\n".join(
        _say("numbered", system, number=number, words=_reading(found[-1], system))
        for number, found in enumerate(_readings_of_pulls(job.bay), start=1)
        if found
    )


def _readings_of_pulls(bay: Bay) -> Iterator[list[BayReading]]:
    """Yield the readings that were taken between each pull and the next."""
    starts = [pull.first_act for pull in bay.pulls]
    for start, end in zip(starts, [*starts, bay.count + 1][1:], strict=True):
        yield [one for one in bay.readings if start < one.act <= end]


def _reading(reading: BayReading, system: UnitSystem) -> str:
    shown = {
        name.replace("-", "_"): [
            system.show(float(part), "small length")
            for part in reading.differences[name]
        ]
        for name in TIPS
    }
    key = "reading_loaded" if reading.under_load else "reading"
    beyond = reading.survey.beyond  # of each point in each coordinate
    outside, count = int(beyond.any(axis=-1).sum()), len(beyond)
    return _say(key, system, **shown, outside=outside, count=count)


def _anchors(job: BayJob, system: UnitSystem) -> str:
    bay = job.bay
    if not bay.stations:
        return ""
    ties = [_say("tie", system, **vars(tie)) for tie in bay.ties.values()]
    held = _say("anchors", system, stations=[*bay.stations])
    return f"{held} {_say('ties', system, ties=ties) if ties else ''}".strip()


def _pulls(job: BayJob, system: UnitSystem) -> str:
    return "\n".join(
        _say("numbered", system, number=number, words=_pull(pull, system))
        for number, pull in enumerate(job.bay.pulls, start=1)
    )


def _pull(pull: PullDone, system: UnitSystem) -> str:
    """Return where a pull stood when taut, what it came to, and what held meanwhile."""
    lines = []
    for name, (ram, clamp) in pull.set_out.items():
        stood = ram.pull(clamp)
        _, force, tension = pull.rams[name]
        lines.append(
            _say(
                "pull",
                system,
                place=ram.place,
                ram=ram.part,
                socket=ram.socket,
                fork=ram.fork,
                slot=f"{ram.slot:+d}".replace("-", "−"),
                line=float(stood.side_angle),
                rise=float(stood.rise),
                lean=float(stood.lean),
                hook=float(clamp[2]),
                head=float(stood.head[2]),
                force=force,
                tension=tension,
            )
        )
    held = [f"{name}: {place}" for name, place in pull.holds.items()]
    lines.append(_say("held", system, holds=held) if held else _say("no_hold", system))
    return " ".join(lines)


def _relief(job: BayJob, system: UnitSystem) -> str:
    if not job.bay.pulls:
        return ""
    times = sum(act["act"] == "relieve" for act in job.acts)
    return _say("relief", system, count=times) if times else _say("no_relief", system)


def _heat(job: BayJob, system: UnitSystem) -> str:
    return _say("heat", system) if job.bay.pulls else ""


_MADE: dict[str, Callable[[BayJob, UnitSystem], str]] = {
    "vehicle": _vehicle,
    "story": _story,
    "before": _before,
    "anchor layout": _anchors,
    "pulls": _pulls,
    "after release": _after_release,
    "stress relief": _relief,
    "heat": _heat,
    "after": _after,
}
