"""A planned pull as a file: what must move, and what the bench offers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import FormError
from workbook.mechanics.planner.one_ram import plan_pull
from workbook.scenes.fields import read_fields
from workbook.scenes.forms import PLACE, read_form, read_rows, read_table
from workbook.scenes.planning import PlacedFork, job, shop_floor

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.mechanics.planner.one_ram import Plan
    from workbook.scenes.fields import Field

ON_BENCH = {name: field for name, field in PLACE.items() if name != "height_mm"}
JOB = {**PLACE, **read_fields("plan.job")}
FORK = {**ON_BENCH, **read_fields("plan.fork")}
TABLES: Mapping[str, Mapping[str, Field]] = {
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
    wanted = read_table(data.get("job"), fields=JOB, name="job")
    sockets = read_rows(data.get("socket", []), fields=ON_BENCH, kind="socket")
    forks = read_rows(data.get("fork", []), fields=FORK, kind="fork")
    if not sockets:
        raise FormError("plan.no_socket")
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
