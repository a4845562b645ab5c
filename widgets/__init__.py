"""ipywidgets explorers over the workbook."""

from widgets.arrow import ArrowExplorer
from widgets.bridle import BridleExplorer
from widgets.chain_sag import ChainSagExplorer
from widgets.prediction import Prediction
from widgets.pull import PullExplorer
from widgets.reveal import Reveal
from widgets.roller import RollerExplorer

__all__ = [
    "ArrowExplorer",
    "BridleExplorer",
    "ChainSagExplorer",
    "Prediction",
    "PullExplorer",
    "Reveal",
    "RollerExplorer",
]
