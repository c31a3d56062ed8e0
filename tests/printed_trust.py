"""Parts of DEVELOPERS.md about trust: who may open which address, what is kept about people."""

from collections import defaultdict

from shopfloor.privacy.stored import KEPT
from tests import proof

WHO = {
    frozenset({"anybody"}): "anybody",
    frozenset({"screen room", "manager"}): "screen room and manager",
    frozenset({"manager"}): "manager alone",
}
CAST = {
    "stranger": "anybody",
    "phone": "phone in use",
    "retired_phone": "retired phone",
    "blocked_phone": "blocked phone",
    "sol": "screen room",
    "mara": "manager",
}


def doors() -> str:
    """Every address with who gets past its door; the walk over all of them is the test."""
    from tests.api.test_walk import EVERYONE, OPERATIONS, _roles, pages

    lines = ["| address | open to | refused |", "|---|---|---|"]
    for (method, path), allowed in sorted(OPERATIONS.items(), key=lambda one: one[0][1]):
        inside = [CAST[who] for who in CAST if who in allowed]
        outside = [CAST[who] for who in CAST if who not in allowed]
        if allowed == EVERYONE:
            inside, outside = ["anybody"], []
        who = ", ".join(inside)
        lines.append(f"| `{method} /api/v1/{path}` | {who} | {', '.join(outside) or '—'} |")
    by_role: dict[str, list[str]] = defaultdict(list)
    for whole, entry in pages():
        if entry.name != "api-root":
            by_role[WHO[frozenset(_roles(entry))]].append("/" + whole.replace("|", "\\|"))
    for who in WHO.values():
        refused = "—" if who == "anybody" else "phones, anybody else"
        lines.append(f"| {' '.join(f'`{one}`' for one in by_role[who])} | {who} | {refused} |")
    return "\n".join(lines)


def people() -> str:
    lines = ["| where | what | until |", "|---|---|---|"]
    return "\n".join([*lines, *(f"| {k.who} | {k.what} | {k.until} |" for k in KEPT)])


def promises() -> str:
    return proof.table(proof.PROMISES, proof.of_promises())


def faults() -> str:
    return proof.table(proof.FAULTS, proof.of_faults(), "F")
