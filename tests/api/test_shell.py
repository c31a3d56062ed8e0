"""The phone's one page, its manifest and its worker."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from shopfloor import build
from tests.api.cast import Phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def built(tmp_path: Path, settings: Any) -> Path:
    """A folder of built files, as npm leaves them."""
    folder = tmp_path / "dist"
    folder.mkdir()
    for name in (*build.PRECACHED, *build.DECODER, build.WORKER, "icon.svg"):
        (folder / name).write_text(f"/* {name} */")
    settings.STATICFILES_DIRS = [folder]
    settings.DEBUG = True
    return folder


def worker() -> tuple[dict[str, Any], str]:
    """What the worker is told, and the bundle under it."""
    head, _, bundle = Client().get("/sw.js").content.decode().partition("\n")
    return json.loads(head.removeprefix("self.TAUTBOOK_BUILD=").removesuffix(";")), bundle


def test_the_page_is_the_same_for_everybody(phone: Phone, settings: Any) -> None:
    settings.PUBLIC_ORIGIN = "https://shop.test:8443"
    pages = [phone.client.get("/"), Client().get("/"), Client().get("/e")]
    assert len({page.content for page in pages}) == 1
    assert 'data-origin="https://shop.test:8443"' in pages[0].content.decode()
    for page in pages:
        assert "Cookie" not in page.get("Vary", "")
        assert page["Cache-Control"] == "no-cache"
        assert not page.cookies


def test_another_language_is_another_page_and_another_build(built: Path, settings: Any) -> None:
    (built / "de.js").write_text("/* texts */")
    english, _ = worker()
    german = Client()
    german.post("/language/", {"language": "de"})
    page = german.get("/").content.decode()
    assert '<html lang="de">' in page
    assert page.index("/de.js") < page.index("/phone.js")
    head = json.loads(german.get("/sw.js").content.split(b"=", 1)[1].split(b";\n")[0])
    assert any("/de.js" in address for address in head["precache"])
    assert head["id"] != english["id"]
    assert german.get("/manifest.webmanifest").json()["lang"] == "de"
    plain = Client().get("/").content.decode()
    assert '<html lang="en">' in plain
    assert "de.js" not in plain


def test_the_page_says_which_build_it_is() -> None:
    text = Client().get("/").content.decode()
    assert f'data-app="{build.current().id}"' in text
    assert re.search(r'<div id="app"', text)


def test_the_worker_is_told_what_to_keep(built: Path) -> None:
    told, bundle = worker()
    assert bundle == "/* sw.js */"
    assert told["precache"][0] == "/"
    kept = {name.rsplit("/", 1)[-1].split(".")[0] for name in told["precache"][2:]}
    assert kept == {"phone", "later", "advice", "chart", "icon"}
    assert [name.rsplit("/", 1)[-1] for name in told["decoder"]] == list(build.DECODER)


def test_the_worker_is_never_kept_and_rules_the_whole_origin(built: Path) -> None:
    response = Client().get("/sw.js")
    assert response["Cache-Control"] == "no-cache"
    assert response["Service-Worker-Allowed"] == "/"
    assert response["Content-Type"] == "text/javascript; charset=utf-8"


@pytest.mark.parametrize("name", ["phone.js", "phone.css", "sw.js", "zxing_reader.wasm"])
def test_a_changed_file_is_a_new_build(built: Path, name: str) -> None:
    before, _ = worker()
    assert worker()[0] == before
    (built / name).write_text("changed")
    assert worker()[0]["id"] != before["id"]


def test_a_changed_page_is_a_new_build(built: Path, tmp_path: Path, settings: Any) -> None:
    before, _ = worker()
    own = tmp_path / "templates" / build.SHELL
    own.parent.mkdir(parents=True)
    own.write_text("another page")
    engine = {**settings.TEMPLATES[0], "DIRS": [tmp_path / "templates"]}
    settings.TEMPLATES = [engine]
    assert worker()[0]["id"] != before["id"]


def test_everything_kept_can_be_fetched_without_a_redirect(built: Path) -> None:
    """A redirected answer in the cache would break the page later."""
    told, _ = worker()
    for address in ("/", "/manifest.webmanifest"):
        assert address in told["precache"]
        assert Client().get(address).status_code == 200


def test_before_anything_is_built_there_is_no_worker(settings: Any, tmp_path: Path) -> None:
    settings.STATICFILES_DIRS = [tmp_path]
    settings.DEBUG = True
    assert Client().get("/sw.js").status_code == 404
    assert Client().get("/").status_code == 200


def test_the_manifest_installs_as_an_app() -> None:
    """Members as in the W3C Web Application Manifest."""
    response = Client().get("/manifest.webmanifest")
    assert response["Content-Type"] == "application/manifest+json"
    body = response.json()
    assert (body["id"], body["start_url"], body["scope"]) == ("/", "/", "/")
    assert body["display"] == "standalone"
    sizes = {icon["sizes"] for icon in body["icons"]}
    assert {"192x192", "512x512"} <= sizes
    assert any(icon.get("purpose") == "maskable" for icon in body["icons"])
