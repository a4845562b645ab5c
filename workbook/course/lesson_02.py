"""A pull is an arrow: its parts along and across a line, and the sum of two."""

from math import atan2, cos, hypot, radians, sin

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Column, Table
from workbook.course.worked import ExampleStep, Worked

USEFUL_HELD = {"held": "useful pull"}
TURNED = {"angle": "angle"}

WORKED = (
    Worked(
        name="parts",
        explorer="swing",
        change={"angle_deg": 30},
        given={"tension": "tension_kn", "angle": "angle_deg"},
        steps=(
            ExampleStep(
                finds="along",
                of=lambda g: g.tension * cos(g.angle),
                kind="force",
                shown_as="useful, on the wanted line",
                scene="two_parts",
                drawn_with=TURNED,
            ),
            ExampleStep(
                finds="across",
                of=lambda g: g.tension * sin(g.angle),
                kind="force",
                shown_as="sideways, plus left",
                scene="two_parts",
                drawn_with=TURNED,
            ),
            ExampleStep(
                finds="check",
                of=lambda g: hypot(g.along, g.across),
                kind="force",
                shown_as="chain tension",
                scene="two_parts",
                drawn_with=TURNED,
            ),
        ),
    ),
    Worked(
        name="together",
        explorer="swing",
        change={"second": "at the same point", "between_deg": 40},
        given={
            "first": "tension_kn",
            "second": "second_kn",
            "between": "between_deg",
        },
        steps=(
            ExampleStep(
                finds="along",
                of=lambda g: g.second * cos(g.between),
                kind="force",
                scene="two_parts",
                drawn_with={"angle": "between"},
            ),
            ExampleStep(
                finds="across",
                of=lambda g: g.second * sin(g.between),
                kind="force",
                shown_as="together, sideways, plus left",
            ),
            ExampleStep(
                finds="forward",
                of=lambda g: g.first + g.along,
                kind="force",
                shown_as="together, on the wanted line",
                scene="two_parts",
                drawn_with={"angle": "turn"},
            ),
            ExampleStep(
                finds="both",
                of=lambda g: hypot(g.forward, g.across),
                kind="force",
                shown_as="together",
            ),
            ExampleStep(
                finds="turn",
                of=lambda g: atan2(g.across, g.forward),
                kind="angle",
                shown_as="together, left of the first pull",
                scene="two_pulls",
                drawn_with={
                    "first": "first",
                    "second": "second",
                    "between": "between",
                    "joint": "turn",
                },
            ),
        ),
    ),
)

LESSON = Lesson(
    id="L02",
    minutes=20,
    explorers=(
        Exploration(
            name="swing",
            subject="arrow",
            start={"tension_kn": 20},
            named={
                "tension_20": {"angle_deg": 20},
                "tension_60": {"angle_deg": 60},
                "useful_20": {"angle_deg": 20, **USEFUL_HELD},
                "useful_60": {"angle_deg": 60, **USEFUL_HELD},
                "two_pulls": {"second": "at the same point"},
            },
            predict=Prediction(
                exercise="2.1",
                numbers={"tension": 20, "angle": 20},
                wrong=("M01_whole_tension", "M04_in_step_with_angle", "M02_sin_cos"),
                givens=("tension_kn", "held"),
            ),
            observe=Observation(
                amount="useful, on the wanted line",
                at=({"angle_deg": 20},),
            ),
            readings={
                **{
                    f"useful_{angle}": Observation(
                        amount="useful, on the wanted line", at=({"angle_deg": angle},)
                    )
                    for angle in (45, 60)
                },
                "sideways_20": Observation(
                    amount="sideways, plus left", at=({"angle_deg": 20},)
                ),
                "tension_60": Observation(
                    amount="chain tension", at=({"angle_deg": 60, **USEFUL_HELD},)
                ),
            },
        ),
    ),
    recall=(
        Asked(name="side_angle", of="L00"),
        Asked(name="correction", of="L00"),
        Asked(name="pull_direction", of="L00"),
    ),
    by_hand=(
        Asked(name="from_the_vertical", values={"forward": 16 * sin(radians(25))}),
    ),
    worked=WORKED,
    gates=(
        Gate(
            name="too_weak",
            options={
                "more_pressure": "go",
                "longer_chain": "wrong",
                "turn_chain": "right",
            },
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("tension_20", "tension_60")),
        Minutes(name="talk", until=7),
        Minutes(name="explore_held", until=8, load=("useful_20", "useful_60")),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="2.3",
    cautions={"": ("S0",), "3": ("S2", "S6")},
    contrast=(
        Table(
            explorer="swing",
            rows=tuple({"angle_deg": angle} for angle in (0, 20, 45, 60)),
            columns=(
                Column(of="angle_deg"),
                Column(of="useful, on the wanted line"),
                Column(of="chain tension", change=USEFUL_HELD),
            ),
            held="tension_kn",
        ),
        Table(
            explorer="swing",
            rows=("tension_20", "tension_60", "useful_20", "useful_60"),
            columns=(
                Column(of="chain tension"),
                Column(of="useful, on the wanted line"),
                Column(of="sideways, plus left"),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="swing",
                seen="above",
                change={"angle_deg": 35},
                scales=(Scale(at=(0, 0), radius=12e3, start=0, end=90, zero=0),),
                captioned=False,
                hidden=("angle",),
            ),
        ),
        tables=(
            Table(
                explorer="swing",
                rows=tuple(
                    {"angle_deg": angle} for angle in (0, 5, 10, 15, 30, 45, 60, 75)
                ),
                columns=(
                    Column(of="angle_deg"),
                    Column(of="useful, on the wanted line"),
                    Column(of="sideways, plus left"),
                    Column(of="chain tension", change=USEFUL_HELD),
                ),
                held="tension_kn",
            ),
        ),
        codes=(
            ("swing", {"angle_deg": 35}),
            ("swing", {"angle_deg": 60}),
            ("swing", {"angle_deg": 60, **USEFUL_HELD}),
        ),
    ),
)
