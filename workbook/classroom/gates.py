"""The safety gate: who passed it, who was let past it, who chose to go on.

What passes is worked out again from what was typed, in any set, as the lesson does it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from workbook.course.lesson import SAFETY_GATE
from workbook.exercises import EXERCISES
from workbook.exercises.replay import replay, variant_of
from workbook.exercises.seeds import plain
from workbook.exercises.sets import is_marked, passes

if TYPE_CHECKING:
    from workbook.classroom.hand_ins import Group, Step, Told
    from workbook.classroom.kept import Kept
    from workbook.classroom.roll import ClassList

GATE, OPENED, GO = "gate", "opened", "go"


@dataclass(frozen=True, kw_only=True)
class Gates:
    """How one student stands to the gates.

    Attributes
    ----------
    passed : tuple of str
        Which exercises of the safety gate were passed.
    opened : tuple of (str, str)
        Lessons that an instructor opened, each with the reason.
    went : tuple of str
        Lessons at whose stop-and-think question the student would have gone on.
    """

    passed: tuple[str, ...] = ()
    opened: tuple[tuple[str, str], ...] = ()
    went: tuple[str, ...] = ()

    @property
    def through(self) -> bool:
        """Whether all of the safety gate was passed."""
        return len(self.passed) == len(SAFETY_GATE)


def gates_of(class_list: ClassList, kept: Kept) -> Mapping[str, Gates]:
    """Return how each student of a class stands to the gates, by code."""
    found = {}
    for student in class_list.students:
        code = plain(student.code)
        steps = [s for record in kept.steps.get(code, ()) for s in record]
        told = kept.told.get(code, ())
        found[student.code] = Gates(
            passed=_passed(steps, student.code, class_list.key),
            opened=_opened(told),
            went=tuple(
                dict.fromkeys(
                    one.lesson for one in told if (one.kind, one.outcome) == (GATE, GO)
                )
            ),
        )
    return found


def _passed(steps: Sequence[Step], code: str, key: str) -> tuple[str, ...]:
    groups: dict[Group, list[dict[str, object]]] = defaultdict(list)
    for step in steps:
        if step.exercise in SAFETY_GATE and passes(step.set):
            said = {"kind": step.kind, "typed": step.typed, "number": step.number}
            groups[step.group].append(said | {"choice": step.choice})
    passed = {
        id
        for (id, version, set, attempt), lines in groups.items()
        if replay(
            variant_of(
                EXERCISES[id, version],
                class_key=key,
                student=code,
                set=set,
                attempt=attempt,
            ),
            lines,
            marked_set=is_marked(set),
        ).passed
    }
    return tuple(id for id in SAFETY_GATE if id in passed)


def _opened(told: Sequence[Told]) -> tuple[tuple[str, str], ...]:
    reasons = {one.lesson: one.typed for one in told if one.kind == OPENED}
    return tuple(
        (lesson, why.strip()) for lesson, why in reasons.items() if why.strip()
    )
