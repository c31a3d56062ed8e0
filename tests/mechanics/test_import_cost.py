"""The package imports without Django and without its heavy libraries."""

import subprocess
import sys

import pytest


@pytest.mark.parametrize("library", ["numpy", "scipy", "skfem", "daqp", "django", "pydantic"])
def test_importing_the_package_loads_nothing_heavy(library: str) -> None:
    code = f"import sys, frames.mechanics; sys.exit({library!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], timeout=60, check=False).returncode == 0


def test_a_strip_plan_needs_no_finite_elements() -> None:
    code = (
        "import sys; from frames.mechanics import plan_tension;"
        "from frames.mechanics import Layout, Mesh, Strip, Reading, Aim, Limits, begin;"
        "from frames.mechanics import after_readings as read;"
        "s = begin(Strip(Layout.evenly(900, 900, 5, 5), Mesh(900, 900)));"
        "s = read(s, [Reading(.5, .5, 9., 9.)]);"
        "assert plan_tension(s, Aim(20), Limits()).turns_48ths;"
        "sys.exit('skfem' in sys.modules or 'django' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], timeout=60, check=False).returncode == 0
