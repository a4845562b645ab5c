"""Metal: tearing at the clamp, stress relief, springback, overpull."""

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
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.mechanics.metal.edges import EDGES

if TYPE_CHECKING:
    from workbook.course.lesson import Changes
    from workbook.scenes.straightening import Straightened
    from workbook.scenes.torn_edges import TornEdge

LET_GO: Changes = {"load_kn": 20.7, "stage": "let go"}
HAMMERED: Changes = {**LET_GO, "relief_percent": 40}


def _before_release(rail: Straightened) -> Amount:
    return float(rail.left_load), "force"


def _strength(edge: TornEdge) -> Amount:
    return edge.given.si("strength_n_per_mm2"), "strength"


def _thickness(edge: TornEdge) -> Amount:
    return edge.given.si("sheet_mm"), "small length"


WORKED = (
    Worked(
        name="stop",
        explorer="rail",
        change={"load_kn": 20.68, "stage": "let go"},
        given={
            "needed": "needed permanent change",
            "load": "load_kn",
            "stiffness": "stiffness at the clamp point",
        },
        steps=(
            ExampleStep(
                finds="springback",
                of=lambda g: g.load / g.stiffness,
                kind="small length",
                shown_as="springback by the straight line",
                scene="springback_to_find",
            ),
            ExampleStep(
                finds="reading",
                of=lambda g: g.needed + g.springback,
                kind="small length",
            ),
        ),
    ),
    Worked(
        name="edge",
        explorer="edge",
        given={"edge": "edge_mm", "sheet": _thickness, "strength": _strength},
        steps=(
            ExampleStep(
                finds="estimate",
                of=lambda g: EDGES * g.edge * g.sheet * g.strength,
                kind="force",
                shown_as="estimate of tear-out",
                scene="clamp_at_edge",
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L15",
    minutes=25,
    behind=SAFETY_GATE,
    explorers=(
        Exploration(
            name="rail",
            subject="springback",
            named={
                "in_place": {"load_kn": 19.4},
                "plain": LET_GO,
                "hammered": HAMMERED,
                "again": {**LET_GO, "earlier_kn": 19.4},
                "too_hard": {"wall_mm": 1.5, "load_kn": 16, "stage": "let go"},
            },
            predict=Prediction(
                exercise="15.1",
                numbers={"needed": 14, "load": 20.7, "stiffness": 3.9},
                wrong=("M30_no_springback", "always_ten_per_cent"),
                givens=("needed_mm",),
            ),
            observe=Observation(
                amount="loaded reading", at=({"load_kn": 20.7},), within=0.03
            ),
            readings={
                "released": Observation(
                    amount="released reading",
                    at=({"load_kn": 19.4, "stage": "let go"},),
                    within=0.03,
                ),
                "hammered": Observation(
                    amount="springback", at=(HAMMERED,), within=0.04
                ),
            },
        ),
        Exploration(
            name="edge",
            subject="sheet edge",
            named={
                "torn": {"pull_kn": 14},
                "two": {"pull_kn": 14, "clamps": "two"},
            },
            curtain=True,
            predict=Prediction(
                exercise="15.3",
                numbers={"edge": 25, "sheet": 1.2, "strength": 220},
                wrong=("one_edge_only", "both_faces_counted"),
                givens=("edge_mm",),
            ),
            observe=Observation(amount="estimate of tear-out", at=({},)),
            readings={
                "two": Observation(
                    amount="whole pull that tears", at=({"clamps": "two"},)
                ),
            },
        ),
    ),
    recall=(
        Asked(name="first_part", of="L10"),
        Asked(name="even_bridle", of="L08"),
        Asked(name="under_load", of="L04"),
    ),
    by_hand=(Asked(name="stop", values={"reading": 12 + 18 / 6}),),
    worked=WORKED,
    gates=(
        Gate(
            name="whitens",
            options={"watch": "go", "slower": "go", "lower": "right"},
        ),
        Gate(
            name="torch",
            options={"little": "go", "ask": "right", "dull_red": "go"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("in_place", "plain")),
        Minutes(name="explore_hammered", until=6, load=("hammered",)),
        Minutes(name="talk", until=8),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="15.1",
    cautions={"": ("S0",), "2": ("S13",), "3": ("S2", "S9"), "9": ("S10",)},
    contrast=(
        Table(
            explorer="rail",
            rows=("plain", "hammered"),
            columns=(
                Column(of="load_kn"),
                Column(of=_before_release),
                Column(of="springback"),
                Column(of="released reading"),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="rail",
                seen="side",
                change=LET_GO,
                scales=(),
                captioned=False,
                readings=("reading", "springback", "overpull"),
            ),
        ),
        tables=(
            Table(
                explorer="rail",
                rows=tuple({"load_kn": load} for load in (12, 18, 19.4, 22)),
                change={"stage": "let go"},
                columns=(
                    Column(of="load_kn"),
                    Column(of="loaded reading"),
                    Column(of="springback"),
                    Column(of="released reading"),
                ),
                held="needed_mm",
            ),
            Table(
                explorer="edge",
                rows=tuple(
                    {"clamps": "two", "between_deg": between}
                    for between in (0, 60, 90, 120)
                ),
                change={"pull_kn": 14},
                columns=(
                    Column(of="between_deg"),
                    Column(of="pull at each clamp"),
                    Column(of="share of the estimate"),
                ),
                held="pull_kn",
            ),
        ),
        codes=(("rail", LET_GO), ("rail", HAMMERED), ("edge", {"pull_kn": 14})),
    ),
)
