"""A job that goes well, act by act; each test takes of it what it needs."""

from itertools import pairwise

from workbook.bay.floor import bay_floor
from workbook.bay.job import do, new_job
from workbook.exercises.bank.lesson_11 import STEPS

CODES = {"class_key": "oak", "student": "S0"}
CHAIN = "13 mm chain, grade 8, EN 818-2"
BEGIN = {"act": "begin", "version": 2, "rating_margin": 0.9, "zone_half_angle_deg": 20}
AHEAD = {
    "act": "set_out",
    "ram": "A",
    "part": "ram 48",
    "socket": "ahead left",
    "fork": "ahead left",
    "slot": 0,
    "extension": "extension 75",
    "chain": CHAIN,
    "links": 25,
    "head": "large head",
    "clamp": "broad clamp",
    "place": "left tip",
}
SIDE = {
    **AHEAD,
    "ram": "B",
    "part": "ram 42",
    "socket": "side left",
    "fork": "side left",
    "extension": "extension 150",
    "links": 27,
}
STATIONS = ("left front", "right front", "left rear", "right rear")


def anchored(car):
    """Return what comes before the first chain."""
    return [
        BEGIN,
        *({"act": "make_safe", "what": what} for what in car.stoppers),
        {"act": "survey"},
        *({"act": "clamp", "station": station} for station in STATIONS),
        {"act": "tie", "name": "t1", "station": "left rear", "post": "rear left"},
        {"act": "tie", "name": "t2", "station": "right rear", "post": "rear right"},
    ]


def ready(*chains):
    """Return the chains hooked on, all made safe, valves open, slack taken up."""
    names = [chain.get("ram", chain.get("name")) for chain in chains]
    rams = [chain["ram"] for chain in chains if "ram" in chain]
    away = {
        who: [-500, 2800 + 100 * place]
        for place, who in enumerate(sorted({*bay_floor().people} - {"measurer"}))
    }
    away["measurer"] = [-500, -3000]
    return [
        *chains,
        {"act": "cable", "name": "k", "of": names, "to": "cowl ring", "loose": False},
        {"act": "people", "at": away},
        *({"act": "valve", "ram": ram, "open": True} for ram in rams),
        *({"act": "call", "step": step} for step in STEPS),
        {"act": "take_up"},
        {"act": "look"},
    ]


def pumped(*steps):
    return [{"act": "pump", "air_bar": step} for step in steps]


def pumped_to(car, *oil_bar):
    """Return steps of the pump to each of some pressures of oil."""
    steps = [b - a for a, b in pairwise((0, *oil_bar))]
    return pumped(*(round(step / car.pump_ratio, 4) for step in steps))


def every_state(acts, **codes):
    """Return the bay after each of some acts."""
    bays = [new_job(**(codes or CODES))]
    for act in acts:
        bays.append(do(bays[-1], act))
    return bays
