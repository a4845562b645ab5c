"""Rams and chains in the practice bay, in space: set out, planned, or let go."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.equipment import pick, shop
from workbook.figures.drawing.marks import FreeLabel, Line, Mark, Marker, Polygon
from workbook.figures.pictures.bench_space import (
    AHEAD,
    ON_BENCH,
    PLAN,
    UP,
    before_or_behind,
    chain,
    shadow,
)
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from workbook.figures.drawing.views import Viewpoint
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

    Data = Mapping[str, Any]

WORDS = ("practice_bay", "picture")
STANDS_OVER = 0.9 * UP  # m, how high a ram is drawn that does not stand
PLANNED = 0.6  # of their weight, lines of what is only planned
_TURN = 2 * np.pi * np.linspace(0.0, 1.0, 13)[:, None]
_RING = np.hstack([np.cos(_TURN), np.sin(_TURN), 0 * _TURN])
MIDDLE = np.array([1.2, 0.0, 0.0])  # m, before and behind it things are drawn anew


def ram_marks(
    ram: Data,
    clamp: Array,
    system: UnitSystem,
    view: Viewpoint,
    *,
    planned: bool = False,
) -> Iterator[Mark]:
    """Draw a ram on its base with both legs of its chain.

    ``clamp`` is where its place on the metal is drawn; what is only ``planned`` is
    drawn thin, its chain slack.
    """
    name = f"plan of {ram['name']}" if planned else ram["name"]
    anchor, base = np.array(ram["anchor_m"]), np.array(ram["base_m"])
    if ram["lost"]:
        yield Line(view.path(base, anchor), "refused", f"lost {name}")
        yield Marker(view.at(base), "cross", "fails", f"cross {name}").standing(AHEAD)
        return
    stands = ram["head_m"] is not None
    head = np.array(ram["head_m"]) if stands else base + STANDS_OVER
    depth = _depth((base + head) / 2, view)
    yield from _ram(ram, base, head, name, view, planned=planned)
    yield shadow(clamp, head, f"pull leg of {name}", view)
    yield shadow(head, anchor, f"anchor leg of {name}", view)
    if not stands:
        way = view.path(clamp, head, anchor)
        yield Line(way, "refused", f"chain of {name}").standing(depth)
    elif planned or not ram["taken_up"]:
        pull = Line(view.path(clamp, head), "take-up", f"pull leg {name}")
        yield pull.standing(depth)
    else:
        yield from chain(
            *(clamp, head, "pull", f"pull leg {name}"),
            view=view,
            depth=depth,
        )
    if stands and planned:
        leg = Line(view.path(head, anchor), "anchor core", f"anchor leg {name}")
        yield leg.standing(depth)
    elif stands:
        yield from chain(
            *(head, anchor, "anchor", f"anchor leg {name}"),
            view=view,
            depth=depth,
        )
    for at, shape, role in (
        (clamp, "square", "clamp"),
        (head, "disc", "head"),
        (anchor, "diamond", "anchor"),
    ):
        mark = Marker(view.at(at), shape, role, f"{role} {name}")
        yield mark.standing(_depth(at, view) + 0.5)
    yield _label(
        ram["name"],
        ram["pull_tension_N"],
        view.path(clamp, head),
        "pull text",
        system,
        planned=planned,
    )


def _ram(
    ram: Data, base: Array, head: Array, name: str, view: Viewpoint, *, planned: bool
) -> Iterator[Mark]:
    depth, weight = _depth((base + head) / 2, view), PLANNED if planned else 1.0
    for radius, part in ((0.13, "foot"), (0.085, "swivel")):
        feet = view.along(base + radius * _RING)
        yield Polygon(feet, "base", f"{part} {name}").standing(ON_BENCH + 1)
    own = float(pick(shop().rams, ram["part"]).closed_length) + ram["stroke_m"]
    long = float(np.linalg.norm(head - base))
    joint = base + min(1.0, own / long) * (head - base)
    yield shadow(base, head, f"ram {name}", view)
    for start, end, role in (
        (base, joint, "ram edge"),
        (base, joint, "ram"),
        (joint, head, "extension"),
    ):
        line = Line(view.path(start, end), role, f"{role} {name}")
        yield line.standing(depth, weight=weight)
    pin = Marker(view.at(base), "disc", "base", f"base {name}")
    yield pin.standing(_depth(base, view) + 0.1)


def hold_marks(
    hold: Data,
    clamp: Array,
    system: UnitSystem,
    view: Viewpoint,
    *,
    planned: bool = False,
) -> Iterator[Mark]:
    """Draw a chain that holds the metal from a ring of the bench."""
    name = f"plan of {hold['name']}" if planned else hold["name"]
    post = np.array(hold["post_m"])
    depth = _depth((clamp + post) / 2, view)
    way = view.path(clamp, post)
    yield shadow(clamp, post, f"hold {name}", view)
    if hold["lost"]:
        yield Line(way, "refused", f"hold {name}").standing(depth)
    elif planned:
        yield Line(way, "second core", f"hold {name}").standing(depth)
    else:
        yield from chain(
            *(clamp, post, "second", f"hold {name}"), view=view, depth=depth
        )
    mark = Marker(view.at(clamp), "square", "clamp", f"clamp of {name}")
    yield mark.standing(depth + 0.5)
    yield _label(
        hold["name"], hold["tension_N"], way, "second text", system, planned=planned
    )


def _label(
    name: str,
    force: float | None,
    way: Array,
    role: str,
    system: UnitSystem,
    *,
    planned: bool,
) -> Mark:
    """Name a chain, and what is in it."""
    entry = "planned" if planned else "force" if force else "slack"
    return FreeLabel(
        way[0],
        say(*WORDS, entry, show=system.show, name=name, force=force or 0.0),
        role,
        name=f"label {entry} {name}",
        rank="force",
        along=way,
        short=name,
    )


def _depth(point: Array, view: Viewpoint) -> float:
    """Return the depth of a part of a rig: of what is nearer, more."""
    near = np.tanh(view.near((point - MIDDLE) * (PLAN + UP)))
    return float(before_or_behind(view) + near)
