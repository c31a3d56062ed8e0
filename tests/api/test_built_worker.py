"""The real server with the built pages: what the worker is told to keep is there to be kept."""

import json
import re
import urllib.request
from http.client import HTTPResponse

from tests.shop_process import ShopProcess

HASHED = re.compile(r"/static/[\w-]+\.[0-9a-f]{12}\.\w+")


def get(server: ShopProcess, address: str) -> HTTPResponse:
    return urllib.request.urlopen(server.origin + address, timeout=20)


def test_every_address_is_hashed_and_answers_at_once(server: ShopProcess) -> None:
    head, _, bundle = get(server, "/sw.js").read().decode().partition("\n")
    told = json.loads(head.removeprefix("self.TAUTBOOK_BUILD=").removesuffix(";"))
    assert len(bundle) > 500
    assert json.load(get(server, "/health"))["build"] == told["id"]
    shell = get(server, "/").read().decode()
    assert f'data-app="{told["id"]}"' in shell
    files = [*told["precache"][2:], *told["decoder"]]
    assert len(files) >= 5
    for address in files:
        assert HASHED.fullmatch(address), address
        answer = get(server, address)
        assert answer.url == server.origin + address
        assert "immutable" in answer.headers["Cache-Control"]
        assert answer.headers["Access-Control-Allow-Origin"] is None
        assert "default-src 'self'" in answer.headers["Content-Security-Policy"]
    for address in HASHED.findall(shell):
        if address.endswith((".js", ".css", ".wasm")):
            assert address in files, address
