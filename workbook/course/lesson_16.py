"""Final check and repair record: neighbours in step, one reading under load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView
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

if TYPE_CHECKING:
    from workbook.course.lesson import Changes

STEP, JUMP = "largest step between neighbours", "jump of the loaded reading"
OUTSIDE, LARGEST = "rows outside their limit", "largest difference of the list"
AGAINST: Changes = {"second_mm": -2.7}
LOADED: Changes = {"load_kn": 8}
DIAGONALS: Changes = {"shown": "diagonal"}

WORKED = (
    Worked(
        name="step",
        explorer="list",
        change={"first_mm": 2.5, "second_mm": -2.8, "third_mm": 2.8},
        given={
            f"n{k}": f"left {point}"
            for k, point in enumerate(
                ("tip", "cross", "mid", "mount", "root", "cowl"), start=1
            )
        },
        steps=(
            ExampleStep(
                finds="before",
                of=lambda g: abs(g.n3 - g.n2),
                kind="small length",
                scene="six_neighbours",
            ),
            ExampleStep(
                finds="behind",
                of=lambda g: abs(g.n4 - g.n3),
                kind="small length",
                shown_as=STEP,
            ),
        ),
    ),
    Worked(
        name="loaded",
        explorer="list",
        change={"load_kn": 6.5},
        given={
            "reading": "left cross",
            "load": "load_kn",
            "stiffness": "stiffness at the loaded point",
        },
        steps=(
            ExampleStep(
                finds="jump",
                of=lambda g: g.load / g.stiffness,
                kind="small length",
                shown_as=JUMP,
            ),
            ExampleStep(
                finds="rest",
                of=lambda g: g.reading - g.jump,
                kind="small length",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L16",
    minutes=25,
    behind=SAFETY_GATE,
    explorers=(
        Exploration(
            name="list",
            subject="final check",
            named={
                "in_step": {},
                "against": AGAINST,
                "loaded": LOADED,
                "diagonals": DIAGONALS,
            },
            predict=Prediction(
                wrong=("each_inside_is_enough", "cannot_be_so", "height_only"),
                givens=("first_mm", "third_mm"),
            ),
            observe=Observation(amount=STEP, at=(AGAINST,), within=0.03),
            readings={
                "loaded": Observation(amount="left cross", at=(LOADED,), within=0.03),
                "diagonals": Observation(amount=LARGEST, at=(DIAGONALS,), within=0.04),
            },
        ),
    ),
    recall=(
        Asked(name="stays", of="L15"),
        Asked(name="zone", of="L11"),
        Asked(name="pair", of="L05"),
    ),
    by_hand=(Asked(name="step", values={"step": 2.4 + 1.9}),),
    worked=WORKED,
    gates=(
        Gate(
            name="chain",
            options={"read_on": "go", "lower": "right", "take_off": "go"},
        ),
        Gate(
            name="inside",
            options={"hand_over": "go", "checks": "right", "try_it": "go"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("against", "loaded", "diagonals")),
        Minutes(name="talk", until=8),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="16.2",
    cautions={"": ("S0",), "9": ("S15",)},
    contrast=(
        Table(
            explorer="list",
            rows=("in_step", "against"),
            columns=(Column(of=LARGEST), Column(of=OUTSIDE), Column(of=STEP)),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="list",
                seen="side",
                change=AGAINST,
                scales=(),
                captioned=False,
            ),
        ),
        tables=(
            Table(
                explorer="list",
                rows=tuple({"second_mm": mm} for mm in (2.7, 0, -2)),
                columns=(Column(of="second_mm"), Column(of=STEP), Column(of=OUTSIDE)),
            ),
            Table(
                explorer="list",
                rows=tuple({"load_kn": load} for load in (0, 3, 6)),
                columns=(
                    Column(of="load_kn"),
                    Column(of="left cross"),
                    Column(of=JUMP),
                ),
            ),
        ),
        codes=(("list", AGAINST), ("list", LOADED)),
    ),
)
