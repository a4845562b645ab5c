"""Fork offset, side angle and bridles: one slot turns a pull, a flat bridle costs."""

from math import atan, cos, radians, sin

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.scenes.setups import SolvedPull

EXTENSIONS = (100, 450, 700)  # mm: a short ram, the lesson's, a long one


def _steer(pull: SolvedPull) -> Amount:
    return float(pull.steer), "angle"


def _head_out(pull: SolvedPull) -> Amount:
    rig = pull.setup.rig()
    return float(pull.pull.head[0] - rig.base[0]), "length"  # the line is not turned


WORKED = (
    Worked(
        name="slot",
        explorer="slot",
        change={"fork_offset_mm": 50},
        given={
            "offset": "fork_offset_mm",
            "fork": "fork_distance_mm",
            "clamp_height": "clamp_height_mm",
            "clamp_distance": "clamp_distance_mm",
            "head_up": "head height",
            "head_out": _head_out,
            "pull_leg": "pull leg",
            "rise": "pull: rise",
        },
        steps=(
            ExampleStep(
                finds="behind",
                of=lambda g: g.head_up * g.clamp_distance / g.clamp_height,
                kind="length",
                scene="slope_to_bench",
                drawn_with={
                    "clamp_distance": "clamp_distance",
                    "clamp_height": "clamp_height",
                    "head_up": "head_up",
                },
            ),
            ExampleStep(
                finds="reach",
                of=lambda g: g.behind + g.head_out,
                kind="length",
            ),
            ExampleStep(
                finds="shift",
                of=lambda g: g.reach * g.offset / g.fork,
                kind="length",
                shown_as="head moved to the left",
                scene="line_over_bench",
                drawn_with={
                    "fork_distance": "fork",
                    "fork_offset": "offset",
                    "reach": "reach",
                },
            ),
            ExampleStep(
                finds="side_angle",
                of=lambda g: atan(g.shift / (g.clamp_distance + g.head_out)),
                kind="angle",
                shown_as="pull: side angle",
                scene="slot_from_above",
                drawn_with={"head_out": "head_out"},
            ),
            ExampleStep(
                finds="level",
                of=lambda g: g.pull_leg * cos(g.rise),
                kind="force",
                finer=1,
                scene="two_parts",
                drawn_with={"angle": "rise"},
            ),
            ExampleStep(
                finds="sideways",
                of=lambda g: g.level * sin(g.side_angle),
                kind="force",
                shown_as="to the left",
                scene="two_parts",
                drawn_with={"angle": "side_angle"},
            ),
        ),
    ),
    Worked(
        name="bridle",
        explorer="bridle",
        change={"between_deg": 80},
        given={"pull": "pull_kn", "between": "between_deg"},
        steps=(
            ExampleStep(
                finds="half",
                of=lambda g: g.between / 2,
                kind="angle",
                scene="even_legs",
                drawn_with={"between": "between"},
            ),
            ExampleStep(finds="share", of=lambda g: g.pull / 2, kind="force"),
            ExampleStep(
                finds="leg",
                of=lambda g: g.share / cos(g.half),
                kind="force",
                shown_as="left leg",
            ),
        ),
    ),
)


LESSON = Lesson(
    id="L08",
    minutes=25,
    explorers=(
        Exploration(
            name="slot",
            subject="pull",
            start={
                "chain_angle_deg": 0,
                "lean_deg": 0,
                "extension_mm": 450,
                "clamp_height_mm": 500,
                "clamp_distance_mm": 1500,
                "fork_distance_mm": 600,
                "chain_size": "13 mm",
                "ram_force_kn": 25,
            },
            named={
                "left": {"fork_offset_mm": 50},
                "right": {"fork_offset_mm": -50},
                "left_short": {"fork_offset_mm": 50, "extension_mm": 100},
            },
            front=("fork_offset_mm", "extension_mm", "chain_angle_deg"),
            predict=Prediction(
                exercise="8.1",
                numbers={
                    "offset": 50,
                    "fork": 600,
                    "clamp_height": 500,
                    "clamp_distance": 1500,
                    "head_out": 0,
                    "head_up": 873,
                },
                wrong=("M18_slot_shift_only", "plan_distance_only"),
                givens=(
                    "fork_distance_mm",
                    "clamp_height_mm",
                    "clamp_distance_mm",
                    "lean_deg",
                ),
            ),
            observe=Observation(
                amount="head moved to the left", at=({"fork_offset_mm": 50},)
            ),
            readings={
                "side_angle": Observation(
                    amount="pull: side angle", at=({"fork_offset_mm": 50},)
                ),
                "long_ram": Observation(
                    amount="head moved to the left",
                    at=({"fork_offset_mm": 50, "extension_mm": EXTENSIONS[-1]},),
                ),
            },
        ),
        Exploration(
            name="bridle",
            subject="bridle",
            predict=Prediction(
                wrong=("M14_bridle_half", "second_leg_forgotten"), givens=("pull_kn",)
            ),
            observe=Observation(amount="left leg", at=({"between_deg": 120},)),
            readings={
                f"leg_{between}": Observation(
                    amount="left leg", at=({"between_deg": between},)
                )
                for between in (90, 150)
            },
        ),
    ),
    recall=(
        Asked(name="locked_legs", of="L07"),
        Asked(name="useful_share", of="L02", values={"share": cos(radians(20))}),
        Asked(name="plus_offset", of="L00"),
    ),
    by_hand=(Asked(name="even_leg", values={"leg": 30 / (2 * cos(radians(40)))}),),
    worked=WORKED,
    gates=(
        Gate(
            name="leans_sideways",
            options={"load_gently": "go", "tie": "go", "move": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("left", "right")),
        Minutes(name="explore_height", until=6, load=("left", "left_short")),
        Minutes(name="explore_bridle", until=8, explorer="bridle"),
        Minutes(name="name", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="8.2",
    cautions={"": ("S0",), "2": ("S1", "S8"), "Bridles": ("S6", "S16")},
    contrast=(
        Table(
            explorer="slot",
            change={"fork_offset_mm": 50},
            rows=tuple({"extension_mm": extension} for extension in EXTENSIONS),
            columns=(
                Column(of=lambda pull: (float(pull.pull.head[2]), "length")),
                Column(of="head moved to the left"),
                Column(of=_steer),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="slot",
                seen="above",
                change={"fork_offset_mm": 100},
                scales=(Scale(at="clamp", radius=0.9, start=-30, end=30, zero=0),),
            ),
            PrintedView(
                explorer="bridle",
                seen="above",
                change={"between_deg": 80},
                scales=(
                    Scale(
                        at="head", radius=0.26, start=120, end=240, zero=180, named=30
                    ),
                ),
                hidden=("angle",),
            ),
        ),
        tables=(
            Table(
                explorer="slot",
                rows=tuple({"fork_offset_mm": offset} for offset in (0, 100, 150)),
                columns=(
                    Column(of="fork_offset_mm"),
                    *(
                        Column(of=of, change={"extension_mm": extension})
                        for extension in EXTENSIONS
                        for of in ("head moved to the left", _steer)
                    ),
                ),
            ),
            Table(
                explorer="bridle",
                rows=tuple(
                    {"between_deg": between} for between in (20, 60, 90, 120, 150)
                ),
                columns=(Column(of="between_deg"), Column(of="left leg")),
                held="pull_kn",
            ),
        ),
        codes=(
            ("slot", {"fork_offset_mm": 100}),
            ("slot", {"fork_offset_mm": 100, "extension_mm": 100}),
            ("bridle", {"between_deg": 80}),
        ),
    ),
)
