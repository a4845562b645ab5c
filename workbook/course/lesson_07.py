"""Ram lean, extension height and the split of the ram's force."""

from math import atan, cos, degrees, pi, sin

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.scenes.setups import SolvedPull

ROLLER = {"chain_at_head": "over a fixed roller"}
STROKE = 0.050  # m, of the worked example
TRIANGLE = {
    "ram_angle": "ram_angle",
    "anchor_angle": "anchor_angle",
    "pull_angle": "pull_angle",
}


def _anchor_angle(pull: SolvedPull) -> Amount:
    return float(pull.pull.anchor_angle), "angle"


def _stroke(_pull: SolvedPull) -> Amount:
    return STROKE, "length"


WORKED = (
    Worked(
        name="split",
        explorer="lean",
        given={
            "ram_force": "ram_force_kn",
            "lean": "lean_deg",
            "anchor_angle": _anchor_angle,
            "pull_angle": "pull: rise",
        },
        steps=(
            ExampleStep(
                finds="ram_angle",
                of=lambda g: pi / 2 - g.lean,
                kind="angle",
                scene="rig",
                drawn_with={
                    "ram": "ram_angle",
                    "anchor": "anchor_angle",
                    "pull": "pull_angle",
                },
            ),
            ExampleStep(
                finds="legs",
                of=lambda g: g.anchor_angle + g.pull_angle,
                kind="angle",
                scene="force_triangle",
                drawn_with=TRIANGLE,
            ),
            ExampleStep(
                finds="ram_and_pull",
                of=lambda g: g.ram_angle - g.pull_angle,
                kind="angle",
            ),
            ExampleStep(
                finds="ram_and_anchor",
                of=lambda g: pi - g.legs - g.ram_and_pull,
                kind="angle",
            ),
            ExampleStep(
                finds="for_each_sine",
                of=lambda g: g.ram_force / sin(g.legs),
                kind="force",
                finer=1,
                scene="force_triangle",
                drawn_with=TRIANGLE,
            ),
            ExampleStep(
                finds="pull_leg",
                of=lambda g: g.for_each_sine * sin(g.ram_and_anchor),
                kind="force",
                finer=1,
                shown_as="pull leg",
            ),
            ExampleStep(
                finds="anchor_leg",
                of=lambda g: g.for_each_sine * sin(g.ram_and_pull),
                kind="force",
                finer=1,
                shown_as="anchor leg",
            ),
            ExampleStep(
                finds="forward",
                of=lambda g: g.pull_leg * cos(g.pull_angle),
                kind="force",
                shown_as="forward",
                scene="two_parts",
                drawn_with={"angle": "pull_angle"},
            ),
            ExampleStep(
                finds="upward",
                of=lambda g: g.pull_leg * sin(g.pull_angle),
                kind="force",
                shown_as="upward",
            ),
        ),
    ),
    Worked(
        name="equal_legs",
        explorer="lean",
        given={"anchor_angle": _anchor_angle, "pull_angle": "pull: rise"},
        steps=(
            ExampleStep(
                finds="half",
                of=lambda g: (g.anchor_angle - g.pull_angle) / 2,
                kind="angle",
            ),
            ExampleStep(finds="ram_angle", of=lambda g: pi / 2 - g.half, kind="angle"),
        ),
    ),
    Worked(
        name="travel",
        explorer="lean",
        given={
            "ram_force": "ram_force_kn",
            "pull_leg": "pull leg",
            "stroke": _stroke,
        },
        steps=(
            ExampleStep(
                finds="ratio",
                of=lambda g: g.ram_force / g.pull_leg,
                kind="ratio",
                finer=1,
                shown_as="hook travel per stroke",
            ),
            ExampleStep(finds="travel", of=lambda g: g.stroke * g.ratio, kind="length"),
        ),
    ),
)

LESSON = Lesson(
    id="L07",
    minutes=20,
    explorers=(
        Exploration(
            name="lean",
            subject="pull",
            start={
                "chain_angle_deg": 0,
                "lean_deg": 35,
                "extension_mm": 450,
                "ram_force_kn": 40,
                "clamp_height_mm": 300,
                "clamp_distance_mm": 685,
                "fork_distance_mm": 1253.4,
                "chain_size": "16 mm",
            },
            named={
                "locked": {},
                "equal_legs": {"lean_deg": 12.5},
                "roller": ROLLER,
                "free": {"chain_at_head": "free over the ram"},
            },
            front=("clamp_distance_mm", "lean_deg", "extension_mm"),
            curtain=True,
            predict=Prediction(
                exercise="7.2",
                numbers={
                    "ram_force": 40,
                    "ram_angle": 55,
                    "anchor_angle": 45,
                    "pull_angle": 20,
                },
                wrong=("M11_ram_half", "M10_equal_legs", "M12_gauge_is_chain"),
                givens=("ram_force_kn", "lean_deg", "chain_at_head"),
            ),
            observe=Observation(amount="pull leg", at=({},)),
            readings={
                "anchor_leg": Observation(amount="anchor leg", at=({},)),
                "equal_legs": Observation(amount="pull leg", at=({"lean_deg": 12.5},)),
                "stroke_100": Observation(amount="pull leg", at=({"stroke_mm": 100},)),
            },
        ),
    ),
    recall=(
        Asked(name="cosine_part", of="L02"),
        Asked(name="lean_from", of="L00"),
        Asked(name="extension", of="L00"),
    ),
    by_hand=(Asked(name="rise", values={"rise": degrees(atan((900 - 400) / 1500))}),),
    worked=WORKED,
    gates=(
        Gate(
            name="leans_more", options={"by_hand": "go", "pin": "go", "lower": "right"}
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("locked",)),
        Minutes(name="explore_free", until=6, load=("roller", "free")),
        Minutes(name="talk", until=8, load=("equal_legs",)),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="7.2",
    cautions={"": ("S0",), "2": ("S1", "S8")},
    contrast=(
        Table(
            explorer="lean",
            rows=("locked", "roller"),
            columns=(Column(of="pull leg"), Column(of="anchor leg")),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="lean",
                seen="side",
                change={},
                scales=(
                    Scale(at="clamp", radius=0.45, start=0, end=60, zero=0),
                    Scale(at="base", radius=0.33, start=45, end=90, zero=90, named=30),
                    Scale(at="anchor", radius=0.4, start=90, end=180, zero=180),
                ),
                hidden=("angle", "swing"),
            ),
        ),
        tables=(
            Table(
                explorer="lean",
                rows=(
                    *({"lean_deg": lean} for lean in (0, 10, 20, 30, 40)),
                    {"lean_deg": 40, **ROLLER},
                ),
                noted={5: "roller"},
                columns=(
                    Column(of="lean_deg"),
                    Column(of="pull: rise"),
                    Column(of="pull leg"),
                    Column(of="anchor leg"),
                    Column(of="forward"),
                    Column(of="upward"),
                    Column(of="hook travel per stroke"),
                ),
                held="ram_force_kn",
            ),
        ),
        codes=(("lean", {}), ("lean", {"lean_deg": 12.5}), ("lean", ROLLER)),
    ),
)
