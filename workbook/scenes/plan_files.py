"""A planned pull as a file: what must move, and what the bench offers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import FormError
from workbook.mechanics.planner.one_ram import plan_pull
from workbook.scenes.forms import PLACE, Key, read_form, read_rows, read_table
from workbook.scenes.planning import PlacedFork, job, shop_floor

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.mechanics.planner.one_ram import Plan

ON_BENCH: Mapping[str, Key] = {
    name: key for name, key in PLACE.items() if name != "height_mm"
}
JOB: Mapping[str, Key] = {
    **PLACE,
    "move_mm": Key(
        meaning="how far the point must go: forward, left, up",
        unit="mm", low=-500, high=500, count=3,
    ),
    "useful_pull_kn": Key(
        meaning="pull wanted along that line", unit="kN", low=0.1, high=1000
    ),
    "rating_margin": Key(
        meaning="greatest share of any rating to be used; the school sets it",
        unit="1", low=0.01, high=1,
    ),
    "slack_mm": Key(
        meaning="stroke spent before the chain is taut",
        unit="mm", low=0, high=300, start=(0,),
    ),
}  # fmt: skip
FORK: Mapping[str, Key] = {
    **ON_BENCH,
    "looking_out_deg": Key(
        meaning="direction in plan, from the length axis, plus to the left, in which "
        "one looks out over it from the clamp",
        unit="deg", low=-180, high=180,
    ),
}  # fmt: skip
TABLES: Mapping[str, Mapping[str, Key]] = {
    "job": JOB,
    "socket": ON_BENCH,
    "fork": FORK,
}


@dataclass(frozen=True, kw_only=True)
class PlanFile:
    """A plan and the title of its file."""

    title: str
    plan: Plan


def plan_from_toml(text: str | bytes, *, keep: int = 10) -> PlanFile:
    """Read a plan file and rank every set-up the shop and the bench allow.

    Parameters
    ----------
    text : str or bytes
        What the file holds.
    keep : int
        How many set-ups to keep.

    Returns
    -------
    PlanFile

    Raises
    ------
    FormError
        One sentence that names the key, or the line, and the way out.
    OutOfRangeError
        If no set-up passes, with the reasons.
    """
    title, data = read_form(text, what="plan", tables=TABLES)
    wanted = read_table(data.get("job"), keys=JOB, name="job")
    sockets = read_rows(data.get("socket", []), keys=ON_BENCH, kind="socket")
    forks = read_rows(data.get("fork", []), keys=FORK, kind="fork")
    if not sockets:
        msg = "there is no [[socket]]: a ram needs a place to stand in"
        raise FormError(msg)
    floor = shop_floor(
        sockets=[[*row["forward_mm"], *row["left_mm"], 0.0] for row in sockets],
        forks=[
            PlacedFork(
                name=row["name"],
                middle=[*row["forward_mm"], *row["left_mm"], 0.0],
                looking_out=float(row["looking_out_deg"][0]),
            )
            for row in forks
        ],
    )
    names = {**floor.names, "socket": [row["name"] for row in sockets]}
    asked = job(
        clamp=np.concatenate([wanted[key] for key in PLACE]),
        movement=wanted["move_mm"],
        useful_pull=float(wanted["useful_pull_kn"][0]),
        rating_margin=float(wanted["rating_margin"][0]),
        slack=float(wanted["slack_mm"][0]),
    )
    plan = plan_pull(asked, floor=replace(floor, names=names), keep=keep)
    return PlanFile(title=title, plan=plan)
