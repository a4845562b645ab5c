"""Look over the car and write the damage story."""

from __future__ import annotations

from math import atan, pi
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.scenes.hits import HINGE, NOSE, STATIONS

if TYPE_CHECKING:
    from workbook.course.lesson import Changes
    from workbook.scenes.hits import HitCar

DOOR = "gap: left front door, front edge"
LEFT_HOOD, RIGHT_HOOD = "gap: left hood, front", "gap: right hood, front"
FAR = "far front corner, across"
LEFT: Changes = {"depth_mm": 6}
AHEAD: Changes = {**LEFT, "from_deg": 0}
STEEP: Changes = {**LEFT, "from_deg": 45}
TWO: Changes = {
    **LEFT,
    "second_depth_mm": 6,
    "second_corner": "right rear",
    "second_from_deg": -20,
}
PRINTED: Changes = {"from_deg": 40, "depth_mm": 20}


def _hood_long(_car: HitCar) -> Amount:
    return float(STATIONS[NOSE] - STATIONS[HINGE]), "length"


WORKED = (
    Worked(
        name="back",
        explorer="car",
        change=LEFT,
        given={"bearing": "bearing of the hit"},
        steps=(
            ExampleStep(
                finds="pull",
                of=lambda g: (g.bearing + pi) % (2 * pi),
                kind="angle",
                shown_as="bearing of the undoing pull",
                scene="hit_from_above",
                drawn_with={"bearing": "bearing"},
            ),
        ),
    ),
    Worked(
        name="hood",
        explorer="car",
        change={"from_deg": 45, "depth_mm": 16},
        given={
            "front": RIGHT_HOOD,
            "rear": "gap: right hood, rear",
            "distance": _hood_long,
        },
        steps=(
            ExampleStep(
                finds="wider",
                of=lambda g: g.front - g.rear,
                kind="small length",
                scene="uneven_gap",
            ),
            ExampleStep(
                finds="turned",
                of=lambda g: atan(g.wider / g.distance),
                kind="angle",
                finer=1,
                shown_as="hood turned from the right fender",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L01",
    minutes=20,
    explorers=(
        Exploration(
            name="car",
            subject="hit",
            start={"depth_mm": 0},
            named={"left": LEFT, "ahead": AHEAD, "steep": STEEP, "two": TWO},
            predict=Prediction(
                wrong=("far_door", "across_the_hood", "all_alike"),
                givens=("from_deg",),
            ),
            observe=Observation(amount=DOOR, at=(LEFT,), within=0.09),
            readings={
                "far": Observation(amount=FAR, at=(LEFT,)),
                "steep": Observation(amount=LEFT_HOOD, at=(STEEP,), within=0.09),
            },
        ),
    ),
    recall=(
        Asked(name="axes", of="L00"),
        Asked(name="who_decides", of="L00"),
        Asked(name="line_of_fire", of="L00"),
    ),
    by_hand=(Asked(name="undo"),),
    contrast=(
        Table(
            explorer="car",
            rows=("ahead", "left"),
            columns=(
                Column(of=DOOR),
                Column(of=LEFT_HOOD),
                Column(of=RIGHT_HOOD),
                Column(of=FAR),
            ),
        ),
    ),
    worked=WORKED,
    gates=(
        Gate(
            name="smell",
            options={"windows": "go", "quick_look": "go", "stop": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("ahead", "left")),
        Minutes(name="talk", until=7, load=("two",)),
        Minutes(name="name", until=8),
        Minutes(name="stop", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="1.2",
    cautions={"": ("S0",), "2": ("S12", "S13")},
    handout=Handout(
        views=(
            PrintedView(
                explorer="car",
                seen="above",
                change=PRINTED,
                scales=(
                    Scale(
                        at="measured", radius=0.75, start=0, end=90, zero=0, named=30
                    ),
                ),
            ),
        ),
        tables=(
            Table(
                explorer="car",
                rows=tuple({"from_deg": way} for way in (0, 15, 50, 60)),
                change=LEFT,
                columns=(
                    Column(of="from_deg"),
                    Column(of=DOOR),
                    Column(of=LEFT_HOOD),
                    Column(of=RIGHT_HOOD),
                    Column(of=FAR),
                ),
                held="depth_mm",
            ),
        ),
        codes=(("car", PRINTED), ("car", TWO)),
    ),
)
