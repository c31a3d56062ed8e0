"""Requests made up from the description of the API: whatever comes, it answers as described.

They go to the real server process, a few for each operation every time;
`API_EXAMPLES=2000 python -m pytest -s tests/api/test_by_description.py` looks further and prints
how often each status was answered.
"""

import json
import os
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from shopfloor.api.root import api
from tests.api.entries import note
from tests.faults.sending import Sender
from tests.faults.shop import Json, furnish
from tests.shop_process import ShopProcess

EXAMPLES = int(os.environ.get("API_EXAMPLES", "12"))
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]
SCHEMA = schemathesis.openapi.from_dict(json.loads(json.dumps(api.get_openapi_schema())))
SCHEMA.config.generation.update(modes=[GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
# Every limit of every field one by one, besides those drawn at random, is for the long run.
SCHEMA.config.phases.coverage.enabled = EXAMPLES >= 100
SEEN: Counter[tuple[str, int]] = Counter()


@pytest.fixture(scope="module")
def shop(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[ShopProcess]:
    """One server for all operations: what one of them left behind may trip another."""
    data = tmp_path_factory.mktemp("described") / "data"
    shutil.copytree(bare_data, data)
    one = ShopProcess(data).start()
    yield one
    one.kill()
    print(*sorted(SEEN.items()), sep="\n")


@pytest.fixture(scope="module")
def known(shop: ShopProcess) -> Json:
    """What a phone of that shop knows: its cookie, a frame, the epoch, how to send an entry."""
    book = furnish(shop)
    epoch = Sender(shop, book["cookies"][0], Random(1)).get("sync/snapshot")["epoch"]
    return {"cookie": book["cookies"][0], "frame_id": book["frames"][0], "epoch": epoch}


def made_real(case: Any, known: Json) -> None:
    """Every second request names what is there, or no made-up one would find anything."""
    if sum(SEEN.values()) % 2:
        return
    for place in (case.path_parameters, case.query):
        for name in known.keys() & set(place or {}):
            place[name] = known[name]
    if case.path.endswith("push") and isinstance(case.body, dict):
        case.body["entries"] = [note(frame=known["frame_id"]), *listed(case.body.get("entries"))]


def listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


@SCHEMA.parametrize()
@settings(
    deadline=None, max_examples=EXAMPLES, derandomize=True, suppress_health_check=list(HealthCheck)
)
def test_it_answers_as_described(case: Any, shop: ShopProcess, known: Json) -> None:
    made_real(case, known)
    response = case.call(
        base_url=shop.origin,
        headers={"X-Tautbook": "1"},
        cookies={"tautbook_device": known["cookie"]},
    )
    SEEN[case.operation.label, response.status_code] += 1
    case.validate_response(response, checks=CHECKS)
