"""The practice bay: the whole job on the Kestrin 5, from survey to record."""

from workbook.course.lesson import SAFETY_GATE, Asked, Gate, Lesson

LESSON = Lesson(
    id="L17",
    minutes=90,
    explorers=(),
    recall=(
        Asked(name="two_of_the_gate", of="L11"),
        Asked(name="springback", of="L15"),
        Asked(name="first_to_move", of="L12"),
    ),
    gates=(
        Gate(name="sign", options={"pull_on": "go", "look": "wrong", "stop": "right"}),
    ),
    behind=SAFETY_GATE,
    cautions={
        "": ("S0",),
        "2 · Before you begin": ("S1", "S2", "S3", "S4", "S13", "S14"),
        "5 · Stop and think": ("S9", "S10"),
    },
)
