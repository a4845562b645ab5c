"""Three rams on one line in space: car front, rigs, and the pumps in their order.

Every ram leans 60 degrees from the bench and its anchor leg leans back as much, so that
ram, chain and anchor leg carry the same force.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Drawing, FreeLabel, Line, Mark, Marker
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grips_along
from workbook.figures.pictures.bench_space import (
    CAR,
    UP,
    before_or_behind,
    bench_top,
    chain,
    shadow,
    window_round,
)
from workbook.figures.pictures.car_front import CarFront
from workbook.figures.pictures.shared_line_parts import (
    HEIGHT,
    HOOKS_UP,
    PUMPS,
    SUPPLY_AT,
    ghost_label,
    letter_of,
    lever,
    name_at,
    places_of,
    ram_words,
    supply_label,
)
from workbook.quantities.units import factor
from workbook.scenes.shared_line import RAMS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Panel
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.shared_line import SharedLine

# The box that is always in sight: car behind, pumps ahead, and how high. [m]
LOW, HIGH = np.array((0.2, -0.9, 0.0)), np.array((2.8, 0.9, HEIGHT + 0.5))
RIG = np.array((1.5, 0.0, HEIGHT))  # about where the rigs stand, for their depth
TALL = 0.2  # m, of a pump


def space_view(
    solved: SharedLine,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SharedLine]] = (),
    *,
    view: Viewpoint = VIEWS["home"],
    brief: bool = False,
) -> Drawing:
    """Draw car, rigs and pumps in space, as they are seen from a view."""
    front = before_or_behind(view)
    body = CarFront(HOOKS_UP[0])
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other, system, view)
    for k in range(len(RAMS)):
        moving += _rig(solved, k, view, front)
        moving += _pump(solved, k, view, front)
    return Drawing(
        caption="",
        window=window_round(LOW, HIGH, view, np.zeros(3)),
        still=[
            *bench_top(LOW, HIGH, body, view, np.zeros(3)),
            *body.marks(view, CAR),
            *_air_line(view, front),
        ],
        moving=[*moving, *_labels(solved, system, view, brief=brief)],
    )


def rams_grips(solved: SharedLine, view: Viewpoint, panel: Panel) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_view`, by name."""
    heads, turn = places_of(solved)["head"], factor("deg")
    ways = {
        f"{name} ram": (
            f"{name}_angle_deg",
            heads[..., k, :],
            turn * np.cross(UP, heads[..., k, :] - HOOKS_UP[k]),
        )
        for k, name in enumerate(RAMS)
    }
    return grips_along(ways, view=view, panel=panel)


def _rig(solved: SharedLine, k: int, view: Viewpoint, front: Array) -> list[Mark]:
    """Draw one ram with its two legs, and their shadows."""
    at = {name: each[..., k, :] for name, each in places_of(solved).items()}
    hook, base, head, anchor = (at[n] for n in ("hook", "base", "head", "anchor"))
    name = RAMS[k]

    def depth(point: Array) -> Array:
        return np.asarray(front + np.tanh(view.near(point - RIG)))

    ram = view.path(base, head)
    middle = (base + head) / 2
    return [
        shadow(hook, anchor, f"{name} rig", view),
        *chain(
            *(hook, head, "pull", f"{name} pull leg"),
            view=view,
            depth=depth((hook + head) / 2),
        ),
        *chain(
            *(head, anchor, "anchor", f"{name} anchor leg"),
            view=view,
            depth=depth((head + anchor) / 2),
        ),
        Line(ram, "ram edge", f"edge of {name} ram").standing(depth(middle)),
        Line(ram, "ram", f"{name} ram").standing(depth(middle)),
        *(
            Marker(view.at(point), shape, role, f"{name} {role}").standing(
                depth(point) + 0.2
            )
            for role, shape, point in (
                ("clamp", "square", hook), ("base", "disc", base),
                ("head", "disc", head), ("anchor", "diamond", anchor),
            )
        ),
    ]  # fmt: skip


def _air_line(view: Viewpoint, front: Array) -> list[Mark]:
    """Draw the one air line, and a branch of it to each pump."""
    pumps = np.concatenate([PUMPS, np.zeros((3, 1))], axis=-1) + 0.1 * UP
    ends = [np.append(SUPPLY_AT, 0.1), np.array((SUPPLY_AT[0], PUMPS[0, 1], 0.1))]
    lines = [Line(view.path(*ends), "air line", "air line")]
    for k, name in enumerate(RAMS):
        branch = np.array((SUPPLY_AT[0], PUMPS[k, 1], 0.1))
        path = view.path(pumps[k], branch)
        lines.append(Line(path, "air line", f"branch to {name} pump"))
    return [line.standing(front - 1.2) for line in lines]


def _pump(solved: SharedLine, k: int, view: Viewpoint, front: Array) -> list[Mark]:
    """Draw one pump with its lever, and the hose to its ram."""
    name, foot = RAMS[k], np.append(PUMPS[k], 0.0)
    base = places_of(solved)["base"][..., k, :]
    opened = solved.given.valves_open[k]
    hose = view.path(foot + 0.05 * UP, base + 0.05 * UP)
    depth = front + np.tanh(view.near(foot - RIG))
    ends = lever(k, opened)
    handle = np.concatenate([ends, np.full((2, 1), 0.1)], axis=-1)
    return [
        Line(hose, "hose", f"hose to {name} ram", shown=opened).standing(front - 1.1),
        Line(
            hose, "refused", f"closed hose to {name} ram", shown=~opened
        ).standing(front - 1.1),
        Line(view.path(foot, foot + TALL * UP), "post", f"{name} pump").standing(depth),
        Line(view.along(handle), "lever", f"{name} lever").standing(depth + 0.1),
    ]  # fmt: skip


def _labels(
    solved: SharedLine, system: UnitSystem, view: Viewpoint, *, brief: bool
) -> list[Mark]:
    """Name each ram and each pump, and what the pumps stall at."""
    at = places_of(solved)
    marks: list[Mark] = []
    for k, name in enumerate(RAMS):
        along = view.path(at["hook"][..., k, :], at["head"][..., k, :])
        named = view.at(np.append(name_at(k), 0.1))
        marks += [
            FreeLabel(
                along.mean(axis=-2),
                ram_words(solved, k, system, brief=brief),
                "pull text",
                name=f"label {name} ram",
                rank="force",
                along=along,
                short=letter_of(k),
            ),
            FreeLabel(
                named,
                letter_of(k),
                "strong text",
                name=f"label {name} pump",
                rank="point",
            ),
        ]
    end = view.at(np.append(SUPPLY_AT, 0.1))
    return [
        *marks,
        supply_label(solved, end, system, brief=brief),
    ]


def _ghost(
    letter: str, other: SharedLine, system: UnitSystem, view: Viewpoint
) -> list[Mark]:
    """Draw the chains of a frozen set-up, on the bench."""
    at = places_of(other)
    front = before_or_behind(view)
    lines = [
        Line(
            view.path(at["hook"][..., k, :], at["head"][..., k, :]),
            "ghost",
            f"ghost {letter} {name}",
        )
        for k, name in enumerate(RAMS)
    ]
    return [
        *(line.standing(front - 1.3) for line in lines),
        ghost_label(letter, lines[0].points[..., 1, :], system),
    ]
