"""How a phone comes in, and what it is here."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from ninja import Router

from frames.errors import Problem
from frames.models import Shop
from frames.wording import say
from shopfloor import auth
from shopfloor.api.access import anybody, retired_phone_too
from shopfloor.api.problems import invalid
from shopfloor.api.shapes import ClaimIn, ClaimOut, MeOut, PollIn, PollOut, utc
from shopfloor.auth import devices
from shopfloor.models import Device

TOLD_TO_RETIRED = ("name", "language")
router = Router(tags=["Phones"])


@router.post("enrol/claim", auth=anybody, response=ClaimOut, summary="Take up an invitation")
def claim(request: HttpRequest, body: ClaimIn) -> dict[str, Any]:
    """Spends the token or the code. Show the number; the manager types it on the page Phones."""
    if bool(body.token) == bool(body.code):
        raise invalid([Problem("code", None, say("Send either the token or the code."))])
    about = {**body.about, "install_id": str(body.install_id)}
    taken = auth.claim(token=body.token, code=body.code, about=about)
    shop = Shop.objects.first()
    return {
        "claim": taken.secret,
        "number": taken.enrolment.number,
        "shop": shop.name if shop else "",
        "expires_at": utc(taken.enrolment.expires_at),
    }


@router.post("enrol/poll", auth=anybody, response=PollOut, summary="Ask whether it was approved")
def poll(request: HttpRequest, response: HttpResponse, body: PollIn) -> dict[str, Any]:
    """Once approved, the answer carries the cookie. It may be asked again until that is used."""
    status, device, cookie = devices.collect(body.claim)
    if cookie:
        devices.set_cookie(response, cookie)
    return {"status": status, "device": device}


@router.get("me", auth=retired_phone_too, response=MeOut, summary="Ask who I am")
def me(request: HttpRequest) -> dict[str, Any]:
    """The phone as the office knows it, and the shop; a retired phone learns its name alone."""
    shop = Shop.objects.first()
    body = shop.body() if shop else None
    if body and request.auth.status == Device.Status.RETIRED:
        body = {name: body[name] for name in TOLD_TO_RETIRED}
    return {"device": request.auth, "shop": body}
