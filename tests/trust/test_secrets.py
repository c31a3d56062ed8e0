"""Secrets are made where the shop runs, and none is in the repository or in a wheel."""

import re

from tests.source_tree import ROOT, files, relative

NAMES = re.compile(r"(secret_key|\.key|\.pem|\.p12|\.sqlite3.*|\.backup|position\.json|\.env)$")
# written in two pieces, so that this file does not find itself
PRIVATE = re.compile(rb"-----BEGIN [A-Z ]*" + rb"PRIVATE KEY-----")
KEY = re.compile(rb"SECRET_KEY\s*=\s*[\"'][^\"']{20,}")


def test_no_file_is_a_secret_by_its_name() -> None:
    assert files()
    assert [relative(path) for path in files() if NAMES.search(path.name)] == []


def test_no_file_holds_a_private_key_or_a_fixed_one() -> None:
    found = []
    for path in files():
        raw = path.read_bytes()
        if PRIVATE.search(raw) or KEY.search(raw):
            found.append(relative(path))
    assert found == []


def test_the_data_folder_is_ignored() -> None:
    assert ".tautbook/" in (ROOT / ".gitignore").read_text("utf-8").splitlines()
