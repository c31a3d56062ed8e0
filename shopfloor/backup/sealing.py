"""Encrypts a stream under a passphrase, frame by frame, so that no size needs memory.

The key comes from the passphrase by scrypt (RFC 7914), each frame is sealed with AES-256-GCM
(NIST SP 800-38D), and the frames hang together as in the STREAM construction (Hoang, Reyhanitabar,
Rogaway, Vizár, "Online Authenticated-Encryption and its Nonce-Reuse Misuse-Resistance", 2015): the
nonce holds the number of the frame and whether it is the last, so none can be changed, swapped,
left out or cut off unnoticed. The header is part of what is authenticated.
"""

import io
import os
from typing import BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from shopfloor.backup.errors import BackupError

MAGIC = b"tautbook sealed 1\n"
FRAME = 64 * 1024
TAG = 16
SALT, PREFIX = 16, 7
HEADER = len(MAGIC) + SALT + PREFIX
# 128 MB of memory and some tenths of a second for each guess at the passphrase.
COST, BLOCK, LANES = 2**17, 8, 1
SHORTEST = 12

CANNOT_OPEN = "The passphrase is another one, or the file was changed since it was written."


def check(passphrase: str) -> str:
    """The passphrase as it is used: without the line's end that editors add."""
    word = passphrase.strip()
    if len(word) < SHORTEST:
        raise BackupError(
            f"The passphrase has {len(word)} characters: use at least {SHORTEST}, best some words."
        )
    return word


def is_sealed(file: BinaryIO) -> bool:
    """Whether the file begins as a sealed one; reads from its start and goes back there."""
    file.seek(0)
    found = file.read(len(MAGIC))
    file.seek(0)
    return found == MAGIC


def _cipher(passphrase: str, salt: bytes) -> AESGCM:
    kdf = Scrypt(salt=salt, length=32, n=COST, r=BLOCK, p=LANES)
    return AESGCM(kdf.derive(check(passphrase).encode()))


def _nonce(prefix: bytes, number: int, last: bool) -> bytes:
    return prefix + number.to_bytes(4, "big") + bytes([last])


class Sealer(io.RawIOBase):
    """Write plain bytes to it; `close` writes the last frame and leaves `out` open."""

    def __init__(self, out: BinaryIO, passphrase: str) -> None:
        salt, self._prefix = os.urandom(SALT), os.urandom(PREFIX)
        self._header = MAGIC + salt + self._prefix
        self._cipher = _cipher(passphrase, salt)
        self._out, self._number, self._held = out, 0, bytearray()
        out.write(self._header)

    def writable(self) -> bool:
        return True

    def write(self, plain: bytes) -> int:  # type: ignore[override]
        self._held += plain
        while len(self._held) > FRAME:
            self._seal(bytes(self._held[:FRAME]), last=False)
            del self._held[:FRAME]
        return len(plain)

    def close(self) -> None:
        if not self.closed:
            self._seal(bytes(self._held), last=True)
        super().close()

    def _seal(self, plain: bytes, *, last: bool) -> None:
        nonce = _nonce(self._prefix, self._number, last)
        self._out.write(self._cipher.encrypt(nonce, plain, self._header))
        self._number += 1


class Opener(io.RawIOBase):
    """Read plain bytes from a sealed file; BackupError where a frame is not what was written."""

    def __init__(self, sealed: BinaryIO, passphrase: str) -> None:
        self._header = sealed.read(HEADER)
        if len(self._header) < HEADER or not self._header.startswith(MAGIC):
            raise BackupError("This is no sealed backup of this program.")
        salt = self._header[len(MAGIC) : len(MAGIC) + SALT]
        self._prefix = self._header[-PREFIX:]
        self._cipher = _cipher(passphrase, salt)
        self._sealed, self._number, self._plain = sealed, 0, b""
        self._next: bytes | None = sealed.read(FRAME + TAG)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
        while not self._plain and self._next is not None:
            self._open()
        taken = self._plain[: len(buffer)]
        buffer[: len(taken)] = taken
        self._plain = self._plain[len(taken) :]
        return len(taken)

    def _open(self) -> None:
        assert self._next is not None
        frame, following = self._next, self._sealed.read(FRAME + TAG)
        nonce = _nonce(self._prefix, self._number, last=not following)
        try:
            self._plain = self._cipher.decrypt(nonce, frame, self._header)
        except InvalidTag:
            raise BackupError(CANNOT_OPEN) from None
        self._number += 1
        self._next = following or None
