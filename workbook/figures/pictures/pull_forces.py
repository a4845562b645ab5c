"""The forces of one pull: end to end on the head, and as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Arrow, Drawing, Mark, beside, window_for
from workbook.figures.drawing.scales import bar, round_up
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.figures.pictures.pull_side import RigPlane

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Coordinate
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

GAP = 0.35  # between groups of bars, in rows


def force_triangle(solved: SolvedPull, system: UnitSystem) -> Drawing:
    """Draw the three forces on the head end to end: they close."""
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

    def named(key: str, force: Coordinate) -> Text:
        return said("picture", "pull", "triangle", key, show=system.show, force=force)

    return Drawing(
        caption=said("picture", "pull", "triangle", "caption", show=system.show),
        window=(left - 0.6 * size, right + 0.6 * size, low, high),
        moving=[
            Arrow(foot, top, "force ram", "ram"),
            Arrow(top, corner, "force pull", "pull leg"),
            Arrow(corner, foot, "force anchor", "anchor leg"),
            beside(foot, top, named(ram, forces[0]), name="label ram"),
            beside(top, corner, named("pull", forces[1]), name="label pull leg"),
            beside(corner, foot, named("anchor", forces[2]), name="label anchor leg"),
        ],
    )


def split_bars(solved: SolvedPull, system: UnitSystem) -> Drawing:
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
    values = [np.abs(value) for _, _, value, _ in rows]
    full = round_up(np.maximum.reduce(values))
    marks: list[Mark] = []
    for k, ((name, key, _, role), value) in enumerate(zip(rows, values, strict=True)):
        words = said("picture", "pull", "split", key, show=system.show)
        shown = Amount(value, "force", system.show)
        y = -k - GAP * ((k > 2) + (k > 5))
        marks += bar(y, value / full, words, shown, role, name=name)
    return Drawing(
        caption=said("picture", "pull", "split", "caption", show=system.show),
        window=(-0.62, 1.42, -8.3, 1.3),
        moving=marks,
        true_scale=False,
    )


def _side(force: Coordinate, plus: str, minus: str) -> Coordinate:
    return np.where(force >= 0, plus, minus)
