"""L10, what is made: a rig set out so that no part passes the margin."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.exercises.answers.set_it_out import SetItOut, SetUpMistake
from workbook.exercises.bank.lesson_07_made import PULL_LINE
from workbook.exercises.bank.lesson_10 import CAUTIONS
from workbook.exercises.declaration import (
    ByHand,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)

if TYPE_CHECKING:
    from workbook.scenes.setups import SolvedPull

HARD_ENOUGH = SetItOut(
    rig=PULL_LINE.rig,
    free=("lean_deg", "ram_force_kn"),
    amount="pull_tension",
    wanted="wanted",
    margin="margin",
    tolerance=0.2,
    search={
        "lean_deg": np.arange(-10.0, 46, 5),
        "ram_force_kn": np.arange(10.0, 40.5, 0.5),
    },
)


def _now(g: Numbers) -> float:
    return float(HARD_ENOUGH.solved(g, {}).pull.pull_tension)


def _force_is_not_enough(g: Numbers) -> bool:
    """Tell whether the ram, as it stands, passes the margin before it pulls enough."""
    does = HARD_ENOUGH.solved(g, {})
    most = does.pull.pull_tension * g.margin / does.load_path.largest_share
    return bool(most <= g.wanted - 800)


def _gauge_is_chain(g: Numbers, does: SolvedPull) -> Any:
    return np.abs(does.setup.array("ram_force_kn") / g.wanted - 1) <= 0.01


def _leaned_back(g: Numbers, does: SolvedPull) -> Any:
    return does.setup.array("lean_deg") < g.lean - np.pi / 360


EXERCISES = (
    Exercise(
        id="10.7",
        lesson="L10",
        given={
            "clamp_height": stepped("mm", 350, 500, 50),
            "clamp_distance": stepped("mm", 1000, 1400, 50),
            "extension": stepped("mm", 225, 375, 75),
            "lean": stepped("deg", 0, 10, 5),
            "ram_force": stepped("kN", 12, 18),
            "wanted": stepped("kN", 17, 25),
            "margin": picked("%", 70, 75, 80, 85, 90),
        },
        allowed=_force_is_not_enough,
        derived={"now": Derived(unit="kN", digits=1, solve=_now)},
        answer=HARD_ENOUGH,
        mistakes=(
            SetUpMistake("M12_gauge_is_chain", _gauge_is_chain),
            SetUpMistake("leaned_back", _leaned_back),
        ),
        # Leaning 20°, the head is 704.8 up and 256.5 out. The pull leg rises 254.8 in
        # 1456.5, 9.92°, and the anchor leg falls 704.8 in 643.5, 47.6°. By the rule of
        # sines 20.5 × 0.8862 ÷ 0.8436 = 21.5 of 30.9, and the anchor leg 21.1.
        by_hand=ByHand(
            {
                "clamp_height": 450,
                "clamp_distance": 1200,
                "extension": 300,
                "lean": 0,
                "ram_force": 15,
                "wanted": 21,
                "margin": 80,
            },
            "lean 20 deg; ram_force 20.5 kN",
        ),
        sketch=Sketch("to_set_out"),
        easier="10.4",
        cautions=CAUTIONS,
    ),
)
