"""What of a pull in space can be taken in the hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import pick, shop
from workbook.figures.grips import Grip, grip_at
from workbook.mechanics.vectors import direction, unit
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Panel
    from workbook.figures.drawing.views import Viewpoint
    from workbook.scenes.setups import SolvedPull


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
    return {
        name: grip_at(
            point,
            rate * factor(field.rpartition("_")[2]),  # its unit is in its name
            field=field,
            view=view,
            panel=panel,
            stops=slots if name == "anchor" else None,
        )
        for name, (field, point, rate) in ways.items()
    }
