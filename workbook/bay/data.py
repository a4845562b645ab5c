"""A bay as plain data: all that a page, a report or another program shows of it.

Places are in m in the bench's frame (x forward, y left, z up from the bench's top),
forces in N, pressures in Pa, angles in rad; a part's share is of its rating. Names
are those of acts, floor and shop: a page says them in the reader's language.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.bay.floor import above_bench, bay_floor
from workbook.bay.holding import BayLoads, bay_loads, stand_forces
from workbook.bay.metal import metal_stiffness
from workbook.bay.safety import catches, in_line_of_fire, steps_due
from workbook.errors import WorkbookError
from workbook.scenes.kestrin import kestrin_points

if TYPE_CHECKING:
    from workbook.bay.state import Bay, BayReading, Fault, HoldOut, RamOut

FORM = 1


def as_data(bay: Bay) -> dict[str, Any]:
    """Return a bay as JSON has it: tables, lists, numbers, texts.

    Examples
    --------
    >>> from workbook.bay.job import new_job
    >>> data = as_data(new_job(class_key="oak", student="K7"))
    >>> [*data][:5], len(data["metal"]["nodes_m"][0])
    (['form', 'count', 'brief', 'rules', 'metal'], 9)
    """
    return {
        "form": FORM,
        "count": bay.count,
        "brief": _brief(bay),
        "rules": None
        if bay.rules is None
        else {
            "margin_1": bay.rules.margin,
            "zone_half_angle_rad": bay.rules.half_angle,
        },
        "metal": _metal(bay),
        "rams": [ram_data(bay, ram) for ram in bay.rams.values()],
        "holds": [hold_data(bay, hold) for hold in bay.holds.values()],
        "body": _body(bay),
        "cables": [
            {"name": c.name, "of": [*c.of], "to": c.to, "loose": c.loose}
            for c in bay.cables.values()
        ],
        "people": {who: [*at] for who, at in bay.people.items()},
        "in_line_of_fire": in_line_of_fire(bay) if bay.rules else {},
        "called": [*bay.called],
        "due": [*steps_due(bay)],
        "looked": bay.looked,
        "made_safe": sorted(bay.made_safe),
        "gauge": {
            "air_Pa": bay.air,
            "oil_Pa": bay.pressure,
            "seconds": bay.seconds,
            "shares_of_oil": {name: vars(part) for name, part in bay.oil.items()},
        },
        "signs": [[*sign] for sign in bay.signs],
        "readings": [_reading(reading) for reading in bay.readings],
        "pulls": [
            {
                "first_act": pull.first_act,
                "rams": {name: [*row] for name, row in pull.rams.items()},
                "holds": dict(pull.holds),
                "pressure_Pa": pull.pressure,
                "over": pull.over,
            }
            for pull in bay.pulls
        ],
        "story": None
        if bay.story is None
        else {name: [*told] for name, told in bay.story.items()},
        "answers": [[*key, typed] for key, typed in bay.answers.items()],
        "record": dict(bay.record),
        "faults": [_fault(fault) for fault in bay.faults],
        "stopped": None if bay.stopped is None else _fault(bay.stopped),
        "may_undo": bay.before is not None,
    }


def floor_data() -> dict[str, Any]:
    """Return the bay's floor as JSON has it; the same for every car."""
    floor = bay_floor()
    return {
        "sockets_m": {name: at.tolist() for name, at in floor.sockets.items()},
        "forks": {
            name: {
                "part": fork.name,
                "slots_m": fork.slots.tolist(),
                "looking_out_rad": float(fork.looking_out),
            }
            for name, fork in floor.forks.items()
        },
        "posts_m": {name: at.tolist() for name, at in floor.posts.items()},
        "stations_m": {name: at.tolist() for name, at in floor.stations.items()},
        "places": {name: [*node] for name, node in floor.places.items()},
        "cable_ties": [*floor.ties],
        "people": [*floor.people],
        "points_m": {
            name: at.tolist()
            for name, at in zip(
                kestrin_points().ids,
                above_bench(kestrin_points().positions),
                strict=True,
            )
        },
    }


def _brief(bay: Bay) -> dict[str, Any]:
    """Return what the learner is told of the car: never what only readings tell."""
    car = bay.car
    return {
        "student": car.student,
        "hits": [*car.hits],
        "conditions": [*car.conditions],
        "pump_ratio_1": car.pump_ratio,
        "stiffness_N_per_m": metal_stiffness(car),
        "line": [*car.line],
        "ask": dict(car.ask),
    }


def _metal(bay: Bay) -> dict[str, Any]:
    nodes = above_bench(bay.rails)
    metal: dict[str, Any] = {
        "nodes_m": nodes.tolist(),
        "crossmember_m": above_bench(bay.crossmember).tolist(),
        "bolted": bay.bolted,
        "torn": sorted(bay.metal.torn),
        "places_m": {name: at.tolist() for name, at in bay.places.items()},
        "steps": None,
    }
    if bay.steps is not None:
        steps = bay.steps
        metal["steps"] = {
            "progress_1": steps.history.progress.tolist(),
            "nodes_m": above_bench(steps.rails).tolist(),
            "crossmember_m": above_bench(steps.crossmember).tolist(),
            "stress_1": steps.stress[:, : len(nodes)].tolist(),
            "tension_N": {n: t.tolist() for n, t in steps.tension.items()},
            "events": [[e.step, e.what, e.name] for e in steps.events],
        }
    return metal


def ram_data(bay: Bay, ram: RamOut) -> dict[str, Any]:
    """Return a ram that is set out as JSON has it."""
    here = bay.places[ram.place]
    pull = ram.pull(here)
    shown = {
        **{
            name: getattr(ram, name)
            for name in (
                *("name", "part", "socket", "fork", "slot", "extension", "chain"),
                *("links", "head", "clamp", "place"),
            )
        },
        "open": ram.is_open,
        "taken_up": ram.taken_up,
        "lost": ram.lost,
        "stands": bool(pull.stands),
        "base_m": ram.rig.base.tolist(),
        "anchor_m": ram.rig.anchor.tolist(),
        "clamp_m": here.tolist(),
        "stroke_m": ram.stroke,
        "full_stroke_m": float(ram.rig.full_stroke),
        "ram_force_N": ram.force,
        "cable": catches(bay, ram.name),
    }
    if not pull.stands:  # its chain hangs, and its clamp went where it cannot follow
        return {**shown, **dict.fromkeys(_STANDING)}
    path, pushes = ram.load_path(here), ram.force > 0
    values = (
        pull.head.tolist(),
        bay.slack_of(ram),
        float(pull.pull_tension) * pushes,
        float(pull.anchor_tension) * pushes,
        [
            float(pull.pull_tension / pull.ram_force),
            float(pull.anchor_tension / pull.ram_force),
        ],
        pull.direction.tolist(),
        float(pull.lean),
        float(pull.anchor_angle),
        float(pull.side_angle),
        float(pull.rise),
        str(path.governing),
        {part.place: float(part.share) * pushes for part in path.parts},
    )
    return {**shown, **dict(zip(_STANDING, values, strict=True))}


_STANDING = (
    "head_m", "slack_m", "pull_tension_N", "anchor_tension_N", "per_ram_force_1",
    "direction_1", "lean_rad", "anchor_angle_rad", "side_angle_rad", "rise_rad",
    "governing", "shares_1",
)  # fmt: skip
"""What there is of a ram only while it stands; else null."""


def hold_data(bay: Bay, hold: HoldOut) -> dict[str, Any]:
    """Return a holding chain as JSON has it."""
    return {
        **{
            name: getattr(hold, name)
            for name in ("name", "post", "chain", "clamp", "place", "lost")
        },
        "post_m": bay_floor().posts[hold.post].tolist(),
        "clamp_m": bay.places[hold.place].tolist(),
        "length_m": hold.length,
        "tension_N": hold.tension,
        "cable": catches(bay, hold.name),
    }


def _body(bay: Bay) -> dict[str, Any]:
    body: dict[str, Any] = {
        "stations": [*bay.stations],
        "ties": {t.name: [t.station, t.post] for t in bay.ties.values()},
        "stands": {
            name: force.tolist() for name, (force, _) in stand_forces(bay).items()
        },
        "free_because": None,
        "supports": [],
    }
    try:
        loads = bay_loads(bay)
    except WorkbookError as refusal:
        return {**body, "free_because": refusal.reason}
    return {**body, "supports": _supports(bay, loads)}


def _supports(bay: Bay, loads: BayLoads) -> list[dict[str, Any]]:
    held = loads.held
    forces = np.concatenate([held.clamp_forces, held.stand_forces])
    slips = [*held.slip_shares.tolist(), *([None] * len(loads.support_names))]
    return [
        {
            "name": name,
            "force_on_body_N": force.tolist(),
            "share_1": float(share),
            "slip_share_1": slip,
        }
        for name, force, share, slip in zip(
            loads.support_names, forces, held.shares, slips, strict=False
        )
    ]


def _reading(reading: BayReading) -> dict[str, Any]:
    points = reading.survey.points
    return {
        "act": reading.act,
        "under_load": reading.under_load,
        "base": [*reading.survey.base],
        "rms_residual_m": float(reading.survey.fit.rms_residual),
        "differences_m": {n: d.tolist() for n, d in reading.differences.items()},
        "limits_m": {
            name: float(limit)
            for name, limit in zip(points.ids, np.asarray(points.limits), strict=True)
        },
        "outside": {
            name: beyond.tolist()
            for name, beyond in zip(points.ids, reading.survey.beyond, strict=True)
        },
    }


def _fault(fault: Fault) -> dict[str, Any]:
    return {"name": fault.name, "act": fault.act, "values": dict(fault.values)}
