"""An independent screen to try plans on: a net of threads, bending bars, bolts that only pull.

It shares no code and no method with the library under test: threads are elastic lines
pinned where they cross, bars are finite differences, bolts are one-way springs, and the
balance is found by Newton's method on the energy, with the geometry taken exactly.
"""

from .layouts import LAYOUTS, Layout
from .screen import Plant

__all__ = ["LAYOUTS", "Layout", "Plant"]
