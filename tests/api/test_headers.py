"""What every answer carries: pages, the API, errors, the worker, files."""

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shopfloor.headers import PERMISSIONS
from tests.api.cast import APP, signed_in

pytestmark = pytest.mark.django_db

ADDRESSES = [
    "/",
    "/e",
    "/f/F0417-N",
    "/F/F0417-N",
    "/manifest.webmanifest",
    "/health",
    "/office/",
    "/office/sign-in/",
    "/api/v1/me",
    "/api/v1/docs",
    "/api/v1/openapi.json",
    "/api/v1/nowhere",
    "/nowhere",
    "/sw.js",
    "/static/nowhere.js",
]


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_is_guarded(address: str) -> None:
    response = Client(headers=APP).get(address)
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Referrer-Policy"] == "same-origin"
    assert response["Cross-Origin-Opener-Policy"] == "same-origin"
    assert response["Cross-Origin-Resource-Policy"] == "same-origin"
    assert response["Permissions-Policy"] == PERMISSIONS
    assert "camera=(self)" in PERMISSIONS
    assert_strict(response["Content-Security-Policy"])


def assert_strict(policy: str) -> None:
    """No inline script or style, no foreign source, no nonce that a cached page could not renew."""
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'self'"
    assert rules["script-src"] == "'self' 'wasm-unsafe-eval'"
    assert rules["style-src"] == "'self'"
    assert rules["frame-ancestors"] == rules["object-src"] == rules["base-uri"] == "'none'"
    for word in ("unsafe-inline", "'unsafe-eval'", "nonce", "http:", "https:", "*"):
        assert word not in policy


def test_the_office_is_never_kept_by_a_browser_for_the_next_person(mara: User) -> None:
    response = signed_in(mara).get("/office/password/")
    assert "no-store" in response["Cache-Control"]


@pytest.mark.parametrize("address", ["/", "/e", "/f/F0417-N", "/office/sign-in/"])
def test_no_page_has_inline_script_or_style(address: str) -> None:
    text = Client().get(address).content.decode()
    assert "<style" not in text
    assert " style=" not in text
    assert " on" + "click=" not in text
    for piece in text.split("<script")[1:]:
        assert piece.split("></script>")[0].startswith(" src=")
