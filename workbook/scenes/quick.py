"""What a technician looks up: the rows of the angle card, and the quick checks.

A quick check takes two numbers of a rig and gives the third. Everything is of one
flat figure: for a rig in space there is the pull explorer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import FormError, OutOfRangeError
from workbook.language import text
from workbook.mechanics.pull.parabola import parabola_sag_from_slack
from workbook.mechanics.pull.rigging import bridle, redirect
from workbook.mechanics.vectors import Array, direction
from workbook.quantities.table import KINDS
from workbook.quantities.typed import read_quantity

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.quantities.units import UnitSystem

Results = dict[str, float]

# What the card lists; its own choice of rows, not limits of any kind.
OFF_LINE = (0, 5, 10, 15, 20, 30, 45, 60, 75)  # degrees
BETWEEN = (0, 60, 90, 120, 140, 160)  # degrees
SPAN = 2.0  # m
SLACK = (0.005, 0.010, 0.020, 0.030, 0.050)  # m
# What the model of all quick checks leaves out, as the subject of an explorer says it.
LEAVES_OUT = (
    "head_friction", "roller_friction", "chain_and_ram_weight", "bench_give", "metal",
    "sudden",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class AngleCard:
    """The numbers of the angle card, each an array over its rows.

    Attributes
    ----------
    off_line : ndarray, shape (a,)
        Angle of a pull off the wanted line. [rad]
    useful, sideways, tension : ndarray, shape (a,)
        Part of the tension along the line and across it, and the tension that gives
        a useful pull of one. [-]
    between : ndarray, shape (b,)
        Angle between the legs of a bridle, or the runs of a redirected chain. [rad]
    leg, anchor : ndarray, shape (b,)
        Each leg of an even bridle as a share of the pull; the load of the roller's
        anchor as a share of the chain's tension. [-]
    slack, sag : ndarray, shape (c,)
        Slack of a level chain in a span of `SPAN`, and its chain sag. [m]
    """

    off_line: Array
    useful: Array
    sideways: Array
    tension: Array
    between: Array
    leg: Array
    anchor: Array
    slack: Array
    sag: Array


def angle_card() -> AngleCard:
    """Work out the angle card.

    Examples
    --------
    >>> card = angle_card()
    >>> card.leg.round(2).tolist()
    [0.5, 0.58, 0.71, 1.0, 1.46, 2.88]
    """
    off, between = np.radians(OFF_LINE), np.radians(BETWEEN)
    half = np.maximum(between / 2, 1e-9)  # legs side by side still stand apart
    run = direction(side_angle=between, rise=0.0)
    slack = np.array(SLACK)
    return AngleCard(
        off_line=off,
        useful=np.cos(off),
        sideways=np.sin(off),
        tension=1 / np.cos(off),
        between=between,
        leg=bridle(1.0, angle_left=half, angle_right=half).left,
        anchor=redirect(1.0, run_a=[1.0, 0.0, 0.0], run_b=run).anchor_load,
        slack=slack,
        sag=parabola_sag_from_slack(slack, span=SPAN),
    )


@dataclass(frozen=True, kw_only=True)
class QuickCheck:
    """Two numbers in, what follows from them out.

    Attributes
    ----------
    name : str
        Such as ``"bridle"``.
    asks, gives : mapping of str to str
        Names of the numbers that are typed and of those that follow, with their kind.
    held : str
        Which number stays as it is while an angle changes.
    solve : callable
        What follows from the numbers asked. [SI]
    """

    name: str
    asks: Mapping[str, str]
    gives: Mapping[str, str]
    held: str
    solve: Callable[..., Results]

    @property
    def called(self) -> str:
        """What a reader chooses it by."""
        return str(text("quick", "check", self.name, "called"))

    @property
    def says(self) -> str:
        """What it answers, and how its angles are measured."""
        return str(text("quick", "check", self.name, "says"))

    def name_of(self, number: str) -> str:
        """Return what one of its numbers is called."""
        own = text("quick", "check", self.name).get(number)
        return str(own or text("quick", "number", number))

    def answer(self, typed: Mapping[str, str], *, system: UnitSystem) -> Results:
        """Return what follows from typed numbers. [SI]

        A bare number is taken in the reader's units.

        Raises
        ------
        FormError
            If a number is missing or cannot be read; the sentence names it.
        OutOfRangeError, MechanismError
            If there is no such rig.

        Examples
        --------
        >>> from workbook.quantities.units import METRIC
        >>> found = CHECKS["bridle"].answer(
        ...     {"pull": "24 kN", "between": "120 deg"}, system=METRIC
        ... )
        >>> round(found["leg"])
        24000
        """
        given = {}
        for name, kind in self.asks.items():
            read = read_quantity(
                typed.get(name) or "", kind=kind, default_unit=system.unit[kind]
            )
            if read.value is None:
                called, wrong = self.name_of(name), read.sentence
                raise FormError("quick.cannot_read", name=called, wrong=wrong)
            if abs(read.value) > (most := KINDS[kind].largest_sensible):
                called, limit = self.name_of(name), system.show(most, kind)
                raise FormError("quick.too_much", name=called, most=limit)
            given[name] = read.value
        return self.solve(**given)


def _useful(tension: float, off_line: float) -> Results:
    _sensible(tension, off_line)
    return {
        "useful": float(tension * np.cos(off_line)),
        "sideways": float(tension * np.sin(off_line)),
    }


def _tension(useful: float, off_line: float) -> Results:
    _sensible(useful, off_line)
    return {
        "tension": float(useful / np.cos(off_line)),
        "sideways": float(useful * np.tan(off_line)),
    }


def _sensible(force: float, off_line: float) -> None:
    """Refuse a chain that pushes, or that has no part along the line."""
    if force < 0:
        raise OutOfRangeError("rigging.pushed", tension=force)
    if not 0 <= off_line < np.pi / 2 - 1e-9:
        raise OutOfRangeError("quick.no_useful", angle=off_line, square=np.pi / 2)


def _legs(ram_force: float, to_pull: float, to_anchor: float) -> Results:
    # Balance at the head: pull and anchor leg share the ram's force as the legs of
    # a bridle share a pull.
    shared = bridle(ram_force, angle_left=to_pull, angle_right=to_anchor)
    return {"pull_leg": float(shared.left), "anchor_leg": float(shared.right)}


def _bridle(pull: float, between: float) -> Results:
    half = between / 2
    return {"leg": float(bridle(pull, angle_left=half, angle_right=half).left)}


def _redirect(tension: float, between: float) -> Results:
    if not 0 <= between <= np.pi:
        raise OutOfRangeError("quick.no_turn", angle=between, straight=np.pi)
    run = direction(side_angle=between, rise=0.0)
    turned = redirect(tension, run_a=[1.0, 0.0, 0.0], run_b=run)
    return {"anchor": float(turned.anchor_load)}


_CHECKS = (
    QuickCheck(
        name="straight",
        asks={"tension": "force", "off_line": "angle"},
        gives={"useful": "force", "sideways": "force"},
        held="tension",
        solve=_useful,
    ),
    QuickCheck(
        name="needed",
        asks={"useful": "force", "off_line": "angle"},
        gives={"tension": "force", "sideways": "force"},
        held="useful",
        solve=_tension,
    ),
    QuickCheck(
        name="head",
        asks={"ram_force": "force", "to_pull": "angle", "to_anchor": "angle"},
        gives={"pull_leg": "force", "anchor_leg": "force"},
        held="ram_force",
        solve=_legs,
    ),
    QuickCheck(
        name="bridle",
        asks={"pull": "force", "between": "angle"},
        gives={"leg": "force"},
        held="pull",
        solve=_bridle,
    ),
    QuickCheck(
        name="redirect",
        asks={"tension": "force", "between": "angle"},
        gives={"anchor": "force"},
        held="tension",
        solve=_redirect,
    ),
)
CHECKS: Mapping[str, QuickCheck] = {one.name: one for one in _CHECKS}
"""The quick checks, by name."""
NUMBERS = tuple(dict.fromkeys(name for one in _CHECKS for name in one.asks))
"""Every number that a quick check asks for."""
