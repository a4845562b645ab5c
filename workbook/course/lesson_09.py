"""Slack, chain sag and stored energy."""

from collections.abc import Callable
from math import sqrt

from workbook.course.handout import Handout, PrintedView, Scale
from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.script import Minutes
from workbook.course.tables import Amount, Column, Table
from workbook.course.worked import ExampleStep, Worked
from workbook.mechanics.pull.stored_energy import stored_energy_of_pull
from workbook.scenes.hanging import HungChain

STIFFNESS = 13e6  # N, of one metre of chain; invented, as the lesson says


def _stored(length: float) -> Callable[[HungChain], Amount]:
    """Return what tells the energy in a length [m] of chain at working tension."""

    def stored(hung: HungChain) -> Amount:
        tension = hung.given.si("working_kn")
        energy = stored_energy_of_pull(tension, stiffness=STIFFNESS / length)
        return float(energy), "energy"

    return stored


def _weight(hung: HungChain) -> Amount:
    """Return the weight of one metre."""
    return float(hung.hung.weight_per_length), "line load"


def _stiffness(hung: HungChain) -> Amount:
    """Return the stiffness of one metre."""
    return hung.axial_stiffness, "stiffness"


WORKED = (
    Worked(
        name="sag",
        explorer="hung",
        given={"span": "span_mm", "slack": "slack_mm"},
        steps=(
            ExampleStep(
                finds="eighth",
                of=lambda g: g.span / 8,
                kind="small length",
                scene="hung_chain",
            ),
            ExampleStep(finds="thrice", of=lambda g: 3 * g.slack, kind="small length"),
            ExampleStep(
                finds="sag",
                of=lambda g: sqrt(g.eighth * g.thrice),
                kind="small length",
                shown_as="chain sag from slack, by the tight-chain rule",
            ),
        ),
    ),
    Worked(
        name="take_up",
        explorer="hung",
        change={"set_by": "chain sag", "sag_mm": 15},
        given={"span": "span_mm", "sag": "sag_mm", "metre": _weight},
        steps=(
            ExampleStep(
                finds="weight",
                of=lambda g: g.metre * g.span,
                kind="small force",
                finer=1,
                scene="hung_chain",
            ),
            ExampleStep(finds="times", of=lambda g: g.span / (8 * g.sag), kind="ratio"),
            ExampleStep(
                finds="tension",
                of=lambda g: g.weight * g.times,
                kind="force",
                shown_as="level tension from chain sag, by the rule",
            ),
        ),
    ),
    Worked(
        name="energy",
        explorer="hung",
        given={
            "tension": "working_kn",
            "length": "chain length",
            "metre": _stiffness,
        },
        steps=(
            ExampleStep(
                finds="stiffness",
                of=lambda g: g.metre / g.length,
                kind="stiffness",
                finer=1,
                scene="taut_chain",
            ),
            ExampleStep(
                finds="stretch",
                of=lambda g: g.tension / g.stiffness,
                kind="small length",
                finer=1,
            ),
            ExampleStep(
                finds="energy",
                of=lambda g: g.tension * g.stretch / 2,
                kind="energy",
                shown_as="stored energy at working tension",
            ),
            ExampleStep(
                finds="twice",
                of=lambda g: 2 * g.tension * 2 * g.stretch / 2,
                kind="energy",
                shown_as="stored energy at twice that",
                scene="two_springs",
            ),
        ),
    ),
)

LESSON = Lesson(
    id="L09",
    minutes=20,
    explorers=(
        Exploration(
            name="hung",
            subject="chain sag",
            start={"slack_mm": 30},
            named={
                "slack_5": {"slack_mm": 5},
                "slack_60": {"slack_mm": 60},
                "sag_15": {"set_by": "chain sag", "sag_mm": 15},
                "tension_1": {"set_by": "chain tension", "take_up_kn": 1},
            },
            curtain=True,
            predict=Prediction(
                exercise="9.1",
                numbers={"span": 2000, "slack": 30},
                wrong=("M19_sag_is_slack", "v_shape"),
                givens=("span_mm", "slack_mm"),
            ),
            observe=Observation(amount="chain sag", at=({"slack_mm": 30},)),
            readings={
                **{
                    f"sag_{slack}": Observation(
                        amount="chain sag", at=({"slack_mm": slack},)
                    )
                    for slack in (5, 60)
                },
                "energy_more": Observation(
                    amount="stored energy at working tension",
                    at=({"working_kn": 22.5},),
                ),
            },
        ),
    ),
    recall=(
        Asked(name="slot_turns", of="L08"),
        Asked(name="pay_travel", of="L07"),
        Asked(name="sideways_part", of="L02"),
    ),
    by_hand=(Asked(name="take_up", values={"tension": 25 * 2**2 / (8 * 0.010) / 1e3}),),
    worked=WORKED,
    gates=(
        Gate(
            name="steps_over",
            options={"wait": "go", "hold": "go", "call_stop": "right"},
        ),
    ),
    script=(
        Minutes(name="feel", until=1),
        Minutes(name="predict", until=3),
        Minutes(name="explore", until=5, load=("slack_5", "slack_60")),
        Minutes(name="talk", until=7),
        Minutes(name="name", until=8),
        Minutes(name="stop", until=9),
        Minutes(name="exit", until=10),
    ),
    exit="9.6",
    cautions={"": ("S0",), "2": ("S1", "S5")},
    contrast=(
        Table(
            explorer="hung",
            rows=tuple({"slack_mm": slack} for slack in (5, 10, 20, 30, 50)),
            columns=(
                Column(of="slack"),
                Column(of="chain sag"),
                Column(of="chain sag from slack, by the tight-chain rule"),
            ),
        ),
        Table(
            explorer="hung",
            rows=({"working_kn": 15},),
            columns=(
                Column(of="working_kn"),
                *(Column(of=_stored(length)) for length in (1, 3)),
            ),
        ),
    ),
    handout=Handout(
        views=(
            PrintedView(
                explorer="hung",
                seen="side",
                change={"slack_mm": 100},
                scales=(Scale(at="clamp", radius=0.5, start=-45, end=0, zero=0),),
                aids=("ruler", "slope"),
                hidden=("angle",),
                readings=("°", "chain sag"),
            ),
        ),
        tables=(
            Table(
                explorer="hung",
                rows=tuple({"slack_mm": slack} for slack in (5, 10, 20, 60, 100)),
                columns=(
                    Column(of="slack"),
                    Column(of="chain sag"),
                    Column(of="level tension"),
                ),
                held="span_mm",
            ),
            Table(
                explorer="hung",
                rows=tuple({"working_kn": tension} for tension in (7.5, 15, 30)),
                columns=(
                    Column(of="working_kn"),
                    *(Column(of=_stored(length)) for length in (1, 2, 3)),
                ),
            ),
        ),
        codes=(
            ("hung", {"slack_mm": 100}),
            ("hung", {"set_by": "chain sag", "sag_mm": 15}),
        ),
    ),
)
