"""Parts of DEVELOPERS.md that code prints: `python -m tests.printed_docs` renews them.

Between `<!-- name -->` and `<!-- /name -->` stands what the function of that name gives.
"""

import re
from pathlib import Path

import django

from tests import printed_trust
from tests.import_table import JAVASCRIPT, NEVER, PURE, PYTHON
from tests.source_tree import ROOT

DOC = ROOT / "DEVELOPERS.md"


def imports() -> str:
    """One line per row of the import table; what the standard library has is always allowed."""
    lines = ["| module | may import | from outside | never |", "|---|---|---|---|"]
    lines.append(f"| the pure modules: {_each(PURE)} | each other | `pydantic` | |")
    for module, (house, outside) in PYTHON.items():
        if module in PURE.split():
            continue
        never = _listed(NEVER.get(module, ""))
        lines.append(f"| `{module}` | {_listed(house)} | {_listed(outside)} | {never} |")
    for folder, (house, outside) in JAVASCRIPT.items():
        lines.append(f"| `src/{folder}` | {_listed(house)} | {_listed(outside)} | |")
    return "\n".join(lines)


def _listed(words: str) -> str:
    return _each(words.replace(PURE, "<pure>")).replace("`<pure>`", "the pure modules")


def _each(words: str) -> str:
    return " ".join(f"`{word}`" for word in words.split())


def kinds() -> str:
    from frames.entries import KINDS

    lines = ["| kind | payload |", "|---|---|"]
    for kind, shape in KINDS.items():
        lines.append(f"| `{kind}` | {_listed(' '.join(shape.model_fields))} |")
    return "\n".join(lines)


def commands() -> str:
    from django.core.management import load_command_class

    lines = ["| command | what it does |", "|---|---|"]
    for name, app in own_commands().items():
        lines.append(f"| `{name}` | {load_command_class(app, name).help} |")
    return "\n".join(lines)


def own_commands() -> dict[str, str]:
    """Name of each command of ours, and the app that has it."""
    return {
        path.stem: app
        for app in ("shopfloor", "frames")
        for path in sorted((ROOT / app / "management/commands").glob("[!_]*.py"))
    }


SECTIONS = {
    "imports": imports,
    "kinds": kinds,
    "commands": commands,
    "doors": printed_trust.doors,
    "people": printed_trust.people,
    "promises": printed_trust.promises,
    "faults": printed_trust.faults,
}


def renewed(text: str) -> str:
    for name, make in SECTIONS.items():
        pattern = rf"(<!-- {name} -->\n).*?(<!-- /{name} -->)"
        printed = make()
        text, count = re.subn(
            pattern, lambda found, new=printed: f"{found[1]}{new}\n{found[2]}", text, flags=re.S
        )
        assert count == 1, f"{DOC.name} has no place for {name}"
    return text


def main(doc: Path = DOC) -> None:
    django.setup()
    doc.write_text(renewed(doc.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    import os

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
    main()
