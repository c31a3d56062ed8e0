"""Small pictures of the label sheets: how their labels are counted."""

from typing import Any

from django import template

from shopfloor.labels import STOCKS, Stock

register = template.Library()
PITCH_X, PITCH_Y = 32, 19  # a cell of 30 × 17 and its gap


@register.simple_tag
def label_sheets() -> list[dict[str, Any]]:
    """One for each sheet, in the order of the choices, all cells numbered."""
    return [_picture(stock) for stock in STOCKS.values()]


def _picture(stock: Stock) -> dict[str, Any]:
    return {
        "stock": stock,
        "width": PITCH_X * stock.columns,
        "height": PITCH_Y * stock.rows,
        "cells": [_cell(number, stock.columns) for number in range(1, stock.cells + 1)],
    }


def _cell(number: int, columns: int) -> dict[str, int]:
    row, column = divmod(number - 1, columns)
    x, y = 1 + PITCH_X * column, 1 + PITCH_Y * row
    return {"number": number, "x": x, "y": y, "middle": x + 15, "foot": y + 12}
