"""Diagonals, symmetry and the kind of damage."""

from __future__ import annotations

from math import atan2, hypot
from typing import TYPE_CHECKING

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.scenes import damaged_box
from workbook.scenes.damaged_box import POINTS

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.course.lesson import Changes
    from workbook.scenes.damaged_box import DamagedBox

STRAIGHT: Changes = {"diamond_mm": 0}  # the lesson starts with a diamond
ONE_SIDE: Changes = {**STRAIGHT, "mash_mm": 12, "mash_side": "left"}
SAG: Changes = {**STRAIGHT, "sag_mm": 10}
TWIST: Changes = {**STRAIGHT, "twist_deg": 1}
CORNER: Changes = {**STRAIGHT, "corner_mm": 15}
ON_PAPER = {"diamond_mm": 12, "mash_mm": 8, "twist_deg": 1}


def _length(_box: DamagedBox) -> Amount:
    return damaged_box.LENGTH, "small length"


def _width(_box: DamagedBox) -> Amount:
    return damaged_box.WIDTH, "small length"


def _skew(box: DamagedBox) -> Amount:
    return float(box.given.sizes.diamond), "small length"


def _up(point: str) -> Callable[[DamagedBox], Amount]:
    """Return what tells how high a point reads above where it should be."""
    row = POINTS.index(point)
    return lambda box: (float(box.differences[row, 2]), "small length")


WORKED = (
    Worked(
        name="forward",
        explorer="kinds",
        given={"length": _length, "width": _width, "skew": _skew},
        steps=(
            ExampleStep(
                finds="long",
                of=lambda g: hypot(g.length + g.skew, g.width),
                kind="small length",
                shown_as="right-front diagonal",
                scene="skewed_box",
            ),
            ExampleStep(
                finds="short",
                of=lambda g: hypot(g.length - g.skew, g.width),
                kind="small length",
                shown_as="left-front diagonal",
            ),
            ExampleStep(
                finds="apart",
                of=lambda g: g.long - g.short,
                kind="small length",
                shown_as="right-front minus left-front diagonal",
            ),
        ),
    ),
    Worked(
        name="back",
        explorer="kinds",
        given={
            "length": _length,
            "long": "right-front diagonal",
            "short": "left-front diagonal",
        },
        steps=(
            ExampleStep(
                finds="apart",
                of=lambda g: g.long - g.short,
                kind="small length",
                scene="skewed_box",
            ),
            ExampleStep(
                finds="together", of=lambda g: g.long + g.short, kind="small length"
            ),
            ExampleStep(
                finds="skew",
                of=lambda g: g.apart * g.together / (4 * g.length),
                kind="small length",
                shown_as="read as diamond",
            ),
        ),
    ),
    Worked(
        name="twist",
        explorer="kinds",
        change=TWIST,
        given={
            "left": _up("left front"),
            "right": _up("right front"),
            "rear": lambda box: (_up("left rear")(box)[0], "small length"),
            "width": _width,
        },
        steps=(
            ExampleStep(
                finds="front",
                of=lambda g: g.left - g.right,
                kind="small length",
                scene="twisted_box",
                drawn_with={"rear_lift": "rear"},
            ),
            ExampleStep(
                finds="twist",
                of=lambda g: atan2(g.front - g.rear, g.width),
                kind="angle",
                shown_as="twist, front against rear",
            ),
        ),
    ),
)
LENGTHS = ("mash", "sidesway", "sag", "diamond")
APART = "right-front minus left-front diagonal"
LESSON = Lesson(
    id="L05",
    minutes=25,
    explorers=(
        Exploration(
            name="kinds",
            subject="damage",
            start={"diamond_mm": 12},
            named={
                "diamond": {},
                "one_side": ONE_SIDE,
                "sag": SAG,
                "twist": TWIST,
                "mix": {
                    **STRAIGHT,
                    "sidesway_mm": 9,
                    "mash_mm": 12,
                    "scatter_mm": 0.5,
                },
                "corner": CORNER,
            },
            curtain=True,
            predict=Prediction(
                exercise="5.1",
                numbers={"length": 1400, "width": 1100, "skew": 12},
                wrong=("M28_skew_itself", "M28_twice_the_skew"),
                givens=("diamond_mm",),
            ),
            observe=Observation(amount=APART, at=({},)),
            readings={
                "one_side": Observation(amount=APART, at=(ONE_SIDE,)),
                "length": Observation(
                    amount="left side, length", at=(ONE_SIDE,), within=0.0003
                ),
                "unexplained": Observation(
                    amount="share unexplained", at=(CORNER,), within=0.02
                ),
            },
        ),
    ),
    recall=(
        Asked(name="tape", of="L04"),
        Asked(name="square", of="L02"),
        Asked(name="left", of="L00"),
    ),
    by_hand=(Asked(name="back", values={"skew": (1790**2 - 1771**2) / 5600}),),
    worked=WORKED,
    gates=(
        Gate(
            name="no_dimension",
            options={"mirror": "go", "remembered": "go", "find": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=6),
        Minutes(name="talk", until=7, load=("diamond", "one_side")),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="5.3",
    cautions={"": ("S0",)},
    contrast=(
        Table(
            explorer="kinds",
            rows=("diamond", "one_side"),
            columns=(
                Column(of=APART),
                Column(of="left side, length"),
                Column(of="right side, length"),
            ),
        ),
        Table(
            explorer="kinds",
            rows=("sag", "twist"),
            columns=(
                Column(of=_up("left front")),
                Column(of=_up("right front")),
                Column(of="twist, front against rear"),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="kinds",
                seen="above",
                change=ON_PAPER,
                scales=(),
            ),
            PrintedView(
                explorer="kinds",
                seen="front",
                change=ON_PAPER,
                scales=(Scale(at=(0.0, 0.0), radius=0.66, start=0, end=30, zero=0),),
                captioned=False,
            ),
        ),
        tables=(
            Table(
                explorer="kinds",
                rows=tuple({"diamond_mm": skew} for skew in (-6, 0, 6, 9, 15, 20)),
                columns=(
                    Column(of="diamond_mm"),
                    Column(of="left-front diagonal"),
                    Column(of="right-front diagonal"),
                    Column(of=APART),
                ),
            ),
            Table(
                explorer="kinds",
                rows=(*({f"{kind}_mm": 10} for kind in LENGTHS), TWIST),
                change=STRAIGHT,
                columns=tuple(
                    Column(of=f"{point}, {way}")
                    for point in ("left front", "right front")
                    for way in ("ahead", "left", "up")
                ),
            ),
        ),
        codes=(("kinds", ON_PAPER), ("kinds", CORNER)),
    ),
)
