"""ipywidgets explorers over the workbook."""

from widgets.prediction import Prediction
from widgets.pull import PullExplorer

__all__ = ["Prediction", "PullExplorer"]
