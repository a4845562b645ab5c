"""What of a pull in space can be taken in the hand, and what a pixel moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import pick, shop
from workbook.figures.drawing.marks import fitted
from workbook.mechanics.vectors import direction, norm, unit
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.figures.drawing.marks import Panel
    from workbook.figures.drawing.views import Viewpoint
    from workbook.mechanics.vectors import Array
    from workbook.scenes.setups import SolvedPull

LEAST_SHOWN = 0.15  # of its true length, of a way that a hand can still follow


@dataclass(frozen=True, kw_only=True)
class Grip:
    """One thing to be taken, and the field that it sets.

    Attributes
    ----------
    field : str
        Name of the field.
    at : Array, shape (..., 2)
        Where it is. [px of the sheet]
    way : Array, shape (..., 2)
        What one unit of the field, as it is typed, moves it by. [px]
    at_the_reader : NDArray, shape (...)
        Whether that way points at the reader, so that no hand can follow it.
    stops : tuple of float, optional
        The only values where the real thing can be put, as a chain in a slot.
    """

    field: str
    at: Array
    way: Array
    at_the_reader: NDArray[np.bool_]
    stops: tuple[float, ...] | None = None

    def moved(self, pixels: Array) -> Array:
        """Return the change of the field (...) that follows a hand best.

        Nought where the way points at the reader. ``pixels`` (..., 2) is how far the
        hand moved.
        """
        along = (pixels * self.way).sum(axis=-1)
        size = (self.way * self.way).sum(axis=-1)
        return np.where(self.at_the_reader, 0.0, along / np.maximum(size, 1e-12))


def grips(solved: SolvedPull, view: Viewpoint, panel: Panel) -> dict[str, Grip]:
    """Return what can be taken in a picture in space, by name.

    Parameters
    ----------
    solved : SolvedPull
        The set-up that is drawn, or many.
    view : Viewpoint
        From where it is seen.
    panel : Panel
        The panel of its picture, with the drawing of `space_view`.
    """
    setup, rig = solved.setup, solved.rig
    angle = setup.array("chain_angle_deg")
    out = direction(side_angle=angle, rise=0.0)
    left = direction(side_angle=angle + np.pi / 2, rise=0.0)
    half = setup.array("clamp_distance_mm")[..., None] / 2
    ways = {
        "anchor": ("fork_offset_mm", rig.anchor, left),
        "head": ("extension_mm", solved.pull.head, unit(solved.pull.head - rig.base)),
        "base": ("clamp_distance_mm", rig.base, out),
        # Half way, for at its end it would lie under the base.
        "set-out line": ("chain_angle_deg", rig.base - half * out, half * left),
        "clamp": ("clamp_height_mm", rig.clamp, np.array((0.0, 0.0, 1.0))),
    }
    fork = pick(shop().forks, setup.chosen("fork"))
    slots = tuple(round(float(at / factor("mm")), 6) for at in fork.slot_offsets)
    x0, y0, kx, ky = fitted(panel)
    found = {}
    for name, (field, point, rate) in ways.items():
        way = rate * factor(field.rpartition("_")[2])  # its unit is in its name
        (x, y), (dx, dy) = (np.moveaxis(view.at(v), -1, 0) for v in (point, way))
        at = np.stack(np.broadcast_arrays(x0 + kx * x, y0 - ky * y), axis=-1)
        step = np.stack(np.broadcast_arrays(kx * dx, -ky * dy), axis=-1)
        shown = np.hypot(dx, dy) / norm(way)
        found[name] = Grip(
            field=field,
            at=at,
            way=step,
            at_the_reader=shown < LEAST_SHOWN,
            stops=slots if name == "anchor" else None,
        )
    return found
