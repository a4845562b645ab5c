"""Pictures of a clamp at the edge of a sheet: what it carries, and where it tears."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    Polygon,
    path,
)
from workbook.figures.drawing.rooms import GAP, PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel, force_bars
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.pictures.load_curve import LoadAxes
from workbook.figures.pictures.ratings import strip
from workbook.figures.subject import Subject
from workbook.scenes.torn_edges import FIELDS, WORD, EdgeGiven, TornEdge

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Path, Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, TornEdge]

# The drawn sheet: how far it goes back from its edge, and half of its width. [m]
DEEP, HALF = 0.075, 0.042
JAW, JAW_LONG = 0.014, 0.022  # half of a jaw's width, and how long it is [m]
TORN = 0.03  # how far what is torn out is drawn from its place [m]
PULL = 1.4e-6  # a newton of a pull, as it is drawn [m]
SIDE = -0.062  # where the sheet lies as it is seen from the side [m]
JAW_HIGH = 0.008  # [m]
CURVE = 210.0  # px, of the curve beside it, in letters of a page


def edge_sheet(
    solved: TornEdge,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the picture of a clamp at an edge, from above and from the side."""
    view = edge_view(solved, system, ghosts, brief=room.brief)
    stop = _say(("stop", _torn(solved)), system)
    line = strip(stop, width=room.picture[0], letters=room.letters)
    text = where(solved.stands, described(solved, system), show=system.show)
    panels = stacked([(view, 1.0)], room.picture, top=line.height)
    return room.picture_of([*panels, line], text)


def beside_sheet(
    solved: TornEdge,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: bars of the pulls, and the rail's own curve."""
    bars = edge_bars(solved, system, room, expected)
    text = where(solved.stands, bars.caption, show=system.show)
    panel = bars_panel(bars, room)
    high = room.beside[1] - panel.height - GAP
    if high < CURVE * room.letters:
        return room.beside_of([panel], text)
    size = (room.beside[0], high)
    curve = curve_view(solved, system, size=size, room=room)
    below = stacked([(curve, 1.0)], room.beside, top=panel.height + GAP)
    return room.beside_of([panel, *below], text)


def describe(solved: TornEdge, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: TornEdge, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    given = solved.given
    values = {
        "edge": given.array("edge_mm"),
        "sheet": given.array("sheet_mm"),
        "strength": given.array("strength_n_per_mm2"),
        "estimate": solved.estimate,
        "pull": solved.pull,
        "load": solved.at_clamp,
        "used": solved.used,
        "rating": solved.rating,
        "between": given.array("between_deg"),
    }
    return _say(
        ("describe", "whole"),
        system,
        clamps=_say(("describe", given.chosen("clamps")), system, **values),
        estimate=_say(("describe", "estimate"), system, **values),
        torn=_say(("describe", _torn(solved)), system, **values),
    )


def _torn(solved: TornEdge) -> Array:
    return np.where(solved.torn, "torn", "holds")


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "sheet_edge", *keys, show=system.show, **values)


def _box(
    left: Coordinate, right: Coordinate, low: Coordinate, top: Coordinate
) -> Array:
    return path([(left, low), (right, low), (right, top), (left, top)])


def edge_view(
    solved: TornEdge,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the sheet, its edge at x = 0, the jaw on it and what shears, true scale."""
    edge, sheet = solved.given.array("edge_mm"), solved.given.array("sheet_mm")
    torn, show = solved.torn, system.show
    out = np.where(torn, TORN, 0.0)
    whole = _box(-DEEP, 0.0, -HALF, HALF)
    slot = path([
        (-DEEP, -HALF), (0.0, -HALF), (0.0, -JAW), (-edge, -JAW), (-edge, JAW),
        (0.0, JAW), (0.0, HALF), (-DEEP, HALF),
    ])  # fmt: skip
    jaw = _box(-edge - JAW_LONG + out, -edge + out, -JAW, JAW)
    tail = np.stack(np.broadcast_arrays(-edge + out, 0.0), axis=-1)
    tip = tail + np.stack(
        np.broadcast_arrays(0.02 + PULL * np.minimum(solved.at_clamp, 5e4), 0.0),
        axis=-1,
    )
    measure = path([(-edge, JAW + 0.012), (0.0 * edge, JAW + 0.012)])
    moving: list[Mark] = [
        Polygon(whole, "body", "sheet", shown=~torn),
        Polygon(slot, "body", "torn sheet", shown=torn),
        Polygon(
            _box(-edge + out, out, -JAW, JAW), "body", "torn out", shown=torn
        ),
        *(
            Line(path([(-edge, y), (0.0 * edge, y)]), "limit", f"shears {side}")
            for side, y in (("left", JAW), ("right", -JAW))
        ),
        Polygon(jaw, "support", "jaw"),
        *_from_the_side(edge, sheet, out),
        Line(measure, "angle", "edge distance"),
        Arrow(tail, tip, "force pull", "pull", shown=~torn),
        Marker((0.0 * edge, 0.0 * edge), "cross", "fails", "torn", shown=torn),
        FreeLabel(
            (0.0 * edge, 0.0 * edge),
            _say(("view", "torn"), system, rating=solved.rating),
            "strong text",
            name="label torn",
            rank="warning",
            shown=torn,
        ),
        FreeLabel(
            tip,
            Amount(solved.at_clamp, "force", show)
            if brief
            else _say(("view", solved.given.chosen("clamps")), system,
                      load=solved.at_clamp),
            "pull text",
            name="label pull",
            rank="force",
            short=Amount(solved.at_clamp, "force", show),
            shown=~torn,
        ),
        FreeLabel(
            measure.mean(axis=-2),
            Amount(edge, "length", show)
            if brief
            else _say(("view", "edge"), system, edge=edge),
            "text",
            name="label edge distance",
            rank="angle",
            along=measure,
            short=Amount(edge, "length", show),
        ),
        FreeLabel(
            (-DEEP, SIDE),
            Amount(sheet, "small length", show)
            if brief
            else _say(("view", "sheet"), system, sheet=sheet),
            "text",
            name="label sheet",
            rank="angle",
            short=Amount(sheet, "small length", show),
        ),
    ]  # fmt: skip
    for letter, other in ghosts:
        line = path([(-other.given.array("edge_mm"), -JAW),
                     (-other.given.array("edge_mm"), JAW)])  # fmt: skip
        name = f"ghost {letter}"
        moving += [
            Line(line, "ghost", name),
            FreeLabel(
                line[..., 0, :],
                _say("ghost", system, letter=letter),
                "ghost text",
                name=f"label {name}",
                short=letter,
            ),
        ]
    return Drawing(
        caption="" if brief else _say(("view", "caption"), system),
        window=(-DEEP - 0.035, 0.115, SIDE - 0.018, HALF + 0.006),
        moving=moving,
    )


def _from_the_side(edge: Array, sheet: Array, out: Array) -> list[Mark]:
    """Draw the sheet's thickness and both jaws as they are seen from the side."""
    half = sheet / 2
    jaws: list[Mark] = []
    for name, way in (("upper", 1.0), ("lower", -1.0)):
        near, far = SIDE + way * half, SIDE + way * (half + JAW_HIGH)
        box: Path = _box(-edge - JAW_LONG + out, -edge + out, near, far)
        jaws.append(Polygon(box, "support", f"{name} jaw, from the side"))
    body = _box(-DEEP, 0.0 * half, SIDE - half, SIDE + half)
    return [Polygon(body, "outside", "sheet, from the side"), *jaws]


def edge_bars(
    solved: TornEdge,
    system: UnitSystem,
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the whole pull, what each clamp carries, and the estimate as bars."""
    rows = [
        ("pull", _say(("bars", "pull"), system), solved.pull, "bar pull"),
        ("clamp", _say(("bars", "clamp"), system), solved.at_clamp, "bar part"),
        ("estimate", _say(("bars", "estimate"), system), solved.estimate, "bar frame"),
    ]
    return force_bars(
        rows,
        caption=_say(("bars", "caption"), system),
        system=system,
        room=room,
        expected=expected,
        rows_of={"estimate of tear-out": "estimate"},
    )


def curve_view(
    solved: TornEdge, system: UnitSystem, *, size: tuple[float, float], room: Room
) -> Drawing:
    """Draw load over movement of the rail that is pulled; it drops where it tears."""
    most = np.stack(np.broadcast_arrays(0.0 * solved.pull, solved.pull), axis=-1)
    axes = LoadAxes.around(
        [solved.curve, most[..., None, :]],
        system=system,
        size=size,
        letters=room.letters,
    )
    curve = axes.at(solved.curve)
    top = np.argmax(np.nan_to_num(solved.curve[..., 1]), axis=-1)
    at = np.take_along_axis(curve, top[..., None, None], axis=-2)[..., 0, :]
    torn = solved.torn & solved.stands
    return Drawing(
        caption="",
        window=axes.window,
        still=axes.marks(system, brief=True),
        moving=[
            Line(curve, "loading", "pull"),
            Marker(at, "cross", "fails", "tears", shown=torn),
            FreeLabel(
                at,
                _say(("curve", "tears"), system),
                "strong text",
                name="label tears",
                rank="force",
                shown=torn,
            ),
        ],
        true_scale=False,
    )


def amounts(solved: TornEdge) -> Amounts:
    """Return the numbers of a clamp at an edge, most telling first."""
    here = 0 * solved.movement
    return {
        "estimate of tear-out": (solved.estimate + here, "force"),
        "pull at each clamp": (solved.at_clamp + here, "force"),
        "share of the estimate": (solved.used + here, "share"),
        "whole pull that tears": (solved.rating + here, "force"),
        "pull left in the chain": (solved.gauge, "force"),
        "movement of the clamp point": (solved.movement, "small length"),
    }


SHEET_EDGE = Subject(
    name="sheet edge",
    word=WORD,
    fields=FIELDS,
    front=("pull_kn", "edge_mm", "clamps"),
    only_with={"between_deg": ("clamps", ("two",))},
    held="metal of the edge",
    solve=lambda values: EdgeGiven(values=values).solved(),
    amounts=amounts,
    picture=edge_sheet,
    beside=beside_sheet,
    expects={"estimate of tear-out": "beside"},
    leaves_out=("jaw_slip", "askew", "warnings", "sudden", "real_sheet"),
)
