"""The app on the phone: its one page, its service worker, and the address on each label."""

import json
from urllib.parse import unquote

from django.conf import settings
from django.db import DatabaseError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.utils.translation import get_language, gettext
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from frames import codes, feed
from frames.errors import CodeError
from shopfloor import build
from shopfloor.auth import of_request, who_may

PAPER, NIGHT = "#fbfaf6", "#15181b"


@who_may("anybody")
@require_safe
@cache_control(no_cache=True)
def shell(request: HttpRequest) -> HttpResponse:
    """The same for all readers of a language, so that the service worker can keep one copy."""
    context = {
        "origin": settings.PUBLIC_ORIGIN,
        "build": build.current().id,
        "catalogue": build.catalogue(get_language() or settings.LANGUAGE_CODE),
    }
    return render(request, build.SHELL, {**context, "paper": PAPER, "night": NIGHT})


@who_may("anybody")
@require_safe
@cache_control(no_cache=True)
def label(request: HttpRequest, text: str) -> HttpResponse:
    """A label's address: the app where this browser is enrolled, else what to do."""
    if of_request(request) is not None:
        return shell(request)
    try:
        code, status = str(codes.parse_code(unquote(text))), 200
    except CodeError:
        code, status = "", 404
    return render(request, "landing/label.html", {"code": code}, status=status)


@who_may("anybody")
@require_safe
@cache_control(no_cache=True)
def service_worker(request: HttpRequest) -> HttpResponse:
    """The bundle under one line that names what to keep: a new build is a new worker."""
    script = build.content(build.WORKER)
    if not script:
        raise Http404("The service worker is not built.")
    now = build.current()
    head = {"id": now.id, "precache": now.precache, "decoder": now.decoder}
    return HttpResponse(
        f"self.TAUTBOOK_BUILD={json.dumps(head)};\n".encode() + script,
        content_type="text/javascript; charset=utf-8",
        headers={"Service-Worker-Allowed": "/"},
    )


@who_may("anybody")
@require_safe
@cache_control(no_cache=True)
def manifest(request: HttpRequest) -> HttpResponse:
    body = {
        "id": "/",
        "name": "Tautbook",
        "short_name": "Tautbook",
        "description": gettext("Screens, tension and register, written down at the press."),
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "lang": get_language(),
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [
            {"src": static("icon.svg"), "sizes": "any", "type": "image/svg+xml"},
            _png("icon-192.png", 192),
            _png("icon-512.png", 512),
            {**_png("icon-maskable-512.png", 512), "purpose": "maskable"},
        ],
    }
    return JsonResponse(body, content_type="application/manifest+json")


def _png(name: str, side: int) -> dict[str, str]:
    return {"src": static(name), "sizes": f"{side}x{side}", "type": "image/png"}


@who_may("anybody")
@require_safe
@cache_control(max_age=86400)
def favicon(request: HttpRequest) -> HttpResponse:
    """Browsers ask for it unasked; the pages themselves name the hashed one."""
    icon = build.content("favicon.ico")
    if not icon:
        raise Http404("The icons are not built.")
    return HttpResponse(icon, content_type="image/x-icon")


@who_may("anybody")
@require_safe
@cache_control(no_store=True)
def health(request: HttpRequest) -> HttpResponse:
    """Whether the server can reach its database, for whoever watches over it."""
    try:
        feed.head()
    except DatabaseError:
        return JsonResponse({"status": "no database"}, status=503)
    return JsonResponse({"status": "ok", "build": build.current().id})
