"""Measuring the invented Kestrin 5: planes, a tilt, a sloping tape, a fitted survey.

The car stands nose-up, by the tilt, on a measuring base that believes itself level.
Axes are the base's: x forward from its zero plane, y to the left of its centre-line
plane, z up from its datum plane.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import WorkbookError
from workbook.mechanics.survey.registration import register
from workbook.mechanics.survey.tapes import length_along_datum
from workbook.mechanics.survey.tilt import read_with_tilt
from workbook.mechanics.vectors import norm
from workbook.scenes.fields import Choice, Given, read_fields
from workbook.scenes.kestrin import kestrin_survey
from workbook.scenes.points import MatchedPoints
from workbook.scenes.surveys import Survey, read_specification, solve_survey

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.vectors import Array
    from workbook.scenes.surveys import Specification

WORD = "MEASURE1"
FIELDS = read_fields("measuring")
CAR = "kestrin"


def _options(name: str) -> tuple[str, ...]:
    choice = FIELDS[name]
    assert isinstance(choice, Choice)
    return choice.options


BASE = _options("bent")[1:]
"""The points that a survey can rest on: those of the sills."""


@cache
def specification() -> Specification:
    """Return what the Kestrin 5 should be."""
    return read_specification(CAR)


@cache
def after_the_crash() -> NDArray[np.float64]:
    """Return measured minus specified of each point after the crash, (n, 3) [m]."""
    return solve_survey(kestrin_survey(), specification=specification()).differences


@dataclass(frozen=True, kw_only=True)
class MeasuringGiven(Given):
    """What is given of a measurement; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> Measured:
        """Measure the car, in one set-up or in many at once.

        Returns
        -------
        Measured
        """
        points = specification().points
        true = points.positions
        if self.chosen("car") == "after the crash":
            true = true + after_the_crash()
        if self.chosen("bent") != "none":
            bent = np.zeros(true.shape)
            bent[points.ids.index(self.chosen("bent")), 2] = 1.0
            true = true + self.array("bent_mm")[..., None, None] * bent
        read = read_with_tilt(true, nose_up=self.array("tilt_deg"))
        base = tuple(name for name in BASE if name != self.chosen("left_out"))
        survey = Survey(
            specification=specification(),
            points=MatchedPoints(
                ids=points.ids,
                measured=read,
                specified=points.positions,
                limits=points.limits,
                only_measured=(),
                only_specified=(),
            ),
            base=base,
            fit=register(
                read,
                specified=points.positions,
                datum_points=[points.ids.index(name) for name in base],
            ),
        )
        return Measured(given=self, true=true, survey=survey)


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A car measured, and its survey fitted to what it should be.

    ``true`` (..., n, 3) is where the points are in the car's own planes; those of
    ``survey`` are the readings. Every number is an array over set-ups (...). [m]
    """

    given: MeasuringGiven
    true: Array
    survey: Survey

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that can be measured, shape (...): all of them."""
        return np.isfinite(self.survey.fit.rms_residual) & np.isfinite(self.tape)

    @property
    def fitted(self) -> bool:
        """Whether the whole survey is shown, laid over what the car should be."""
        return self.given.chosen("shown") == "whole survey"

    @property
    def shown(self) -> tuple[str, ...]:
        """Names of the points that are shown, the chosen one first."""
        first = self.given.chosen("point")
        if self.given.chosen("shown") == "three points":
            others = (self.given.chosen(f"{which}_point") for which in _OTHERS)
            return tuple(dict.fromkeys((first, *others)))
        if self.fitted:
            return (first, *(p for p in self.survey.points.ids if p != first))
        return (first,)

    def called(self, name: str) -> str:
        """Return a point as a reader sees it."""
        point = FIELDS["point"]
        assert isinstance(point, Choice)
        return point.shown(name)

    def rows(self, names: tuple[str, ...]) -> list[int]:
        """Return the places of points in the survey, by name."""
        return [self.survey.points.ids.index(name) for name in names]

    @property
    def row(self) -> int:
        """Place of the chosen point."""
        return self.rows((self.given.chosen("point"),))[0]

    @property
    def specified(self) -> Array:
        """Where the points should be, shape (n, 3). [m]"""
        return self.survey.points.specified

    @property
    def readings(self) -> Array:
        """Where the base reads them, shape (..., n, 3). [m]"""
        return self.survey.points.measured

    @property
    def differences(self) -> Array:
        """Measured minus specified, as read or as fitted, shape (..., n, 3). [m]"""
        if self.fitted:
            return self.survey.differences
        return self.readings - self.specified

    @property
    def limits(self) -> Array:
        """How far a point may be off in each direction, shape (n,). [m]"""
        limits = self.survey.points.limits
        assert limits is not None
        return limits

    @property
    def beyond(self) -> NDArray[np.bool_]:
        """Where a point is off by more than its limit in any direction, (..., n)."""
        over = np.abs(self.differences) > self.limits[:, None]
        return np.asarray(over.any(axis=-1))

    # ------------------------------------------------- the chosen point

    @property
    def reading(self) -> Array:
        """Length, width and height of the chosen point as read, shape (..., 3). [m]"""
        return np.asarray(self.readings[..., self.row, :])

    @property
    def difference(self) -> Array:
        """Measured minus specified of the chosen point, shape (..., 3). [m]"""
        return np.asarray(self.differences[..., self.row, :])

    @property
    def total(self) -> Array:
        """Size of that difference. [m]"""
        return norm(self.difference)

    @property
    def level_height(self) -> Array:
        """Its height with the tilt taken out: that above the car's own datum. [m]"""
        return np.asarray(self.true[..., self.row, 2])

    @property
    def height_off(self) -> Array:
        """What the tilt adds to its height. [m]"""
        return np.asarray(self.reading[..., 2] - self.level_height)

    @property
    def tape_start(self) -> Array:
        """Where the tape is held: in the zero plane, abreast of the point, (..., 3)."""
        high = self.given.array("tape_start_mm")
        width = self.reading[..., 1]
        return np.stack(np.broadcast_arrays(0.0 * width, width, high), axis=-1)

    @property
    def rise(self) -> Array:
        """Height of the point above the start of the tape. [m]"""
        return np.asarray(self.reading[..., 2] - self.tape_start[..., 2])

    @property
    def tape(self) -> Array:
        """What the tape reads from its start to the point. [m]"""
        return norm(self.reading - self.tape_start)

    @cached_property
    def along(self) -> Array:
        """The same along the datum plane, worked out from the tape. [m]"""
        return length_along_datum(self.tape, rise=self.rise)

    # ------------------------------------------------------- the survey

    @property
    def off_base(self) -> Array:
        """How far each base point lies from the fit, shape (..., 6). [m]"""
        return np.asarray(self.survey.totals[..., self.rows(BASE)])

    @property
    def odd(self) -> NDArray[np.bool_]:
        """Which base points disagree with the trusted others, shape (..., 6)."""
        trusted = [BASE.index(name) for name in self.survey.base]
        odd = np.zeros(self.off_base.shape, dtype=bool)
        hint = self.survey.hint
        if not isinstance(hint, WorkbookError):
            odd[..., trusted] = hint.disagrees
        return odd

    @property
    def outside(self) -> Array:
        """How many points of the survey are outside their limits."""
        return np.asarray(self.survey.beyond.any(axis=-1).sum(axis=-1), dtype=float)


_OTHERS = ("second", "third")
