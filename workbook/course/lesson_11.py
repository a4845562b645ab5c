"""Safety cables, the line of fire, go or no-go: the gate before pulls under load."""

from __future__ import annotations

from math import atan
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked

if TYPE_CHECKING:
    from workbook.course.lesson import Changes
    from workbook.scenes.loaded_bay import LoadedBay

MOVE, OFF = "people in a wedge", "off: signaller"
HELD = "clamps that the cable holds"
CLAMP: Changes = {"fails": "clamp"}
ANY: Changes = {"fails": "any part"}
THREE: Changes = {**ANY, "rams": "three rams"}
SAME: Changes = {**CLAMP, "cable": "to the same clamp"}
BENCH: Changes = {**CLAMP, "cable": "to the bench"}
TWO: Changes = {**CLAMP, "rams": "three rams", "cable": "through two clamps"}
ASIDE: Changes = {
    **CLAMP,
    "first_angle_deg": 0,
    "you_forward_mm": 4100,
    "you_left_mm": 1350,
}
STRAIGHT: Changes = {**ANY, "first_angle_deg": 0}
PRINTED: Changes = {**STRAIGHT, "half_angle_deg": 5}  # with nobody told to move


def _along(bay: LoadedBay) -> Amount:
    return float(bay.people[0, 0] - bay.clamp[0]), "length"


def _aside(bay: LoadedBay) -> Amount:
    return float(bay.people[0, 1] - bay.clamp[1]), "length"


LESSON = Lesson(
    id="L11",
    minutes=25,
    explorers=(
        Exploration(
            name="bay",
            subject="fire",
            start={"fails": "fork"},
            named={
                "clamp": CLAMP,
                "any": ANY,
                "three": THREE,
                "same": SAME,
                "bench": BENCH,
                "two": TWO,
            },
            front=("fails", "half_angle_deg", "cable"),
            predict=Prediction(
                wrong=("flies_to_the_ram", "flies_to_the_car", "falls_down"),
                givens=("half_angle_deg", "rams"),
            ),
            observe=Observation(amount=MOVE, at=(CLAMP,)),
            readings={
                "three": Observation(amount=MOVE, at=(THREE,)),
                "signaller": Observation(amount=OFF, at=(CLAMP,)),
            },
        ),
    ),
    recall=(
        Asked(name="governs", of="L10"),
        Asked(name="plane", of="L08"),
        Asked(name="stops", of="L01"),
    ),
    by_hand=(Asked(name="as_far"),),
    contrast=(
        Table(
            explorer="bay",
            rows=("same", "bench"),
            columns=(Column(of=HELD), Column(of=MOVE)),
        ),
    ),
    worked=(
        Worked(
            name="aside",
            explorer="bay",
            change=ASIDE,
            given={"along": _along, "aside": _aside, "half": "half_angle_deg"},
            steps=(
                ExampleStep(
                    finds="off",
                    of=lambda g: atan(g.aside / g.along),
                    kind="angle",
                    shown_as=OFF,
                    scene="beside_a_chain",
                ),
                ExampleStep(finds="inside", of=lambda g: g.half - g.off, kind="angle"),
            ),
        ),
    ),
    gates=(
        Gate(
            name="tape",
            options={"step_over": "go", "reach": "go", "lower": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("clamp", "any", "three")),
        Minutes(name="talk", until=7, load=("same", "bench", "two")),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="11.3",
    cautions={"": ("S0",), "2": ("S1", "S2"), "9": ("S3", "S4", "S5", "S14")},
    handout=Handout(
        views=(
            PrintedView(
                explorer="bay",
                seen="above",
                change=PRINTED,
                scales=(
                    Scale(
                        at=(1.7, 0.45), radius=1.5, start=-60, end=60, zero=0, named=30
                    ),
                ),
                hidden=("sweep",),
            ),
        ),
        tables=(
            Table(
                explorer="bay",
                rows=tuple({"half_angle_deg": half} for half in (10, 20, 40)),
                change=ANY,
                columns=(Column(of="half_angle_deg"), Column(of=MOVE)),
            ),
            Table(
                explorer="bay",
                rows=tuple({"first_angle_deg": turn} for turn in (-10, 10, 25)),
                change=CLAMP,
                columns=(Column(of="first_angle_deg"), Column(of=OFF)),
            ),
        ),
        codes=(("bay", STRAIGHT), ("bay", THREE)),
    ),
)
