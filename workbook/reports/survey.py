"""A survey as a table and as fields for other programs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from workbook.errors import WorkbookError
from workbook.figures.pictures.points import survey_sheet
from workbook.language import caution, say
from workbook.quantities.tables import columns, signed
from workbook.reports.report import Report, heads

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Box, Survey

WORDS = ("report", "survey")
COORDINATES = ("length", "width", "height")
DIAGONAL_HEADS = ("diagonal", "measured", "specified", "difference")


@dataclass(frozen=True)
class SurveyReport(Report):
    """A survey laid over its specification."""

    survey: Survey

    def blocks(self, system: UnitSystem) -> list[list[str]]:  # noqa: D102
        survey = self.survey
        name, count = survey.specification.name, len(survey.points.ids)
        return [
            [say(*WORDS, "title", name=name, count=count)],
            [
                fit_words(survey, system=system),
                lean_words(survey, system=system),
                hint_words(survey, system=system),
            ],
            columns(self._points(system)),
            columns(self._diagonals(system)) if survey.boxes else [],
            self._missing(),
        ]

    def invented(self) -> list[str]:  # noqa: D102
        return invented(self.survey)

    def foot(self) -> list[str]:  # noqa: D102
        return notes(self.survey)

    def _points(self, system: UnitSystem) -> list[list[str]]:
        """Return the table of points, its first row the heads of the columns."""
        survey, points = self.survey, self.survey.points
        rows = [
            [*heads("survey", "heads", ("point", *COORDINATES, "total", "limit")), ""]
        ]
        for k, point_id in enumerate(points.ids):
            limit, beyond = "", zip(COORDINATES, survey.beyond[k], strict=True)
            if points.limits is not None:
                limit = system.show(float(points.limits[k]), "small length")
            names = [name for name, is_outside in beyond if is_outside]
            outside = heads("survey", "heads", names)
            rows.append(
                [
                    point_id,
                    *(signed(float(d), system) for d in survey.differences[k]),
                    system.show(float(survey.totals[k]), "small length"),
                    limit,
                    say(*WORDS, "outside", ways=outside) if outside else "",
                ]
            )
        return rows

    def _diagonals(self, system: UnitSystem) -> list[list[str]]:
        rows = [heads("survey", "diagonal_heads", DIAGONAL_HEADS)]
        for box in self.survey.boxes:
            left_front, right_front, left_rear, right_rear = box
            measured, specified = self.survey.diagonals(box)
            for first, second, way in (
                (left_front, right_rear, "from_left_front"),
                (right_front, left_rear, "from_right_front"),
            ):
                read = float(getattr(measured, way))
                wanted = float(getattr(specified, way))
                rows.append(
                    [
                        say(*WORDS, "diagonal", first=first, second=second),
                        system.show(read, "small length"),
                        system.show(wanted, "small length"),
                        signed(read - wanted, system),
                    ]
                )
        return rows

    def _missing(self) -> list[str]:
        points = self.survey.points
        told = (
            ("only_specified", points.only_specified),
            ("only_measured", points.only_measured),
        )
        return [say(*WORDS, entry, names=ids) for entry, ids in told if ids]

    def amounts(self) -> dict[str, Any]:  # noqa: D102
        survey, points = self.survey, self.survey.points
        odd = survey.odd_ones
        return {
            "specification": survey.specification.name,
            "base": list(survey.base),
            "rotation_1": survey.fit.rotation.tolist(),
            "translation_m": survey.fit.translation.tolist(),
            "rms_residual_m": float(survey.fit.rms_residual),
            "nose_up_rad": float(survey.tilt.nose_up),
            "left_up_rad": float(survey.tilt.left_up),
            "agreement_m": survey.agreement,
            "base_points_that_disagree": list(odd),
            "no_hint_because": str(survey.hint)
            if isinstance(survey.hint, WorkbookError)
            else None,
            "points": [
                {
                    "id": point_id,
                    "specified_m": points.specified[k].tolist(),
                    "measured_m": points.measured[k].tolist(),
                    "difference_m": survey.differences[k].tolist(),
                    "total_m": float(survey.totals[k]),
                    "limit_m": None
                    if points.limits is None
                    else float(points.limits[k]),
                    "outside": survey.beyond[k].tolist(),
                }
                for k, point_id in enumerate(points.ids)
            ],
            "diagonals": [_diagonal_fields(survey, box) for box in survey.boxes],
            "only_specified": list(points.only_specified),
            "only_measured": list(points.only_measured),
        }

    def sheet(self, system: UnitSystem) -> Sheet:  # noqa: D102
        return survey_sheet(self.survey, system=system)


def invented(survey: Survey) -> list[str]:
    """Return what of a survey is invented, if anything."""
    note = survey.specification.note
    return [note] if note else []


def notes(survey: Survey) -> list[str]:
    """Return what stands below every result of a survey."""
    return [*invented(survey), caution("S0")]


def fit_words(survey: Survey, *, system: UnitSystem) -> str:
    """Say on which points the fit rests and how well they agree."""
    everything = len(survey.base) == len(survey.points.ids)
    return say(
        *WORDS,
        "fit_on_all" if everything else "fit",
        show=system.show,
        base=survey.base,
        left=float(survey.fit.rms_residual),
    )


def lean_words(survey: Survey, *, system: UnitSystem) -> str:
    """Say how the body leans in the measurer's frame."""
    nose, left = float(survey.tilt.nose_up), float(survey.tilt.left_up)
    return say(
        *WORDS,
        "stands",
        nose=_way("nose", nose, system),
        left=_way("left_side", left, system),
    )


def _way(what: str, angle: float, system: UnitSystem) -> str:
    way = "up" if angle >= 0 else "down"
    return say(*WORDS, what, way, show=system.show, angle=abs(angle))


def hint_words(survey: Survey, *, system: UnitSystem) -> str:
    """Say which base points disagree with the others, as a hint."""
    show = system.show
    if isinstance(survey.hint, WorkbookError):
        return say(*WORDS, "no_hint", show=show, reason=survey.hint)
    if not survey.odd_ones:
        return say(*WORDS, "agree", show=show, within=survey.agreement)
    told = [
        say(*WORDS, "off_by", show=show, name=name, off=float(survey.hint.distance[k]))
        for k, name in enumerate(survey.base)
        if name in survey.odd_ones
    ]
    return say(*WORDS, "odd", show=show, points=told, within=survey.agreement)


def _diagonal_fields(survey: Survey, box: Box) -> dict[str, Any]:
    measured, specified = survey.diagonals(box)
    return {
        "corners": list(box),
        "measured_m": [
            float(measured.from_left_front),
            float(measured.from_right_front),
        ],
        "specified_m": [
            float(specified.from_left_front),
            float(specified.from_right_front),
        ],
    }
