"""The difference field read as five kinds of damage by weighted least squares.

The names of the kinds are common practice in the trade (no source); what each
means here is a stated field over the body, so that reading and making damage
are the same formula used both ways. Kinds mix; a size is a summary, not a plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import alike, called, numbers, one_number
from workbook.mechanics.survey.least_squares import LinearFit, weighted_least_squares
from workbook.mechanics.survey.readings import FARTHEST
from workbook.mechanics.survey.registration import small_motion_rows
from workbook.mechanics.survey.sides import Sides, side_columns, sides_of

KINDS = ("mash", "sidesway", "sag", "diamond", "twist")
"""The kinds, in the order of every array of sizes.

What a plus size says is in the language: ``damage.toml``, one entry a kind.
"""

SHARED = ("mash", "sidesway", "sag")
"""The kinds that both sides have in common, unless a mash is said to be on one."""

ONE_SIDED = {("mash", "left"), ("mash", "right")}

SHORTEST_ZONE = 0.01
"""Least distance between the planes of a damage frame, and its least width. [m]"""

Size = float | NDArray[np.float64]

_BODY_MOTIONS = ("shift x", "shift y", "shift z", "turn x", "turn y", "turn z")


@dataclass(frozen=True, kw_only=True)
class DamageSizes:
    """One size for each kind of damage; the language says what plus means.

    Each is one number or an array over set-ups (...).

    Attributes
    ----------
    mash, sidesway, sag, diamond : ArrayLike, shape (...)
        Movement at the place the kind is stated for. [m]
    twist : ArrayLike, shape (...)
        Turn of the front plane against the hinge plane. [rad]
    """

    mash: Size = 0.0
    sidesway: Size = 0.0
    sag: Size = 0.0
    diamond: Size = 0.0
    twist: Size = 0.0


@dataclass(frozen=True, kw_only=True)
class DamageFrame:
    """The planes of the specified body that the kinds of damage refer to.

    Attributes
    ----------
    hinge_x : float
        Ahead of this plane the damage grows; behind it mash, sidesway and sag
        are nothing. [m]
    front_x : float
        Plane at which mash, sidesway and twist are stated. [m]
    width : float
        Distance between the left and right rails. [m]
    mash_side : {"both", "left", "right"}, optional
        Which side is mashed; points on the centre plane get half of one side.
    sag_low_x : float, optional
        Where the body is lowest if it sags between the hinge and front planes;
        if not given, the drop grows all the way forward. [m]

    Raises
    ------
    OutOfRangeError
        If the planes are out of order or closer than `SHORTEST_ZONE`.
    """

    hinge_x: float
    front_x: float
    width: float
    mash_side: Literal["both", "left", "right"] = "both"
    sag_low_x: float | None = None

    def __post_init__(self) -> None:
        for name in ("hinge_x", "front_x", "width"):
            object.__setattr__(self, name, one_number(getattr(self, name), name=name))
        low = (
            []
            if self.sag_low_x is None
            else [one_number(self.sag_low_x, name="sag_low_x")]
        )
        planes = [self.hinge_x, *low, self.front_x]
        gaps = [*np.diff(planes), self.width]
        if not all(SHORTEST_ZONE <= gap <= FARTHEST for gap in gaps):
            raise OutOfRangeError(
                "damage.planes",
                planes=[WorkbookError("damage.plane", x=x) for x in planes],
                width=self.width,
                least=SHORTEST_ZONE,
            )
        if not abs(self.hinge_x) <= FARTHEST:
            raise OutOfRangeError("damage.no_plane", x=self.hinge_x)
        if self.mash_side not in ("both", "left", "right"):
            raise OutOfRangeError("damage.mash_side", side=self.mash_side)


@dataclass(frozen=True, kw_only=True)
class DamageReading:
    """Differences read as kinds of damage, and what they leave unexplained.

    Every number is of one survey, or of many (...) of the same points.

    Attributes
    ----------
    kinds : tuple of str
        The kinds that were asked for; the others stand at zero below.
    sizes : DamageSizes
        Best size of each kind. [m, twist rad]
    standard_errors : DamageSizes
        Standard error of each size, from what is left over. [m, twist rad]
    residuals : NDArray[np.float64], shape (..., n, 3)
        Difference left at each point. [m]
    rms_residual : NDArray[np.float64], shape (...)
        Weighted root mean square of one left-over reading. [m]
    share_unexplained : NDArray[np.float64], shape (...)
        Share of the weighted sum of squared differences left over, 0 to 1. [1]
    confusable : tuple of (str, str)
        Kinds whose sizes these points tell apart only poorly.
    sides : mapping of str to Sides
        The kinds that both sides share, read on each side alone; without those
        for which one side has too few points.
    """

    kinds: tuple[str, ...]
    sizes: DamageSizes
    standard_errors: DamageSizes
    residuals: NDArray[np.float64]
    rms_residual: NDArray[np.float64]
    share_unexplained: NDArray[np.float64]
    confusable: tuple[tuple[str, str], ...]
    sides: Mapping[str, Sides]

    @property
    def unexplained(self) -> NDArray[np.float64]:
        """Length of the left-over difference at each point, shape (..., n) [m]."""
        return np.asarray(np.linalg.norm(self.residuals, axis=-1))


def damage_basis(positions: ArrayLike, *, frame: DamageFrame) -> NDArray[np.float64]:
    r"""Return the movement of each point for a unit size of each kind.

    Parameters
    ----------
    positions : ArrayLike, shape (n, 3)
        Specified points in the nominal frame. [m]
    frame : DamageFrame
        The planes the kinds refer to.

    Returns
    -------
    NDArray[np.float64], shape (n, 3, 5)
        Movement per unit size, in the order of `KINDS`. [m/m, twist m/rad]

    Raises
    ------
    OutOfRangeError
        If the positions are not finite or not points.

    Notes
    -----
    With hinge plane :math:`x_h`, front plane :math:`x_f`, width :math:`b` and
    :math:`\xi = \max(0, (x - x_h)/(x_f - x_h))`:

    ========  ====================================================
    mash      dx = -ξ on the mashed side or sides
    sidesway  dy = +ξ
    sag       dz = -ξ; or, with a lowest plane x_l, a tent: -1 at x_l,
              straight to 0 at the hinge and front planes, 0 beyond
    diamond   dx = -y/b
    twist     dz = y (x - x_h)/(x_f - x_h)
    ========  ====================================================

    Diamond and twist run through the whole body, behind the hinge plane too.

    Examples
    --------
    >>> frame = DamageFrame(hinge_x=1.0, front_x=2.0, width=1.0)
    >>> damage_basis([[2.0, 0.5, 0.3]], frame=frame)[0].tolist()
    [[-1.0, 0.0, 0.0, -0.5, 0.0], [0.0, 1.0, 0.0, 0.0, 0.0], [0.0, 0.0, -1.0, 0.0, 0.5]]
    """
    points = _readings(positions, "positions")
    x, y = points[:, 0], points[:, 1]
    along = (x - frame.hinge_x) / (frame.front_x - frame.hinge_x)
    ahead = np.maximum(along, 0.0)
    drop = ahead
    if frame.sag_low_x is not None:
        tent = [frame.hinge_x, frame.sag_low_x, frame.front_x]
        drop = np.interp(x, tent, [0.0, 1.0, 0.0])
    side = {"both": 0.0, "left": 1.0, "right": -1.0}[frame.mash_side]
    mashed = np.heaviside(side * y, 0.5) if side else np.ones_like(y)

    basis = np.zeros((len(points), 3, len(KINDS)))
    basis[:, 0, 0] = -ahead * mashed
    basis[:, 1, 1] = ahead
    basis[:, 2, 2] = -drop
    basis[:, 0, 3] = -y / frame.width
    basis[:, 2, 4] = y * along
    return basis + 0.0  # no minus before nothing


def damage_field(
    positions: ArrayLike, *, sizes: DamageSizes, frame: DamageFrame
) -> NDArray[np.float64]:
    """Return the differences that damage of given sizes makes.

    Parameters
    ----------
    positions : ArrayLike, shape (n, 3)
        Specified points in the nominal frame. [m]
    sizes : DamageSizes
        Size of each kind, of one set-up or of many (...). [m, twist rad]
    frame : DamageFrame
        The planes the kinds refer to.

    Returns
    -------
    NDArray[np.float64], shape (..., n, 3)
        Measured minus specified. [m]

    Raises
    ------
    OutOfRangeError
        If a position or a size is not finite, or sizes are of unlike shapes.

    Examples
    --------
    >>> frame = DamageFrame(hinge_x=1.0, front_x=2.0, width=1.0)
    >>> sizes = DamageSizes(mash=0.020, sidesway=0.006)
    >>> damage_field([[1.5, 0.5, 0.3]], sizes=sizes, frame=frame).tolist()
    [[-0.01, 0.003, 0.0]]
    """
    given = {kind: numbers(getattr(sizes, kind), name=kind) for kind in KINDS}
    alike(**given)
    amounts = np.stack(np.broadcast_arrays(*given.values()), axis=-1)
    if not np.all(np.abs(amounts) <= FARTHEST):
        raise OutOfRangeError("damage.size", farthest=FARTHEST)
    basis = damage_basis(positions, frame=frame)
    return np.asarray(np.einsum("nik,...k->...ni", basis, amounts))


def read_damage(
    positions: ArrayLike,
    *,
    differences: ArrayLike,
    frame: DamageFrame,
    kinds: Sequence[str] = KINDS,
    weights: ArrayLike | None = None,
    free_motion: bool = False,
    confusion_tolerance: float = 0.01,
    confusable_above: float = 0.9,
) -> DamageReading:
    r"""Read differences at control points as sizes of kinds of damage.

    The sizes make the weighted sum of squared left-over differences least.
    Standard errors take the scatter of the readings as independent and equal
    apart from the weights.

    Parameters
    ----------
    positions : ArrayLike, shape (n, 3)
        Specified points in the nominal frame. [m]
    differences : ArrayLike, shape (..., n, 3)
        Measured minus specified, in one survey of these points or in many. [m]
    frame : DamageFrame
        The planes the kinds refer to.
    kinds : sequence of str, optional
        The kinds to look for; all five if not given.
    weights : ArrayLike, broadcast to (n, 3), optional
        Weight of each reading, 0 where one was not taken. [1]
    free_motion : bool, optional
        Also let the whole body shift and turn a little, where the datum points
        may share in the damage; the sizes then do not depend on which datum
        points the differences came from.
    confusion_tolerance : float, optional
        Least singular value of the unit columns; below it the kinds concerned
        are refused. [1]
    confusable_above : float, optional
        Kinds whose sizes correlate by more than this are named. [1]

    Returns
    -------
    DamageReading
        Sizes with standard errors, what is left over, and kinds hard to tell
        apart.

    Raises
    ------
    OutOfRangeError
        If the points cannot show a kind, cannot tell kinds apart, or are too
        few to judge the error; if a value is not finite.

    Examples
    --------
    >>> frame = DamageFrame(hinge_x=1.0, front_x=2.0, width=1.0)
    >>> corners = np.array(
    ...     [[x, y, 0.3] for x in (0.0, 1.0, 1.5, 2.0) for y in (0.5, -0.5)]
    ... )
    >>> bent = damage_field(corners, sizes=DamageSizes(diamond=0.012), frame=frame)
    >>> reading = read_damage(corners, differences=bent, frame=frame)
    >>> round(float(reading.sizes.diamond), 6), abs(round(float(reading.sizes.mash), 9))
    (0.012, 0.0)
    """
    points = _readings(positions, "positions")
    moved = _readings(differences, "differences", many=True)
    if points.shape != moved.shape[-2:]:
        count = moved.shape[-2]
        raise OutOfRangeError("damage.unlike", count=count, positions=len(points))
    observed = moved.reshape(*moved.shape[:-2], points.size)
    columns = _kind_columns(kinds)
    design = damage_basis(points, frame=frame)[:, :, columns]
    names = tuple(kinds)
    if free_motion:
        rigid = small_motion_rows(points - points.mean(0))
        design = np.concatenate([design, rigid], axis=2)
        names += _BODY_MOTIONS
    weight = _reading_weights(weights, points.shape)

    def fitted(columns: NDArray[np.float64], names: Sequence[str]) -> LinearFit:
        return weighted_least_squares(
            columns.reshape(points.size, -1),
            observed=observed,
            weights=weight.ravel(),
            names=[f"damage.{name}" for name in names],
            confusion_tolerance=confusion_tolerance,
        )

    def side_by_side(kind: str) -> Sides | None:
        at = names.index(kind)
        two = side_columns(design[:, :, at], y=points[:, 1])
        others = np.delete(design, at, axis=2)
        rest = [name for name in names if name != kind]
        try:
            fit = fitted(np.concatenate([two, others], axis=2), (kind, kind, *rest))
        except OutOfRangeError:
            return None  # too few points on one side
        return sides_of(fit)

    fit = fitted(design, names)
    shared = [k for k in kinds if k in SHARED and (k, frame.mash_side) not in ONE_SIDED]
    sides = {kind: both for kind in shared if (both := side_by_side(kind)) is not None}
    errors = np.sqrt(np.diagonal(fit.covariance, axis1=-2, axis2=-1))
    left = fit.residuals**2 @ weight.ravel()
    whole = observed**2 @ weight.ravel()
    share = np.divide(left, whole, out=np.zeros_like(whole), where=whole > 0)
    return DamageReading(
        kinds=tuple(kinds),
        sizes=_sizes(kinds, fit.coefficients),
        standard_errors=_sizes(kinds, errors),
        residuals=fit.residuals.reshape(moved.shape),
        rms_residual=np.asarray(np.sqrt(left / weight.sum())),
        share_unexplained=np.minimum(share, 1.0),
        confusable=_confusable(names, fit.correlation, confusable_above),
        sides=MappingProxyType(sides),
    )


def twist_angle(
    front_difference: ArrayLike, *, rear_difference: ArrayLike, width: float
) -> NDArray[np.float64]:
    """Return the twist between front and rear from heights left minus right.

    Parameters
    ----------
    front_difference, rear_difference : ArrayLike, shape (...)
        Height of the left point above the right one, front and rear. [m]
    width : float
        Distance between the left and right points. [m]

    Returns
    -------
    NDArray[np.float64], shape (...)
        Turn of the front against the rear, plus with the left side up. [rad]

    Raises
    ------
    OutOfRangeError
        If a value is not finite or the width is not above zero.

    Examples
    --------
    >>> angle = twist_angle(0.018, rear_difference=-0.004, width=1.2)
    >>> round(float(np.degrees(angle)), 2)
    1.05
    """
    front = numbers(front_difference, name="front_difference")
    rear = numbers(rear_difference, name="rear_difference")
    width = one_number(width, name="width")
    alike(front_difference=front, rear_difference=rear)
    usable = np.all(np.abs(front) <= FARTHEST) and np.all(np.abs(rear) <= FARTHEST)
    if not (usable and 0 < width <= FARTHEST):
        raise OutOfRangeError("damage.twist", width=width, nothing=0.0)
    return np.asarray(np.arctan2(front - rear, width))


def _kind_columns(kinds: Sequence[str]) -> list[int]:
    """Places in `KINDS` of one or more kinds, each once."""
    unknown = [kind for kind in kinds if kind not in KINDS]
    if unknown or len(set(kinds)) != len(kinds) or not kinds:
        raise OutOfRangeError("damage.kinds", given=[*kinds], known=KINDS)
    return [KINDS.index(kind) for kind in kinds]


def _sizes(kinds: Sequence[str], values: NDArray[np.float64]) -> DamageSizes:
    """Sizes (..., k) of the kinds asked for; the rest zero."""
    return DamageSizes(**{kind: values[..., k] for k, kind in enumerate(kinds)})


def _confusable(
    names: Sequence[str], correlation: NDArray[np.float64], above: float
) -> tuple[tuple[str, str], ...]:
    """Pairs of columns whose coefficients lean on one another."""
    return tuple(
        (names[i], names[j])
        for i, j in combinations(range(len(names)), 2)
        if abs(correlation[i, j]) > above
    )


def _reading_weights(
    weights: ArrayLike | None, shape: tuple[int, ...]
) -> NDArray[np.float64]:
    """Weights of all readings, largest one."""
    weight = np.ones(shape) if weights is None else numbers(weights, name="weights")
    if not np.all((weight >= 0) & np.isfinite(weight)) or not np.any(weight > 0):
        raise OutOfRangeError("damage.weight")
    try:
        return np.broadcast_to(weight / weight.max(), shape)
    except ValueError as error:
        raise OutOfRangeError(
            "damage.weights", shape=weight.shape, wanted=shape
        ) from error


def _readings(
    values: ArrayLike, name: str, *, many: bool = False
) -> NDArray[np.float64]:
    """One list of points or differences (n, 3), or many (..., n, 3), all finite."""
    try:
        array = numbers(values, name=name)
    except OutOfRangeError as error:
        raise OutOfRangeError("damage.not_numbers", name=called(name)) from error
    lists = array.ndim > 2 if many else False
    if not (lists or array.ndim == 2) or array.shape[-1] != 3 or array.size == 0:
        raise OutOfRangeError("damage.shape", name=called(name), shape=array.shape)
    usable = np.abs(array) <= FARTHEST
    if not usable.all():
        place = tuple(np.argwhere(~usable)[0])
        raise OutOfRangeError(
            "damage.no_number",
            number=int(place[-2]) + 1,
            name=called(name),
            axis="xyz"[place[-1]],
            value=float(array[place]),
            farthest=FARTHEST,
        )
    return array
