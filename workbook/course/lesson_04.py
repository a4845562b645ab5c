"""Measure: datum, centre-line, zero plane."""

from __future__ import annotations

from math import hypot, sqrt, tan
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Column, Table
from workbook.course.worked import ExampleStep, Worked

if TYPE_CHECKING:
    from workbook.course.lesson import Changes

TILTED = {"tilt_deg": 0.5}
SLOPING = {"tape_start_mm": 70}
CRASHED = {"car": "after the crash"}
HIDDEN: Changes = {**CRASHED, **TILTED}
BENT = {"bent": "left-sill-front"}
LEFT_OUT = {**BENT, "left_out": "left-sill-front"}

WORKED = (
    Worked(
        name="tilt",
        explorer="planes",
        change=TILTED,
        given={
            "reading": "height as read",
            "distance": "length as read",
            "tilt": "tilt_deg",
        },
        steps=(
            ExampleStep(
                finds="step",
                of=lambda g: g.distance * tan(g.tilt),
                kind="small length",
                shown_as="height off by the tilt",
                scene="tilted_base",
            ),
            ExampleStep(
                finds="height",
                of=lambda g: g.reading - g.step,
                kind="length",
                shown_as="height without the tilt",
            ),
        ),
    ),
    Worked(
        name="tape",
        explorer="planes",
        change=SLOPING,
        given={"tape": "tape reading", "rise": "rise of the tape"},
        steps=(
            ExampleStep(
                finds="level",
                of=lambda g: sqrt(g.tape**2 - g.rise**2),
                kind="length",
                shown_as="length along the datum",
                scene="sloping_tape",
            ),
        ),
    ),
    Worked(
        name="size",
        explorer="planes",
        change=CRASHED,
        given={
            "length": "P: length",
            "width": "P: width",
            "height": "P: height",
        },
        steps=(
            ExampleStep(
                finds="level",
                of=lambda g: hypot(g.length, g.width),
                kind="small length",
                scene="difference_in_space",
            ),
            ExampleStep(
                finds="total",
                of=lambda g: hypot(g.level, g.height),
                kind="small length",
                shown_as="difference in all",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L04",
    minutes=25,
    explorers=(
        Exploration(
            name="planes",
            subject="measuring",
            named={
                "level": {},
                "tilted": TILTED,
                "sloping": SLOPING,
                "crashed": CRASHED,
                "hidden": HIDDEN,
                "three": {"shown": "three points", **HIDDEN},
            },
            front=("tilt_deg", "tape_start_mm", "car"),
            predict=Prediction(
                wrong=("tilt_as_millimetres", "slip_factor10", "tilt_left_in"),
                givens=("point",),
            ),
            observe=Observation(amount="height off by the tilt", at=(TILTED,)),
            readings={
                "tape": Observation(amount="tape reading", at=(SLOPING,), within=0.005),
                "hidden": Observation(amount="P: height", at=(HIDDEN,)),
            },
        ),
        Exploration(
            name="survey",
            subject="measuring",
            start={"shown": "whole survey", "point": "right-tip", "bent_mm": 12},
            named={"bent": BENT, "left_out": LEFT_OUT, "all": {**LEFT_OUT, **HIDDEN}},
            front=("bent", "bent_mm", "left_out"),
            predict=Prediction(
                wrong=("fit_names_the_bent_point", "fit_shifts_all"),
                givens=("bent_mm",),
            ),
            observe=Observation(amount="difference in all", at=(BENT,), within=0.03),
            readings={
                "left_out": Observation(
                    amount="left-sill-front off the fit", at=(LEFT_OUT,)
                ),
            },
        ),
    ),
    recall=(
        Asked(name="side", of="L03"),
        Asked(name="touches", of="L02"),
        Asked(name="minus", of="L00"),
    ),
    by_hand=(Asked(name="centre", values={"off": (486 - 470) / 2}),),
    worked=WORKED,
    gates=(
        Gate(
            name="gauge",
            options={"reach": "go", "watch": "go", "lower": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("level", "tilted")),
        Minutes(name="talk", until=6),
        Minutes(name="name", until=8, load=("sloping",)),
        Minutes(name="explore_signs", until=9, load=("crashed", "hidden")),
        Minutes(name="exit", until=10),
    ),
    exit="4.4",
    cautions={"": ("S0",), "2": ("S2",)},
    contrast=(
        Table(
            explorer="planes",
            rows=("level", "sloping"),
            columns=(
                Column(of="rise of the tape"),
                Column(of="tape reading"),
                Column(of="length along the datum"),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="planes",
                seen="side",
                change=SLOPING,
                scales=(Scale(at="hold", radius=1.25, start=0, end=45, zero=0),),
            ),
        ),
        tables=(
            Table(
                explorer="planes",
                rows=tuple({"tilt_deg": tilt} for tilt in (-0.4, 0.2, 0.8, 1.0)),
                columns=(
                    Column(of="tilt_deg"),
                    Column(of="length as read"),
                    Column(of="height as read"),
                    Column(of="height off by the tilt"),
                ),
            ),
            Table(
                explorer="planes",
                rows=tuple({"tape_start_mm": high} for high in (420, 220, 120, 20)),
                columns=(
                    Column(of="tape_start_mm"),
                    Column(of="rise of the tape"),
                    Column(of="tape reading"),
                ),
            ),
        ),
        codes=(("planes", SLOPING), ("planes", HIDDEN), ("survey", LEFT_OUT)),
    ),
)
