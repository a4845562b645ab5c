"""The forces of one pull: end to end on the head, and as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Drawing, Mark
from workbook.figures.drawing.named import named_arrow
from workbook.figures.drawing.rooms import PAGE, Room
from workbook.figures.drawing.scales import force_bars
from workbook.figures.drawing.texts import Text, said
from workbook.figures.drawing.windows import window_for
from workbook.figures.pictures.pull_side import RigPlane

if TYPE_CHECKING:
    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull


def force_triangle(
    solved: SolvedPull, system: UnitSystem, *, brief: bool = False
) -> Drawing:
    """Draw the three forces on the head end to end: they close.

    A ``brief`` drawing leaves the numbers to the bars.
    """
    pull = solved.pull
    forces = (pull.ram_force, pull.pull_tension, pull.anchor_tension)
    on_head = np.stack([-pull.base_on_bench, -pull.force_on_clamp], axis=-2)
    sides = RigPlane(solved).parts(on_head)
    foot, top, corner = (0.0, 0.0), sides[..., 0, :], sides.sum(axis=-2)
    size = np.maximum.reduce(forces)
    left, right, low, high = window_for(
        [top, corner, foot], step=size / 3, margin=0.15 * size
    )
    ram = "roller" if solved.roller else "ram"
    ways = {
        "ram": ("ram", ram, (foot, top), forces[0]),
        "pull": ("pull leg", "pull", (top, corner), forces[1]),
        "anchor": ("anchor leg", "anchor", (corner, foot), forces[2]),
    }
    marks: list[Mark] = []
    for role, (name, key, (tail, tip), force) in ways.items():
        short = said("picture", "pull", "split", key, show=system.show)
        words = said("picture", "pull", "triangle", key, show=system.show, force=force)
        marks += named_arrow(
            *(tail, tip, f"force {role}", short if brief else words),
            name=name,
            words=f"{role} text",
            short=short,
        )

    return Drawing(
        caption=said("picture", "pull", "triangle", "caption", show=system.show),
        window=(left - 0.6 * size, right + 0.6 * size, low, high),
        moving=marks,
    )


# The bar of each number that may be expected.
ROWS = {
    "ram force": "ram",
    "pull leg": "pull leg",
    "anchor leg": "anchor leg",
    "along the wanted line": "along",
    "across the wanted line": "across",
}


def split_bars(
    solved: SolvedPull,
    system: UnitSystem,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw how the ram force splits, and what of the pull does the work."""
    pull = solved.pull
    forward, left, up = np.moveaxis(pull.force_on_clamp, -1, 0)
    rows = [
        ("ram", "roller" if solved.roller else "ram", pull.ram_force, "bar ram"),
        ("pull leg", "pull", pull.pull_tension, "bar pull"),
        ("anchor leg", "anchor", pull.anchor_tension, "bar anchor"),
        ("forward", _side(forward, "forward", "backward"), forward, "bar part"),
        ("left", _side(left, "left", "right"), left, "bar part"),
        ("upward", _side(up, "upward", "downward"), up, "bar part"),
        ("along", "along", solved.along, "bar part"),
        ("across", "across", solved.across, "bar part"),
    ]

    def said_of(key: Coordinate) -> Text:
        return said("picture", "pull", "split", key, show=system.show)

    return force_bars(
        [(name, said_of(key), np.abs(value), role) for name, key, value, role in rows],
        caption=said_of("caption"),
        system=system,
        room=room,
        gaps=(3, 6),
        note=said_of("note_brief" if room.brief else "note"),
        expected=expected,
        rows_of=ROWS,
    )


def _side(force: Coordinate, plus: str, minus: str) -> Coordinate:
    return np.where(force >= 0, plus, minus)
