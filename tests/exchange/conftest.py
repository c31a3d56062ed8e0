"""The people and the shop of the office's page tests."""

from tests.pages.conftest import floor, mara, own_data_folder, sol

__all__ = ["floor", "mara", "own_data_folder", "sol"]
