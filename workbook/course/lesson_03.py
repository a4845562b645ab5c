"""Anchor the vehicle: what each clamp carries, and what turns and lifts the body."""

from __future__ import annotations

from math import cos, sin
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Column, Table
from workbook.course.worked import ExampleStep, Worked

if TYPE_CHECKING:
    from workbook.course.lesson import Changes

OFF: Changes = {"side_mm": 400}
RISING: Changes = {"rise_deg": 30}
BOTH: Changes = {**OFF, "hold": "both ways"}
TIED: Changes = {**OFF, "tie": "back", "tie_side_mm": 400}
PRINTED: Changes = {"side_mm": 250, "rise_deg": 22, "pull_kn": 30}

WORKED = (
    Worked(
        name="off",
        explorer="body",
        change=OFF,
        given={"pull": "pull_kn", "offset": "side_mm", "width": "width_mm"},
        steps=(
            ExampleStep(
                finds="even",
                of=lambda g: g.pull / 4,
                kind="force",
                scene="pull_off_centre",
            ),
            ExampleStep(
                finds="extra",
                of=lambda g: g.pull * g.offset / (2 * g.width),
                kind="force",
            ),
            ExampleStep(
                finds="heavy",
                of=lambda g: g.even + g.extra,
                kind="force",
                shown_as="most loaded clamp",
            ),
            ExampleStep(
                finds="light",
                of=lambda g: g.even - g.extra,
                kind="force",
                shown_as="least loaded clamp",
            ),
            ExampleStep(
                finds="yaw",
                of=lambda g: g.pull * g.offset,
                kind="moment",
                shown_as="yaw moment",
            ),
        ),
    ),
    Worked(
        name="rising",
        explorer="body",
        change=RISING,
        given={
            "tension": "pull_kn",
            "rise": "rise_deg",
            "ahead": "hook_ahead_mm",
            "spacing": "spacing_mm",
        },
        steps=(
            ExampleStep(
                finds="level",
                of=lambda g: g.tension * cos(g.rise),
                kind="force",
                shown_as="level pull",
                scene="pull_ahead_of_clamps",
                drawn_with={"rise": "rise"},
            ),
            ExampleStep(
                finds="lift",
                of=lambda g: g.tension * sin(g.rise),
                kind="force",
                shown_as="lift of the pull",
            ),
            ExampleStep(
                finds="front",
                of=lambda g: g.lift * (g.ahead + g.spacing) / g.spacing,
                kind="force",
                shown_as="front pair lift",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L03",
    minutes=25,
    explorers=(
        Exploration(
            name="body",
            subject="anchoring",
            start={"spacing_mm": 2000, "hook_ahead_mm": 800},
            named={
                "middle": {},
                "off": OFF,
                "rising": RISING,
                "both": BOTH,
                "tied": TIED,
            },
            predict=Prediction(
                exercise="3.1",
                numbers={"pull": 24, "offset": 400, "width": 1500},
                wrong=("M25_even_share", "extra_over_four", "whole_width_missed"),
                givens=("pull_kn", "width_mm"),
            ),
            observe=Observation(amount="most loaded clamp", at=(OFF,)),
            readings={
                "yaw": Observation(amount="yaw moment", at=(OFF,)),
                "lift": Observation(amount="front pair lift", at=(RISING,)),
                "both": Observation(amount="most along one clamp", at=(BOTH,)),
            },
        ),
    ),
    recall=(
        Asked(name="level_part", of="L02"),
        Asked(name="undo", of="L01"),
        Asked(name="plus_left", of="L00"),
    ),
    by_hand=(Asked(name="lifted", values={"force": 10 * (0.7 + 1.8) / 1.8}),),
    worked=WORKED,
    gates=(
        Gate(
            name="crept",
            options={"tighten": "go", "watch": "go", "lower": "right"},
        ),
    ),
    exit="3.2",
    cautions={"": ("S0",), "2": ("S2", "S6")},
    contrast=(
        Table(
            explorer="body",
            rows=("middle", "off"),
            columns=(
                Column(of="most loaded clamp"),
                Column(of="least loaded clamp"),
                Column(of="yaw moment"),
            ),
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("middle", "off")),
        Minutes(name="talk", until=7, load=("tied",)),
        Minutes(name="name", until=8),
        Minutes(name="explore_rise", until=9, load=("rising",)),
        Minutes(name="exit", until=10),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="body",
                seen="side",
                change=PRINTED,
                scales=(Scale(at="clamp", radius=0.8, start=0, end=60, zero=0),),
                hidden=("angle",),
                readings=("°", "lifted", "pressed"),
            ),
        ),
        tables=(
            Table(
                explorer="body",
                rows=tuple({"side_mm": side} for side in (0, 150, 300, 600)),
                columns=(
                    Column(of="side_mm"),
                    Column(of="most loaded clamp"),
                    Column(of="least loaded clamp"),
                    Column(of="yaw moment"),
                ),
                held="pull_kn",
            ),
            Table(
                explorer="body",
                rows=tuple({"rise_deg": rise} for rise in (0, 10, 20, 40)),
                columns=(
                    Column(of="rise_deg"),
                    Column(of="level pull"),
                    Column(of="lift of the pull"),
                    Column(of="front pair lift"),
                    Column(of="rear pair lift"),
                ),
                held="pull_kn",
            ),
        ),
        codes=(("body", PRINTED), ("body", TIED)),
    ),
)
