"""What is said of the parts of a pull where they stand: ratings and refusals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import FreeLabel, Mark, Marker
from workbook.figures.drawing.texts import Amount, said
from workbook.mechanics.pull.linkage import Refusal, plane_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull

# The part that fails, by why a set-up is refused.
FAILING = {
    Refusal.NOT_FINITE: "ram",
    Refusal.PAST_STROKE: "ram",
    Refusal.CLAMP_ON_LINE: "clamp",
    Refusal.CLAMP_TOO_LOW: "clamp",
    Refusal.LEGS_DO_NOT_CLOSE: "fork slot",
    Refusal.NO_PULL_LEG: "clamp",
    Refusal.PULL_LEG_PUSHED: "pull leg",
    Refusal.ANCHOR_LEG_PUSHED: "anchor leg",
    Refusal.PAST_SWIVEL: "ram",
}


def places_of(solved: SolvedPull, head: Array) -> dict[str, Array]:
    """Return where each part of the load path stands, by its place, (..., 3)."""
    rig = solved.rig
    return {
        "ram": (rig.base + head) / 2,
        "head": head,
        "pull leg": (rig.clamp + head) / 2,
        "clamp": rig.clamp,
        "anchor leg": (rig.anchor + head) / 2,
        "fork slot": rig.anchor,
    }


def would_be_head(solved: SolvedPull) -> Array:
    """Return where the head of a refused rig would be, as far as its legs close."""
    with np.errstate(all="ignore"):
        plane = plane_of(solved.rig)
        head = solved.rig.base + plane.in_space(plane.head)
    return np.where(solved.stands[..., None], np.nan, head)


def rating_marks(
    solved: SolvedPull,
    at: Mapping[str, Array],
    system: UnitSystem,
    *,
    brief: bool = False,
) -> list[Mark]:
    """Mark the part that governs and each part past its rating, where they stand.

    ``at`` is where each place of the load path is in the picture, (..., 2). In a
    ``brief`` picture the parts that do not govern have their share alone.
    """
    path, show = solved.load_path, system.show
    marks: list[Mark] = []
    for part in path.parts:
        point, place = at[part.place], part.place
        over, past = part.share > 1, f"past rating {place}"
        governs = (path.governing == place) & solved.stands
        others = "share" if brief else "over"
        key = np.where(governs, np.where(over, "both", "governs"), others)
        words = said(
            *("picture", "pull", "part", key),
            show=show,
            part=said("term", "place", place, show=show),
            share=part.share,
        )
        plain = governs & ~over
        marks += [
            Marker(point, "triangle", "past rating", past, shown=over),
            Marker(point, "ring", "governs", f"governs {place}", shown=plain),
            FreeLabel(
                point,
                words,
                "strong text",
                name=f"label share {place}",
                rank="warning",
                short=Amount(part.share, "share", show),
                shown=over | governs,
            ),
        ]
    return marks


def refusal_marks(
    solved: SolvedPull, at: Mapping[str, Array], system: UnitSystem
) -> list[Mark]:
    """Mark the part that fails where a set-up is refused, with the reason.

    Where a part has no place, its mark is at the base, ``at["base"]``.
    """
    refusal, base = solved.pull.refusal, at["base"]
    point = base
    for reason, place in FAILING.items():
        there = np.where(np.isfinite(at[place]), at[place], base)
        point = np.where((refusal == reason)[..., None], there, point)
    names = np.array([reason.name.lower() for reason in Refusal])
    parts = np.array([FAILING.get(reason, "ram") for reason in Refusal])
    words = said(
        *("picture", "pull", "refused", "at"),
        show=system.show,
        part=said("term", "place", parts[refusal], show=system.show),
        reason=said("picture", "pull", "refused", names[refusal], show=system.show),
    )
    fallen = ~solved.stands
    label = FreeLabel(
        point,
        words,
        "strong text",
        name="label refused",
        rank="warning",
        shown=fallen,
    )
    return [Marker(point, "cross", "fails", "fails", shown=fallen), label]
