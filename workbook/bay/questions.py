"""The questions C1 to C12 beside the work: what is typed, and what each is worth.

Numbers are read as everywhere, with their unit; choices are typed by name. Points
and bands are those of the teaching plan's table.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from workbook.equipment import PLACES
from workbook.exercises.answers.quantity import TWO_PERCENT, Tolerance

ONE_DEGREE = Tolerance(absolute=1.0)
DECISIONS = ("carry on", "move the clamp", "new line", "stop")
SIGNALS = ("one person", "both rams' hands", "whoever sees it", "nobody")
FIRST = ("first ram", "second ram")
VERDICTS = ("pass", "not yet")


@dataclass(frozen=True, kw_only=True)
class BayAsked:
    """One part of a question.

    Attributes
    ----------
    points : float
        What it is worth.
    kind, unit : str
        Of a number; empty where it is a choice.
    tolerance : Tolerance
        Full marks within it, most of them within twice that.
    choices : tuple of str
        Of a choice.
    """

    points: float
    kind: str = ""
    unit: str = ""
    tolerance: Tolerance = TWO_PERCENT
    choices: tuple[str, ...] = ()


def _angle(points: float) -> BayAsked:
    return BayAsked(points=points, kind="angle", unit="deg", tolerance=ONE_DEGREE)


def _force(points: float) -> BayAsked:
    return BayAsked(points=points, kind="force", unit="kN")


ITEMS: Mapping[str, Mapping[str, BayAsked]] = {
    "C2": {"top clamp load": _force(4)},
    "C3": {
        "bearing": _angle(3),
        "rise": _angle(3),
        "total": BayAsked(points=2, kind="small length", unit="mm"),
    },
    "C4": {"head height": BayAsked(points=6, kind="length", unit="mm")},
    "C5": {
        "lean": _angle(2),
        "anchor angle": _angle(2),
        "pull leg": BayAsked(points=3, kind="ratio", unit="1"),
        "anchor leg": BayAsked(points=3, kind="ratio", unit="1"),
    },
    "C6": {
        "nearest part": BayAsked(points=4, choices=PLACES),
        "highest ram force": _force(4),
    },
    "C8": {
        "first force": _force(2),
        "second force": _force(2),
        "moves first": BayAsked(points=2, choices=FIRST),
        "signals": BayAsked(points=2, choices=SIGNALS),
    },
    "C9": {
        "share done": BayAsked(
            points=4, kind="share", unit="%", tolerance=Tolerance(absolute=2.0)
        ),
        "new bearing": _angle(2),
        "new rise": _angle(2),
        "decision": BayAsked(points=2, choices=DECISIONS),
    },
    "C10": {"holding pull": _force(8)},
    "C11": {
        "springback": BayAsked(
            points=3,
            kind="small length",
            unit="mm",
            tolerance=Tolerance(absolute=0.4),
        ),
        "loaded reading": BayAsked(
            points=4,
            kind="small length",
            unit="mm",
            tolerance=Tolerance(absolute=0.4),
        ),
        "relieved": BayAsked(
            points=3, kind="share", unit="%", tolerance=Tolerance(absolute=2.0)
        ),
    },
    "C12": {"verdict": BayAsked(points=3, choices=VERDICTS)},
}
"""What is typed, by step and item. C1 and C7 are marked from the acts alone."""

FROM_ACTS: Mapping[str, Mapping[str, float]] = {
    "C1": {"kinds": 3.0, "order": 3.0, "stoppers": 2.0},
    "C2": {"layout": 2.0, "ties": 1.0, "shares": 1.0},
    "C12": {"points inside": 6.0, "record": 7.0},
}
"""What is marked from what was done, and its points."""

STEPS = tuple(f"C{number}" for number in range(1, 13))
GATE = "C7"
PASS = 80.0
"""Points of 100 that pass, with a clean gate."""
