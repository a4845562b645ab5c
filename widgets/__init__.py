"""ipywidgets explorers over the workbook."""

from collections.abc import Mapping
from functools import partial
from typing import Any

from widgets.explorer import Explorer
from widgets.five import TodaysFive
from widgets.gate import SafetyGate
from widgets.instructor import InstructorsView
from widgets.lesson import LessonParts, lesson
from widgets.mixed import EntryCheck, Refresh
from widgets.practice_bay import PracticeBay
from widgets.question import ExerciseCard
from widgets.quick_check import AngleTables, QuickCheckCard
from widgets.reveal import Reveal
from widgets.sign_in import SignIn
from workbook.figures.pictures import subjects

EXPLORERS: Mapping[str, partial[Explorer[Any]]] = {
    name: partial(Explorer, subject) for name, subject in subjects().items()
}
"""The explorer of every subject, by name."""

ArrowExplorer = EXPLORERS["arrow"]
BridleExplorer = EXPLORERS["bridle"]
ChainSagExplorer = EXPLORERS["chain sag"]
PullExplorer = EXPLORERS["pull"]
RollerExplorer = EXPLORERS["roller"]

__all__ = [
    "EXPLORERS",
    "AngleTables",
    "ArrowExplorer",
    "BridleExplorer",
    "ChainSagExplorer",
    "EntryCheck",
    "ExerciseCard",
    "Explorer",
    "InstructorsView",
    "LessonParts",
    "PracticeBay",
    "PullExplorer",
    "QuickCheckCard",
    "Refresh",
    "Reveal",
    "RollerExplorer",
    "SafetyGate",
    "SignIn",
    "TodaysFive",
    "lesson",
]
