"""Completes a wheel with what is not Python: built pages, icons, templates, the demo shop.

Called by the build (see `pyproject.toml`); an editable install needs none of it.
"""

import re
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

PARTS = ("templates", "static/dist", "static/icons")
DEMO = ("things.json", "log.jsonl")


class Pack(BuildHookInterface):
    def dependencies(self) -> list[str]:
        """Node as a package, where the pages must be built and the machine has none."""
        sys.path.insert(0, self.root)
        from shopfloor.launch import node, pages

        if node.is_there() or pages.are_built():
            return []
        return re.findall(r"^[\w.-]+==[\w.]+", node.LOCK.read_text("utf-8"), re.M)

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        sys.path.insert(0, self.root)
        from shopfloor.launch import pages

        if not pages.are_built():
            pages.build()
        root = Path(self.root)
        packed = {str(root / part): f"shopfloor/packed/{part}" for part in PARTS}
        demo = root / "demo_fixtures"
        for path in [demo / name for name in DEMO] + sorted(demo.glob("generate/*.py")):
            packed[str(path)] = f"shopfloor/packed/{path.relative_to(root).as_posix()}"
        build_data["force_include"] |= packed
