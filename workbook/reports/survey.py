"""A survey as a table to read and as fields for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.errors import WorkbookError
from workbook.language import caution
from workbook.quantities.tables import columns, signed

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Box, Survey

COORDINATES = ("length", "width", "height")


def survey_table(survey: Survey, *, system: UnitSystem) -> str:
    """Return a survey as tables in the reader's units, cautions below them.

    Parameters
    ----------
    survey : Survey
        Survey laid over its specification.
    system : UnitSystem
        The reader's units.
    """
    points = survey.points
    return "\n".join(
        [
            f"Survey against {survey.specification.name}: {len(points.ids)} points, "
            "measured minus specified",
            "",
            fit_words(survey, system=system),
            lean_words(survey, system=system),
            hint_words(survey, system=system),
            "",
            *columns(_rows(survey, system)),
            *_diagonal_lines(survey, system),
            *_missing_lines(survey),
            "",
            *notes(survey),
        ]
    )


def notes(survey: Survey) -> list[str]:
    """Return what stands below every result of a survey."""
    note = survey.specification.note
    return [*([note] if note else []), caution("S0")]


def fit_words(survey: Survey, *, system: UnitSystem) -> str:
    """Say on which points the fit rests and how well they agree."""
    left = system.show(float(survey.fit.rms_residual), "small length")
    everything = len(survey.base) == len(survey.points.ids)
    named = "all points" if everything else ", ".join(survey.base)
    return f"The fit rests on {named}; they are {left} off it (root mean square)."


def lean_words(survey: Survey, *, system: UnitSystem) -> str:
    """Say how the body leans in the measurer's frame."""
    nose = float(survey.tilt.nose_up)
    left = float(survey.tilt.left_up)
    return (
        f"As measured, the body stands {system.show(abs(nose), 'angle')} nose "
        f"{'up' if nose >= 0 else 'down'} and {system.show(abs(left), 'angle')} left "
        f"side {'up' if left >= 0 else 'down'}; the fit takes this out."
    )


def hint_words(survey: Survey, *, system: UnitSystem) -> str:
    """Say which base points disagree with the others, as a hint."""
    if isinstance(survey.hint, WorkbookError):
        return f"Hint: {survey.hint.spoken(system.show)}."
    within = system.show(survey.agreement, "small length")
    if not survey.odd_ones:
        return f"Hint: the base points agree within {within}."
    told = ", ".join(
        f"{name} by {system.show(float(survey.hint.distance[k]), 'small length')}"
        for k, name in enumerate(survey.base)
        if name in survey.odd_ones
    )
    return (
        f"Hint: the other base points put {told} off, more than {within}. "
        "Look at it before the fit rests on it."
    )


def _rows(survey: Survey, system: UnitSystem) -> list[list[str]]:
    """Return the table of points, its first row the heads of the columns."""
    points = survey.points
    rows = [["point", *COORDINATES, "in all", "limit", ""]]
    for k, point_id in enumerate(points.ids):
        limit = ""
        if points.limits is not None:
            limit = system.show(float(points.limits[k]), "small length")
        names = [n for n, b in zip(COORDINATES, survey.beyond[k], strict=True) if b]
        rows.append(
            [
                point_id,
                *(signed(float(d), system) for d in survey.differences[k]),
                system.show(float(survey.totals[k]), "small length"),
                limit,
                f"outside in {', '.join(names)}" if names else "",
            ]
        )
    return rows


def _diagonal_lines(survey: Survey, system: UnitSystem) -> list[str]:
    if not survey.boxes:
        return []
    rows = [["diagonal", "measured", "specified", "difference"]]
    for box in survey.boxes:
        left_front, right_front, left_rear, right_rear = box
        measured, specified = survey.diagonals(box)
        for names, way in (
            ((left_front, right_rear), "from_left_front"),
            ((right_front, left_rear), "from_right_front"),
        ):
            read, wanted = float(getattr(measured, way)), float(getattr(specified, way))
            rows.append(
                [
                    " to ".join(names),
                    system.show(read, "small length"),
                    system.show(wanted, "small length"),
                    signed(read - wanted, system),
                ]
            )
    return ["", *columns(rows)]


def _missing_lines(survey: Survey) -> list[str]:
    points = survey.points
    told = (
        ("Specified but not measured", points.only_specified),
        ("Measured but not specified", points.only_measured),
    )
    lines = [f"{what}: {', '.join(ids)}." for what, ids in told if ids]
    return ["", *lines] if lines else []


def survey_fields(survey: Survey) -> dict[str, Any]:
    """Return a survey in SI units; every name ends with its unit.

    Lengths are in metres, angles in radians; points are x forward, y left, z up.
    """
    points = survey.points
    odd = survey.odd_ones
    return {
        "form": 1,
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
                "limit_m": None if points.limits is None else float(points.limits[k]),
                "outside": survey.beyond[k].tolist(),
            }
            for k, point_id in enumerate(points.ids)
        ],
        "diagonals": [_diagonal_fields(survey, box) for box in survey.boxes],
        "only_specified": list(points.only_specified),
        "only_measured": list(points.only_measured),
        "caution": caution("S0"),
    }


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
