"""Secrets that leave the server once and are kept here only as digests."""

import hashlib
import secrets

from django.utils.crypto import salted_hmac

# no 0 O, 1 I L, U V look-alikes: read aloud across a noisy shop and typed with gloves
ALPHABET = "23456789ABCDEFGHJKMNPQRSTWXYZ"
CODE_LENGTH = 8


def new_cookie() -> str:
    return secrets.token_urlsafe(32)


def new_token() -> str:
    return secrets.token_urlsafe(16)


def new_code() -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def new_number() -> str:
    return f"{secrets.randbelow(90) + 10}"


def digest(secret: str) -> str:
    """For secrets of 128 bits and more, which nobody can guess from their digest."""
    return hashlib.sha256(secret.encode()).hexdigest()


def code_digest(code: str) -> str:
    """A typed code is short, so its digest needs the key of this installation as well."""
    plain = "".join(character for character in code.upper() if character.isalnum())
    return salted_hmac("enrolment code", plain, algorithm="sha256").hexdigest()
