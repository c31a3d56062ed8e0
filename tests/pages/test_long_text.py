"""Text that nobody types on purpose is read in one go: each would take minutes or days if an
expression tried every way to part it, and the whole server would stand still meanwhile."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.source_tree import ROOT

PLENTY_S = 60  # of what takes a moment, with the start of Python
DJANGO = "import django; django.setup()\nfrom django.forms import ValidationError\n"
TOLD = "try:\n    {0}\nexcept ValidationError as told:\n    print(told.messages[0])"
EXPRESSIONS = {
    "a heading": (
        "from shopfloor.exchange.columns import KINDS\n"
        "from shopfloor.exchange.headings import HeadingProblem, understood\n"
        "try:\n    understood(KINDS['frames'], ('a' + ' ' * 1900 + '[' + ' ' * 1900 + 'x',))\n"
        "except HeadingProblem as told:\n    print(told.problems[0].remedy)",
        "Add the column",
    ),
    "bolts and turns": (
        f"{DJANGO}from shopfloor.office.payload_fields import BoltsField\n"
        + TOLD.format("BoltsField(key='turn_48ths', step_48ths=8).clean('A1' + ' ' * 5990 + 'x')"),
        "is not a bolt and a number",
    ),
    "bolts and turns of a whole page": (
        f"{DJANGO}from shopfloor.office.payload_fields import BoltsField\n"
        + TOLD.format("BoltsField(key='turn_48ths', step_48ths=8).clean('A1' + ' ' * 300000)"),
        "is not a bolt and a number",
    ),
    "frames of labels": (
        f"{DJANGO}from shopfloor.office.labels import LabelsForm\n"
        "form = LabelsForm({'frames': '1' * 400000, 'stock': 'a4-14', 'start': '1'})\n"
        "print(form.errors['frames'][0])",
        "400000 characters are too many. Shorten it to 6000.",
    ),
    "parts of a side": (
        f"{DJANGO}from shopfloor.office.fields import SpansField\n"
        + TOLD.format("SpansField().clean('0' + ' ' * 400000 + 'x')"),
        "400002 characters are too many. Shorten it to 6000.",
    ),
}


@pytest.mark.parametrize("name", EXPRESSIONS)
def test_no_text_makes_the_server_stand_still(name: str, tmp_path: Path) -> None:
    program, said = EXPRESSIONS[name]
    own = {"DJANGO_SETTINGS_MODULE": "shopfloor.settings", "TAUTBOOK_DATA": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env=os.environ | own,
        capture_output=True,
        text=True,
        timeout=PLENTY_S,
        check=True,
    )
    assert said in done.stdout
