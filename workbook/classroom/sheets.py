"""What a lesson prints in place of its explorer: a figure to read, tables, codes.

Every number comes from the engine; the set-ups are those of the lesson. What the
prediction asks for stands in no table.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import cos, radians, sin
from typing import Any

from workbook.classroom.protractor import (
    one_view,
    place_of,
    protractor,
    to_read,
    two_views,
)
from workbook.errors import FormError
from workbook.figures.drawing.marks import Label, Line, Mark, Sheet
from workbook.figures.pictures import arrow, bridle, chain_sag, pull
from workbook.mechanics.pull.catenary import stored_energy_of_pull
from workbook.quantities.units import UnitSystem
from workbook.scenes import arrows, bridles, codes, hanging
from workbook.scenes.arrows import Arrows, SolvedArrows
from workbook.scenes.bridles import BridleGiven, SolvedBridle
from workbook.scenes.hanging import Hanging, HungChain, fine_units
from workbook.scenes.setups import Setup, SolvedPull

Values = Mapping[str, Any]
Row = tuple[str, ...]
Figure = Callable[[UnitSystem], Sheet]
Tables = Callable[[UnitSystem], "tuple[Table, ...]"]
Codes = Callable[[], tuple[tuple[str, str], ...]]


@dataclass(frozen=True, kw_only=True)
class Table:
    """Results of an explorer: what is held fixed, the columns and the rows."""

    held: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, kw_only=True)
class LessonSheet:
    """What one lesson prints; ``codes`` are (name, set-up code) pairs."""

    figure: Sheet
    tables: tuple[Table, ...]
    codes: tuple[tuple[str, str], ...]


@cache
def words() -> Mapping[str, Any]:
    """Return the words that only printed pages need."""
    text = files(__package__).joinpath("printed_en.toml").read_text("utf-8")
    return tomllib.loads(text)


def sheet_of(lesson: str, system: UnitSystem) -> LessonSheet:
    """Return what a lesson prints, in the reader's units.

    Parameters
    ----------
    lesson : str
        Such as ``"L07"``.
    system : UnitSystem
        Units of the figure and the tables.

    Raises
    ------
    FormError
        If the lesson has no exercises to print.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> sheet_of("L02", METRIC).tables[0].rows[5]
    ('45.0°', '14.1 kN', '14.1 kN', '28.3 kN')
    """
    if lesson not in _PARTS:
        msg = f"there is no lesson {lesson!r} to print: choose {', '.join(_PARTS)}"
        raise FormError(msg)
    figure, tables, set_ups = _PARTS[lesson]
    return LessonSheet(figure=figure(system), tables=tables(system), codes=set_ups())


def _table(lesson: str, number: int, rows: Sequence[Row], *, amount: str = "") -> Table:
    """Put rows under the words of a lesson's table."""
    said = words()[lesson]["tables"][number]
    return Table(
        held=said["held"].format(amount=amount),
        head=tuple(name.format(amount=amount) for name in said["head"]),
        rows=tuple(rows),
    )


def _named(lesson: str, set_ups: list[str]) -> tuple[tuple[str, str], ...]:
    return tuple(zip(words()[lesson]["codes"], set_ups, strict=True))


# ------------------------------------------------------------------------ lesson 02

OFF = 35  # degrees to read off


def _arrows(**values: Any) -> SolvedArrows:
    return Arrows(values={"tension_kn": 20, "useful_kn": 20, **values}).solved()


def _figure_02(system: UnitSystem) -> Sheet:
    solved = _arrows(angle_deg=OFF)
    view = arrow.grid_view(solved, system, brief=True)
    scale = protractor((0, 0), 0.6 * solved.tension, start=0, end=90, zero=0)
    return one_view(to_read(view, scale, lines=("angle",)), words()["L02"]["figure"])


def _tables_02(system: UnitSystem) -> tuple[Table, ...]:
    show = system.show
    rows = []
    for angle in (0, 5, 10, 15, 30, 45, 60, 75):
        held = _arrows(angle_deg=angle)
        needed = _arrows(angle_deg=angle, held="useful pull")
        forces = (held.useful, abs(held.sideways), needed.tension)
        shown = [show(force, "force") for force in forces]
        rows.append((show(radians(angle), "angle"), *shown))
    return (_table("L02", 0, rows, amount=show(_arrows().tension, "force")),)


def _codes_02() -> tuple[tuple[str, str], ...]:
    needed = {"angle_deg": 60, "held": "useful pull"}
    return _named(
        "L02",
        [
            codes.encode(arrows.WORD, arrows.FIELDS, _arrows(**values).given.values)
            for values in ({"angle_deg": OFF}, {"angle_deg": 60}, needed)
        ],
    )


# ------------------------------------------------------------------------ lesson 07

RIG: Values = {
    "chain_angle_deg": 0,
    "lean_deg": 35,
    "extension_mm": 450,
    "ram_force_kn": 40,
    "clamp_height_mm": 300,
    "clamp_distance_mm": 685,
    "fork_distance_mm": 1253.4,
    "chain_size": "16 mm",
}
ROLLER: Values = {"chain_at_head": "over a fixed roller"}
LEANS = (0, 10, 20, 30, 40)  # degrees from the vertical


def _rig(**values: Any) -> SolvedPull:
    return Setup(values={**RIG, **values}).solved()


def _figure_07(system: UnitSystem) -> Sheet:
    said = words()["L07"]
    view = pull.side_view(_rig(), system)
    scale = [
        *protractor(place_of(view, "clamp"), 0.45, start=0, end=60, zero=0),
        *protractor(place_of(view, "base"), 0.45, start=45, end=90, zero=90),
        *protractor(place_of(view, "anchor"), 0.4, start=90, end=180, zero=180),
    ]
    hidden = ("angle", "swing")
    drawing = to_read(view, scale, caption=said["caption"], lines=hidden)
    return one_view(drawing, said["figure"])


def _tables_07(system: UnitSystem) -> tuple[Table, ...]:
    show = system.show
    leans = [show(radians(lean), "angle") for lean in LEANS]
    rows = [
        (shown, *_split(_rig(lean_deg=lean), system))
        for shown, lean in zip(leans, LEANS, strict=True)
    ]
    over = f"{leans[-1]}, {words()['L07']['roller']}"
    rows.append((over, *_split(_rig(lean_deg=LEANS[-1], **ROLLER), system)))
    return (
        _table("L07", 0, rows, amount=show(_rig().setup.si("ram_force_kn"), "force")),
    )


def _split(solved: SolvedPull, system: UnitSystem) -> Row:
    one, show = solved.pull, system.show
    forward, _, upward = map(float, one.force_on_clamp)
    forces = (float(one.pull_tension), float(one.anchor_tension), forward, upward)
    return (
        show(float(one.rise), "angle"),
        *(show(force, "force") for force in forces),
        show(float(one.travel_ratio), "ratio"),
    )


def _codes_07() -> tuple[tuple[str, str], ...]:
    cases: list[Values] = [{}, {"lean_deg": 12.5}, ROLLER]
    return _named("L07", [_rig(**values).setup.code for values in cases])


# ------------------------------------------------------------------------ lesson 08

SLOT: Values = {
    "chain_angle_deg": 0,
    "lean_deg": 0,
    "extension_mm": 450,
    "clamp_height_mm": 500,
    "clamp_distance_mm": 1500,
    "fork_distance_mm": 600,
    "chain_size": "13 mm",
    "fork_offset_mm": 100,
}


def _slot(**values: Any) -> SolvedPull:
    return Setup(values={**SLOT, **values}).solved()


def _bridle(between_deg: float) -> SolvedBridle:
    return BridleGiven(values={"between_deg": between_deg}).solved()


def _figure_08(system: UnitSystem) -> Sheet:
    said, even = words()["L08"], _bridle(80)
    top = pull.top_view(_slot(), system, brief=True)
    at_clamp = protractor(place_of(top, "clamp"), 0.9, start=-30, end=30, zero=0)
    plan = bridle.plan_view(even, system, brief=True)
    at_ring = protractor(place_of(plan, "head"), 0.24, start=120, end=240, zero=180)
    return two_views(
        to_read(top, at_clamp, caption=said["top"]),
        to_read(plan, at_ring, caption=said["plan"], lines=("angle",)),
        said["figure"],
    )


def _tables_08(system: UnitSystem) -> tuple[Table, ...]:
    show = system.show
    shifts, legs = [], []
    for offset in (0, 100, 150):
        row = [show(offset / 1e3, "length")]
        for extension in (100, 450, 700):
            one = _slot(fork_offset_mm=offset, extension_mm=extension)
            row += [show(one.head_shift, "length"), show(one.steer, "angle")]
        shifts.append(tuple(row))
    for between in (20, 60, 90, 120, 150):
        tension = float(_bridle(between).tensions.left)
        legs.append((show(radians(between), "angle"), show(tension, "force")))
    needed = show(_bridle(80).given.si("pull_kn"), "force")
    return (_table("L08", 0, shifts), _table("L08", 1, legs, amount=needed))


def _codes_08() -> tuple[tuple[str, str], ...]:
    even = codes.encode(bridles.WORD, bridles.FIELDS, _bridle(80).given.values)
    rigs = [_slot().setup.code, _slot(extension_mm=100).setup.code]
    return _named("L08", [*rigs, even])


# ------------------------------------------------------------------------ lesson 09

STIFFNESS = 13e6  # N, of one metre of chain; invented, as the lesson says


def _hung(**values: Any) -> HungChain:
    return Hanging(values=values).solved()


def _figure_09(system: UnitSystem) -> Sheet:
    said, solved = words()["L09"], _hung(slack_mm=100)
    view = chain_sag.side_view(solved, system)
    scale = [
        *protractor(place_of(view, "clamp"), 0.42, start=-45, end=0, zero=0),
        *_ruler(solved, system),
        _tangent(solved),
    ]
    drawing = to_read(
        view,
        scale,
        caption=said["caption"],
        readings=("°", "chain sag"),
        lines=("angle",),
    )
    return one_view(drawing, said["figure"])


def _tangent(solved: HungChain) -> Mark:
    """Return the line that leaves C as steeply as the chain does."""
    slope = float(solved.hung.near_angle_from_horizontal)
    return Line([(0.0, 0.0), (0.6 * cos(slope), 0.6 * sin(slope))], "reference")


def _ruler(solved: HungChain, system: UnitSystem) -> list[Mark]:
    """Return an upright scale at the lowest point, from the straight line down."""
    x, step = float(solved.hung.sag_position), 0.05
    count = int(float(solved.hung.sag) / step) + 2
    marks: list[Mark] = [Line([(x, 0.0), (x, -step * count)], "angle")]
    for k in range(count + 1):
        marks.append(Line([(x, -k * step), (x + 0.03, -k * step)], "angle"))
        if k % 2 == 0:
            named = system.show(k * step, "length")
            marks.append(Label((x, -k * step), named, "small text", (12, 0), "start"))
    return marks


def _tables_09(system: UnitSystem) -> tuple[Table, ...]:
    show = fine_units(system).show
    sags, stored = [], []
    for slack in (5, 10, 20, 60, 100):
        hung = _hung(slack_mm=slack).hung
        row = [show(slack / 1e3, "small length"), show(float(hung.sag), "small length")]
        sags.append((*row, show(float(hung.horizontal_tension), "force")))
    for tension in (7.5e3, 15e3, 30e3):
        stiff = [STIFFNESS / length for length in (1, 2, 3)]
        joules = [float(stored_energy_of_pull(tension, stiffness=k)) for k in stiff]
        stored.append(
            (show(tension, "force"), *(show(energy, "energy") for energy in joules))
        )
    span = show(float(_hung().hung.span), "length")
    return (_table("L09", 0, sags, amount=span), _table("L09", 1, stored))


def _codes_09() -> tuple[tuple[str, str], ...]:
    tight: Values = {"set_by": "chain sag", "sag_mm": 15}
    cases: list[Values] = [{"slack_mm": 100}, tight]
    return _named(
        "L09",
        [
            codes.encode(hanging.WORD, hanging.FIELDS, _hung(**values).given.values)
            for values in cases
        ],
    )


_PARTS: Mapping[str, tuple[Figure, Tables, Codes]] = {
    "L02": (_figure_02, _tables_02, _codes_02),
    "L07": (_figure_07, _tables_07, _codes_07),
    "L08": (_figure_08, _tables_08, _codes_08),
    "L09": (_figure_09, _tables_09, _codes_09),
}
LESSONS = tuple(_PARTS)
"""The lessons that can be printed."""
