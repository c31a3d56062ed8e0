"""The audit of dependencies: the real tools, asking advisory services on loopback."""

import gzip
import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from tests import known_faults

FAULT = {
    "id": "GHSA-0000-0000-0000",
    "summary": "Eats the paper card",
    "modified": "2026-01-01T00:00:00Z",
    "aliases": ["CVE-0000-00000"],
}


@contextmanager
def service(faulty: str) -> Iterator[str]:
    """Knows of one fault, in every version of the package `faulty`; its address."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            if self.headers.get("Content-Encoding") == "gzip":
                body = gzip.decompress(body)
            asked = json.loads(body)
            self.answer(_of_pypi(asked) if "package" in asked else _of_npm(asked))

        def do_GET(self) -> None:
            """The package's own page, which npm reads to look for a version without the fault."""
            self.answer({"name": faulty, "versions": {}, "dist-tags": {}})

        def answer(self, content: dict) -> None:
            raw = json.dumps(content).encode()
            self.send_response(200)
            self.send_header("Content-Type", "application/json")
            self.send_header("Content-Length", str(len(raw)))
            self.end_headers()
            self.wfile.write(raw)

        def log_message(self, *_: object) -> None: ...

    def _of_pypi(asked: dict) -> dict:
        package = asked["package"]
        if package["name"] != faulty:
            return {}
        events = [{"introduced": "0"}, {"fixed": "999.0"}]
        affected = {"package": package, "ranges": [{"type": "ECOSYSTEM", "events": events}]}
        return {"vulns": [{**FAULT, "affected": [{**affected, "versions": [asked["version"]]}]}]}

    def _of_npm(asked: dict) -> dict:
        told = {"id": 1, "url": FAULT["id"], "title": FAULT["summary"], "severity": "high"}
        return {faulty: [{**told, "vulnerable_versions": "*"}]} if faulty in asked else {}

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_a_fault_of_a_python_package_is_named() -> None:
    with service("pillow") as address:
        answer = known_faults.of_python("--osv-url", f"{address}/v1/query")
    (fault,) = answer.faults
    assert fault.startswith("pillow ")
    assert fault.endswith(": CVE-0000-00000, GHSA-0000-0000-0000, mended in 999.0")
    assert fault in str(answer)


def test_a_fault_of_an_npm_package_is_named() -> None:
    with service("esbuild") as address:
        answer = known_faults.of_node("--registry", address)
    assert answer.faults == ("esbuild: Eats the paper card (GHSA-0000-0000-0000), in versions *",)


def test_where_no_fault_is_known_the_packages_asked_about_are_counted() -> None:
    with service("a-package-of-nobody") as address:
        answers = (
            known_faults.of_python("--osv-url", f"{address}/v1/query"),
            known_faults.of_node("--registry", address),
        )
    for answer in answers:
        assert answer.faults == ()
        assert answer.asked > 20
        assert f"{answer.asked} asked about, 0 known faults" in str(answer)


def test_a_service_that_is_not_there_is_not_taken_for_a_clean_bill() -> None:
    with service("pillow") as address:
        pass
    for answer in (
        known_faults.of_python("--osv-url", f"{address}/v1/query"),
        known_faults.of_node("--registry", address),
    ):
        assert str(answer).endswith("the advisory service was not reached. Nothing is known.")
