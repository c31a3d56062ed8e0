"""A new version of the app: offered, never forced, and what waits to be sent stays."""

import gzip
import hashlib
import json
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.shop_process import ShopProcess

MARK = "\n;document.documentElement.dataset.version = 'two';\n"
PUSH = "**/api/v1/sync/push"


def publish_new_version(server: ShopProcess) -> None:
    """Put another build of the app in place of this one, as an upgrade of the server does."""
    folder = server.data / "static"
    listed = folder / "staticfiles.json"
    manifest = json.loads(listed.read_text("utf-8"))
    script = (folder / "phone.js").read_bytes() + MARK.encode()
    name = f"phone.{hashlib.sha256(script).hexdigest()[:12]}.js"
    for file in ("phone.js", name):
        (folder / file).write_bytes(script)
        (folder / f"{file}.gz").write_bytes(gzip.compress(script))
    manifest["paths"]["phone.js"] = name
    listed.write_text(json.dumps(manifest), "utf-8")


def version(operator: Operator) -> str | None:
    return operator.page.evaluate("document.documentElement.dataset.version ?? null")


def log_three(operator: Operator, code: str) -> None:
    operator.settle_context()
    operator.type_code(code)
    for bolt in ("A1", "B2", "C3"):
        operator.tweak(bolt, seen="Skip")


@pytest.mark.promise(8)
def test_f13_an_update_with_a_full_outbox_loses_nothing(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.page.route(PUSH, lambda route: route.abort())
    log_three(operator, ids["code"])
    operator.server.stop()
    publish_new_version(operator.server)
    operator.server.start()

    operator.open("/")
    note = operator.page.get_by_text("A new version is here.")
    expect(note).to_be_visible()
    assert version(operator) is None
    operator.button("Tap to update").click()
    expect(operator.page.locator("html[data-version=two]")).to_be_attached()
    expect(operator.sync_line).to_contain_text("3 waiting")

    operator.page.unroute(PUSH)
    operator.open("/#outbox")
    operator.tap("Send now")
    operator.wait_all_sent()
    sent = entries_of(operator.server)
    assert [one["payload"]["bolts"][0]["bolt"] for one in sent] == ["A1", "B2", "C3"]
    # The second version was the one that sent them, under the numbers that the first gave.
    assert [one["device_seq"] for one in sent] == [1, 2, 3]


def test_f13_an_update_while_offline_leaves_the_old_version_working(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.server.stop()
    log_three(operator, ids["code"])
    publish_new_version(operator.server)
    operator.profile.close()
    operator.open("/")
    assert version(operator) is None
    expect(operator.sync_line).to_contain_text("3 waiting")
    operator.type_code(ids["code"])
    operator.tweak("D1", seen="Skip")

    operator.server.start()
    operator.open("/")
    operator.wait_all_sent()
    assert len(entries_of(operator.server)) == 4
