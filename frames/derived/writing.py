"""The only writer of derived rows: a body is written, and told, only where its inputs differ."""

from frames import feed
from frames.derived.registry import Derivation, fingerprint
from frames.derived.sources import Json, Screen
from frames.models import Derived, ScreenState


def bring_up(derivation: Derivation, screen: Screen, *, anew: bool = False) -> bool:
    """Derive what is due for one screen; whether anything was written. `anew` mends damage too.

    The work is done outside the transaction. Of several workers the one that knew more of the log
    wins; the same answer is written once.
    """
    standing = _standing(derivation, screen.id)
    inputs = derivation.inputs(screen, None if anew or not standing else standing.body)
    if inputs is None:
        return bool(standing) and forget(derivation, screen.id)
    if standing and standing.digest == fingerprint(inputs) and not anew:
        return False
    return _write(derivation, screen, derivation.body(screen, inputs))


def _standing(derivation: Derivation, screen: str) -> Derived | None:
    return Derived.objects.filter(pk=Derived.key_of(derivation.kind, screen)).first()


def _write(derivation: Derivation, screen: Screen, body: Json) -> bool:
    with feed.change() as turn:
        standing = _standing(derivation, screen.id)
        if standing and (standing.seq > screen.seq or standing.body == body):
            return False
        if derivation.is_told and not ScreenState.objects.live().filter(pk=screen.id).exists():
            return False
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


def forget(derivation: Derivation, screen: str) -> bool:
    """Take it back: the screen has ended, or is no more."""
    with feed.change() as turn:
        gone, _ = Derived.objects.filter(pk=Derived.key_of(derivation.kind, screen)).delete()
        if gone and derivation.is_told:
            turn.append("state", derivation.kind, screen, None)
        return bool(gone)
