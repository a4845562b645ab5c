"""Start here: the words, which way is plus, and how a lesson goes."""

from workbook.course.lesson import Asked, Exploration, Lesson, Observation
from workbook.course.predictions import Prediction
from workbook.course.tables import Column, Table

LESSON = Lesson(
    id="L00",
    minutes=15,
    explorers=(
        Exploration(
            name="one_pull",
            subject="pull",
            named={
                "one_slot": {"fork_offset_mm": 50},
                "longer": {"extension_mm": 600},
            },
            predict=Prediction(
                wrong=("slip_sign", "M18_slot_shift_only"),
                givens=("fork_offset_mm", "chain_angle_deg"),
            ),
            observe=Observation(
                amount="pull: side angle", at=({"fork_offset_mm": 50},)
            ),
            readings={
                "rise": Observation(amount="pull: rise", at=({"extension_mm": 600},)),
            },
        ),
    ),
    by_hand=(
        Asked(name="difference", values={"difference": 812 - 800}),
        Asked(name="minus_lean"),
    ),
    cautions={
        "": ("S0",),
        "Cautions for every lesson": ("S1", "S2", "S3", "S4", "S13", "S14"),
    },
    contrast=(
        Table(
            explorer="one_pull",
            rows=("start", "one_slot", "longer"),
            columns=(
                Column(of="pull: side angle"),
                Column(of="pull: rise"),
                Column(of="pull leg"),
            ),
        ),
    ),
)
