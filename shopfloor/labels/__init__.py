"""Labels for frames: sheets on a grid of any stock, at true size."""

from .pages import png, sheet
from .problems import LabelProblem
from .stocks import STOCKS, Stock
from .trial import trial_page

__all__ = ["STOCKS", "LabelProblem", "Stock", "png", "sheet", "trial_page"]
