"""Choose the pull line: against the difference, in all three directions."""

from __future__ import annotations

from math import atan2, cos, hypot, sin
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked

if TYPE_CHECKING:
    from workbook.scenes.lines import SolvedLine

TEN_OFF = {"bearing_deg": -35}
OUT = {"forward_mm": -24, "left_mm": 18, "up_mm": -10}


def _back(line: SolvedLine) -> Amount:
    return -float(line.difference[0]), "small length"


def _left(line: SolvedLine) -> Amount:
    return float(line.difference[1]), "small length"


def _low(line: SolvedLine) -> Amount:
    return -float(line.difference[2]), "small length"


WORKED = (
    Worked(
        name="direction",
        explorer="line",
        change=OUT,
        given={"length": _back, "width": _left, "height": _low},
        steps=(
            ExampleStep(
                finds="bearing",
                of=lambda g: atan2(g.width, g.length),
                kind="angle",
                scene="point_in_space",
            ),
            ExampleStep(
                finds="level",
                of=lambda g: hypot(g.length, g.width),
                kind="small length",
            ),
            ExampleStep(
                finds="rise",
                of=lambda g: atan2(g.height, g.level),
                kind="angle",
                shown_as="correction: rise",
            ),
        ),
    ),
    Worked(
        name="off",
        explorer="line",
        change=TEN_OFF,
        given={"tension": "tension_kn", "off": "off the correction"},
        steps=(
            ExampleStep(
                finds="along",
                of=lambda g: g.tension * cos(g.off),
                kind="force",
                shown_as="along the correction",
                scene="one_pull",
                drawn_with={"angle": "off"},
            ),
            ExampleStep(
                finds="across",
                of=lambda g: g.tension * sin(g.off),
                kind="force",
                shown_as="across the correction",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L06",
    minutes=25,
    explorers=(
        Exploration(
            name="line",
            subject="pull line",
            start={
                "forward_mm": -20,
                "left_mm": 20,
                "up_mm": 0,
                "bearing_deg": -45,
                "tension_kn": 20,
            },
            named={
                "on": {},
                "ten_off": TEN_OFF,
                "straight": {"bearing_deg": 0},
                "low": {"up_mm": -10},
            },
            predict=Prediction(
                exercise="6.4",
                numbers={"tension": 20, "off": 10},
                wrong=(
                    "M07_small_angle_harmless",
                    "M02_sin_cos",
                    "M04_in_step_with_angle",
                ),
                givens=("tension_kn", "bearing_deg"),
            ),
            observe=Observation(amount="across the correction", at=(TEN_OFF,)),
            readings={
                "along": Observation(amount="along the correction", at=(TEN_OFF,)),
                "rise": Observation(amount="correction: rise", at=({"up_mm": -10},)),
            },
        ),
        Exploration(
            name="two",
            subject="arrow",
            start={
                "tension_kn": 12,
                "angle_deg": -30,
                "second": "at the same point",
                "second_kn": 5,
                "between_deg": 70,
            },
            front=("second_kn", "between_deg", "angle_deg"),
            telling=(
                "second pull",
                "together, sideways, plus left",
                "together, on the wanted line",
            ),
            predict=Prediction(
                exercise="6.5",
                numbers={"first": 12, "between": 70, "wanted": 30},
                wrong=("turned_about", "M06_half_way"),
                givens=("tension_kn", "angle_deg", "between_deg"),
            ),
            observe=Observation(
                amount="second pull", at=({"second_kn": 9.33},), within=0.03
            ),
        ),
    ),
    recall=(
        Asked(name="sideways", of="L02"),
        Asked(name="minus", of="L00"),
        Asked(name="together", of="L02"),
    ),
    by_hand=(Asked(name="tips", values={"moment": 24 * (0.7 - 0.3)}),),
    worked=WORKED,
    gates=(
        Gate(
            name="walkway",
            options={"watch": "go", "rope": "go", "close": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("on", "ten_off")),
        Minutes(name="talk", until=7),
        Minutes(name="name", until=8),
        Minutes(name="explore_rise", until=9, load=("low",)),
        Minutes(name="exit", until=10),
    ),
    exit="6.2",
    cautions={"": ("S0",), "2": ("S1", "S2")},
    contrast=(
        Table(
            explorer="line",
            rows=("on", "ten_off"),
            columns=(
                Column(of="along the correction"),
                Column(of="across the correction"),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="line",
                seen="above",
                change={**OUT, "bearing_deg": -20, "rise_deg": 10},
                scales=(
                    Scale(at="out of place", radius=0.055, start=-90, end=0, zero=0),
                ),
                hidden=("angle",),
            ),
        ),
        tables=(
            Table(
                explorer="line",
                rows=tuple({"bearing_deg": -45 + off} for off in (0, 5, 15, 20, 45)),
                columns=(
                    Column(of="bearing_deg"),
                    Column(of="along the correction"),
                    Column(of="across the correction"),
                ),
                held="tension_kn",
            ),
            Table(
                explorer="line",
                rows=tuple({"pull_height_mm": high} for high in (250, 450, 650, 850)),
                columns=(
                    Column(of="pull_height_mm"),
                    Column(of="moment about the hold"),
                ),
                held="hold_height_mm",
            ),
        ),
        codes=(
            ("line", {**OUT, "bearing_deg": -20, "rise_deg": 10}),
            ("line", TEN_OFF),
        ),
    ),
)
