"""What is said of a car that is measured, and its numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.pictures.measuring_parts import length, letter, say, signed
from workbook.scenes.measuring import BASE, Measured

if TYPE_CHECKING:
    from workbook.figures.drawing.texts import Text
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

LEAST = 5e-5  # m or rad; what is less counts for nothing


def described(measured: Measured, system: UnitSystem) -> Text:
    """Say in words what the picture shows, for one set-up or for many."""
    words = {
        "one point": _point_words,
        "three points": _three_words,
        "whole survey": _survey_words,
    }
    return words[measured.given.chosen("shown")](measured, system)


def _stands(measured: Measured, system: UnitSystem) -> Text:
    tilt = measured.given.array("tilt_deg")
    way = _way(tilt, "up", "level", "down")
    return say(("stands", way), system, tilt=np.abs(tilt))


def _off(measured: Measured, system: UnitSystem) -> Text:
    off = measured.height_off
    return say(("off", _way(off, "high", "none", "low")), system, off=np.abs(off))


def _three_words(measured: Measured, system: UnitSystem) -> Text:
    outside = measured.beyond[..., measured.rows(measured.shown)].sum(axis=-1)
    return say(
        "describe_three",
        system,
        stands=_stands(measured, system),
        count=len(measured.shown),
        outside=say(("outside", _many(outside)), system, count=outside),
        point=measured.given.shown("point"),
        off=_off(measured, system),
    )


def _point_words(measured: Measured, system: UnitSystem) -> Text:
    x, y, z = np.moveaxis(measured.reading, -1, 0)
    return say(
        "describe",
        system,
        stands=_stands(measured, system),
        point=measured.given.shown("point"),
        ahead=say(("ahead", _way(x, "ahead", "in", "behind")), system, at=np.abs(x)),
        aside=say(("aside", _way(y, "left", "on", "right")), system, at=np.abs(y)),
        height=length(z, system),
        off=_off(measured, system),
        tape=length(measured.tape, system),
        along=length(measured.along, system),
    )


def _survey_words(measured: Measured, system: UnitSystem) -> Text:
    odd = measured.odd.sum(axis=-1)
    return say(
        "describe_survey",
        system,
        trusted=len(measured.survey.base),
        count=len(measured.survey.points.ids),
        outside=say(
            ("outside", _many(measured.outside)), system, count=measured.outside
        ),
        hint=say(("hint", _many(odd)), system, count=odd),
        point=measured.given.shown("point"),
        length=signed(measured.difference[..., 0], system),
        width=signed(measured.difference[..., 1], system),
        height=signed(measured.difference[..., 2], system),
    )


def _many(count: Array) -> Array:
    return np.where(count == 0, "none", np.where(count == 1, "one", "more"))


def _way(value: Array, plus: str, none: str, minus: str) -> Array:
    way = np.where(np.asarray(value) > 0, plus, minus)
    return np.where(np.abs(value) < LEAST, none, way)


def measuring_amounts(measured: Measured) -> Amounts:
    """Return the numbers of a measurement, most telling first."""
    differences = _differences(measured, 0)
    total: Amounts = {"difference in all": (measured.total, "small length")}
    if measured.fitted:
        off = measured.off_base
        return {
            "largest base point off the fit": (off.max(axis=-1), "small length"),
            **total,
            "tilt of the fit, nose up": (measured.survey.tilt.nose_up, "angle"),
            **differences,
            **{
                f"{name} off the fit": (off[..., k], "small length")
                for k, name in enumerate(BASE)
            },
        }
    ahead, aside, up = np.moveaxis(measured.reading, -1, 0)
    by_tilt: Amounts = {"height off by the tilt": (measured.height_off, "small length")}
    read: Amounts = {
        "height as read": (up, "length"),
        "height without the tilt": (measured.level_height, "length"),
        "length as read": (ahead, "length"),
        "width as read": (aside, "length"),
    }
    if measured.given.chosen("shown") == "three points":
        others = (_differences(measured, k) for k in range(1, len(measured.shown)))
        more = {name: amount for other in others for name, amount in other.items()}
        return {**by_tilt, **total, **read, **differences, **more}
    return {
        **by_tilt,
        "tape reading": (measured.tape, "length"),
        "length along the datum": (measured.along, "length"),
        **read,
        "rise of the tape": (measured.rise, "length"),
        **differences,
        **total,
    }


def _differences(measured: Measured, k: int) -> Amounts:
    """Return the differences of a point with a letter, and its limit."""
    row = measured.rows(measured.shown)[k]
    values = [*np.moveaxis(measured.differences[..., row, :], -1, 0)]
    return {
        f"{letter(k)}: {name}": (value, "small length")
        for name, value in zip(
            ("length", "width", "height", "limit"),
            [*values, measured.limits[row]],
            strict=True,
        )
    }
