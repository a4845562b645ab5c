"""Slack, chain sag and stored energy."""

from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction

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
            ),
            observe=Observation(
                amount="chain sag",
                at=tuple({"slack_mm": slack} for slack in (5, 30, 60)),
            ),
        ),
    ),
    recall=(
        Asked(name="slot_turns", of="L08"),
        Asked(name="pay_travel", of="L07"),
        Asked(name="sideways_part", of="L02"),
    ),
    by_hand=(Asked(name="take_up", values={"tension": 25 * 2**2 / (8 * 0.010) / 1e3}),),
    gates=(Gate(name="steps_over", options={"wait": "go", "call_stop": "right"}),),
    exit="9.6",
    cautions={"": ("S0",), "2": ("S1", "S5")},
)
