"""Stop, measure, move the clamp: five steps on a rail, each with its decision."""

from __future__ import annotations

from math import atan2, degrees, hypot
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
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.course.lesson import Changes
    from workbook.scenes.five_steps import FiveSteps

LEFT, SHARE = "left at the hook", "share of the correction done"
WORST = "worst growth of a reading"
BEARING, RISE = "bearing of what is left", "rise of what is left"
LOADED: Changes = {"moment": "1 under load"}
LET_GO: Changes = {"moment": "1 let go"}
SAME: Changes = {"moment": "2 let go"}
NEW: Changes = {"moment": "2 let go", "decision_2": "new line", "load_2_kn": 30}
FIVE: Changes = {
    "moment": "5 let go",
    **{"load_1_kn": 18, "load_2_kn": 34, "load_3_kn": 14, "load_4_kn": 36},
    **{"load_5_kn": 32, "decision_2": "new line", "decision_3": "new line"},
    **{"decision_4": "move the clamp", "decision_5": "new line"},
}
TWO: Changes = {**FIVE, "moment": "2 let go"}
FORWARD, LEFTWARD, UPWARD = range(3)


def _first(way: int) -> Callable[[FiveSteps], Amount]:
    """Return what the tip lacked one way before any pull."""
    return lambda rail: (float(rail.lacked("hook")[0, way]), "small length")


def _now(way: int) -> Callable[[FiveSteps], Amount]:
    """Return what the tip lacks one way by the reading of now."""
    return lambda rail: (float(rail.reading("hook")[way]), "small length")


WORKED = (
    Worked(
        name="share",
        explorer="rail",
        change=TWO,
        given={
            "ahead": _first(FORWARD),
            "aside": _first(LEFTWARD),
            "up": _first(UPWARD),
            "ahead_now": _now(FORWARD),
            "aside_now": _now(LEFTWARD),
            "up_now": _now(UPWARD),
        },
        steps=(
            ExampleStep(
                finds="start",
                of=lambda g: hypot(g.ahead, g.aside, g.up),
                kind="small length",
                scene="left_in_space",
            ),
            ExampleStep(
                finds="left",
                of=lambda g: hypot(g.ahead_now, g.aside_now, g.up_now),
                kind="small length",
                shown_as=LEFT,
            ),
            ExampleStep(
                finds="share",
                of=lambda g: (g.start - g.left) / g.start,
                kind="share",
                shown_as=SHARE,
                scene="two_bars",
            ),
        ),
    ),
    Worked(
        name="line",
        explorer="rail",
        change=LET_GO,
        given={
            "ahead": _now(FORWARD),
            "aside": _now(LEFTWARD),
            "up": _now(UPWARD),
        },
        steps=(
            ExampleStep(
                finds="bearing",
                of=lambda g: atan2(g.aside, g.ahead),
                kind="angle",
                shown_as=BEARING,
                scene="left_in_space",
            ),
            ExampleStep(
                finds="level",
                of=lambda g: hypot(g.ahead, g.aside),
                kind="small length",
            ),
            ExampleStep(
                finds="rise",
                of=lambda g: atan2(g.up, g.level),
                kind="angle",
                shown_as=RISE,
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L13",
    minutes=25,
    behind=SAFETY_GATE,
    explorers=(
        Exploration(
            name="rail",
            subject="steps",
            named={
                "let_go": LET_GO,
                "same": SAME,
                "new": NEW,
                "five": FIVE,
            },
            telling=(LEFT, BEARING, SHARE),
            predict=Prediction(
                wrong=("keep_the_line", "turn_it_more", "lower_it"),
                givens=("load_1_kn",),
            ),
            observe=Observation(amount=BEARING, at=(LET_GO,)),
            readings={
                "rise": Observation(amount=RISE, at=(LET_GO,)),
                "same": Observation(amount=WORST, at=(SAME,), within=0.04),
                "new": Observation(amount=SHARE, at=(NEW,), within=0.04),
            },
        ),
    ),
    recall=(
        Asked(name="anyone", of="L12"),
        Asked(name="energy", of="L09"),
        Asked(name="correction", of="L06"),
    ),
    by_hand=(
        Asked(
            name="left",
            values={
                "first": hypot(24, 18, 10),
                "left": hypot(10, 6, 7),
                "share": 100 * (1 - hypot(10, 6, 7) / hypot(24, 18, 10)),
                "bearing": degrees(atan2(6, 10)),
                "level": hypot(10, 6),
                "rise": degrees(atan2(7, hypot(10, 6))),
            },
        ),
    ),
    worked=WORKED,
    gates=(
        Gate(
            name="worse",
            options={"press": "go", "walk_up": "go", "let_go": "right"},
        ),
        Gate(
            name="climbs",
            options={"jump": "go", "lower": "right", "hammer": "go"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=6, load=("let_go", "new")),
        Minutes(name="talk", until=8, load=("same",)),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="13.6",
    cautions={"": ("S0",), "3": ("S2",), "9": ("S9",)},
    contrast=(
        Table(
            explorer="rail",
            rows=("start", "let_go"),
            columns=(
                Column(of=_now(FORWARD)),
                Column(of=_now(LEFTWARD)),
                Column(of=_now(UPWARD)),
                Column(of=LEFT),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="rail",
                seen="above",
                change=LET_GO,
                scales=(Scale(at="measured", radius=1.05, start=0, end=90, zero=0),),
                captioned=False,
                readings=("mm left", "in left"),
            ),
        ),
        tables=(
            Table(
                explorer="rail",
                rows=tuple({"load_1_kn": load} for load in (12, 14, 17, 20)),
                change=LET_GO,
                columns=(
                    Column(of="load_1_kn"),
                    Column(of=_now(FORWARD)),
                    Column(of=_now(LEFTWARD)),
                    Column(of=_now(UPWARD)),
                    Column(of=SHARE),
                ),
            ),
            Table(
                explorer="rail",
                rows=("same", "new"),
                columns=(
                    Column(of="load_2_kn"),
                    Column(of=LEFT),
                    Column(of=WORST),
                ),
            ),
        ),
        codes=(("rail", LET_GO), ("rail", SAME), ("rail", NEW)),
    ),
)
