"""Every address, asked by everybody: nobody, phones, the screen room, the manager.

An address that does not say who may open it fails here, and so does one that is missing from the
tables below.
"""

from collections.abc import Callable, Iterator
from re import sub
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from shopfloor.api.root import api
from shopfloor.auth import who_may
from tests.api.cast import Phone, signed_in

pytestmark = pytest.mark.django_db

WORD = "3f0c1f6e-0000-7000-8000-000000000000"
ROLES = {"anybody", "screen room", "manager"}

# Who gets past the door of each operation; everybody else is turned away.
EVERYONE = {"stranger", "phone", "retired_phone", "blocked_phone", "sol", "mara"}
OPERATIONS = {
    ("POST", "sync/push"): {"phone", "retired_phone"},
    ("GET", "sync/changes"): {"phone"},
    ("GET", "sync/snapshot"): {"phone"},
    ("GET", "frames/{frame_id}/entries"): {"phone"},
    ("POST", "advice/tension"): {"phone", "sol", "mara"},
    ("POST", "advice/corners"): {"phone", "sol", "mara"},
    ("POST", "advice/register"): {"phone", "sol", "mara"},
    ("POST", "advice/what-if"): {"phone", "sol", "mara"},
    ("POST", "enrol/claim"): EVERYONE,
    ("POST", "enrol/poll"): EVERYONE,
    ("GET", "me"): {"phone", "retired_phone"},
}
OPEN_PAGES = {
    "shell",
    "enrol",
    "label",
    "language",
    "service-worker",
    "manifest",
    "favicon",
    "health",
    "ready",
    "date-feed",
    "office-sign-in",
    "office-sign-out",
    "openapi-json",
    "openapi-view",
}


def operations() -> Iterator[tuple[str, str, Any]]:
    for router in api._get_bound_routers():
        for path, view in router.path_operations.items():
            for operation in view.operations:
                for method in operation.methods:
                    whole = f"{router.prefix}{path}".lstrip("/")
                    yield method, sub(r"{\w+:", "{", whole), operation


def pages() -> Iterator[tuple[str, URLPattern]]:
    """Every address that is no operation of the API, with its whole pattern."""
    yield from _pages(get_resolver(), "")


def _pages(resolver: URLResolver, prefix: str) -> Iterator[tuple[str, URLPattern]]:
    for entry in resolver.url_patterns:
        whole = prefix + str(entry.pattern)
        if isinstance(entry, URLResolver):
            yield from _pages(entry, whole)
        elif not hasattr(entry.callback, "csrf_exempt") or not whole.startswith("api/"):
            yield whole, entry


@pytest.fixture
def knock(request: pytest.FixtureRequest) -> Callable[[str], Client]:
    """A browser of someone in the cast."""

    def who(name: str) -> Client:
        found = request.getfixturevalue(name)
        if isinstance(found, Phone):
            return found.client
        client = signed_in(found)
        client.defaults["HTTP_X_TAUTBOOK"] = "1"
        return client

    return who


def test_the_table_of_operations_is_complete() -> None:
    assert {(method, path) for method, path, _ in operations()} == set(OPERATIONS)


def test_every_operation_names_one_door() -> None:
    for method, path, operation in operations():
        (door,) = operation.auth_callbacks
        everyone = OPERATIONS[method, path] == EVERYONE
        assert (door.open_to == {"anybody"}) == everyone, f"{method} {path}"


@pytest.mark.parametrize("who", sorted(EVERYONE))
@pytest.mark.parametrize("operation", sorted(OPERATIONS), ids=" ".join)
def test_an_operation_opens_to_those_named_and_to_nobody_else(
    operation: tuple[str, str], who: str, knock: Callable[[str], Client]
) -> None:
    method, path = operation
    address = "/api/v1/" + path.replace("{frame_id}", WORD)
    response = knock(who).generic(method, address, "{}", content_type="application/json")
    passed = response.status_code not in {401, 403}
    assert passed == (who in OPERATIONS[operation]), response.content


def test_every_page_says_who_may_open_it() -> None:
    silent = [
        whole
        for whole, entry in pages()
        if not getattr(entry.callback, "open_to", None) and entry.name != "api-root"
    ]
    assert not silent, f"put @who_may(...) on the views of {silent}"


def test_nothing_is_open_to_anybody_by_mistake() -> None:
    opened = {entry.name for _, entry in pages() if _roles(entry) == {"anybody"}}
    assert opened == OPEN_PAGES


def _roles(entry: URLPattern) -> set[str]:
    roles = set(getattr(entry.callback, "open_to", ()))
    assert roles <= ROLES
    return roles


def _address(whole: str) -> str:
    """A made-up address that the pattern takes, with an id wherever one is wanted."""
    pieces = []
    for piece in whole.strip("^$").split("/"):
        if "uuid:" in piece:
            tail = piece.rsplit(">", 1)[1] if piece.count("<") == 1 else "-A.png"
            piece = WORD + tail
        elif "int:" in piece:
            piece = "1"
        elif "<" in piece:
            piece = "frame"
        pieces.append(piece)
    return "/" + "/".join(pieces)


def _guarded() -> list[tuple[str, set[str]]]:
    return [(_address(whole), _roles(entry)) for whole, entry in pages() if _is_guarded(entry)]


def _is_guarded(entry: URLPattern) -> bool:
    return "anybody" not in _roles(entry) and entry.name != "api-root"


def _ask(client: Client, address: str) -> HttpResponse:
    """Look at the page, or press its button if it is one."""
    response = client.get(address)
    return client.post(address) if response.status_code == 405 else response


@pytest.mark.parametrize("who", ["stranger", "phone", "retired_phone", "blocked_phone"])
def test_no_page_of_the_office_opens_to_a_phone(who: str, knock: Callable[[str], Client]) -> None:
    client = knock(who)
    for address, _ in _guarded():
        response = _ask(client, address)
        assert response.status_code == 302, address
        assert response["Location"].startswith("/office/sign-in/?next="), address


def test_the_screen_room_is_kept_out_of_what_is_the_managers(sol: User) -> None:
    for whole, entry in pages():
        if _is_guarded(entry) and "screen room" not in _roles(entry):
            response = _ask(signed_in(sol), _address(whole))
            assert response.status_code == 403, whole


def test_the_manager_gets_past_every_door_of_the_office(mara: User) -> None:
    client = signed_in(mara)
    for address, roles in _guarded():
        assert "manager" in roles, address
        response = _ask(client, address)
        assert response.status_code not in {401, 403}, address
        assert not response.get("Location", "").startswith("/office/sign-in/"), address


def test_a_superuser_is_a_manager(mara: User) -> None:
    mara.groups.clear()
    mara.is_superuser = True
    mara.save()
    for address, _ in _guarded():
        assert _ask(signed_in(mara), address).status_code != 403, address


def test_someone_in_no_group_is_kept_out(mara: User) -> None:
    mara.groups.clear()
    for address, _ in _guarded():
        assert _ask(signed_in(mara), address).status_code == 403, address


@pytest.mark.parametrize("wrong", [(), ("managers",), ("anybody", "boss")])
def test_a_door_without_a_name_cannot_be_built(wrong: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match="name anybody, screen room or manager"):
        who_may(*wrong)
