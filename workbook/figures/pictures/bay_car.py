"""The car and its metal in the practice bay: what stands, is off, has to be, was read.

What is off at the metal is drawn `DRAWN` times as large as it is, for it would not be
seen. Its shadow on the bench is the plan.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import Line, Mark, Marker, Polygon, Strokes
from workbook.figures.pictures.bench_space import (
    CAR,
    ON_BENCH,
    PLAN,
    before_or_behind,
    shadow,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from workbook.figures.drawing.views import Viewpoint
    from workbook.mechanics.vectors import Array

    Data = Mapping[str, Any]

DRAWN = 6.0  # times as large as it is
SILL, BELT, ROOF = 0.19, 0.8, 1.3  # m above the bench, of the invented car
_HULL = [(-2.1, 0.72), (0.62, 0.72), (0.9, 0.6)]  # half of it from above, tail first
_CABIN = [(-1.6, 0.6), (0.1, 0.6)]
SIDES = ("left", "right")


# ------------------------------------------------------------------ what stands still


def car(view: Viewpoint) -> list[Mark]:
    """Draw the body, its faces as they are seen, and what lies under it."""
    foot = view.along(_outline(_HULL, 0.0))
    under = view.along(_outline(_HULL, SILL))
    return [
        Polygon(foot, "shade", "shadow of car").standing(ON_BENCH),
        Polygon(under, "car outline", "underside").standing(CAR - 1),
        *_prism(_HULL, (SILL, BELT), "body side", "hull", view, CAR),
        *_prism(_CABIN, (BELT, ROOF), "body glass", "cabin", view, CAR + 0.3),
    ]


def _prism(
    half: list[tuple[float, float]],
    heights: tuple[float, float],
    role: str,
    name: str,
    view: Viewpoint,
    depth: float,
) -> Iterator[Mark]:
    """Yield the faces of a box that look at the viewer, its top last."""
    low, high = (_outline(half, z) for z in heights)
    for k in range(len(low)):
        one, other = low[k - 1], low[k]
        along = other - one
        out = np.array([along[1], -along[0], 0.0])
        if out @ low[k] < 0:  # the middle of the car is inside
            out = -out
        face = np.stack([one, other, high[k], high[k - 1]])
        ahead = role == "body side" and out[0] > abs(out[1])
        yield Polygon(
            view.along(face),
            "body front" if ahead else role,
            f"{name} {k}",
            shown=bool(out @ view.toward > 1e-9),
        ).standing(depth)
    yield Polygon(view.along(high), "body top", f"{name} top").standing(depth + 0.1)


def _outline(half: list[tuple[float, float]], high: float) -> Array:
    both = [*half, *((x, -y) for x, y in half[::-1])]
    return np.array([(x, y, high) for x, y in both])


# ---------------------------------------------------------------------- the metal


def rails(nodes: Any, floor: Data) -> tuple[Array, Array]:
    """Return both rails as specified, and as they are drawn, (2, n, 3). [m]"""
    there = np.array(nodes)
    tips = np.array([floor["points_m"][f"{side}-tip"] for side in SIDES])
    share = np.linspace(0.0, 1.0, there.shape[1])[:, None]
    roots = there[:, :1]
    specified = roots + share * (tips[:, None] - roots)
    return specified, specified + DRAWN * (there - specified)


def beam(nodes: Any, rails_there: Any, specified: Array) -> Array:
    """Return the crossmember as it is drawn, (k, 3), between the drawn rails. [m]

    What a node is off a straight beam between the specified rails is drawn larger, as
    at the rails.
    """
    there, ends = np.array(nodes), np.array(rails_there)
    if not len(there):
        return specified[:, -1]
    at = int(np.argmin(np.linalg.norm(ends[0] - there[0], axis=-1)))
    share = np.linspace(0.0, 1.0, len(there))[:, None]
    straight = specified[0, at] + share * (specified[1, at] - specified[0, at])
    return np.asarray(straight + DRAWN * (there - straight))


def metal(
    data: Data,
    specified: Array,
    drawn: Array,
    crossmember: Array,
    view: Viewpoint,
    stills: Sequence[Array] = (),
) -> list[Mark]:
    """Draw both rails and the crossmember, as they lie and as they have to be.

    ``stills`` are the drawn rails on their way, for who wants nothing to move.
    """
    front = before_or_behind(view)
    bolted = data["metal"]["bolted"]
    ends = np.stack([drawn[:, -1], drawn[:, -1] * PLAN], axis=1)
    beside = specified[:, -1:] * PLAN
    return [
        *(
            Strokes(view.along(way), "ghost", f"still {k}").standing(front - 0.1)
            for k, way in enumerate(stills)
        ),
        *(
            shadow(one, other, f"{side} rail {k}", view)
            for side, rail in zip(SIDES, drawn, strict=True)
            for k, (one, other) in enumerate(pairwise(rail))
        ),
        Strokes(
            view.along(np.concatenate([specified[:, :1] * PLAN, beside], axis=1)),
            "reference",
            "plan of specified",
        ).standing(ON_BENCH + 0.5),
        Strokes(view.along(ends), "drop", "drops").standing(front - 0.2),
        Strokes(view.along(specified), "frame specified", "specified").standing(front),
        Strokes(view.along(drawn), "frame damaged", "rails").standing(front),
        Line(
            view.along(crossmember), "frame outline", "crossmember", shown=bolted
        ).standing(front),
        *(
            Marker(view.at(drawn[side, -1]), "cross", "fails", f"torn {place}")
            .standing(front + 2)
            for place in data["metal"]["torn"]
            for side in [int(place.startswith("right"))]
        ),
    ]  # fmt: skip


def points(data: Data, floor: Data, view: Viewpoint) -> Iterator[Mark]:
    """Yield where points of the rails have to be, and where they were read last."""
    front = before_or_behind(view) + 1.2
    last = data["readings"][-1] if data["readings"] else None
    for name, at in floor["points_m"].items():
        if name.split("-")[1] not in ON_RAILS:
            continue
        spot = np.array(at)
        if last is not None:
            off = np.array(last["differences_m"][name])
            read = spot + DRAWN * off
            outside = any(last["outside"][name])
            role = "under load" if last["under_load"] else "difference"
            way = Line(view.path(spot, read), role, f"off {name}", shown=outside)
            yield way.standing(front)
            yield Marker(
                view.at(read), "square", "measured", f"read {name}", shown=outside
            ).standing(front + 0.1)
        ring = Marker(view.at(spot), "ring", "inside", f"target {name}")
        yield ring.standing(front + 0.2)


ON_RAILS = ("tip", "mid", "root")
