"""A job: each act from one state to the next, and a log of acts done again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from workbook.bay import holding, looking, pulling, safety, setting_out
from workbook.bay.acts import ACTS, read_act
from workbook.bay.car import car_for
from workbook.bay.state import Bay
from workbook.errors import OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Callable

_WHERE = (looking, holding, setting_out, safety, pulling)
DOES: Mapping[str, Callable[..., Bay]] = {
    name: next(getattr(part, name) for part in _WHERE if hasattr(part, name))
    for name in ACTS
    if name != "undo"
}
"""What does each act."""

AFTER_A_STOP = {"answer", "record"}
"""What can be done still when the job was stopped."""


def new_job(*, class_key: str, student: str) -> Bay:
    """Return a student's bay before anything is done.

    Examples
    --------
    >>> bay = new_job(class_key="oak", student="K7")
    >>> bay.count, bay.loaded
    (0, False)
    """
    car = car_for(class_key=class_key, student=student)
    return Bay(car=car, metal=car.crashed)


def do(bay: Bay, given: object) -> Bay:
    """Return what one act makes of a bay; the bay itself stays as it is.

    Parameters
    ----------
    bay : Bay
    given : mapping
        The act, as a line of a log has it.

    Returns
    -------
    Bay

    Raises
    ------
    WorkbookError
        One sentence for an act that cannot be done; it belongs in no log.

    Examples
    --------
    >>> bay = new_job(class_key="oak", student="K7")
    >>> rules = {"version": 2, "rating_margin": 0.8, "zone_half_angle_deg": 30}
    >>> bay = do(bay, {"act": "begin", **rules})
    >>> bay = do(bay, {"act": "survey"})
    >>> [f"{1e3 * d:.1f}" for d in bay.readings[0].differences["left-tip"]]
    ['-31.1', '-8.0', '-5.9']
    """
    act = read_act(given)
    name, takes = act["act"], {key: act[key] for key in act if key != "act"}
    if bay.rules is None and name != "begin":
        raise OutOfRangeError("bay.not_begun")
    if bay.stopped is not None and name not in AFTER_A_STOP:
        raise OutOfRangeError("bay.over")
    if name == "undo":
        if bay.before is None:
            raise OutOfRangeError("bay.no_undo")
        return replace(bay.before, count=bay.count + 1)
    started = replace(bay, steps=None, before=None)
    if bay.loaded and name in safety.NEAR:
        started = started.fault("near_loaded", what=name)
    done = DOES[name](started, **takes)
    if name in pulling.UNDER_LOAD:
        done = pulling.shared_anew(done)
    undone = (
        bay if ACTS[name].on_paper and len(done.faults) == len(bay.faults) else None
    )
    return replace(done, count=bay.count + 1, before=undone)


def replay(log: Iterable[Mapping[str, Any]], *, class_key: str, student: str) -> Bay:
    """Return what a log of acts comes to, from the car as it came in.

    Raises
    ------
    WorkbookError
        For the first act that cannot be done.
    """
    bay = new_job(class_key=class_key, student=student)
    for act in log:
        bay = do(bay, act)
    return bay
