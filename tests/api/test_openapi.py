"""The description of the API and the page that shows it."""

import json
import re
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.test import Client
from ninja import Schema
from openapi_spec_validator import validate

from shopfloor.api import advice_answers, advice_shapes, problems, shapes
from shopfloor.api.root import api

FOREIGN = re.compile(r"""(?:src|href)=["'](?:https?:)?//""")


@pytest.fixture
def described() -> dict[str, Any]:
    return json.loads(json.dumps(api.get_openapi_schema()))


def operations(described: dict[str, Any]) -> list[dict[str, Any]]:
    return [one for methods in described["paths"].values() for one in methods.values()]


def test_it_keeps_to_the_standard(described: dict[str, Any]) -> None:
    """OpenAPI Specification 3.1, as a general-purpose validator reads it."""
    assert described["openapi"].startswith("3.1")
    validate(described)


def test_every_operation_is_described_and_typed(described: dict[str, Any]) -> None:
    found = operations(described)
    assert len(found) == 11
    for one in found:
        assert one["summary"], one["operationId"]
        assert one["description"], one["operationId"]
        assert one["tags"], one["operationId"]
        shape = one["responses"]["200"]["content"]["application/json"]["schema"]
        assert shape["$ref"].startswith("#/components/schemas/"), one["operationId"]


def test_every_operation_says_how_it_fails_and_who_gets_in(described: dict[str, Any]) -> None:
    for one in operations(described):
        content = one["responses"]["default"]["content"]
        assert list(content) == ["application/problem+json"]
        assert any(field["name"] == "X-Tautbook" for field in one["parameters"])
        assert one["security"]


def test_every_shape_says_what_its_fields_mean(described: dict[str, Any]) -> None:
    problem = described["components"]["schemas"]["ProblemOut"]
    assert list(problem["properties"]) == ["type", "title", "status", "detail", "errors"]
    receipt = described["components"]["schemas"]["ReceiptOut"]
    assert receipt["properties"]["status"]["enum"] == ["stored", "duplicate", "refused"]


def test_no_two_shapes_share_a_name() -> None:
    """The later one would stand in the description for both."""
    modules = (advice_answers, advice_shapes, problems, shapes)
    shown = [
        name
        for module in modules
        for name, one in vars(module).items()
        if isinstance(one, type) and one.__module__ == module.__name__ and issubclass(one, Schema)
    ]
    assert len(shown) > 40
    assert sorted(set(shown)) == sorted(shown)


@pytest.mark.django_db
def test_the_page_needs_no_internet() -> None:
    text = Client().get("/api/v1/docs").content.decode()
    assert not FOREIGN.search(text)
    assert '"validatorUrl": null' in text
    files = re.findall(r"""(?:src|href)=["']/static/([^"']+)["']""", text)
    assert len(files) >= 3
    for name in files:
        assert finders.find(re.sub(r"\.[0-9a-f]{12}\.", ".", name)), name
