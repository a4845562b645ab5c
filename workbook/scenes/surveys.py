"""A survey laid over a specification: fit, differences, diagonals, damage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import numpy as np

from workbook.errors import FormError, OutOfRangeError, WorkbookError
from workbook.language import say, text
from workbook.mechanics.survey.damage import (
    KINDS,
    DamageFrame,
    DamageReading,
    read_damage,
)
from workbook.mechanics.survey.disagreement import ConsensusHint, find_disagreement
from workbook.mechanics.survey.registration import Registration, register
from workbook.mechanics.survey.sides import stands_out
from workbook.mechanics.survey.tapes import Diagonals, diagonals_of_points
from workbook.mechanics.survey.tilt import Tilt, tilt_of_fit
from workbook.quantities.units import factor
from workbook.scenes.forms import did_you_mean
from workbook.scenes.kestrin import (
    NAME,
    invented,
    kestrin_frame,
    kestrin_points,
    read_kestrin_data,
)
from workbook.scenes.points import MatchedPoints, PointList, match_points, read_points

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

Box = tuple[str, ...]  # left front, right front, left rear, right rear
Side = Literal["both", "left", "right"]
SMALLEST_BASE = 3
AGREEMENT = 3e-3
"""Distance within which base points are said to agree, unless told otherwise. [m]"""
FARTHEST_AGREEMENT = 0.1
SHOWN_AS = {kind: "angle" if kind == "twist" else "small length" for kind in KINDS}


@dataclass(frozen=True, kw_only=True)
class Specification:
    """What a body should be, and how its survey is read unless told otherwise.

    Attributes
    ----------
    name : str
        What to call it.
    points : PointList
        Specified points. [m]
    base : tuple of str
        Points a fit rests on; empty for all of them.
    boxes : tuple of Box
        Left front, right front, left rear and right rear of each pair of
        diagonals.
    frame : DamageFrame or None
        Planes of the kinds of damage.
    note : str
        What a reader of any of its numbers must know.
    """

    name: str
    points: PointList
    base: tuple[str, ...] = ()
    boxes: tuple[Box, ...] = ()
    frame: DamageFrame | None = None
    note: str = ""


def read_specification(source: Path | str) -> Specification:
    """Return the Kestrin 5 for its name, or read a point file.

    Raises
    ------
    FormError
        If the file cannot be read or is not a point file.

    Examples
    --------
    >>> read_specification("kestrin").base[0]
    'left-sill-front'
    """
    if str(source) != NAME:
        return Specification(name=Path(source).name, points=read_points(source))
    reading = read_kestrin_data()["reading"]
    return Specification(
        name="Kestrin 5",
        points=kestrin_points(),
        base=tuple(reading["base"]),
        boxes=tuple(tuple(box) for box in reading["boxes"]),
        frame=kestrin_frame(),
        note=invented(),
    )


@dataclass(frozen=True, kw_only=True)
class Survey:
    """A survey laid over a specification, or many surveys of the same points.

    Attributes
    ----------
    specification : Specification
        What the body should be.
    points : MatchedPoints
        The points in both lists; ``measured`` in the measurer's frame. [m]
    base : tuple of str
        The points the fit rests on.
    fit : Registration
        The fit; its residuals are the differences.
    agreement : float
        Distance within which base points are said to agree. [m]
    """

    specification: Specification
    points: MatchedPoints
    base: tuple[str, ...]
    fit: Registration
    agreement: float = AGREEMENT

    @property
    def differences(self) -> NDArray[np.float64]:
        """Measured minus specified, shape (..., n, 3) [m]."""
        return self.fit.residuals

    @property
    def totals(self) -> NDArray[np.float64]:
        """Their lengths, shape (..., n) [m]."""
        return np.asarray(np.linalg.norm(self.differences, axis=-1))

    @property
    def beyond(self) -> NDArray[np.bool_]:
        """Where a coordinate differs by more than its limit, shape (..., n, 3)."""
        if self.points.limits is None:
            return np.zeros(self.differences.shape, dtype=bool)
        return np.asarray(np.abs(self.differences) > self.points.limits[:, None])

    @property
    def base_rows(self) -> list[int]:
        """Places of the base points."""
        return [self.points.ids.index(point_id) for point_id in self.base]

    @cached_property
    def tilt(self) -> Tilt:
        """How the body leans in the measurer's frame. [rad]"""
        return tilt_of_fit(self.fit)

    @cached_property
    def hint(self) -> ConsensusHint | WorkbookError:
        """Which base points disagree with the others, or why that cannot be said."""
        rows = self.base_rows
        if len(rows) == SMALLEST_BASE:
            return FormError("survey.three_agree")
        try:
            return find_disagreement(
                self.points.measured[..., rows, :],
                specified=self.points.specified[rows],
                agreement=self.agreement,
                rng=np.random.default_rng(0),
            )
        except WorkbookError as reason:
            return reason

    @property
    def odd_ones(self) -> tuple[str, ...]:
        """The base points that disagree with the others."""
        if isinstance(self.hint, WorkbookError):
            return ()
        return tuple(np.array(self.base)[self.hint.disagrees].tolist())

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Boxes of the specification all of whose corners were measured."""
        known = set(self.points.ids)
        return tuple(b for b in self.specification.boxes if known.issuperset(b))

    def diagonals(self, box: Box) -> tuple[Diagonals, Diagonals]:
        """Return measured and specified diagonals of a box. [m]"""
        rows = [self.points.ids.index(point_id) for point_id in box]
        names = ("left_front", "right_front", "left_rear", "right_rear")
        measured, specified = (
            diagonals_of_points(
                **{n: where[..., row, :] for n, row in zip(names, rows, strict=True)}
            )
            for where in (self.points.measured, self.points.specified)
        )
        return measured, specified

    def damage(
        self, *, frame: DamageFrame, kinds: Sequence[str] = KINDS
    ) -> DamageReading:
        """Read the differences as kinds of damage; raises as `read_damage` does."""
        return read_damage(
            self.points.specified,
            differences=self.differences,
            frame=frame,
            kinds=kinds,
        )


def solve_survey(
    measured: PointList,
    *,
    specification: Specification,
    base: Sequence[str] = (),
    boxes: Sequence[Box] = (),
    agreement: float = AGREEMENT,
) -> Survey:
    """Lay a survey over a specification.

    Parameters
    ----------
    measured : PointList
        The survey, in any frame. [m]
    specification : Specification
        What the body should be.
    base : sequence of str, optional
        Points the fit rests on; the specification's unless given.
    boxes : sequence of Box, optional
        Corners of more diagonals, as in `Specification`.
    agreement : float
        Distance within which base points are said to agree. [m]

    Returns
    -------
    Survey

    Raises
    ------
    FormError
        If a named point is not in both lists.
    OutOfRangeError
        If the base points do not fix a fit, or the agreement is no distance.

    Examples
    --------
    >>> from workbook.scenes.kestrin import kestrin_survey
    >>> survey = solve_survey(
    ...     kestrin_survey(), specification=read_specification("kestrin")
    ... )
    >>> ((survey.differences[:2] * 1e3).round() + 0.0).tolist()
    [[-26.0, -19.0, -8.0], [1.0, -6.0, 0.0]]
    """
    if not 0 < agreement <= FARTHEST_AGREEMENT:
        raise OutOfRangeError(
            "survey.agreement", agreement=agreement * 1e3, most=FARTHEST_AGREEMENT * 1e3
        )
    points = match_points(measured, specified=specification.points)
    named = tuple(base) or specification.base or points.ids
    _in_both(named, points, what="base")
    for box in boxes:
        if len(box) != 4:
            raise FormError("survey.four_corners", corners=repr(", ".join(box)[:60]))
        _in_both(box, points, what="corner")
    twice = next((name for name in named if named.count(name) > 1), None)
    if twice is not None or len(named) < SMALLEST_BASE:
        if twice:
            raise FormError("survey.base_twice", least=SMALLEST_BASE, name=repr(twice))
        raise FormError("survey.small_base", least=SMALLEST_BASE, points=len(named))
    fit = register(
        points.measured,
        specified=points.specified,
        datum_points=[points.ids.index(name) for name in named],
    )
    whole = replace(specification, boxes=(*specification.boxes, *boxes))
    return Survey(
        specification=whole, points=points, base=named, fit=fit, agreement=agreement
    )


def size_of(reading: DamageReading, kind: str) -> tuple[Array, Array]:
    """Return the size of a kind and its standard error, shape (...). [m, twist rad]"""
    return getattr(reading.sizes, kind), getattr(reading.standard_errors, kind)


def is_clear(reading: DamageReading, kind: str) -> NDArray[np.bool_]:
    """Tell whether a kind is larger than its scatter explains, shape (...)."""
    return np.asarray(stands_out(*size_of(reading, kind)))


def one_sided(reading: DamageReading, kind: str) -> bool:
    """Tell whether one side alone shows a kind that both sides should share."""
    sides = reading.sides.get(kind)
    return sides is not None and sides.only is not None


def side_words(reading: DamageReading, kind: str, *, system: UnitSystem) -> str:
    """Say what the one side shows of a kind that is `one_sided`."""
    sides = reading.sides[kind]
    size = sides.left if sides.only == "left" else sides.right
    return say(
        "damage",
        kind,
        "only_minus" if size < 0 else "only_plus",
        show=system.show,
        side=text("report", "damage", "side", str(sides.only)),
        size=float(abs(size)),
    )


def planes(
    specification: Specification,
    *,
    planes_mm: Sequence[str] = (),
    mash_side: Side | None = None,
) -> DamageFrame:
    """Return the planes of the kinds of damage, as typed or as specified.

    Parameters
    ----------
    specification : Specification
        Whose planes are used where none are typed.
    planes_mm : sequence of str
        Hinge plane, front plane and width, typed in mm; empty for none.
    mash_side : {"both", "left", "right"}, optional
        The specification's unless given; both if it has none.

    Returns
    -------
    DamageFrame

    Raises
    ------
    FormError
        If there are no planes, or what was typed is not three numbers.
    OutOfRangeError
        If the planes are out of order.

    Examples
    --------
    >>> planes(read_specification("kestrin"), mash_side="both").front_x
    1.54
    """
    own = specification.frame
    side: Side = mash_side or (own.mash_side if own else "both")
    if planes_mm:
        hinge, front, width = _three_numbers(planes_mm)
        mm = factor("mm")
        return DamageFrame(
            hinge_x=hinge * mm, front_x=front * mm, width=width * mm, mash_side=side
        )
    if own is None:
        raise FormError("survey.no_planes", name=specification.name)
    return replace(own, mash_side=side)


def _three_numbers(typed: Sequence[str]) -> list[float]:
    try:
        numbers = [float(text) for text in typed]
    except ValueError:
        numbers = []
    if len(numbers) != 3 or not np.all(np.isfinite(numbers)):
        raise FormError("survey.planes", typed=repr(",".join(typed)[:60]))
    return numbers


def _in_both(names: Sequence[str], points: MatchedPoints, *, what: str) -> None:
    """Refuse the first name that is not in both lists."""
    for name in names:
        if name in points.ids:
            continue
        point, told = f"survey_point.{what}", repr(name[:40])
        if name in points.only_specified:
            raise FormError("survey.not_measured", what=point, name=told)
        if name in points.only_measured:
            raise FormError("survey.not_specified", what=point, name=told)
        refusal = FormError("survey.in_neither", what=point, name=told)
        near = get_close_matches(name, points.ids, n=1)
        raise did_you_mean(refusal, near[0]) if near else refusal
