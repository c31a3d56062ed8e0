"""Where the parts that are not Python lie. Standard library only.

In a checkout they stand beside the packages; in an installed wheel, inside of this one.
"""

from pathlib import Path

_PACKED = Path(__file__).resolve().parent / "packed"

INSTALLED = _PACKED.is_dir()
ROOT = _PACKED if INSTALLED else Path(__file__).resolve().parents[1]
TEMPLATES = ROOT / "templates"
STATIC = ROOT / "static"
LOCALE = Path(__file__).resolve().parent / "locale"
# A wheel lies where its owner may not write; what belongs to the shop never lies in it.
DATA = Path.home() / ".tautbook" if INSTALLED else ROOT / ".tautbook"
COMMAND = "tautbook" if INSTALLED else "python3 manage.py"
# In the data folder: under which address this shop was last started.
ORIGIN = "origin"
