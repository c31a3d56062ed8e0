"""A new version of the app: offered, never forced, and what waits to be sent stays."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.browser.versions import publish_marked

PUSH = "**/api/v1/sync/push"


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
    publish_marked(operator.server)
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
    publish_marked(operator.server)
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


def test_f9_f13_each_of_two_tabs_takes_the_update(operator: Operator, ids: dict[str, Any]) -> None:
    """Where the second is tapped, the new version was let in already; its page is still the old."""
    operator.page.route(PUSH, lambda route: route.abort())
    log_three(operator, ids["code"])
    operator.server.stop()
    publish_marked(operator.server)
    operator.server.start()

    operator.open("/")
    other = operator.page.context.new_page()
    other.route(PUSH, lambda route: route.abort())
    other.goto(f"{operator.server.origin}/")
    for page in (operator.page, other):
        expect(page.get_by_text("A new version is here.")).to_be_visible()
    for page in (operator.page, other):
        page.bring_to_front()
        expect(page.locator("html[data-version=two]")).to_have_count(0)
        page.get_by_role("button", name="Tap to update").click()
        expect(page.locator("html[data-version=two]")).to_be_attached()
        expect(page.get_by_text("3 waiting")).to_be_visible()
        expect(page.get_by_text("A new version is here.")).to_be_hidden()
    other.close()

    operator.page.unroute(PUSH)
    operator.open("/#outbox")
    operator.tap("Send now")
    operator.wait_all_sent()
    assert [one["device_seq"] for one in entries_of(operator.server)] == [1, 2, 3]
