"""The only writer of derived rows: a body is written, and told, only where its inputs differ."""

from dataclasses import dataclass

from django.db import DatabaseError

from frames import feed
from frames.derived import undone
from frames.derived.registry import Derivation, fingerprint
from frames.derived.sources import Json, Screen
from frames.models import Derived, ScreenState


@dataclass(frozen=True)
class _Standing:
    """What stands for one kind and screen: a body, or that there can be none."""

    body: Derived | None
    undone: Derived | None


def bring_up(derivation: Derivation, screen: Screen, *, anew: bool = False) -> bool:
    """Derive what is due for one screen; whether anything was written. `anew` mends damage too.

    The work is done outside the transaction. Of several workers the one that knew more of the log
    wins; the same answer is written once. What cannot be derived is kept as such: no screen keeps
    another one waiting.
    """
    standing = _standing(derivation, screen.id)
    digest = ""
    try:
        inputs = derivation.inputs(screen, None if anew else standing.body and standing.body.body)
        if inputs is None:
            is_there = standing.body or standing.undone
            return bool(is_there) and forget(derivation, screen.id)
        digest = fingerprint(inputs)
        if not anew and any(row and row.digest == digest for row in vars(standing).values()):
            return False
        body = derivation.body(screen, inputs)
    except DatabaseError:
        raise
    except Exception as fault:
        undone.tell(derivation.kind, screen.id, fault)
        return _cannot(derivation, screen, digest, fault)
    return _write(derivation, screen, body)


def _standing(derivation: Derivation, screen: str) -> _Standing:
    keys = Derived.key_of(derivation.kind, screen), undone.key_of(derivation.kind, screen)
    found = Derived.objects.in_bulk(keys)
    return _Standing(*(found.get(key) for key in keys))


def _write(derivation: Derivation, screen: Screen, body: Json) -> bool:
    with feed.change() as turn:
        standing = _standing(derivation, screen.id)
        if _is_late(standing, screen) or (standing.body and standing.body.body == body):
            return False
        if derivation.is_told and not ScreenState.objects.live().filter(pk=screen.id).exists():
            return False
        if standing.undone:
            standing.undone.delete()
        Derived(
            key=Derived.key_of(derivation.kind, screen.id),
            kind=derivation.kind,
            screen=screen.id,
            seq=screen.seq,
            digest=body["digest"],
            body=body,
        ).save()
        if derivation.is_told:
            turn.append("state", derivation.kind, screen.id, body)
        return True


def _cannot(derivation: Derivation, screen: Screen, digest: str, fault: Exception) -> bool:
    """Nothing stands then, on phones neither: what stood before was made of other entries."""
    row = undone.row(derivation.kind, screen.id, screen.seq, digest, fault)
    with feed.change() as turn:
        standing = _standing(derivation, screen.id)
        known = standing.undone
        if _is_late(standing, screen) or (
            known and (known.digest, known.body) == (digest, row.body)
        ):
            return False
        _take_back(turn, derivation, screen.id, standing)
        row.save()
        return True


def _is_late(standing: _Standing, screen: Screen) -> bool:
    """Whether another worker knew more of the log."""
    return any(row and row.seq > screen.seq for row in vars(standing).values())


def forget(derivation: Derivation, screen: str) -> bool:
    """Take it back: the screen has ended, or is no more."""
    with feed.change() as turn:
        return _take_back(turn, derivation, screen, _standing(derivation, screen))


def _take_back(turn: feed.Change, derivation: Derivation, screen: str, standing: _Standing) -> bool:
    for row in filter(None, vars(standing).values()):
        row.delete()
    if standing.body and derivation.is_told:
        turn.append("state", derivation.kind, screen, None)
    return bool(standing.body or standing.undone)
