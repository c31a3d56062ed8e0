"""Text that a spreadsheet program would take for a formula is written so that it does not; pure.

A quote before it makes it text. Reading a file takes exactly one such quote off again, so what
was written out comes back as it was.
"""

import re

# `=` `+` `-` `@`, tab, line ends and NUL, and the wide forms that some programs read alike
START = "=+\\-@\t\r\n\0＝＋－＠"
NEEDS_QUOTE = re.compile(rf"'*[{START}]")
HAS_QUOTE = re.compile(rf"'+[{START}]")


def guarded(text: str) -> str:
    return f"'{text}" if NEEDS_QUOTE.match(text) else text


def bare(text: str) -> str:
    """A cell without the quote that keeps it from being a formula."""
    return text[1:] if HAS_QUOTE.match(text) else text
