"""Fork offset, side angle and bridles: one slot turns a pull, a flat bridle costs."""

from math import cos, radians

from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction

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
                    "head_up": 900,
                },
                wrong=("M18_slot_shift_only", "plan_distance_only"),
            ),
            observe=Observation(
                amount="head moved to the left", at=({"fork_offset_mm": 50},)
            ),
        ),
        Exploration(
            name="bridle",
            subject="bridle",
            predict=Prediction(wrong=("M14_bridle_half", "second_leg_forgotten")),
            observe=Observation(amount="left leg", at=({"between_deg": 120},)),
        ),
    ),
    recall=(
        Asked(name="locked_legs", of="L07"),
        Asked(name="useful_share", of="L02", values={"share": cos(radians(20))}),
        Asked(name="plus_offset", of="L00"),
    ),
    by_hand=(Asked(name="even_leg", values={"leg": 30 / (2 * cos(radians(40)))}),),
    gates=(
        Gate(name="leans_sideways", options={"load_gently": "go", "move": "right"}),
    ),
    exit="8.2",
    cautions={"": ("S0",), "2": ("S1", "S8")},
)
