"""From gauge to chain, and the whole load path."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.equipment import pick, shop

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.scenes.setups import SolvedPull

BACK = {"lean_deg": -10}


def _share(place: str) -> Callable[[SolvedPull], Amount]:
    """Return what tells the share of its rating that a part uses."""

    def share(pull: SolvedPull) -> Amount:
        [part] = [part for part in pull.load_path.parts if part.place == place]
        return float(part.share), "share"

    return share


def _bore(pull: SolvedPull) -> Amount:
    return pick(shop().rams, pull.setup.chosen("ram")).bore, "length"


def _first_at(pull: SolvedPull) -> Amount:
    return float(pull.load_path.highest_ram_force), "force"


def _gauge_at(pull: SolvedPull) -> Amount:
    return float(pull.load_path.highest_pressure), "pressure"


def _rating(place: str) -> Callable[[SolvedPull], Amount]:
    """Return what tells the rating of a part."""

    def rating(pull: SolvedPull) -> Amount:
        [part] = [part for part in pull.load_path.parts if part.place == place]
        return float(part.rating), "force"

    return rating


def _pull_ratio(pull: SolvedPull) -> Amount:
    return float(pull.pull.pull_tension / pull.pull.ram_force), "ratio"


def _anchor_ratio(pull: SolvedPull) -> Amount:
    return float(pull.pull.anchor_tension / pull.pull.ram_force), "ratio"


WORKED = (
    Worked(
        name="ram",
        explorer="path",
        change={"ram_force_kn": 25},
        given={"pressure": "gauge pressure", "bore": _bore},
        steps=(
            ExampleStep(
                finds="ram_force",
                of=lambda g: g.pressure * pi * g.bore**2 / 4,
                kind="force",
                shown_as="ram force",
                scene="cylinder",
            ),
        ),
    ),
    Worked(
        name="first",
        explorer="path",
        change={"ram_force_kn": 25},
        given={
            "chain": _rating("pull leg"),
            "clamp": _rating("clamp"),
            "slot": _rating("fork slot"),
            "pull_ratio": _pull_ratio,
            "anchor_ratio": _anchor_ratio,
            "bore": _bore,
        },
        steps=(
            ExampleStep(
                finds="chain_limit",
                of=lambda g: g.chain / g.pull_ratio,
                kind="force",
                scene="load_path",
            ),
            ExampleStep(
                finds="clamp_limit", of=lambda g: g.clamp / g.pull_ratio, kind="force"
            ),
            ExampleStep(
                finds="slot_limit", of=lambda g: g.slot / g.anchor_ratio, kind="force"
            ),
            ExampleStep(
                finds="first",
                of=lambda g: min(g.chain_limit, g.clamp_limit, g.slot_limit),
                kind="force",
            ),
            ExampleStep(
                finds="gauge",
                of=lambda g: g.first / (pi * g.bore**2 / 4),
                kind="pressure",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L10",
    minutes=25,
    explorers=(
        Exploration(
            name="path",
            subject="pull",
            start={
                "chain_angle_deg": 0,
                "lean_deg": 35,
                "extension_mm": 450,
                "ram_force_kn": 15,
                "clamp_height_mm": 300,
                "clamp_distance_mm": 685,
                "fork_distance_mm": 1253.4,
                "chain_size": "10 mm",
                "fork": "short fork",
            },
            named={"out": {}, "back": BACK, "strong_chain": {"chain_size": "13 mm"}},
            front=("gauge_bar", "ram_force_kn", "lean_deg"),
            extras=("load path",),
            telling=("gauge pressure", "governing part", "largest share"),
            first_beside="load path",
            curtain=True,
            predict=Prediction(
                exercise="10.4",
                numbers={
                    "chain_rating": 30.9,
                    "clamp_rating": 50,
                    "slot_rating": 30,
                    "pull_ratio": 1.09,
                    "anchor_ratio": 0.63,
                    "bore": 42,
                    "margin": 0.8,
                },
                wrong=("M20_lowest_stamp", "slip_mult_div"),
                givens=("lean_deg", "chain_size", "fork"),
            ),
            observe=Observation(
                amount="ram force", at=({"ram_force_kn": 28.5},), within=0.03
            ),
            readings={
                "gauge": Observation(
                    amount="gauge pressure", at=({"ram_force_kn": 28.5},), within=0.03
                ),
                "back": Observation(
                    amount="ram force",
                    at=({**BACK, "ram_force_kn": 37.5},),
                    within=0.03,
                ),
            },
        ),
    ),
    recall=(
        Asked(name="square", of="L09"),
        Asked(name="legs_differ", of="L07"),
        Asked(name="lift", of="L02"),
    ),
    by_hand=(Asked(name="gauge", values={"force": 200e5 * pi / 4 * 0.042**2 / 1e3}),),
    worked=WORKED,
    gates=(
        Gate(
            name="no_tag",
            options={"like_the_other": "go", "half": "go", "leave": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5),
        Minutes(name="talk", until=7, load=("out", "back", "strong_chain")),
        Minutes(name="name", until=8),
        Minutes(name="feel_tag", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="10.4",
    cautions={"": ("S0",), "2": ("S6", "S7")},
    contrast=(
        Table(
            explorer="path",
            rows=("out", "back"),
            change={"ram_force_kn": 25},
            columns=(
                Column(of="ram_force_kn"),
                Column(of=_share("pull leg")),
                Column(of=_share("fork slot")),
                Column(of=_first_at),
                Column(of=_gauge_at),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="path",
                seen="side",
                change={"ram_force_kn": 25},
                scales=(
                    Scale(at="base", radius=0.36, start=45, end=90, zero=90),
                    Scale(at="anchor", radius=0.4, start=90, end=180, zero=180),
                ),
                hidden=("angle", "swing"),
            ),
        ),
        tables=(
            Table(
                explorer="path",
                rows=tuple({"lean_deg": lean} for lean in (35, 20, 0, -10)),
                change={"ram_force_kn": 25},
                columns=(
                    Column(of="lean_deg"),
                    Column(of="pull leg"),
                    Column(of=_share("pull leg")),
                    Column(of="anchor leg"),
                    Column(of=_share("fork slot")),
                    Column(of=_first_at),
                    Column(of=_gauge_at),
                ),
                held="ram_force_kn",
            ),
            Table(
                explorer="path",
                rows=tuple({"ram": ram} for ram in ("ram 30", "ram 42", "ram 48")),
                change={"ram_force_kn": 25},
                columns=(Column(of=_bore), Column(of="gauge pressure")),
                held="ram_force_kn",
            ),
        ),
        codes=(("path", {"ram_force_kn": 25}), ("path", {**BACK, "ram_force_kn": 25})),
    ),
)
