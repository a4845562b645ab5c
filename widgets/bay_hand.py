"""What of an open form can be taken in the picture of the practice bay.

Each thing goes from place to place: of a ram its base from socket to socket, its hook
from slot to slot, its clamp along the metal, its head by the extension, its chain by
links. Where it is put is written in the form, and what is chosen there moves it: the
form is the other way in. What is asked for is drawn as it would stand.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from widgets.bay_forms import ASKS, DRAWN, FormPart, made_of
from widgets.hand import in_shares
from workbook.bay.data import hold_data, ram_data
from workbook.bay.floor import bay_floor
from workbook.bay.job import do
from workbook.bay.setting_out import rig_of
from workbook.equipment import pick, shop
from workbook.errors import WorkbookError
from workbook.figures.drawing.windows import placed
from workbook.figures.pictures.bay_rigs import STANDS_OVER
from workbook.figures.pictures.practice_bay import stand_place
from workbook.language import say
from workbook.mechanics.pull.linkage import solve_pulls
from workbook.scenes.kestrin_rail import SIDES

if TYPE_CHECKING:
    from workbook.bay.state import Bay
    from workbook.figures.drawing.marks import Panel, Sheet
    from workbook.figures.drawing.views import Viewpoint
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

WORDS = "practice_bay"
LINKS = range(5, 71)  # that can be taken up by hand; more can be typed
UP = np.array([0.0, 0.0, 1.0])
Given = Mapping[str, object]


@dataclass(frozen=True, kw_only=True, eq=False)
class Spots:
    """One thing to be taken: where it can be put, and what each place writes.

    Attributes
    ----------
    name : str
        What it is, below ``grip`` in ``practice_bay.toml``.
    points : sequence of ndarray, shape (3,)
        Its places; nan where it would not stand. [m]
    called : sequence of str
        Of each place.
    puts : sequence of mapping
        What each place gives in the form, by part.
    at : int
        Which of them it has now.
    """

    name: str
    points: Sequence[Array]
    called: Sequence[str]
    puts: Sequence[Mapping[str, str]]
    at: int

    def told(self, view: Viewpoint, sheet: Sheet) -> dict[str, Any] | None:
        """Return it as the page takes a grip; nothing where it has no place."""
        stops = [k for k, at in enumerate(self.points) if np.isfinite(at).all()]
        if self.at not in stops:
            return None
        size = (sheet.width, sheet.height)
        spots = [
            in_shares(seen_at(self.points[k], view, sheet.panels[0]), size)
            for k in stops
        ]
        return {
            "name": self.name,
            "field": f"at {self.name}",
            "label": say(WORDS, "grip", self.name),
            "at": spots[stops.index(self.at)],
            "way": [0.0, 0.0],
            "locked": len(stops) < 2,
            "stops": stops,
            "spots": spots,
            "names": [self.called[k] for k in stops],
            "text": self.called[self.at],
            "value": self.at,
            "low": stops[0],
            "high": stops[-1],
            "step": 1,
            "grain": 1,
            "shown": {"per": 1, "places": 0, "ending": ""},
        }


@dataclass(frozen=True, kw_only=True, eq=False)
class Ahead:
    """What a form would do: grips by field, the plan as it is drawn, and words."""

    grips: Mapping[str, Spots] = field(default_factory=dict)
    plan: Mapping[str, Any] = field(default_factory=dict)
    words: str = ""


def seen_at(point: Array, view: Viewpoint, panel: Panel) -> Array:
    """Return where a point in space is on a sheet. [px]"""
    x0, y0, kx, ky = placed(panel)
    x, y = view.at(point)
    return np.array([x0 + kx * x, y0 - ky * y])


def floor_from(view: Viewpoint, sheet: Sheet) -> list[list[float]] | None:
    """Return what makes a place on the floor [m] of one on the picture, (2, 3).

    Of a place in shares of the picture's width and height, and one. ``None`` where the
    floor is seen from too low.
    """
    zero, ahead, left = (
        in_shares(seen_at(np.array(at), view, sheet.panels[0]), (1.0, 1.0))
        for at in ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    )
    ways = np.array([np.subtract(ahead, zero), np.subtract(left, zero)]).T
    if abs(np.linalg.det(ways)) < LOWEST * np.abs(ways).max() ** 2:
        return None
    size = np.diag([sheet.width, sheet.height])
    back = np.linalg.inv(ways)
    whole = np.column_stack([back @ size, -back @ np.array(zero)])
    found: list[list[float]] = whole.tolist()
    return found


LOWEST = 0.2  # of its true size, a floor on which a place can be pointed at


def look_ahead(
    bay: Bay,
    name: str,
    given: Given,
    *,
    places: Mapping[str, Array],
    system: UnitSystem,
) -> Ahead:
    """Return what can be taken of an open form, and how it would stand.

    Parameters
    ----------
    bay : Bay
    name : str
        The act that the form is of.
    given : mapping
        What is chosen and typed in it, as the page sends it.
    places : mapping of str to ndarray, shape (3,)
        Where each place on the metal is drawn. [m]
    system : UnitSystem
    """
    if name not in DRAWN:
        return Ahead()
    parts = {part.name: part for part in ASKS[name](bay, system)}
    read = {part: _read(one, given.get(part)) for part, one in parts.items()}
    if any(value is None for part, value in read.items() if part != "links"):
        return Ahead()
    where = {**_where(), "place": places}
    grips = {
        spots.name: spots
        for part, one in parts.items()
        if part in where and not (name == "set_out" and part in HOOKED)
        for spots in [_of_choice(one, where[part], read[part])]
    }
    if name == "set_out":
        return _ram_ahead(bay, parts, read, grips, system)
    if name == "hold":
        return _hold_ahead(bay, read, grips, system)
    return Ahead(grips=_by_field(grips))


HOOKED = ("fork", "slot")


def _where() -> dict[str, Mapping[str, Array]]:
    """Return by part of a form where each of its options is."""
    floor = bay_floor()
    return {
        "station": floor.stations,
        "post": floor.posts,
        "socket": floor.sockets,
        "side": {side: stand_place(side)[1] for side in SIDES},
    }


def _read(part: FormPart, given: object) -> Any:
    """Return what is given in a part; the first choice where there is none yet."""
    if part.how == "choice":
        values = [value for value, _ in part.options]
        try:
            chosen = part.read(given)
        except ValueError:
            chosen = None
        return chosen if chosen in values else next(iter(values), None)
    try:
        return part.read(given)
    except WorkbookError:
        return part.read(part.first) if part.first else None


def _of_choice(part: FormPart, where: Mapping[str, Array], chosen: Any) -> Spots:
    values = [value for value, _ in part.options]
    return Spots(
        name=part.name,
        points=[np.asarray(where[value]) for value in values],
        called=[called for _, called in part.options],
        puts=[{part.name: json.dumps(value)} for value in values],
        at=values.index(chosen),
    )


def _by_field(grips: Mapping[str, Spots]) -> dict[str, Spots]:
    return {f"at {name}": spots for name, spots in grips.items()}


# --------------------------------------------------------------------------- a ram


def _ram_ahead(
    bay: Bay,
    parts: Mapping[str, FormPart],
    read: dict[str, Any],
    grips: dict[str, Spots],
    system: UnitSystem,
) -> Ahead:
    floor, leg = bay_floor(), pick(shop().chains, read["chain"])
    slots = floor.forks[read["fork"]].slots
    most = len(slots) // 2
    slot = int(np.clip(read["slot"], -most, most))
    hooked = {
        "part": read["part"],
        "socket": read["socket"],
        "place": read["place"],
        "anchor": slots[slot + most],
    }
    words = ""
    if read["links"] is None:
        read["links"] = _upright(bay, read, hooked, pitch=float(leg.pitch))
        words = say(WORDS, "ahead", "links", links=read["links"])
    each = np.array([*LINKS]) * leg.pitch
    rig = rig_of(bay, extension=read["extension"], anchor_leg=each, **hooked)
    heads = np.asarray(solve_pulls(rig, ram_force=1.0).head)
    extensions = parts["extension"].options
    by_extension = [
        _head_of(bay, value, read["links"] * leg.pitch, hooked)
        for value, _ in extensions
    ]
    at = [value for value, _ in extensions].index(read["extension"])
    here = by_extension[at]
    if not np.isfinite(here).all():  # it would not stand: it is taken where it is drawn
        here = by_extension[at] = rig.base + STANDS_OVER
    by_links = [*(heads + hooked["anchor"]) / 2]
    count = read["links"] - LINKS.start
    if 0 <= count < len(by_links):
        by_links[count] = (here + hooked["anchor"]) / 2
    grips = {
        "hook": _hook(read["fork"], slot),
        "extension": Spots(
            name="extension",
            points=by_extension,
            called=[called for _, called in extensions],
            puts=[{"extension": json.dumps(value)} for value, _ in extensions],
            at=at,
        ),
        "links": Spots(
            name="links",
            points=by_links,
            called=[say(WORDS, "links", count=count) for count in LINKS],
            puts=[{"links": str(count)} for count in LINKS],
            at=count,
        ),
        **grips,
    }
    out = bay.rams.get(read["ram"])
    if out is not None and all(
        getattr(out, part) == value for part, value in read.items() if part != "ram"
    ):
        return Ahead(grips=_by_field(grips))  # it stands so already
    try:
        after = do(bay, made_of("set_out", read))
        ram = ram_data(after, after.rams[read["ram"]])
    except WorkbookError as refusal:
        ram = _fallen(read, hooked)
        reason = refusal.spoken(system.show)
        words = say(WORDS, "ahead", "refused", reason=reason)
    return Ahead(grips=_by_field(grips), plan={"ram": ram}, words=words)


def _upright(
    bay: Bay, read: Mapping[str, Any], hooked: Mapping[str, Any], *, pitch: float
) -> int:
    """Return how many links let the ram stand upright, as near as links go."""
    rig = rig_of(bay, extension=read["extension"], anchor_leg=pitch, **hooked)
    over = rig.base + (rig.closed_length + rig.extension) * UP
    return max(1, round(float(np.linalg.norm(over - rig.anchor)) / pitch))


def _head_of(
    bay: Bay, extension: str, anchor_leg: float, hooked: Mapping[str, Any]
) -> Array:
    rig = rig_of(bay, extension=extension, anchor_leg=anchor_leg, **hooked)
    return np.asarray(solve_pulls(rig, ram_force=1.0).head)


def _hook(fork: str, slot: int) -> Spots:
    """Return the hook of the anchor leg: every slot of every fork."""
    at: list[tuple[str, int]] = []
    points: list[Array] = []
    for name, one in bay_floor().forks.items():
        most = len(one.slots) // 2
        at += [(name, k) for k in range(-most, most + 1)]
        points += [*one.slots]
    return Spots(
        name="hook",
        points=points,
        called=[say(WORDS, "hooked", fork=name, slot=k) for name, k in at],
        puts=[{"fork": json.dumps(name), "slot": str(k)} for name, k in at],
        at=at.index((fork, slot)),
    )


def _fallen(read: Mapping[str, Any], hooked: Mapping[str, Any]) -> dict[str, Any]:
    """Return what can be drawn of a ram that would not stand."""
    return {
        "name": read["ram"],
        "place": read["place"],
        "part": read["part"],
        "base_m": bay_floor().sockets[read["socket"]].tolist(),
        "anchor_m": hooked["anchor"].tolist(),
        "head_m": None,
        "stroke_m": 0.0,
        "pull_tension_N": None,
        "taken_up": False,
        "lost": False,
    }


def _hold_ahead(
    bay: Bay,
    read: Mapping[str, Any],
    grips: Mapping[str, Spots],
    system: UnitSystem,
) -> Ahead:
    try:
        after = do(bay, made_of("hold", read))
    except WorkbookError as refusal:
        reason = refusal.spoken(system.show)
        words = say(WORDS, "ahead", "refused", reason=reason)
        return Ahead(grips=_by_field(grips), words=words)
    held = hold_data(after, after.holds[read["name"]])
    return Ahead(grips=_by_field(grips), plan={"hold": held})
