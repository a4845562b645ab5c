"""What the pictures of three rams on one line share: places, levers and words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import FreeLabel
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.scenes.shared_line import HOOKS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.shared_line import SharedLine

WORDS = ("picture", "rams")
HEIGHT = 0.45  # m, of the hooks over the bench
HOOKS_UP = HOOKS + np.array((0.0, 0.0, HEIGHT))
REACH = 0.6  # m, from a hook to the base of its ram, in plan
LEAN = HEIGHT / np.tan(np.radians(60.0))  # m, from base to head, and on to the anchor
# The pumps ahead of the car, in the order of their rams, and the air line. [m]
PUMPS = np.array([(2.5, 0.88), (2.5, 0.25), (2.5, -0.38)])
SUPPLY_AT = np.array((2.8, -0.85))
LEVER = 0.07  # m, half of a valve's lever


def places_of(solved: SharedLine) -> Mapping[str, Array]:
    """Return hook, base, head and anchor of each ram, shape (..., 3, 3), by name."""
    ways = solved.ways
    flat, up = np.array((1.0, 1.0, 0.0)), np.array((0.0, 0.0, HEIGHT))
    foot = HOOKS_UP * flat + REACH * ways
    return {
        "hook": np.broadcast_to(HOOKS_UP, ways.shape),
        "base": foot,
        "head": foot + LEAN * ways + up,
        "anchor": foot + 2 * LEAN * ways,
    }


def lever(ram: int, opened: np.bool_) -> Array:
    """Return the ends of a valve's lever (2, 2): along the pipe open, else across."""
    valve = (PUMPS[ram] + np.array((SUPPLY_AT[0], PUMPS[ram, 1]))) / 2
    way = np.where(opened, np.array((LEVER, 0.0)), np.array((0.0, LEVER)))
    return np.stack([valve - way, valve + way])


def name_at(ram: int) -> Array:
    """Return where the number of a pump stands: opposite it, beyond the air line."""
    return np.array((SUPPLY_AT[0] + 0.08, PUMPS[ram, 1]))


def letter_of(ram: int) -> str:
    """Return the number of a ram and of its pump, counted from the left."""
    return str(ram + 1)


def ram_words(
    solved: SharedLine, ram: int, system: UnitSystem, *, brief: bool
) -> str | Text:
    """Return what stands beside a chain: its number, force and place in the order."""
    if brief:
        return letter_of(ram)
    return said(
        *(*WORDS, "ram", state_of(solved, ram)),
        show=system.show,
        ram=letter_of(ram),
        force=solved.forces[..., ram],
        place=place_words(solved, ram, system),
    )


def state_of(solved: SharedLine, ram: int) -> Array:
    """Return whether a ram moves, only holds or is shut off."""
    if_open = np.where(solved.moves[..., ram], "moves", "holds")
    return np.where(solved.given.valves_open[ram], if_open, "closed")


def place_words(solved: SharedLine, ram: int, system: UnitSystem) -> Text:
    """Return the place of a ram in the order of movement, in a word."""
    place = np.nan_to_num(solved.place[..., ram]).astype(int)
    return said(*WORDS, "place", place.astype(str), show=system.show)


def ghost_label(letter: str, at: Array, system: UnitSystem) -> FreeLabel:
    """Return the name of a frozen set-up."""
    words = said(*WORDS, "ghost", show=system.show, letter=letter)
    name = f"label ghost {letter}"
    return FreeLabel(at, words, "ghost text", name=name, short=letter)


def supply_label(
    solved: SharedLine, at: Array, system: UnitSystem, *, brief: bool
) -> FreeLabel:
    """Return what the pumps stall at, to stand at the end of the air line."""
    amount = Amount(solved.supply, "pressure", system.show)
    words = said(*WORDS, "supply", show=system.show, supply=solved.supply)
    return FreeLabel(
        at,
        amount if brief else words,
        "text",
        name="label supply",
        rank="angle",
        short=amount,
    )
