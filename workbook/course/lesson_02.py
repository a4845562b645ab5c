"""A pull is an arrow: its parts along and across a line, and the sum of two."""

from math import radians, sin

from workbook.course.lesson import Asked, Exploration, Gate, Lesson, Observation
from workbook.course.predictions import Prediction

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
                "useful_20": {"angle_deg": 20, "held": "useful pull"},
                "useful_60": {"angle_deg": 60, "held": "useful pull"},
                "two_pulls": {"second": "at the same point"},
            },
            predict=Prediction(
                exercise="2.1",
                numbers={"tension": 20, "angle": 20},
                wrong=("M01_whole_tension", "M04_in_step_with_angle", "M02_sin_cos"),
            ),
            observe=Observation(
                amount="useful, on the wanted line",
                at=tuple({"angle_deg": angle} for angle in (0, 20, 45, 60)),
            ),
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
    gates=(
        Gate(name="too_weak", options={"more_pressure": "go", "turn_chain": "right"}),
    ),
    exit="2.3",
    cautions={"": ("S0",), "3": ("S6",)},
)
