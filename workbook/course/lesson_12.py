"""First rough pull: several rams on one air line."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import (
    SAFETY_GATE,
    Asked,
    Exploration,
    Gate,
    Lesson,
    Observation,
)
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.scenes.shared_line import RAMS

if TYPE_CHECKING:
    from workbook.course.lesson import Changes

FORCE, TIME, SUM = "force of ram 2", "time until the stall", "pulls together"
SHUT: Changes = {f"{name}_valve": "closed" for name in RAMS}
ONE: Changes = {**SHUT, "second_valve": "open"}
THREE: Changes = {f"{name}_valve": "open" for name in RAMS}
UNLIKE: Changes = {
    **THREE,
    "first_resists_kn": 24,
    "third_resists_kn": 12,
    "third_bore_mm": 30,
}
FAN: Changes = {**THREE, "first_angle_deg": 30, "third_angle_deg": -30}
MISTAKE: Changes = {**FAN, "third_valve": "closed"}
PRINTED: Changes = {
    **THREE,
    "first_angle_deg": 25,
    "second_valve": "closed",
    "third_angle_deg": -15,
}


LESSON = Lesson(
    id="L12",
    minutes=25,
    behind=SAFETY_GATE,
    explorers=(
        Exploration(
            name="line",
            subject="rams",
            start=SHUT,
            named={
                "one": ONE,
                "three": THREE,
                "unlike": UNLIKE,
                "fan": FAN,
                "mistake": MISTAKE,
            },
            front=("first_valve", "second_valve", "third_valve"),
            telling=(FORCE, SUM, TIME),
            predict=Prediction(
                wrong=("M22_pressure_shared", "line_pushes_harder", "half_for_company"),
                givens=("supply_bar", "second_bore_mm"),
            ),
            observe=Observation(amount=FORCE, at=(THREE,)),
            readings={
                "time": Observation(amount=TIME, at=(THREE,), within=0.03),
                "first": Observation(amount="first to move", at=(UNLIKE,)),
                "turn": Observation(amount="direction together", at=(MISTAKE,)),
            },
        ),
    ),
    recall=(
        Asked(name="both_ends", of="L11"),
        Asked(name="gauge", of="L10"),
        Asked(name="off_centre", of="L03"),
    ),
    by_hand=(Asked(name="push", values={"force": 150 * pi * 36**2 / 4 / 1e4}),),
    contrast=(
        Table(
            explorer="line",
            rows=("one", "three"),
            columns=(
                Column(of=FORCE),
                Column(of=TIME),
                Column(of=SUM),
                Column(of="clamp that carries most"),
            ),
        ),
    ),
    worked=(
        Worked(
            name="third",
            explorer="line",
            change=UNLIKE,
            given={
                "supply": "supply_bar",
                "bore": "third_bore_mm",
                "resists": "third_resists_kn",
            },
            steps=(
                ExampleStep(
                    finds="force",
                    of=lambda g: g.supply * pi / 4 * g.bore**2,
                    kind="force",
                    shown_as="force of ram 3",
                    scene="cylinder",
                ),
                ExampleStep(
                    finds="needed",
                    of=lambda g: g.resists / (pi / 4 * g.bore**2),
                    kind="pressure",
                    shown_as="ram 3 moves at",
                ),
            ),
        ),
        Worked(
            name="time",
            explorer="line",
            change=THREE,
            given={
                "bore": "second_bore_mm",
                "stroke": "ram 2 comes out",
                "flow": "flow_l_per_min",
                "rams": lambda line: (float(line.moves.sum()), "count"),
            },
            steps=(
                ExampleStep(
                    finds="time",
                    of=lambda g: g.rams * pi / 4 * g.bore**2 * g.stroke / g.flow,
                    kind="time",
                    shown_as=TIME,
                    scene="rams_on_line",
                    drawn_with={"rams": "rams"},
                ),
            ),
        ),
    ),
    gates=(
        Gate(
            name="shout",
            options={"whose": "go", "finish": "go", "stop": "right"},
        ),
        Gate(
            name="runs_ahead",
            options={"more": "go", "watch_big": "go", "stop": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("one", "three")),
        Minutes(name="talk", until=7, load=("unlike",)),
        Minutes(name="name", until=8),
        Minutes(name="drill", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="12.4",
    cautions={"": ("S0",), "2": ("S11",), "3": ("S1", "S5"), "9": ("S4",)},
    handout=Handout(
        views=(
            PrintedView(
                explorer="line",
                seen="above",
                change=PRINTED,
                scales=(
                    Scale(at=(0.9, 0.6), radius=1.33, start=0, end=40, zero=0),
                    Scale(at=(0.9, -0.6), radius=1.33, start=-40, end=0, zero=0),
                ),
            ),
        ),
        tables=(
            Table(
                explorer="line",
                rows=tuple({"supply_bar": supply} for supply in (140, 180, 220)),
                change=UNLIKE,
                columns=(
                    Column(of="supply_bar"),
                    *(Column(of=f"ram {k} comes out") for k in (1, 2, 3)),
                ),
            ),
            Table(
                explorer="line",
                rows=tuple({"second_angle_deg": turn} for turn in (0, 10, 20)),
                change=MISTAKE,
                columns=(
                    Column(of="second_angle_deg"),
                    Column(of=SUM),
                    Column(of="direction together"),
                ),
                held="supply_bar",
            ),
        ),
        codes=(("line", PRINTED), ("line", UNLIKE)),
    ),
)
