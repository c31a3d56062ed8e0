"""Sealed streams: what comes out is what went in, or nothing does."""

import hashlib
import io
import random

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from shopfloor.backup import sealing
from shopfloor.backup.errors import BackupError

COST = sealing.COST
WORDS = "the kettle sings at four"


def test_a_guess_costs_what_is_recommended() -> None:
    """Password Storage Cheat Sheet of OWASP: scrypt with N = 2^17, r = 8, p = 1."""
    assert (COST, sealing.BLOCK, sealing.LANES) == (2**17, 8, 1)


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Guessing may be cheap here: the cost itself has a test of its own."""
    monkeypatch.setattr(sealing, "COST", 2**4)


def seal(plain: bytes, passphrase: str = WORDS, piece: int = 10_007) -> bytes:
    out = io.BytesIO()
    with sealing.Sealer(out, passphrase) as sealer:
        for start in range(0, len(plain), piece):
            sealer.write(plain[start : start + piece])
    return out.getvalue()


def unseal(sealed: bytes, passphrase: str = WORDS) -> bytes:
    return sealing.Opener(io.BytesIO(sealed), passphrase).read()


SIZES = [0, 1, sealing.FRAME - 1, sealing.FRAME, sealing.FRAME + 1, 3 * sealing.FRAME, 200_001]


@pytest.mark.parametrize("size", SIZES)
def test_what_went_in_comes_out(size: int) -> None:
    plain = random.Random(size).randbytes(size)
    assert unseal(seal(plain)) == plain


def test_the_line_end_of_an_editor_is_no_part_of_the_passphrase() -> None:
    assert unseal(seal(b"book", WORDS + "\n"), f"  {WORDS}\r\n") == b"book"


def test_another_passphrase_opens_nothing() -> None:
    with pytest.raises(BackupError, match="passphrase is another one"):
        unseal(seal(b"book"), "the kettle sings at five")


def test_a_short_passphrase_is_refused() -> None:
    with pytest.raises(BackupError, match="has 6 characters: use at least 12"):
        seal(b"book", "kettle")


def frames(sealed: bytes) -> tuple[bytes, list[bytes]]:
    whole = sealing.FRAME + sealing.TAG
    body = sealed[sealing.HEADER :]
    return sealed[: sealing.HEADER], [body[at : at + whole] for at in range(0, len(body), whole)]


def tampered() -> list[tuple[str, bytes]]:
    head, parts = frames(seal(random.Random(1).randbytes(3 * sealing.FRAME + 500)))
    assert len(parts) == 4
    flipped = bytearray(parts[1])
    flipped[100] ^= 1
    other_salt = bytearray(head)
    other_salt[len(sealing.MAGIC)] ^= 1
    return [
        ("cut off after a frame", head + b"".join(parts[:3])),
        ("cut off inside a frame", head + b"".join(parts)[:-1]),
        ("a frame left out", head + parts[0] + parts[2] + parts[3]),
        ("two frames swapped", head + parts[1] + parts[0] + parts[2] + parts[3]),
        ("one bit changed", head + parts[0] + bytes(flipped) + parts[2] + parts[3]),
        ("something behind it", head + b"".join(parts) + b"more"),
        ("another salt", bytes(other_salt) + b"".join(parts)),
    ]


def test_no_change_goes_unnoticed() -> None:
    opened = []
    for name, sealed in tampered():
        try:
            unseal(sealed)
            opened.append(name)
        except BackupError:
            pass
    assert opened == []


def test_the_same_book_twice_looks_different_each_time() -> None:
    one, two = seal(b"book" * 100), seal(b"book" * 100)
    assert one[sealing.HEADER :] != two[sealing.HEADER :]
    assert b"bookbook" not in one


def test_a_frame_is_plain_aes_gcm_under_the_key_that_scrypt_gives() -> None:
    """Opened with the library's own primitives, by the description at the top of the module."""
    head, parts = frames(seal(b"book"))
    salt = head[len(sealing.MAGIC) : len(sealing.MAGIC) + sealing.SALT]
    key = hashlib.scrypt(WORDS.encode(), salt=salt, n=2**4, r=8, p=1, dklen=32)
    nonce = head[-sealing.PREFIX :] + bytes(4) + b"\x01"
    assert AESGCM(key).decrypt(nonce, parts[0], head) == b"book"
