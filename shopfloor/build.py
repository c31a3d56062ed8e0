"""What the browser is handed: hashed addresses of the built files, and an id for all of them."""

import hashlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.template.loader import get_template
from django.templatetags.static import static
from django.utils.translation import get_language

SHELL = "phone/shell.html"
PRECACHED = ("phone.js", "phone.css", "later.js", "advice.js", "chart.js")
DECODER = ("scan-worker.js", "zxing_reader.wasm")
WORKER = "sw.js"


@dataclass(frozen=True)
class Build:
    """`id` changes with any file, with the page that loads them and with the reader's language.

    A new one is a new version: a phone that changes its language gets it in the same way.
    """

    id: str
    precache: list[str]
    decoder: list[str]


def current() -> Build:
    """Computed anew for every request only while someone works on the pages."""
    language = get_language() or settings.LANGUAGE_CODE
    return compute(language) if settings.DEBUG else _computed_once(language)


@cache
def _computed_once(language: str) -> Build:
    return compute(language)


def compute(language: str) -> Build:
    names = [*PRECACHED, *catalogue(language), *icons()]
    shell = Path(get_template(SHELL).origin.name).read_bytes()
    digest = hashlib.sha256(language.encode() + shell)
    for name in [*names, *DECODER, WORKER]:
        digest.update(name.encode() + hashlib.sha256(content(name)).digest())
    return Build(
        id=digest.hexdigest()[:12],
        precache=["/", "/manifest.webmanifest", *(static(name) for name in names)],
        decoder=[static(name) for name in DECODER],
    )


def catalogue(language: str) -> list[str]:
    """What the page's scripts find their texts in; English stands in the scripts themselves."""
    name = f"{language}.js"
    return [name] if language not in ("", settings.LANGUAGE_CODE) and content(name) else []


def icons() -> list[str]:
    """What may be shown without a network; the large ones are for the installer alone."""
    return [name for name in ("icon.svg", "favicon.ico", "icon-192.png") if content(name)]


def content(name: str) -> bytes:
    """A built file as it was collected, or as it was just built; empty if it is not there."""
    if not settings.DEBUG and staticfiles_storage.exists(name):
        with staticfiles_storage.open(name) as file:
            return file.read()
    found = finders.find(name)
    return Path(found).read_bytes() if found else b""
