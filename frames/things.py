"""The only writer of things: frames, meshes, presses, meters, operators, jobs, colours, the shop.

Each save is one transaction under the feed's counter, so no phone can miss it.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import ObjectDoesNotExist
from django.db.models import Max
from django.utils import timezone

from frames import feed, forms
from frames.codes import format_code
from frames.errors import Conflict, NotFound, Problem, ThingError
from frames.models import THINGS, Colour, Entry, Frame, Job, Mesh, Shop, Thing
from frames.wording import say

Values = dict[str, Any]
LAID_ONCE = ("inside_a_mm", "inside_b_mm", "bolts")


def create(
    kind: str,
    values: Mapping[str, Any],
    by: str,
    *,
    at: datetime | None = None,
    id: UUID | None = None,
) -> Thing:
    """Save a new thing. ThingError lists what does not fit; nothing is saved then."""
    form = forms.read(kind, values)
    with feed.change() as turn:
        thing = THINGS[kind](id=id or uuid4(), version=0, created_at=at or timezone.now())
        return _save(
            turn, kind, thing, _settled(kind, thing, form.model_dump()), by, thing.created_at
        )


def change(
    kind: str,
    id: UUID | str,
    values: Mapping[str, Any],
    version: int,
    by: str,
    *,
    at: datetime | None = None,
) -> Thing:
    """Save other values for some fields of a thing; Conflict if it is past `version` already."""
    with feed.change() as turn:
        thing = _seen(kind, id, version)
        form = forms.read(kind, _editable(kind, thing) | dict(values))
        settled = _settled(kind, thing, form.model_dump())
        return _save(turn, kind, thing, settled, by, at or timezone.now())


def retire(
    kind: str,
    id: UUID | str,
    version: int,
    by: str,
    *,
    retired: bool = True,
    at: datetime | None = None,
) -> Thing:
    """Take a thing out of use, or back into it; what the log says about it stays."""
    with feed.change() as turn:
        thing = _seen(kind, id, version)
        return _save(turn, kind, thing, {"retired": retired}, by, at or timezone.now())


def _seen(kind: str, id: UUID | str, version: int) -> Thing:
    try:
        thing = THINGS[kind].objects.get(pk=UUID(str(id)))
    except (ValueError, ObjectDoesNotExist):
        raise NotFound(kind, id) from None
    if thing.version != version:
        raise Conflict(thing.body(), version)
    return thing


def _editable(kind: str, thing: Thing) -> Values:
    body = thing.body()
    return {name: body[name] for name in forms.FORMS[kind].model_fields}


def _save(
    turn: feed.Change, kind: str, thing: Thing, values: Values, by: str, at: datetime
) -> Thing:
    for name, value in values.items():
        setattr(thing, name, value)
    is_new = thing.version == 0
    thing.version += 1
    thing.changed_by, thing.changed_at, thing.seq = by, at, turn.reserve()
    thing.save(force_insert=is_new, force_update=not is_new)
    turn.put(thing.seq, "thing", kind, thing.id, thing.body())
    return thing


def _settled(kind: str, thing: Thing, values: Values) -> Values:
    """Values ready for the row; ThingError if they clash with what is in the book."""
    return SETTLE[kind](thing, values) if kind in SETTLE else values


def _shop(shop: Shop, values: Values) -> Values:
    if Shop.objects.exclude(pk=shop.pk).exists():
        raise _clash(
            "name", values["name"], say("Change the shop that is there: a book has one shop.")
        )
    return values


def _frame(frame: Frame, values: Values) -> Values:
    shop, others = Shop.objects.first(), Frame.objects.exclude(pk=frame.pk)
    if shop is None:
        raise _clash(
            "shop", None, say("Set up the shop first: its name and the letters of its codes.")
        )
    number, name = values["number"], values["second_name"]
    if number is None:
        number = (others.aggregate(last=Max("number"))["last"] or 0) + 1
    if others.filter(number=number).exists():
        raise _clash("number", number, say("Choose another number: a frame has this one."))
    if name and others.in_use().filter(second_name__iexact=name).exists():
        raise _clash("second_name", name, say("Choose another second name: a frame has this one."))
    _refuse_to_relay(frame, values)
    code = frame.code if frame.number == number else format_code(shop.prefix, number)
    return values | {"number": number, "code": code}


def _refuse_to_relay(frame: Frame, values: Values) -> None:
    """Places of bolts give logged turns their meaning, so they stay once the log names them."""
    moved = [name for name in LAID_ONCE if frame.version and getattr(frame, name) != values[name]]
    if moved and Entry.objects.of_frame(frame.pk).exists():
        remedy = say("Make a new frame: this one has been used, so its size and bolts stay.")
        raise _clash(moved[0], values[moved[0]], remedy)


def _job(job: Job, values: Values) -> Values:
    if Job.objects.exclude(pk=job.pk).filter(number=values["number"]).exists():
        raise _clash("number", values["number"], say("Choose another number: a job has this one."))
    return values


def _colour(colour: Colour, values: Values) -> Values:
    job, mesh, repeats = (values.pop(name) for name in ("job", "mesh", "repeats"))
    if not Job.objects.filter(pk=job).exists():
        raise _clash("job", job, say("Choose a job from the list: this one is not in the book."))
    if mesh and not Mesh.objects.filter(pk=mesh).exists():
        raise _clash("mesh", mesh, say("Choose a mesh from the list: this one is not in the book."))
    if repeats and not Colour.objects.exclude(pk=colour.pk).filter(pk=repeats).exists():
        raise _clash("repeats", repeats, say("Choose the colour whose stencil was kept."))
    _refuse_second_key(colour, job, values)
    ids = {"job_id": job, "mesh_id": mesh, "repeats_id": repeats}
    return values | {name: id and UUID(id) for name, id in ids.items()}


def _refuse_second_key(colour: Colour, job: str, values: Values) -> None:
    """All others are fitted to the key colour, so a job has one."""
    others = Colour.objects.in_use().filter(job=job, key=True).exclude(pk=colour.pk)
    if values["key"] and (other := others.first()):
        remedy = say("Untick it at {0} first: a job has one key colour.", other.name)
        raise _clash("key", values["name"], remedy)


def _clash(field: str, value: Any, remedy: str) -> ThingError:
    return ThingError([Problem(field, value, remedy)])


SETTLE = {"shop": _shop, "frame": _frame, "job": _job, "colour": _colour}
