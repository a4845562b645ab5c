"""Pictures of one hung chain: its sag, its end slopes and the energy it can store."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.expected import expected_along
from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    parts,
    path,
)
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import (
    bars_over,
    bars_panel,
    force_bars,
    round_up,
    scale_bar,
)
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.windows import window_for
from workbook.figures.pictures.ratings import chain_over, first, strip
from workbook.figures.subject import Subject
from workbook.mechanics.pull.catenary import curve_points
from workbook.quantities.units import factor
from workbook.scenes.hanging import FIELDS, LINKS, WORD, Hanging, HungChain, fine_units

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Point, Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, HungChain]


def chain_sag_sheet(
    solved: HungChain,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return the picture of a hung chain, from the side.

    Parameters
    ----------
    solved : HungChain
        The chain, or many.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, HungChain)
        Frozen chains to show behind it, each with its letter.
    room : Room
        How much room there is.
    """
    side = side_view(solved, system, ghosts, brief=room.brief, expected=expected)
    stop, wide = chain_over(solved, system.show, brief=room.brief)[1], room.picture[0]
    line = strip(stop, width=wide, letters=room.letters)
    text = where(solved.stands, described(solved, system), show=system.show)
    panels = stacked([(side, 1.0)], room.picture, top=line.height)
    return room.picture_of([*panels, line], text)


def energy_sheet(
    solved: HungChain,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: bars of the energy it stores, and how it grows."""
    bars, curve = energy_bars(solved, system, room), energy_curve(solved, system)
    text = where(solved.stands, bars.caption, show=system.show)
    if room.brief:
        return room.beside_of([bars_panel(bars, room)], text)
    return room.beside_of(bars_over(bars, curve, room), text)


def describe(solved: HungChain, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: HungChain, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    hung, given = solved.hung, solved.given
    tightest = np.maximum(hung.near_tension, hung.far_tension)
    key, amount = {
        "slack": ("length", hung.slack),
        "chain tension": ("tension", tightest),
        "chain sag": ("length", hung.sag),
    }[given.chosen("set_by")]
    working, rise = given.array("working_kn"), hung.rise
    way = np.where(rise > 0, "higher", np.where(rise < 0, "lower", "level"))
    shown = _say(
        "describe",
        system,
        held=_say(("held", key), system, held=given.shown("set_by"), amount=amount),
        hangs=_say(
            ("hangs", way),
            system,
            span=hung.span,
            rise=np.abs(rise),
            slack=hung.slack,
            sag=hung.sag,
        ),
        pulls=_say(
            "pulls",
            system,
            level=hung.horizontal_tension,
            near=hung.near_tension,
            far=hung.far_tension,
        ),
        stores=_say(
            "stores",
            system,
            once=working,
            energy=solved.energy(working),
            twice=2 * working,
            more=solved.energy(2 * working),
            stiffness=_stiffness(solved, system),
        ),
    )
    return first(*chain_over(solved, system.show), shown, system.show)


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "chain_sag", *keys, show=system.show, **values)


def _stiffness(solved: HungChain, system: UnitSystem) -> Text:
    """Say what the stored energy rests on."""
    from_steel = solved.given.chosen("stiffness") == LINKS
    key = "stiffness_from_steel" if from_steel else "stiffness_invented"
    basis = solved.given.shown("stiffness")
    return said("scene", key, show=system.show, basis=basis)


def _curve(solved: HungChain) -> Array:
    return np.stack(curve_points(solved.hung, count=61), axis=-1)


def side_view(
    solved: HungChain,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the chain from the side, at true scale, C on the left and H on the right."""
    hung, curve = solved.hung, _curve(solved)
    near, far = np.zeros(2), solved.far_end
    others = [(letter, _curve(other)) for letter, other in ghosts]
    chord = path([near, far])
    moving: list[Mark] = []
    reach = [curve, chord, *(other for _, other in others)]
    if expected is not None:
        middle, half = chord.mean(axis=-2), 0.06 * far[..., 0]
        reach.append(path([middle, middle - (0.0, expected.band[1])]))
        moving += expected_along(middle, (0.0, -1.0), expected, system, half=half)
    window = _window(reach)
    for letter, other in others:
        name, words = f"ghost {letter}", _say("ghost", system, letter=letter)
        at = other[..., 5 * other.shape[-2] // 6, :]
        moving += [
            Line(other, "ghost", name),
            FreeLabel(at, words, "ghost text", name=f"label {name}", short=letter),
        ]
    near_slope = hung.near_angle_from_horizontal
    far_slope = hung.far_angle_from_horizontal
    moving += [
        Line(chord, "reference", "straight"),
        *_slope(solved, near, near_slope, system, at="C", brief=brief),
        *_slope(solved, far, far_slope, system, at="H", brief=brief),
        Line(curve, "pull leg", "chain"),
        *_sag_mark(solved, system, brief=brief),
        Marker(near, "square", "clamp", "clamp"),
        FreeLabel(near, "C", "strong text", name="label C", rank="point"),
        Marker(far, "disc", "head", "head"),
        FreeLabel(far, "H", "strong text", name="label H", rank="point"),
        *_refused(solved, chord, system),
    ]
    return Drawing(
        caption="" if brief else _say(("side", "caption"), system),
        window=window,
        still=scale_bar(window, system),
        moving=moving,
    )


def _window(curves: Sequence[Array]) -> Window:
    """Return a window with room for the words beyond the ends and below."""
    corners: list[Point] = [
        reach.reduce(curve, axis=-2) for curve in curves for reach in (np.fmin, np.fmax)
    ]
    xs, ys = zip(*map(parts, corners), strict=True)
    wide = np.fmax.reduce(np.broadcast_arrays(*xs))
    ys = np.broadcast_arrays(*ys)
    size = np.maximum(wide, 2 * (np.fmax.reduce(ys) - np.fmin.reduce(ys)))
    step = size / 8
    left, right, low, top = window_for(corners, step=step)
    return (left - 0.36 * size, right + 0.36 * size, low - step, top + step)


def _slope(
    solved: HungChain,
    end: Array,
    slope: Coordinate,
    system: UnitSystem,
    *,
    at: str,
    brief: bool,
) -> list[Mark]:
    """Mark the slope at an end as an arc from the level."""
    way = 1 if at == "C" else -1
    level, radius = (0.0 if at == "C" else np.pi), 0.15 * solved.chord
    words: Text = Amount(np.abs(slope), "angle", system.show)
    if not brief:
        side = np.where(slope * way < 0, "down", "up")
        words = _say(("side", side), system, angle=np.abs(slope))
    x, y = parts(end)
    return [
        Line([end, (x + 1.3 * way * radius, y)], "reference", f"level at {at}"),
        Line(arc(end, radius, level, level + slope), "angle", f"slope at {at}"),
        FreeLabel(
            end,
            words,
            "angle text",
            name=f"label slope at {at}",
            rank="angle",
            short=Amount(np.abs(slope), "angle", system.show),
            shown=solved.stands,
        ),
    ]


def _sag_mark(solved: HungChain, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Mark the chain sag where it is largest, from the straight line down."""
    hung, x = solved.hung, solved.hung.sag_position
    half = 0.015 * hung.span
    top = x * hung.rise / hung.span
    low = top - hung.sag
    words: Text = Amount(hung.sag, "small length", system.show)
    if not brief:
        words = _say(("side", "sag"), system, sag=hung.sag)
    return [
        Line([(x, top), (x, low)], "angle", "sag"),
        *(
            Line([(x - half, y), (x + half, y)], "angle", f"sag, {end}")
            for end, y in (("top", top), ("bottom", low))
        ),
        FreeLabel(
            (x, low),
            words,
            "strong text",
            name="label sag",
            rank="force",
            short=Amount(hung.sag, "small length", system.show),
        ),
    ]


def _refused(solved: HungChain, chord: Array, system: UnitSystem) -> list[Mark]:
    """Mark the middle of a chain that does not hang so, with the reason."""
    fallen, middle = ~solved.stands, chord.mean(axis=-2)
    heavy = solved.given.chosen("set_by") == "chain tension"
    words = _say(("refused", "heavy" if heavy else "straight"), system)
    return [
        Line(chord, "refused", "as it would be", shown=fallen & (not heavy)),
        Marker(middle, "cross", "fails", "fails", shown=fallen),
        FreeLabel(
            middle,
            words,
            "strong text",
            name="label refused",
            rank="warning",
            along=chord,
            shown=fallen,
        ),
    ]


def energy_curve(solved: HungChain, system: UnitSystem) -> Drawing:
    """Draw stored energy against tension, with the working tension and twice it."""
    working, show = solved.given.array("working_kn"), system.show
    twice = 2 * working
    once_energy, twice_energy = solved.energy(working), solved.energy(twice)
    far = round_up(twice, unit=factor(system.unit["force"]))
    top = round_up(twice_energy, unit=factor(system.unit["energy"]))
    # The curve ends where it leaves the frame: energy grows by the square.
    last = np.minimum(far, twice * np.sqrt(top / twice_energy))
    share = np.linspace(0.0, 1.0, 41)
    end = np.stack(np.broadcast_arrays(last / far, solved.energy(last) / top), axis=-1)
    curve = end[..., None, :] * np.stack([share, share**2], axis=-1)
    at_working = (working / far, once_energy / top)
    at_twice = (twice / far, twice_energy / top)
    stiffness = _stiffness(solved, system)
    once_words = _say(("energy", "once"), system, tension=working, energy=once_energy)
    words = _say(("energy", "twice"), system, tension=twice, energy=twice_energy)
    tension, (left, top_of_all) = _say(("energy", "tension"), system), (-0.48, 1.4)
    return Drawing(
        caption=_say(("energy", "caption"), system),
        window=(left, 1.4, -0.2, top_of_all),
        still=[
            Line([(0, 1.06), (0, 0), (1.03, 0)], "angle", "axes"),
            Label(
                (0, 1),
                Amount(top, "energy", show),
                "small text",
                (-6, 0),
                "end",
                name="label top",
                shown=solved.stands,
            ),
            Label(
                (1, 0),
                Amount(far, "force", show),
                "small text",
                (0, 14),
                name="label far",
            ),
            Label(
                (left, top_of_all),
                stiffness,
                "small text",
                (4, 27),
                "start",
                name="label stiffness",
            ),
            Label((0, 0), "0", "small text", (-6, 8), "end", name="label nought"),
            Label(
                (1.03, 0), tension, "small text", (6, 0), "start", name="label tension"
            ),
        ],
        moving=[
            _guide(at_working, "working"),
            _guide(at_twice, "twice"),
            Line(curve, "pull leg", "energy"),
            Marker(at_working, "disc", "head", "working"),
            FreeLabel(at_working, once_words, name="label working", rank="force"),
            Marker(at_twice, "square", "head", "twice"),
            FreeLabel(at_twice, words, name="label twice", rank="force"),
        ],
        true_scale=False,
    )


def _guide(point: Point, name: str) -> Mark:
    x, y = parts(point)
    return Line([(x, 0.0), (x, y), (0.0, y)], "reference", f"guide {name}")


def energy_bars(solved: HungChain, system: UnitSystem, room: Room = PAGE) -> Drawing:
    """Draw the energy at the working tension and at twice it as two bars."""
    working = solved.given.array("working_kn")
    rows = [
        (name, Amount(tension, "force", system.show), solved.energy(tension), role)
        for name, tension, role in (
            ("working", working, "bar pull"),
            ("twice", 2 * working, "bar part"),
        )
    ]
    caption = _say(("bars", "caption"), system)
    return force_bars(rows, caption=caption, system=system, room=room, kind="energy")


def amounts(solved: HungChain) -> Amounts:
    """Return the numbers of a hung chain, most telling first."""
    hung, working = solved.hung, solved.given.array("working_kn")
    return {
        "chain sag": (hung.sag, "small length"),
        "level tension": (hung.horizontal_tension, "force"),
        "stored energy at working tension": (solved.energy(working), "energy"),
        "stored energy at twice that": (solved.energy(2 * working), "energy"),
        "tension at C": (hung.near_tension, "force"),
        "tension at H": (hung.far_tension, "force"),
        "slope at C": (hung.near_angle_from_horizontal, "angle"),
        "slope at H": (hung.far_angle_from_horizontal, "angle"),
        "slack": (hung.slack, "small length"),
        "chain length": (hung.length, "small length"),
        "chain sag from slack, by the tight-chain rule": (
            solved.sag_by_parabola,
            "small length",
        ),
        "slack from chain sag, by the rule": (solved.slack_by_parabola, "small length"),
        "level tension from chain sag, by the rule": (
            solved.tension_by_parabola,
            "force",
        ),
    }


# Only what the chain is held fixed by is in sight of slack, tension and sag.
CHAIN_SAG = Subject(
    name="chain sag",
    word=WORD,
    fields=FIELDS,
    front=("slack_mm", "take_up_kn", "sag_mm", "span_mm"),
    only_with={
        "slack_mm": ("set_by", ("slack",)),
        "take_up_kn": ("set_by", ("chain tension",)),
        "sag_mm": ("set_by", ("chain sag",)),
    },
    held="set_by",
    leaves_out=("end_give", "other_energy", "sudden", "real_ratings"),
    solve=lambda values: Hanging(values=values).solved(),
    amounts=amounts,
    picture=chain_sag_sheet,
    expects={"chain sag": "picture"},
    beside=energy_sheet,
    units=fine_units,
)
