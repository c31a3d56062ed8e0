"""Who may call which operation. Each names one of these doors, and a test walks over all."""

from http import HTTPStatus

from django.http import HttpRequest
from ninja.security.base import AuthBase

from frames.wording import mark, say
from shopfloor.api.bodies import check_length
from shopfloor.api.problems import ProblemError
from shopfloor.auth import of_request
from shopfloor.auth.roles import GROUPS, holds
from shopfloor.models import Device

Status = Device.Status
APP_HEADER = "X-Tautbook"

BLOCKED = mark(
    "The server takes nothing from this phone and tells it nothing. What it holds stays on it: "
    "save the outbox to a file and give it to the manager."
)
RETIRED = mark("This phone may still send what it holds. It reads nothing any more.")
UNKNOWN = mark("Ask the manager to add this phone on the page Phones. What it holds stays on it.")


def check_origin(request: HttpRequest) -> None:
    """Only our own pages get in: a foreign page can neither set the header nor hide where it is."""
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    if site != "same-origin" or request.headers.get(APP_HEADER) != "1":
        raise ProblemError(
            HTTPStatus.FORBIDDEN,
            "cross-site",
            say("This request did not come from the app"),
            say("Open Tautbook itself; programs send the header {0}: 1.", APP_HEADER),
        )


def check_media_type(request: HttpRequest) -> None:
    if request.method == "POST" and request.content_type != "application/json":
        raise ProblemError(
            HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
            "media-type",
            say("This kind of body is not taken"),
            say("Content-Type is {0}. Send application/json.", repr(request.content_type[:40])),
        )


class Door(AuthBase):
    """What every operation checks first; then `enter` says who it is."""

    openapi_type = "apiKey"
    openapi_in = "header"
    openapi_name = APP_HEADER

    def __call__(self, request: HttpRequest) -> Device | str:
        check_origin(request)
        check_media_type(request)
        check_length(request)
        return self.enter(request)

    def enter(self, request: HttpRequest) -> Device | str:
        raise NotImplementedError


class Anybody(Door):
    open_to = frozenset({"anybody"})

    def enter(self, request: HttpRequest) -> str:
        return "anybody"


class Phone(Door):
    """A phone that is in use."""

    openapi_in = "cookie"
    openapi_name = "tautbook_device"
    open_to = frozenset({"phone"})
    statuses = frozenset({Status.ACTIVE})

    def enter(self, request: HttpRequest) -> Device:
        device = of_request(request)
        if device is None:
            title = say("This phone is not enrolled")
            raise ProblemError(HTTPStatus.UNAUTHORIZED, "sign-in", title, say(UNKNOWN))
        if device.status == Status.BLOCKED:
            title = say("This phone is blocked")
            raise ProblemError(HTTPStatus.FORBIDDEN, "blocked", title, say(BLOCKED))
        if device.status not in self.statuses:
            title = say("This phone is retired")
            raise ProblemError(HTTPStatus.FORBIDDEN, "retired", title, say(RETIRED))
        return device


class RetiredPhone(Phone):
    """A phone in use, or one that may only send what it still holds."""

    open_to = frozenset({"phone", "retired phone"})
    statuses = frozenset({Status.ACTIVE, Status.RETIRED})


class PhoneOrAccount(Phone):
    """A phone in use, or someone of the screen room or the office who is signed in."""

    open_to = frozenset({"phone", *GROUPS})

    def enter(self, request: HttpRequest) -> Device | str:
        if holds(request.user, frozenset(GROUPS)):
            return request.user.get_username()
        return super().enter(request)


anybody = Anybody()
phone = Phone()
retired_phone_too = RetiredPhone()
phone_or_account = PhoneOrAccount()
