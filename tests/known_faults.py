"""Asks the advisory services whether a package that is pinned here has a known fault.

    python3 -m tests.known_faults

The exit code is 1 where one has. A service that is not reached is no fault of this project, and no
clean bill either: both tools are able to call silence "none found", so it is counted who was asked.
"""

import json
import subprocess
import sys
from dataclasses import dataclass

from shopfloor.launch import interpreter, node
from shopfloor.launch.steps import Stop, say
from shopfloor.places import ROOT, STATIC

PYTHON = (
    *(sys.executable, "-m", "pip_audit", "--requirement", str(ROOT / "tests/requirements.lock")),
    *("--require-hashes", "--disable-pip", "--vulnerability-service", "osv"),
    *("--format", "json", "--progress-spinner", "off", "--timeout", "10"),
)
NODE = (
    "audit",
    "--json",
    "--package-lock-only",
    "--fetch-retries",
    "0",
    "--fetch-timeout",
    "10000",
)


@dataclass(frozen=True)
class Answer:
    """What a service said: how many packages it answered for, and their faults, a line each."""

    packages: str
    asked: int
    faults: tuple[str, ...] = ()

    def __str__(self) -> str:
        if not self.asked:
            return f"{self.packages}: the advisory service was not reached. Nothing is known."
        told = f"{self.packages}: {self.asked} asked about, {len(self.faults)} known faults."
        return "\n  ".join((told, *self.faults))


def of_python(*more: str) -> Answer:
    """What pip-audit finds; `more` words go to it."""
    told = _json(*PYTHON, *more).get("dependencies", [])
    asked = [one for one in told if "skip_reason" not in one]
    faults = {
        f"{one['name']} {one['version']}: {', '.join(sorted([fault['id'], *fault['aliases']]))}, "
        f"mended in {', '.join(fault['fix_versions']) or 'no version yet'}"
        for one in asked
        for fault in one["vulns"]
    }
    return Answer("Python packages", len(asked), tuple(sorted(faults)))


def of_node(*more: str) -> Answer:
    """What npm finds; `more` words go to it."""
    told = _json(*node.find().npm, *NODE, *more)
    if "vulnerabilities" not in told:
        return Answer("npm packages", 0)
    faults = {
        f"{name}: {cause['title']} ({cause['url']}), in versions {cause['range']}"
        for name, one in told["vulnerabilities"].items()
        for cause in one["via"]
        # a string names the package below that brings the fault, which has a line of its own
        if isinstance(cause, dict)
    }
    return Answer("npm packages", told["metadata"]["dependencies"]["total"], tuple(sorted(faults)))


def _json(*command: str) -> dict:
    try:
        done = subprocess.run(command, cwd=STATIC, capture_output=True, text=True, timeout=120)
        return json.loads(done.stdout)
    except (subprocess.TimeoutExpired, ValueError):
        return {}  # neither tool has anything to say in this form where it reached nobody


def main() -> int:
    answers = [of_python(), of_node()]
    for answer in answers:
        say(str(answer))
    return int(any(answer.faults for answer in answers))


if __name__ == "__main__":
    try:
        interpreter.ensure("test")
    except Stop as reason:
        sys.exit(str(reason))
    sys.exit(main())
