"""What keeps people whole: cables, the line of fire, the ten steps, and faults.

The line of fire and the ten steps are those of lesson 11: from either end of every
chain past the other, as wide as the school's half-angle, and without an end.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.acts import one_of
from workbook.bay.floor import bay_floor
from workbook.bay.state import Bay, Cable
from workbook.errors import OutOfRangeError
from workbook.exercises.bank.lesson_11 import RANKS, STEPS
from workbook.mechanics.safety import line_of_fire
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from workbook.mechanics.vectors import Array

NEAR = {
    "survey", "clamp", "unclamp", "tie", "untie", "stand", "take_stand", "crossmember",
    "set_out", "strip", "hold", "cable",
}  # fmt: skip
"""Acts for which somebody goes near the chains."""


def cable(bay: Bay, *, name: str, of: tuple[str, ...], to: str, loose: bool) -> Bay:
    """Fit a safety cable round what it catches, and tie it to something."""
    one_of(bay_floor().ties, to, what="cable_tie")
    if not of:
        raise OutOfRangeError("bay.cable_of_nothing")
    for one in of:
        one_of([*bay.rams, *bay.holds], one, what="chain_out")
    made = Cable(name=name, of=of, to=to, loose=loose)
    return replace(bay, cables={**bay.cables, name: made})


def people(bay: Bay, *, at: Mapping[str, tuple[float, float]]) -> Bay:
    """Say where people stand."""
    mm = factor("mm")
    for who in at:
        one_of(bay_floor().people, who, what="person")
    moved = {who: (x * mm, y * mm) for who, (x, y) in at.items()}
    there = replace(bay, people={**bay.people, **moved})
    return in_line(there) if bay.loaded else there


def call(bay: Bay, *, step: str) -> Bay:
    """Call one of the ten steps; one out of its place is a fault."""
    one_of(STEPS, step, what="step_call")
    if step not in steps_due(bay):
        return bay.fault("step_out_of_place", step=step)
    return replace(bay, called=(*bay.called, step))


def steps_due(bay: Bay) -> tuple[str, ...]:
    """Return which of the ten steps may be called next; two have one place."""
    left = [step for step in STEPS if step not in bay.called]
    return tuple(step for step in left if RANKS[step] == RANKS[left[0]])


def chain_lines(bay: Bay) -> Iterator[tuple[str, Array, Array]]:
    """Yield every chain hooked on, with its two ends, (3,). [m]"""
    for ram in bay.rams.values():
        if not ram.lost:
            here = bay.places[ram.place]
            pull = ram.pull(here)
            # A slack chain whose ram cannot stand so hangs between its ends.
            head = pull.head if pull.stands else ram.rig.base
            yield ram.name, here, head
            yield ram.name, head, ram.rig.anchor
    for hold in bay.holds.values():
        yield hold.name, bay.places[hold.place], bay_floor().posts[hold.post]


def in_line_of_fire(bay: Bay) -> dict[str, str]:
    """Return who stands in the line of fire of a chain, and of which."""
    assert bay.rules is not None
    lines = [*chain_lines(bay)]
    if not lines:
        return {}
    inside = line_of_fire.in_line_of_fire(
        [*bay.people.values()],
        ends=np.array([[one[:2], other[:2]] for _, one, other in lines]),
        half_angle=bay.rules.half_angle,
    )
    of_chain = np.any(inside, axis=-1).tolist()
    return {
        who: lines[row.index(True)][0]
        for who, row in zip(bay.people, of_chain, strict=True)
        if True in row
    }


def least_off(at: tuple[float, float], bay: Bay) -> float:
    """Return how far a place is off the nearest chain's line, from its ends. [rad]"""
    ends = np.array([[one[:2], other[:2]] for _, one, other in chain_lines(bay)])
    off = line_of_fire.angle_off_line(at, apex=ends, towards=ends[:, ::-1])
    return float(off.min())


def catches(bay: Bay, name: str) -> str:
    """Return what is wrong with the safety cable of a chain; nothing if it would catch.

    ``none``, ``same_part``, ``over_edge`` or ``loose``.
    """
    wrong = "none"
    for one in bay.cables.values():
        if name in one.of:
            wrong = bay_floor().ties[one.to] or ("loose" if one.loose else "")
            if not wrong:
                return ""
    return wrong


def in_line(bay: Bay) -> Bay:
    """Return the bay with a fault for whoever stands in line with a chain."""
    seen = {(fault.name, *fault.values.values()) for fault in bay.faults}
    for who, name in in_line_of_fire(bay).items():
        if ("in_line_of_fire", who, name) not in seen:
            bay = bay.fault("in_line_of_fire", who=who, name=name)
    return bay


def before_a_pull(bay: Bay) -> Bay:
    """Return the bay with a fault for all that must not be when oil moves."""
    seen = {(fault.name, *fault.values.values()) for fault in bay.faults}
    for name, values in _dangers(bay):
        if (name, *values.values()) not in seen:
            bay = bay.fault(name, **values)
    return bay


def _dangers(bay: Bay) -> Iterator[tuple[str, dict[str, str]]]:
    for condition in bay.car.stoppers:
        if condition not in bay.made_safe:
            yield "wrong_go", {"what": condition}
    if steps_due(bay):
        yield "steps_not_called", {"step": steps_due(bay)[0]}
    chains = [ram.name for ram in bay.rams.values() if not ram.lost and ram.is_open]
    for name in [*chains, *bay.holds]:
        wrong = catches(bay, name)
        if wrong:
            yield f"cable_{wrong}", {"name": name}
    for who, name in in_line_of_fire(bay).items():
        yield "in_line_of_fire", {"who": who, "name": name}
