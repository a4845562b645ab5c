"""Our own worked examples of planning, recomputed by hand."""

from dataclasses import replace
from math import acos, radians

import numpy as np
import pytest
from floors import BOX, any_floor, any_job, capstone

from workbook.errors import OutOfRangeError
from workbook.mechanics.planner.next_pull import replan
from workbook.mechanics.planner.one_ram import plan_pull
from workbook.mechanics.vectors import rise_of, side_angle_of


# What is wanted of a point, and where its pull runs: teaching examples.
@pytest.mark.parametrize(
    ("movement", "bearing", "rise", "total"),
    [
        ((24, -18, 10), -36.9, 18.4, 31.6),  # the first pull
        ((10, -6, 7), -31.0, 31.0, 13.6),  # what is left after it
        ((26, 19, 8), 36.2, 14.0, 33.2),  # the left rail tip of the Kestrin 5
    ],
)
def test_the_wanted_line_is_opposite_to_the_difference(movement, bearing, rise, total):
    job = any_job(0, movement=np.array(movement) / 1000)

    side, up = np.degrees([side_angle_of(job.line), rise_of(job.line)])

    # One decimal is printed.
    assert side == pytest.approx(bearing, abs=0.05)
    assert up == pytest.approx(rise, abs=0.05)
    assert job.distance * 1000 == pytest.approx(total, abs=0.05)


def test_the_capstone_set_up_reaches_its_anchor_rating_first():
    # Ram at 65 degrees, legs at 50 and 14: 1.01 and 0.87 of the ram force, so a
    # slot of 32 kN is full at 37.0 kN and a chain of 40 kN not before 39.7 kN.
    job, shop = capstone(rating_margin=1.0, useful_pull=10e3)

    plan = plan_pull(job, floor=shop)

    ram_force = plan.pull.ram_force[0] / plan.worst_share[0]
    assert plan.worst_part[0] == "fork slot"
    assert plan.pull.head[0, 2] * 1000 == pytest.approx(583, abs=0.5)
    assert plan.pull.pull_tension[0] / plan.pull.ram_force[0] == pytest.approx(
        1.01, abs=0.005
    )
    assert plan.pull.anchor_tension[0] / plan.pull.ram_force[0] == pytest.approx(
        0.866, abs=0.001
    )
    assert ram_force / 1000 == pytest.approx(37.0, abs=0.05)
    assert plan.direction_error[0] == pytest.approx(0, abs=1e-9)


def test_the_school_s_margin_refuses_what_the_rating_allows():
    job, shop = capstone(rating_margin=0.8)

    with pytest.raises(OutOfRangeError, match=r"fork slot would carry 100 % .* 80 %"):
        plan_pull(job, floor=shop)


def test_a_second_pull_turns_as_the_remaining_movement_does():
    # Bearing 36.9 then 31.0 degrees, rise 18.4 then 31.0 degrees; the angle
    # between them by the cosine rule on the sphere.
    shop = any_floor(4, keep_out=[BOX])
    mirrored = replace(shop, sockets=shop.sockets * [1, -1, 1])
    mirrored = replace(mirrored, slots=shop.slots * [1, -1, 1])
    first = plan_pull(any_job(4, movement=[0.024, -0.018, 0.010]), floor=mirrored)
    left = any_job(4, movement=[0.010, -0.006, 0.007], clamp=[0.014, -0.012, 0.403])

    second = replan(first, job=left)

    up, down = radians(18.4), radians(31.0)
    turned = np.sin(up) * np.sin(down)
    turned += np.cos(up) * np.cos(down) * np.cos(radians(36.9 - 31.0))
    assert second.line_turned == pytest.approx(acos(turned), abs=2e-3)
    assert second.plan.job is left
