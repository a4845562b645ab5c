"""A window that a cylinder swings open, from Hibbeler, Dynamics."""

import numpy as np
import pytest

from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.pull.stroke import stroke_path


@pytest.mark.kind("stroke_path", "rate at which the head swings", "Hibbeler, Dynamics")
def test_a_cylinder_swings_a_window_as_fast_as_printed():
    # R. C. Hibbeler, Engineering Mechanics: Dynamics, chapter 16, example on a large
    # window: hinge and foot of the cylinder 2 m apart, 1 m from the hinge to the
    # cylinder's other end, 0.5 m/s. At 30 degrees s = 1.239 m and w = 0.620 rad/s
    # (data and s^2 = 5 - 4 cos read on a public page); -0.415 rad/s^2 from memory.
    # Hinge, arm and cylinder are anchor, anchor leg and ram. Three figures each.
    rig = Rig(
        clamp=[-1.0, 0.0, 0.5],
        base=[0, 0, 0],
        anchor=[2.0, 0, 0],
        closed_length=1.2,
        extension=0.0,
        stroke=0.0,
        full_stroke=0.08,
        anchor_leg=1.0,
        swivel=np.pi,
    )

    path = stroke_path(rig, ram_force=1.0, clamp="stays", points=801)

    head, stroke = path.pull.head, path.stroke
    angle = np.arctan2(head[:, 2], 2.0 - head[:, 0])
    at = int(np.argmin(np.abs(angle - np.radians(30))))
    assert 1.2 + stroke[at] == pytest.approx(1.239, abs=5e-4)
    per_metre = np.gradient(angle, stroke)
    assert 0.5 * per_metre[at] == pytest.approx(0.620, abs=5e-4)
    swing_up = 0.5**2 * np.gradient(per_metre, stroke)[at]
    assert swing_up == pytest.approx(-0.415, abs=5e-4)
