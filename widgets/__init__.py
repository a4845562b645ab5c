"""ipywidgets explorers over the workbook."""

from widgets.arrow import ArrowExplorer
from widgets.bridle import BridleExplorer
from widgets.chain_sag import ChainSagExplorer
from widgets.five import TodaysFive
from widgets.gate import SafetyGate
from widgets.lesson import LessonParts, lesson
from widgets.pull import PullExplorer
from widgets.question import ExerciseCard
from widgets.reveal import Reveal
from widgets.roller import RollerExplorer
from widgets.sign_in import SignIn

__all__ = [
    "ArrowExplorer",
    "BridleExplorer",
    "ChainSagExplorer",
    "ExerciseCard",
    "LessonParts",
    "PullExplorer",
    "Reveal",
    "RollerExplorer",
    "SafetyGate",
    "SignIn",
    "TodaysFive",
    "lesson",
]
