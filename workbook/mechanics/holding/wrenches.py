"""Many pulls as one: the force and the moment that they add up to.

A wrench is six numbers, the force and then the moment about a stated point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import Name, alike, called, finite
from workbook.mechanics.vectors import Array, dot, norm, unit

ORIGIN = (0.0, 0.0, 0.0)


def components(
    value: ArrayLike, *, name: Name, unit: str = "m", count: int = 3
) -> Array:
    """Read numbers whose last axis has ``count`` components, all finite.

    Parameters
    ----------
    value : array_like, shape (..., count)
        Points, forces, directions or wrenches.
    name, unit
        What they are, for the refusal, as for `magnitudes.finite`.
    count : int
        Components of each.

    Returns
    -------
    ndarray, shape (..., count)

    Raises
    ------
    OutOfRangeError
        If the shape is another one, or a component is not a finite number.

    Examples
    --------
    >>> components([1, 2, 3], name="hook").tolist()
    [1.0, 2.0, 3.0]
    """
    array = finite(value, name=name, unit=unit)
    if array.ndim == 0 or array.shape[-1] != count:
        raise OutOfRangeError(
            "wrenches.shape", name=called(name), shape=array.shape, count=count
        )
    return array


def one_vector(value: ArrayLike, *, name: Name, unit: str = "m") -> Array:
    """Read one row of three components, shape (3,), all finite.

    Raises
    ------
    OutOfRangeError
        If there are more or fewer, or a component is not a finite number.

    Examples
    --------
    >>> one_vector([0, 0, 1], name="hook").tolist()
    [0.0, 0.0, 1.0]
    """
    array = components(value, name=name, unit=unit)
    if array.ndim != 1:
        raise OutOfRangeError(
            "wrenches.one_vector", name=called(name), shape=array.shape
        )
    return array


def net_wrench(
    forces: ArrayLike, *, points: ArrayLike, about: ArrayLike = ORIGIN
) -> Array:
    r"""Add up forces and their moments about one point.

    Parameters
    ----------
    forces : array_like, shape (..., n, 3)
        Forces on the body. [N]
    points : array_like, shape (..., n, 3)
        A point on the line of each force. [m]
    about : array_like, shape (..., 3)
        The point that the moment is about. [m]

    Returns
    -------
    ndarray, shape (..., 6)
        Force [N], then moment [N m]. A pure couple is added to its last three.

    Raises
    ------
    OutOfRangeError
        If a force or point has not three finite components.

    Notes
    -----
    :math:`\mathbf R = \sum \mathbf F_i` and
    :math:`\mathbf M = \sum (\mathbf r_i - \mathbf r_0) \times \mathbf F_i`.

    References
    ----------
    .. [1] R. C. Hibbeler, *Engineering Mechanics: Statics*, chapter 4.

    Examples
    --------
    A pull of 24 kN straight ahead, 0.4 m left of the centre-line:

    >>> net_wrench([[24e3, 0, 0]], points=[[2.0, 0.4, 0.0]]).tolist()
    [24000.0, 0.0, 0.0, 0.0, 0.0, -9600.0]
    """
    f = components(forces, name="force", unit="N")
    at = components(points, name="point_of_a_force")
    origin = np.expand_dims(components(about, name="moment_point"), -2)
    if f.ndim < 2 or at.ndim < 2:
        raise OutOfRangeError("wrenches.one_list", forces=f.shape, points=at.shape)
    alike(force=f, point_of_a_force=at, moment_point=origin)
    f, arms = np.broadcast_arrays(f, at - origin)
    return np.concatenate([f.sum(axis=-2), np.cross(arms, f).sum(axis=-2)], axis=-1)


def moved_wrench(
    wrench: ArrayLike, *, from_point: ArrayLike = ORIGIN, to_point: ArrayLike
) -> Array:
    """State a wrench about another point: the force stays, the moment changes.

    Parameters
    ----------
    wrench : array_like, shape (..., 6)
        Force [N] and moment about ``from_point`` [N m].
    from_point, to_point : array_like, shape (..., 3)
        The old and the new moment point. [m]

    Returns
    -------
    ndarray, shape (..., 6)

    Raises
    ------
    OutOfRangeError
        If the wrench or a point has a component that is not finite.

    Examples
    --------
    >>> moved_wrench([0, 0, 10, 0, 0, 0], to_point=[2, 0, 0]).tolist()
    [0.0, 0.0, 10.0, 0.0, 20.0, 0.0]
    """
    w = components(wrench, name="wrench", unit="N, N m", count=6)
    old = components(from_point, name="old_moment_point")
    new = components(to_point, name="new_moment_point")
    alike(wrench=w[..., 0], old_moment_point=old[..., 0], new_moment_point=new[..., 0])
    arm = old - new
    force, carried = np.broadcast_arrays(w[..., :3], np.cross(arm, w[..., :3]))
    return np.concatenate([force, w[..., 3:] + carried], axis=-1)


def moment_about_line(
    wrench: ArrayLike,
    *,
    about: ArrayLike = ORIGIN,
    point: ArrayLike,
    direction: ArrayLike,
) -> Array:
    """Return the moment of a wrench about a line, by the right-hand rule.

    Parameters
    ----------
    wrench : array_like, shape (..., 6)
        Force [N] and moment about ``about`` [N m].
    about : array_like, shape (..., 3)
        The point the wrench is stated about. [m]
    point : array_like, shape (..., 3)
        Any point of the line. [m]
    direction : array_like, shape (..., 3)
        Along the line; any length but nought.

    Returns
    -------
    ndarray, shape (...)
        Moment, plus where the right hand's fingers curl with the thumb along
        ``direction``. [N m]

    Raises
    ------
    OutOfRangeError
        If the line has no direction.

    Examples
    --------
    >>> pull = net_wrench([[25, 0, 0]], points=[[0, 2, 0]])
    >>> float(moment_about_line(pull, point=[0, 0, 0], direction=[0, 0, 1]))
    -50.0
    """
    along = direction_of(direction, name="line")
    moment = moved_wrench(wrench, from_point=about, to_point=point)[..., 3:]
    alike(line=along, wrench=moment)
    return dot(moment, along)


def direction_of(direction: ArrayLike, *, name: str) -> Array:
    """Return the direction (..., 3) made one long; refuse one of no length.

    Raises
    ------
    OutOfRangeError
        If it has no length.

    Examples
    --------
    >>> direction_of([0, 0, 5], name="pull").tolist()
    [0.0, 0.0, 1.0]
    """
    of = WorkbookError("wrenches.direction_of", name=called(name))
    vector = components(direction, name=of, unit="")
    if not np.all(norm(vector) > 0):
        raise OutOfRangeError("wrenches.no_direction", name=called(name))
    return unit(vector)


@dataclass(frozen=True, kw_only=True)
class CentralAxis:
    """The line along which a wrench is a force and a couple about that force.

    ``force`` (...) [N] acts along the unit ``direction`` (..., 3) through
    ``point`` (..., 3), the point of the line nearest to where the wrench was
    stated [m]; ``couple`` (...) [N m] turns about it, and ``pitch`` (...) is
    the couple over the force [m].
    """

    point: Array
    direction: Array
    force: Array
    couple: Array
    pitch: Array

    def crossing(self, *, point: ArrayLike, normal: ArrayLike) -> Array:
        """Return where the axis goes through a plane.

        Parameters
        ----------
        point : array_like, shape (..., 3)
            Any point of the plane. [m]
        normal : array_like, shape (..., 3)
            Across the plane; any length but nought.

        Returns
        -------
        ndarray, shape (..., 3)
            The crossing. [m]

        Raises
        ------
        OutOfRangeError
            If a single axis runs along the plane, or the plane has no normal;
            of several, a crossing that is none comes back as nan.

        Examples
        --------
        >>> axis = central_axis([0, 0, 10, 0, -20, 5])
        >>> axis.crossing(point=[0, 0, 0.5], normal=[0, 0, 1]).tolist()
        [2.0, 0.0, 0.5]
        """
        across = direction_of(normal, name="plane")
        on_it = components(point, name="plane_point")
        alike(plane=across, plane_point=on_it, line=self.direction)
        fall = dot(self.direction, across)
        along = np.abs(fall) < 1e-12
        if along.ndim == 0 and along:
            raise OutOfRangeError("wrenches.along_plane")
        fall = np.where(along, np.nan, fall)
        away = dot(on_it - self.point, across)
        return np.asarray(self.point + (away / fall)[..., None] * self.direction)


def central_axis(
    wrench: ArrayLike, *, about: ArrayLike = ORIGIN, farthest: float = 1e6
) -> CentralAxis:
    r"""Reduce a wrench to one force and a couple about its line.

    Parameters
    ----------
    wrench : array_like, shape (..., 6)
        Force [N] and moment about ``about`` [N m].
    about : array_like, shape (..., 3)
        The point the wrench is stated about. [m]
    farthest : float
        A force so small that its moment needs an arm longer than this is
        rounding: what is left is a couple. [m]

    Returns
    -------
    CentralAxis

    Raises
    ------
    OutOfRangeError
        If a single wrench is nought, or a pure couple, which has no line; of
        several, those without a line come back as nan.

    Notes
    -----
    The couple is :math:`\mathbf M \cdot \mathbf u` and the nearest point of the
    axis :math:`\mathbf R \times \mathbf M / R^2` from the moment point.

    References
    ----------
    .. [1] R. C. Hibbeler, *Engineering Mechanics: Statics*, section 4.8
       (reduction to a wrench).

    Examples
    --------
    >>> axis = central_axis([0, 0, 10, 0, -20, 5])
    >>> axis.point.tolist(), float(axis.pitch)
    ([2.0, 0.0, 0.0], 0.5)
    """
    w = components(wrench, name="wrench", unit="N, N m", count=6)
    origin = components(about, name="moment_point")
    force, moment = w[..., :3], w[..., 3:]
    alike(wrench=force, moment_point=origin)
    size = norm(force)
    nothing = (size == 0) & (norm(moment) == 0)
    turns_only = norm(moment) > farthest * size
    if w.ndim == 1 and nothing:
        raise OutOfRangeError("wrenches.nothing_left")
    if w.ndim == 1 and turns_only:
        raise OutOfRangeError("wrenches.couple", couple=float(norm(moment)))
    size = np.where(nothing | turns_only, np.nan, size)
    along = force / size[..., None]
    couple = dot(moment, along)
    return CentralAxis(
        point=origin + np.cross(along, moment) / size[..., None],
        direction=along,
        force=size,
        couple=couple,
        pitch=couple / size,
    )


def line_of_action(
    wrench: ArrayLike,
    *,
    about: ArrayLike = ORIGIN,
    farthest: float = 1e6,
    tolerance: float = 1e-6,
) -> CentralAxis:
    """Return the line along which one force does all that the pulls do.

    Pulls in one plane, parallel pulls and pulls through one point have such a
    line. Other pulls also turn the body about it, and are refused.

    Parameters
    ----------
    wrench : array_like, shape (..., 6)
        Force [N] and moment about ``about`` [N m].
    about : array_like, shape (..., 3)
        The point the wrench is stated about. [m]
    farthest : float
        As for `central_axis`. [m]
    tolerance : float
        Greatest pitch that counts as none. [m]

    Returns
    -------
    CentralAxis

    Raises
    ------
    OutOfRangeError
        If of a single wrench there is no force, or a couple about its line
        remains; of several, those come back as nan.

    Examples
    --------
    >>> pulls = [[10e3, 0, 0], [30e3, 0, 0]]
    >>> both = net_wrench(pulls, points=[[0, 0.4, 0], [0, -0.4, 0]])
    >>> line_of_action(both).point.tolist()
    [0.0, -0.2, 0.0]
    """
    axis = central_axis(wrench, about=about, farthest=farthest)
    turns = np.abs(axis.pitch) > tolerance
    if turns.ndim == 0 and turns:
        raise OutOfRangeError("wrenches.couple_left", couple=float(np.abs(axis.couple)))
    return CentralAxis(
        point=np.where(turns[..., None], np.nan, axis.point),
        direction=np.where(turns[..., None], np.nan, axis.direction),
        force=np.where(turns, np.nan, axis.force),
        couple=np.where(turns, np.nan, axis.couple),
        pitch=np.where(turns, np.nan, axis.pitch),
    )
