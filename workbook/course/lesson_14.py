"""Holding pulls; pulling down over a floor redirect, and pushing up."""

from __future__ import annotations

from math import cos
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
from workbook.scenes.held_root import straightened

if TYPE_CHECKING:
    from collections.abc import Iterator

    from workbook.course.tables import Amount

ROOT_HELD_AT = (0, 1, 2, 3)
"""Where the rail of the second table is held: by its nodes, nought where it is not."""
NEAR, FAR = {"hold_mm": 600}, {"hold_mm": 2200}
# As far as the chain comes up there, its runs have the 100 degrees of the question.
START, ASKED = {"up_mm": 400}, {"up_mm": 1000}
STEEP, FLAT = {"up_mm": 0}, {"up_mm": 2000}
UP = {"way": "up"}
PRINTED = {"pulley_mm": 650, "up_mm": 1000}
HOLD, LOAD, BETWEEN = "holding pull", "redirect load", "angle between the runs"


def _rails() -> Iterator[tuple[Amount, ...]]:
    """Yield what a rail that is pulled straight is like, by where it is held."""
    for node in ROOT_HELD_AT:
        one = straightened(node)
        yield (
            (one.held_at, "small length"),
            (one.pull, "force"),
            (one.hold, "force"),
            (abs(one.worst), "small length"),
            (one.turned, "angle"),
        )


WORKED = (
    Worked(
        name="hold",
        explorer="body",
        given={
            "pull": "pull_kn",
            "arm": "arm of the main pull",
            "hold_arm": "hold_mm",
        },
        steps=(
            ExampleStep(
                finds="moment",
                of=lambda g: g.pull * g.arm,
                kind="moment",
                shown_as="moment about the turning point",
                scene="lever_hold",
            ),
            ExampleStep(
                finds="hold",
                of=lambda g: g.moment / g.hold_arm,
                kind="force",
                shown_as=HOLD,
            ),
        ),
    ),
    Worked(
        name="redirect",
        explorer="body",
        change=ASKED,
        given={"tension": "pull_kn", "between": BETWEEN},
        steps=(
            ExampleStep(
                finds="half",
                of=lambda g: g.between / 2,
                kind="angle",
                scene="redirect_between",
                drawn_with={"between": "between"},
            ),
            ExampleStep(
                finds="load",
                of=lambda g: 2 * g.tension * cos(g.half),
                kind="force",
                shown_as=LOAD,
            ),
        ),
    ),
)
LESSON = Lesson(
    id="L14",
    minutes=25,
    behind=SAFETY_GATE,
    explorers=(
        Exploration(
            name="body",
            subject="holding",
            start=START,
            named={
                "near": NEAR,
                "far": FAR,
                "steep": STEEP,
                "flat": FLAT,
                "push": UP,
            },
            predict=Prediction(
                exercise="14.2",
                numbers={"tension": 15, "between": 100},
                wrong=("M16_one_chain", "M16_two_chains", "full_angle"),
                givens=("pull_kn",),
            ),
            observe=Observation(amount=LOAD, at=(ASKED,)),
            readings={
                "near": Observation(amount=HOLD, at=(NEAR,)),
                "flat": Observation(amount=LOAD, at=(FLAT,)),
                "push": Observation(amount="front hold-down", at=(UP,)),
            },
        ),
    ),
    recall=(
        Asked(name="both_ends", of="L11"),
        Asked(name="load_path", of="L10"),
        Asked(name="arm", of="L03"),
    ),
    by_hand=(Asked(name="hold", values={"hold": 18 * 900 / 1500}),),
    worked=WORKED,
    gates=(
        Gate(
            name="pulley_tag",
            options={"chain": "go", "slow": "go", "angle": "right"},
        ),
        Gate(
            name="front_lifts",
            options={"stand_by": "go", "press": "go", "tie": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("near", "far")),
        Minutes(name="explore_redirect", until=7, load=("steep", "flat")),
        Minutes(name="name", until=8),
        Minutes(name="talk", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="14.2",
    cautions={"": ("S0",), "3": ("S1",), "9": ("S3",)},
    contrast=(
        Table(
            explorer="body",
            rows=("near", "far"),
            columns=(
                Column(of="hold_mm"),
                Column(of="main pull"),
                Column(of=HOLD),
                Column(of="clamps at the turning point"),
            ),
        ),
    ),
    shown={"root": lambda: [*_rails()]},
    handout=Handout(
        views=(
            PrintedView(
                explorer="body",
                seen="side",
                change=PRINTED,
                scales=(
                    Scale(
                        at=(1.55, 0.0), radius=0.6, start=0, end=90, zero=0, named=30
                    ),
                    Scale(
                        at=(1.55, 0.0),
                        radius=0.6,
                        start=95,
                        end=180,
                        zero=180,
                        named=30,
                    ),
                ),
                captioned=False,
                hidden=("force resultant", "angle"),
                readings=("kN", "°"),
            ),
        ),
        tables=(
            Table(
                explorer="body",
                rows=tuple({"hold_mm": place} for place in (600, 1000, 1500, 2200)),
                columns=(
                    Column(of="hold_mm"),
                    Column(of=HOLD),
                    Column(of="clamps at the turning point"),
                ),
                held="pull_kn",
            ),
            Table(
                explorer="body",
                rows=tuple({"hold_mm": place} for place in (600, 900, 1500, 2200)),
                change=UP,
                columns=(
                    Column(of="hold_mm"),
                    Column(of="front hold-down"),
                    Column(of="rear hold-down"),
                ),
                held="pull_kn",
            ),
        ),
        codes=(
            ("body", PRINTED),
            ("body", NEAR),
            ("body", UP),
        ),
    ),
)
