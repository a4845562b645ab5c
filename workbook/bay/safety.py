"""What keeps people whole: cables, the line of fire, the ten steps, and faults.

The line of fire is in plan: from either end of every chain, along its line both
ways, as wide as the school's half-angle. It has no end, for no distance is safe.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.acts import STEPS, one_of
from workbook.bay.floor import bay_floor
from workbook.bay.state import Bay, Cable
from workbook.errors import OutOfRangeError
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
    return replace(bay, people={**bay.people, **moved})


def call(bay: Bay, *, step: str) -> Bay:
    """Call one of the ten steps; one out of its place is a fault."""
    one_of(STEPS, step, what="step_call")
    due = STEPS[len(bay.called)] if len(bay.called) < len(STEPS) else None
    if step != due:
        bay = bay.fault("step_out_of_place", step=step, due=due)
        return bay
    return replace(bay, called=(*bay.called, step))


def chain_lines(bay: Bay) -> Iterator[tuple[str, Array, Array]]:
    """Yield every chain hooked on, with its two ends, (3,). [m]"""
    for ram in bay.rams.values():
        if not ram.lost:
            here = bay.places[ram.place]
            head = ram.pull(here).head
            yield ram.name, here, head
            yield ram.name, head, ram.rig.anchor
    for hold in bay.holds.values():
        yield hold.name, bay.places[hold.place], bay_floor().posts[hold.post]


def in_line_of_fire(bay: Bay) -> dict[str, str]:
    """Return who stands in the line of fire of a chain, and of which.

    Examples
    --------
    A person 900 mm aside and 2400 mm along from the hook is 20.6° off the line:

    >>> line = np.array([[0.0, 0, 0.3], [1.0, 0, 0.5]])
    >>> angle = off_the_line(np.array([-2.4, 0.9]), line[0], line[1])
    >>> round(float(np.degrees(angle)), 1)
    14.8
    """
    assert bay.rules is not None
    found: dict[str, str] = {}
    for name, one, other in chain_lines(bay):
        for who, at in bay.people.items():
            angle = off_the_line(np.array(at), one, other)
            if angle <= bay.rules.half_angle:
                found.setdefault(who, name)
    return found


def off_the_line(at: Array, one: Array, other: Array) -> float:
    """Return how far a place is off a chain's line, seen from the nearer angle's end.

    Parameters
    ----------
    at : ndarray, shape (2,)
        In plan. [m]
    one, other : ndarray, shape (3,)
        The chain's ends. [m]

    Returns
    -------
    float
        From the line, to either side and along it both ways. [rad]
    """
    along = (other - one)[:2]
    size = float(np.hypot(*along))
    if size == 0:  # straight up: every way is along it
        return 0.0
    way = along / size
    angles = []
    for end in (one[:2], other[:2]):
        forth = float(way @ (at - end))
        aside = float(way[0] * (at - end)[1] - way[1] * (at - end)[0])
        angles.append(float(np.arctan2(abs(aside), abs(forth))))
    return min(angles)


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
    if bay.called != STEPS:
        yield "steps_not_called", {"step": STEPS[len(bay.called)]}
    chains = [ram.name for ram in bay.rams.values() if not ram.lost and ram.is_open]
    for name in [*chains, *bay.holds]:
        wrong = catches(bay, name)
        if wrong:
            yield f"cable_{wrong}", {"name": name}
    for who, name in in_line_of_fire(bay).items():
        yield "in_line_of_fire", {"who": who, "name": name}
