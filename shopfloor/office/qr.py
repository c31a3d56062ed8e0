"""A QR symbol as SVG, black on white in every theme."""

from django.utils.html import format_html
from django.utils.safestring import SafeString

from shopfloor.labels.symbol import QUIET, symbol


def svg(text: str) -> SafeString:
    made = symbol(text)
    squares = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(made.modules)
        for x, dark in enumerate(row)
        if dark
    )
    return format_html(
        '<svg viewBox="0 0 {0} {0}" role="img" aria-label="QR code to add this phone" '
        'shape-rendering="crispEdges"><path d="{1}" fill="#000"/></svg>',
        made.across,
        squares,
    )
