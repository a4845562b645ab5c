"""The top view of one pull: set-out line, fork slots, head and pull direction."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import pick, shop
from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
    parts,
)
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.scales import scale_bar
from workbook.figures.drawing.texts import Amount, said
from workbook.figures.drawing.windows import moved, window_for
from workbook.figures.pictures.pull_directions import side_words
from workbook.figures.pictures.pull_side import (
    expected_head,
    ghost_marks,
    point_label,
    rated,
    refused,
    skeleton,
    vehicle_label,
    way_of_clamp,
)
from workbook.mechanics.vectors import norm, unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.setups import SolvedPull


def top_view(
    solved: SolvedPull,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, SolvedPull]] = (),
    *,
    brief: bool = False,
    rest: SolvedPull | None = None,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the rig in plan: set-out line, fork slots, head and pull direction.

    ``rest`` is the set-up that a hand started from: scale and clamp stay as there.
    """
    rig = solved.rig
    clamp, base, anchor, head = (
        _plan(point) for point in (rig.clamp, rig.base, rig.anchor, solved.pull.head)
    )
    hooked = _plan(solved.setup.clamp)
    window = _window(solved, solved if rest is None else rest)
    out = _plan(unit((rig.base - solved.setup.clamp) * (1.0, 1.0, 0.0)))
    still = [
        *_body(hooked, window, system),
        *_set_out(solved, out, window, system, brief=brief),
        *_fork(solved, out),
        *scale_bar(window, system),
    ]
    moving: list[Mark] = []
    for letter, other in ghosts:
        points = [_plan(point) for point in skeleton(other)]
        moving += ghost_marks(letter, points, system)
    ram = "post" if solved.roller else "ram"
    moving += [
        *_wanted(solved, system, brief=brief),
        Line(_plan(way_of_clamp(solved)), "reference", "way of the clamp"),
        Line([clamp, head], "pull leg", "pull leg"),
        Line([head, anchor], "anchor leg", "anchor leg"),
        Line([base, head], ram, ram),
        Marker(base, "disc", "base", "base"),
        point_label("B", base),
        Marker(head, "disc", "head", "head"),
        point_label("H", head),
        Marker(anchor, "diamond", "anchor", "anchor"),
        point_label("A", anchor),
        Marker(clamp, "square", "clamp", "clamp"),
        point_label("C", clamp),
    ]
    moving += [*rated(solved, _plan, system), *refused(solved, _plan, system)]
    if expected is not None:
        moving += expected_head(solved, expected, _plan, system)
    view = "brief" if brief else "full"
    return Drawing(
        caption=said("picture", "pull", "top", "caption", view, show=system.show),
        window=window,
        still=still,
        moving=moving,
    )


def _window(solved: SolvedPull, rest: SolvedPull) -> Window:
    """Return the window of a set-up at rest, moved along with the clamp."""
    rig = rest.rig
    points = (rest.setup.clamp, rig.base, rig.anchor, rest.pull.head)
    clamp, *others = map(_plan, points)
    keep = [clamp, *others, clamp - (0.5, 0.0), _wanted_tip(rest)]
    window = window_for(keep, step=0.25, margin=0.25)
    return moved(window, _plan(solved.setup.clamp) - clamp)


def _plan(points: Array) -> Array:
    return points[..., :2]


def _body(clamp: Array, window: Window, system: UnitSystem) -> list[Mark]:
    """Draw the plain front of a body, its clamped corner at the clamp."""
    left, (x, y) = window[0], parts(clamp)
    far = np.where(y >= 0, window[2], window[3])
    near = y + np.where(y >= 0, 0.1, -0.1)
    body = [(left, near), (x, near), (x + 0.02, y), (x - 0.06, far), (left, far)]
    middle = (near + far) / 2
    return [
        Polygon(body, "body", "vehicle"),
        vehicle_label([(left, middle), (x, middle)], system),
    ]


def _set_out(
    solved: SolvedPull,
    out: Array,
    window: Window,
    system: UnitSystem,
    *,
    brief: bool,
) -> list[Mark]:
    rig, angle = solved.rig, solved.setup.array("chain_angle_deg")
    clamp, show = _plan(solved.setup.clamp), system.show
    x, y = parts(clamp)
    long = norm(_plan(rig.anchor - rig.base)) + 0.2
    end = _plan(rig.base) + long[..., None] * out
    middle = (x + 0.55 * np.cos(angle / 2), y + 0.55 * np.sin(angle / 2))
    full = said(
        *("picture", "pull", "top", "chain_angle"),
        show=show,
        side=side_words(angle, show),
    )
    few = said("picture", "pull", "top", "chain_angle_brief", show=show, angle=angle)
    turn = np.minimum(0.0, angle), np.maximum(0.0, angle)
    return [
        Line([clamp, (window[1], y)], "reference", "ahead"),
        Line([clamp, end], "reference", "set-out line"),
        Line(arc(clamp, 0.55, *turn), "angle", "chain angle"),
        FreeLabel(
            middle,
            few if brief else full,
            name="label chain angle",
            rank="angle",
            short=Amount(angle, "angle", show),
        ),
    ]


def _fork(solved: SolvedPull, out: Array) -> list[Mark]:
    fork = pick(shop().forks, solved.setup.chosen("fork"))
    along = solved.setup.array("fork_distance_mm")[..., None]
    centre = _plan(solved.rig.base) + along * out
    left = np.stack([-out[..., 1], out[..., 0]], axis=-1)
    slots = centre[..., None, :] + fork.slot_offsets[:, None] * left[..., None, :]
    ends = [slots[..., 0, :] - 0.04 * left, slots[..., -1, :] + 0.04 * left]
    notch = 0.035 * out
    return [
        Line(ends, "fork", "fork"),
        *(
            Line([at - notch, at + notch], "slot", f"slot {k + 1}")
            for k, at in enumerate(np.moveaxis(slots, -2, 0))
        ),
    ]


def _wanted_tip(solved: SolvedPull) -> Array:
    return _plan(solved.rig.clamp + 0.75 * solved.setup.wanted)


def _wanted(solved: SolvedPull, system: UnitSystem, *, brief: bool) -> list[Mark]:
    tail = _plan(solved.rig.clamp)
    tip = _wanted_tip(solved)
    words = said("picture", "pull", "top", "wanted", show=system.show)
    arrow = Arrow(tail, tip, "wanted", "wanted")
    line = [tail, tip]
    name = FreeLabel(tip, words, "small text", name="label wanted", along=line)
    return [arrow] if brief else [arrow, name]
