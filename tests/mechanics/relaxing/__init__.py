"""A shop whose screens relax by laws that the forecast does not know."""

from .laws import LAWS
from .shop import Screen, simulate

__all__ = ["LAWS", "Screen", "simulate"]
