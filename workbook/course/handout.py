"""What a lesson prints in place of its explorers: a figure to read, tables, codes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from workbook.course.lesson import Changes
    from workbook.course.tables import Table


@dataclass(frozen=True, kw_only=True)
class Scale:
    """A scale of degrees to read an angle on.

    Attributes
    ----------
    at : str or (float, float)
        Where the angle is: a marker of the view, or a place in it.
    radius : float
        Of the arc, in the view's own measure.
    start, end : float
        Directions between which it runs, from the view's level. [deg]
    zero : float
        Direction that reads 0. [deg]
    named : int
        At every how many degrees it says its reading. [deg]
    """

    at: str | tuple[float, float]
    radius: float
    start: float
    end: float
    zero: float
    named: int = 15


@dataclass(frozen=True, kw_only=True)
class PrintedView:
    """One drawing of a printed figure, with scales in place of its readings.

    Attributes
    ----------
    explorer : str
        Which explorer of the lesson draws it.
    seen : str
        From where: ``"side"``, ``"above"`` or ``"front"``.
    change : mapping
        What the set-up changes from the explorer's start.
    scales : tuple of Scale
        What to read on.
    aids : tuple of str
        What helps to read besides: of a hung chain its ``"ruler"`` and ``"slope"``.
    captioned : bool
        Whether the lesson has a caption of its own for it.
    hidden : tuple of str
        Roles of lines and fields left out.
    readings : tuple of str
        Labels with one of these in them are left out.
    """

    explorer: str
    seen: str
    change: Changes
    scales: tuple[Scale, ...]
    aids: tuple[str, ...] = ()
    captioned: bool = True
    hidden: tuple[str, ...] = ()
    readings: tuple[str, ...] = ("°",)


@dataclass(frozen=True, kw_only=True)
class Handout:
    """A lesson's two pages; its words stand under ``handout`` among the lesson's.

    Attributes
    ----------
    views : tuple of PrintedView
        One drawing, or two side by side.
    tables : tuple of Table
        Results of the explorers. What the prediction asks for stands in none.
    codes : tuple of (str, mapping)
        Set-ups whose codes are printed: the explorer and the changes from its start.
    """

    views: tuple[PrintedView, ...]
    tables: tuple[Table, ...]
    codes: tuple[tuple[str, Changes], ...]
