"""The log of jobs: lines of the reader's record, only ever added to.

It is copied to another computer with the record, is gone on with there, and goes into
the hand-in. Each act is a line of kind ``bay``:

``job``
    Which of the reader's jobs, from 1.
``act``
    The act, as `workbook.bay.acts` has it.

Nothing else has to be trusted: the state is worked out again from the acts. Where they
can still be done although the file was changed, the record's chain tells.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from workbook.bay.job import do, new_job
from workbook.errors import FormError, OutOfRangeError, WorkbookError
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from workbook.bay.state import Bay
    from workbook.reader.record import Record

KIND = "bay"
MOST_ACTS = 2_000


@dataclass(kw_only=True)
class BayJob:
    """One job as far as its log goes.

    Attributes
    ----------
    student, class_key : str
        Whose it is.
    acts : list of mapping
        Every act, in order.
    bay : Bay
        What they come to.
    """

    student: str
    class_key: str
    bay: Bay
    acts: list[Mapping[str, Any]] = field(default_factory=list)

    def do(self, act: Mapping[str, Any]) -> Bay:
        """Do one act more.

        Raises
        ------
        WorkbookError
            If it cannot be done; the job stays as it is.
        """
        if len(self.acts) >= MOST_ACTS:
            raise OutOfRangeError("bay.too_many_acts", most=MOST_ACTS)
        self.bay = do(self.bay, act)
        self.acts.append(json.loads(json.dumps(act)))
        return self.bay


def job_of(*, student: str, class_key: str) -> BayJob:
    """Return a student's job before anything is done."""
    bay = new_job(class_key=class_key, student=student)
    return BayJob(student=student, class_key=class_key, bay=bay)


class BayLog:
    """The jobs of one record, and whoever works at one now.

    Parameters
    ----------
    record : Record
        The reader's. Reading writes nothing.
    """

    def __init__(self, record: Record) -> None:
        self.record = record
        self._job: BayJob | None = None
        self._number = 1

    @property
    def doubt(self) -> str:
        """What the chain tells of this job's lines if they were changed, else empty."""
        lines, acts = self.record.kept_and_loose()[0], []
        for place in self.record.apart():
            above = sum(self._has(line) for line in lines[:place])
            if above:
                acts.append(above)
        acts = [*dict.fromkeys(acts)]
        return say("bay", "edited", count=len(acts), acts=acts) if acts else ""

    def _has(self, line: Mapping[str, Any]) -> bool:
        """Tell whether a line is an act of the job now worked at."""
        mine = line["kind"] == KIND and line.get("job") == self._number
        return mine and self.record.reader.owns(dict(line))

    @property
    def job(self) -> BayJob:
        """The reader's last job, with what another lesson has done to it meanwhile.

        Raises
        ------
        FormError
            If an act of the log cannot be done: the file was changed.
        """
        number, acts = last_job(self.record.mine(KIND), least=self._number)
        reader, now = self.record.reader, self._job
        mine = now and reader.owns({"student": now.student, "class_key": now.class_key})
        if (
            now is None
            or not mine
            or number != self._number
            or acts[: len(now.acts)] != now.acts
        ):
            now = job_of(student=reader.student, class_key=reader.class_key)
        for act in acts[len(now.acts) :]:
            _again(now, act)
        self._job, self._number = now, number
        return now

    def do(self, act: Mapping[str, Any]) -> Bay:
        """Do one act, and keep it on disk at once.

        Raises
        ------
        WorkbookError
            If it cannot be done; then nothing is kept.
        """
        job = self.job
        bay = job.do(act)
        self.record.append(KIND, job=self._number, act=job.acts[-1])
        return bay

    def begin_another(self) -> None:
        """Begin another job on the same car; the earlier ones stay in the record."""
        number, acts = last_job(self.record.mine(KIND), least=self._number)
        self._number, self._job = number + bool(acts), None


def last_job(
    lines: Sequence[Mapping[str, Any]], *, least: int = 1
) -> tuple[int, list[Mapping[str, Any]]]:
    """Return the number of the last job in some lines, ``least`` or more, and its acts.

    Examples
    --------
    >>> last_job([{"job": 1, "act": {"act": "look"}}, {"job": 2, "act": {}}])
    (2, [{}])
    """
    numbers = [line["job"] for line in lines if _is_number(line.get("job"))]
    last = max([least, *numbers])
    return last, [line.get("act", {}) for line in lines if line.get("job") == last]


def _is_number(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 < value < 1000


def _again(job: BayJob, act: Mapping[str, Any]) -> None:
    try:
        job.do(act)
    except WorkbookError as refusal:
        raise FormError(
            "bay.not_this", number=len(job.acts) + 1, refusal=refusal
        ) from refusal
