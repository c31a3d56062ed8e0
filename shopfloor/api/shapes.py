"""What goes over the wire, named by direction. Times are ISO 8601 with zone, answers in UTC."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Annotated, Any, Literal
from uuid import UUID

from ninja import Field, Schema
from pydantic import AfterValidator, AwareDatetime, ValidationError, WrapValidator

from shopfloor.api.problems import FaultOut, Shown


def utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _or_nothing(value: Any, inner: Callable[[Any], Any]) -> Any:
    try:
        return inner(value)
    except ValidationError:
        return None


# A push is always stored, so what only accompanies the entries must never stop it.
Lenient = WrapValidator(_or_nothing)
Count = Annotated[int, Field(ge=0, le=1_000_000_000)]
Position = Annotated[int, Field(ge=0, lt=2**63)]
# Years that can be told in any zone, and with one: pages reckon with it.
Time = Annotated[
    AwareDatetime, Field(ge=datetime(1970, 1, 1, tzinfo=UTC), lt=datetime(2200, 1, 1, tzinfo=UTC))
]


class HeadIn(Schema):
    seq: Position
    id: UUID | None


class OutboxIn(Schema):
    """What the phone still holds, for the page Phones."""

    unsent: Annotated[Count | None, Lenient] = None
    oldest_at: Annotated[Time | None, Lenient] = None
    refused: Annotated[Count | None, Lenient] = None


class InstallIn(Schema):
    """When this numbering of entries began: a new one on an old phone means that it lost some."""

    started_at: Annotated[Time | None, Lenient] = None
    reason: Annotated[Literal["new", "numbering lost"] | None, Lenient] = None


class PushIn(Schema):
    """A loose envelope: each entry is judged alone, and the rest is only told."""

    protocol: Annotated[int | None, Lenient] = Field(None, description="1")
    install_id: Annotated[UUID | None, Lenient] = None
    install: Annotated[InstallIn | None, Lenient] = None
    phone_time: Annotated[Time | None, Lenient] = None
    epoch: Annotated[UUID | None, Lenient] = Field(
        None, description="Of the receipts this phone holds, else of its place in the feed, or null"
    )
    head: Annotated[HeadIn | None, Lenient] = Field(None, description="Place in the feed, or null")
    acked: Annotated[UUID | None, Lenient] = Field(
        None, description="Newest entry that this phone holds a receipt for, or null"
    )
    outbox: Annotated[OutboxIn | None, Lenient] = None
    entries: list[Any] = Field(description="At most 100 entries, oldest first")


class HeadOut(Schema):
    seq: int = Field(description="Feed position of the newest change")
    id: str | None = Field(description="Id of the change at that position")


class ReasonOut(Schema):
    """Why an entry was refused: the first field at fault, and all of them in `errors`."""

    title: str
    detail: str
    field: str | None = None
    value: Shown = None
    remedy: str | None = None
    errors: list[FaultOut] = Field(default_factory=list)


class ReceiptOut(Schema):
    """The answer for one entry. Only a receipt lets a phone take it from its outbox."""

    id: str | None = Field(None, description="Of the entry; null if it has none to be read")
    place: int | None = Field(None, description="Place in the batch, from 0, where id is null")
    status: Literal["stored", "duplicate", "refused"]
    seq: int | None = Field(None, description="Feed position of the entry")
    flags: list[str] = Field(description="What the office should look at; the entry is stored")
    problem: ReasonOut | None = None


class PushOut(Schema):
    protocol: Literal[1] = 1
    epoch: str
    server_time: str
    head: HeadOut
    resend: bool = Field(description="Push again whatever is still held, acknowledged or not")
    receipts: list[ReceiptOut]


class ItemOut(Schema):
    type: Literal["entry", "thing", "state"]
    kind: str = Field(
        description="Kind of the entry or thing; of a state frame, screen, meter or what is derived"
    )
    object: str = Field(description="Id of the entry, thing, frame, screen or meter")
    body: dict[str, Any] | None = Field(description="Null: this state is no more")


class ChangeOut(ItemOut):
    seq: int
    id: str = Field(description="Of the change itself")


class ChangesIn(Schema):
    epoch: UUID
    after: Position
    id: UUID | None = Field(None, description="Id of the change at `after`; none at 0")
    acked: UUID | None = None
    head: Position | None = Field(None, description="Of the feed, with the newest receipts")
    head_id: UUID | None = None
    limit: Annotated[int, Field(ge=1, le=1000)] = 500
    unsent: Annotated[Count | None, Lenient] = None
    oldest_at: Annotated[Time | None, Lenient] = None


class ChangesOut(Schema):
    epoch: str
    server_time: str
    head: HeadOut
    changes: list[ChangeOut] = Field(description="Contiguous from `after` + 1 on")
    more: bool


class SnapshotOut(Schema):
    """One page. `seq` and `id` are the same on every page: go on with the changes from there."""

    epoch: str
    seq: int
    id: str | None
    server_time: str
    items: list[ItemOut]
    next: str | None = Field(description="Hand back as `after`; null on the last page")


class HistoryOut(Schema):
    items: list[ItemOut] = Field(description="Entries, newest first")
    next: str | None = Field(description="Hand back as `before`; null when nothing is older")


class DeviceOut(Schema):
    id: str
    label: str
    scope: dict[str, Any] = Field(description="`press` (id) and `may_turn_with_stencil`")
    status: Literal["active", "retired", "blocked"]

    @staticmethod
    def resolve_id(device: Any) -> str:
        return str(device.id)


class MeOut(Schema):
    device: DeviceOut
    shop: dict[str, Any] | None


def printable(text: str) -> str:
    """What a phone says about itself is shown to people and kept by any database."""
    return "".join(character for character in text if character.isprintable())


Word = Annotated[str, Field(max_length=40), AfterValidator(printable)]
Words = Annotated[str, Field(max_length=300), AfterValidator(printable)]


class ClaimIn(Schema):
    """Token of the QR code or typed code, one of the two."""

    token: Annotated[str, Field(max_length=100)] = ""
    code: Annotated[str, Field(max_length=40)] = ""
    install_id: UUID
    about: dict[Word, Words] = Field(default_factory=dict, max_length=12)


class ClaimOut(Schema):
    claim: str = Field(description="Secret to poll with")
    number: str = Field(description="Two digits that the phone shows and the manager types")
    shop: str = Field(description="Name of the shop")
    expires_at: str


class PollIn(Schema):
    claim: Annotated[str, Field(min_length=1, max_length=100)]


class PollOut(Schema):
    status: Literal["waiting", "approved", "expired", "refused"]
    device: DeviceOut | None = None
