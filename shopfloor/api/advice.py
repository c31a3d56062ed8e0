"""Advice without a memory: everything it needs comes with the request, nothing is stored."""

from typing import Any

from django.http import HttpRequest
from ninja import Router

from frames import advice
from shopfloor.api.access import phone_or_account
from shopfloor.api.advice_answers import CornersOut, RegisterOut, TensionOut, WhatIfOut
from shopfloor.api.advice_shapes import AdviceIn, RegisterIn, WhatIfIn

router = Router(tags=["Advice"], auth=phone_or_account)


@router.post("tension", response=TensionOut, summary="Turns towards an even target")
def tension(request: HttpRequest, body: AdviceIn) -> dict[str, Any]:
    """One round of turns, or the turns for register taken back if the purpose is `even_up`.

    No plan is given with a stencil on, unless `override` holds a reason.
    """
    give = advice.even_up if body.options.purpose == "even_up" else advice.tension
    return give(body.model_dump(by_alias=True))


@router.post("corners", response=CornersOut, summary="End bolts to ease on a new mesh")
def corners(request: HttpRequest, body: AdviceIn) -> dict[str, Any]:
    """Where a corner has climbed above the rest: which end bolts to ease, and how far."""
    return advice.corners(body.model_dump(by_alias=True))


@router.post("register", response=RegisterOut, summary="What to do about marks that printed off")
def register(request: HttpRequest, body: RegisterIn) -> dict[str, Any]:
    """One of four answers: leave it alone, the press, the bolts, or the bolts cannot."""
    return advice.register(body.model_dump(by_alias=True))


@router.post("what-if", response=WhatIfOut, summary="What given turns would do")
def what_if(request: HttpRequest, body: WhatIfIn) -> dict[str, Any]:
    """Tension over the whole mesh after turns that nobody has made yet."""
    return advice.what_if(body.model_dump(by_alias=True))
