"""One body for every error of the API: problem details as in RFC 9457, with our list of errors."""

from http import HTTPStatus
from math import isfinite
from typing import Annotated, Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from ninja import Field, Schema
from pydantic import BeforeValidator

from frames.errors import BadInput
from frames.errors import Problem as Fault
from frames.wording import mark, say
from shopfloor.trouble import cannot_write

CONTENT_TYPE = "application/problem+json"
SHOWN = 80
LARGEST_SHOWN = 2**63


def shown(value: Any) -> Any:
    """Values come back to people, so long or nested ones are cut."""
    if value is None or _is_short_number(value):
        return value
    text = value if isinstance(value, str) else repr(value)
    return text if len(text) <= SHOWN else f"{text[: SHOWN - 1]}…"


def _is_short_number(value: Any) -> bool:
    """Whole numbers of hundreds of digits are beyond any float, and too long to show."""
    if isinstance(value, float):
        return isfinite(value)
    return isinstance(value, int) and abs(value) < LARGEST_SHOWN


Shown = Annotated[Any, BeforeValidator(shown)]


class FaultOut(Schema):
    field: str = Field(description="Where it stands, for example `outbox.unsent`.")
    value: Shown = Field(description="What stood there, cut short; null if nothing did.")
    remedy: str = Field(description="What to do about it.")


class ProblemOut(Schema):
    """Every answer from 400 upwards has this shape and the type `application/problem+json`."""

    type: str = Field(description="A word of this API as a path, for example `/problems/gone`.")
    title: str = Field(description="What is wrong, the same for every problem of the type.")
    status: int = Field(description="The HTTP status again.")
    detail: str = Field(description="What is wrong this time and what to do, for a person.")
    errors: list[FaultOut] = Field(description="The single fields at fault, if fields are.")


class ProblemError(Exception):
    """Raised anywhere below the API to answer with a problem."""

    def __init__(
        self,
        status: HTTPStatus,
        word: str,
        title: str,
        detail: str,
        *,
        errors: list[Fault] | None = None,
        headers: dict[str, str] | None = None,
    ) -> None:
        super().__init__(title)
        self.headers = headers or {}
        self.body = {
            "type": f"/problems/{word}",
            "title": title,
            "status": int(status),
            "detail": detail,
            "errors": [{**fault.body(), "value": shown(fault.value)} for fault in errors or []],
        }


def answer(request: HttpRequest, error: ProblemError) -> HttpResponse:
    return JsonResponse(
        error.body,
        status=error.body["status"],
        content_type=CONTENT_TYPE,
        headers={"Cache-Control": "no-store", **error.headers},
    )


def invalid(faults: list[Fault]) -> ProblemError:
    one = mark("One field of the request cannot be used; nothing was stored.")
    more = mark("Several fields of the request cannot be used; nothing was stored.")
    detail = say(one if len(faults) == 1 else more)
    title = say("The request does not fit")
    return ProblemError(HTTPStatus.UNPROCESSABLE_ENTITY, "invalid", title, detail, errors=faults)


def bad_input(error: BadInput) -> ProblemError:
    detail = " ".join(fault.remedy for fault in error.problems)
    status = HTTPStatus.UNPROCESSABLE_ENTITY
    return ProblemError(status, "invalid", say(error.title), detail, errors=error.problems)


def unreadable(detail: str) -> ProblemError:
    title = say("The request cannot be read")
    return ProblemError(HTTPStatus.BAD_REQUEST, "unreadable", title, detail)


def too_large(detail: str) -> ProblemError:
    title = say("Too much at once")
    return ProblemError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "too-large", title, detail)


def gone(detail: str) -> ProblemError:
    title = say("Your place in the feed is no longer known")
    return ProblemError(HTTPStatus.GONE, "gone", title, detail)


def not_found(detail: str) -> ProblemError:
    return ProblemError(HTTPStatus.NOT_FOUND, "not-found", say("There is nothing here"), detail)


def of_the_database(error: BaseException | None) -> ProblemError:
    """What it cannot do now, told as something to wait for."""
    return unwritable() if cannot_write(error) else locked()


def unwritable() -> ProblemError:
    return ProblemError(
        HTTPStatus.SERVICE_UNAVAILABLE,
        "unwritable",
        say("The book cannot be written"),
        say(
            "Its disk is full, or its database may only be read at present. Nothing is lost: what "
            "a phone holds, it sends again by itself. Tell whoever looks after the server."
        ),
        headers={"Retry-After": "30"},
    )


def locked() -> ProblemError:
    return ProblemError(
        HTTPStatus.SERVICE_UNAVAILABLE,
        "locked",
        say("The book is busy"),
        say("The database did not take this in time. Nothing is lost: it is sent again by itself."),
        headers={"Retry-After": "5"},
    )


def busy(seconds: int) -> ProblemError:
    return ProblemError(
        HTTPStatus.SERVICE_UNAVAILABLE,
        "busy",
        say("Too many are at it just now"),
        say("Nothing is lost. Try again in {0} seconds; a phone does so by itself.", seconds),
        headers={"Retry-After": str(seconds)},
    )


def too_late() -> ProblemError:
    return ProblemError(
        HTTPStatus.REQUEST_TIMEOUT,
        "too-late",
        say("The rest of it never came"),
        say("The line broke or was too slow, and nothing was stored. Send it again."),
        headers={"Connection": "close"},
    )


def no_length() -> ProblemError:
    return ProblemError(
        HTTPStatus.LENGTH_REQUIRED,
        "no-length",
        say("It goes on and on"),
        say("What is sent has to say how long it is. Nothing was stored."),
        headers={"Connection": "close"},
    )
