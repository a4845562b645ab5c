"""Shop floors and jobs for the planner: any, and one set-up known by hand."""

from dataclasses import replace
from math import radians

import numpy as np

from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.vectors import direction

BOX = [[-2, -1, 0], [-0.05, 1, 1.2]]  # the body, behind the clamp
# Floors drawn with these have some set-up that passes.
SEEDS = [0, 1, 2, 3, 4, 6]
POST = [[0.9, 0.1, 0], [1.0, 0.2, 2]]


def any_floor(seed, **changes):
    """Draw a small floor in front of a clamp at (0, 0, 0.4)."""
    draw = np.random.default_rng(seed).uniform
    lists = {
        "sockets": np.c_[draw(0.7, 1.2, 3), draw(0.0, 0.5, 3), np.zeros(3)],
        "slots": np.c_[draw(1.5, 2.0, 3), draw(-0.2, 0.9, 3), np.zeros(3)],
        "slot_ratings": draw(20e3, 35e3, 3),
        "extensions": [0.0, *draw(0.1, 0.3, 2)],
        "closed_lengths": draw(0.4, 0.6, 2),
        "full_strokes": draw(0.04, 0.2, 2),
        "swivels": draw(0.75, 0.9, 2),
        "ram_ratings": draw(20e3, 40e3, 2),
        "head_ratings": draw(20e3, 40e3, 2),
        "chain_pitches": draw(0.05, 0.08, 2),
        "chain_ratings": draw(15e3, 40e3, 2),
        "links": [8, 10, 12, 14, 16],
        "keep_out": [BOX, POST],
    }
    return ShopFloor(**{**lists, **changes})


def any_job(seed, **changes):
    draw = np.random.default_rng(seed + 1000).uniform
    wanted = {
        "clamp": [0, 0, 0.4],
        "movement": [draw(0.02, 0.04), draw(-0.005, 0.02), draw(0, 0.015)],
        "useful_pull": 14e3,
        "clamp_rating": 25e3,
        "slack": 0.01,
        "rating_margin": 0.8,
    }
    return Job(**{**wanted, **changes})


RISE = np.arctan(8 / np.hypot(26, 19))  # printed as 14.0 degrees


def capstone(**changes):
    """Return the one set-up with ram at 65, anchor leg at 50, pull leg at 14 degrees.

    The clamp is 310 mm up and the head 1,100 mm ahead of it.
    """
    head = np.array([1.1, 0, 0.31 + 1.1 * np.tan(RISE)])
    base = head - head[2] / np.tan(radians(65)) * np.array([1, 0, 0]) - [0, 0, head[2]]
    slot = head + head[2] / np.tan(radians(50)) * np.array([1, 0, 0]) - [0, 0, head[2]]
    shop = ShopFloor(
        sockets=[base],
        slots=[slot],
        slot_ratings=32e3,
        extensions=[0.0],
        closed_lengths=[np.linalg.norm(head - base)],
        full_strokes=0.2,
        swivels=radians(45),
        ram_ratings=60e3,
        head_ratings=60e3,
        chain_pitches=[np.linalg.norm(head - slot)],
        chain_ratings=40e3,
        links=[1],
    )
    tension = 37.0e3 * np.sin(radians(115)) / np.sin(radians(50) + RISE)
    wanted = {
        "clamp": [0, 0, 0.31],
        "direction": direction(side_angle=0.0, rise=RISE),
        "useful_pull": tension,
        "clamp_rating": 45e3,
    }
    return Job(**{**wanted, **changes}), shop


def alone(**changes):
    """Return the capstone's floor and a job for it, changed."""
    job, shop = capstone(useful_pull=10e3)
    names = set(ShopFloor.__dataclass_fields__) & set(changes)
    shop = replace(shop, **{name: changes.pop(name) for name in names})
    return replace(job, **changes), shop
