"""The shop's own certificate authority, so that phones on its network get https.

Its power is small on purpose: critical name constraints tie it to the shop's own names and
networks and its path length is 0, so even a stolen key is of no use against anything else that
the phones visit. The key is readable by its owner alone and stays out of backups.
"""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization

from shopfloor.authority import certificates, names, phones

FOLDER = "authority"
RENEW_BEFORE = timedelta(days=30)
REMEDY = "A new one: add --new-authority; every phone must then install it again."


class AuthorityError(Exception):
    """The authority cannot vouch for what is asked; the message says what to do."""


@dataclass(frozen=True)
class Served:
    """What the server needs: certificate chain and key, and whether they were made just now."""

    certificate: Path
    key: Path
    renewed: bool


def ensure(data: Path, hosts: Sequence[str], now: datetime) -> Served:
    """The server's certificate for `hosts` (names or addresses), made or renewed if it must be."""
    folder = data / FOLDER
    if not (folder / "authority.pem").exists():
        create(data, hosts, now)
    chain, key = folder / "server.pem", folder / "server.key"
    due = not (key.exists() and chain.exists() and _serves(chain, certificate(data), hosts, now))
    if due:
        _check_reach(certificate(data), hosts, now)
        _issue(data, hosts, now)
    return Served(chain, key, due)


def create(data: Path, hosts: Sequence[str], now: datetime) -> None:
    """Make a new authority for `hosts`; an older one is kept aside."""
    folder = data / FOLDER
    if folder.exists():
        folder.rename(data / f"{FOLDER}-until-{now:%Y%m%d-%H%M%S}")
    folder.mkdir(parents=True, mode=0o700)
    made, key = certificates.authority(hosts, now)
    _write_key(folder / "authority.key", key)
    (folder / "authority.pem").write_bytes(_pem(made))


def certificate(data: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate((data / FOLDER / "authority.pem").read_bytes())


def signing_key(data: Path) -> certificates.Key:
    raw = (data / FOLDER / "authority.key").read_bytes()
    key = serialization.load_pem_private_key(raw, None)
    assert isinstance(key, certificates.Key)
    return key


def fingerprint(data: Path) -> str | None:
    """SHA-256 of the authority's certificate in pairs, or None where the shop has none."""
    if not (data / FOLDER / "authority.pem").exists():
        return None
    return phones.fingerprint_of(certificate(data))


def _serves(chain: Path, issuer: x509.Certificate, hosts: Sequence[str], now: datetime) -> bool:
    """Whether the certificate at hand still does for these hosts and for a while yet."""
    leaf = x509.load_pem_x509_certificates(chain.read_bytes())[0]
    stands_for = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return (
        set(stands_for) == set(map(names.general, hosts))
        and leaf.not_valid_before_utc <= now
        and leaf.not_valid_after_utc - now > RENEW_BEFORE
        and certificates.signed_by(leaf, issuer)
    )


def _check_reach(issuer: x509.Certificate, hosts: Sequence[str], now: datetime) -> None:
    if issuer.not_valid_after_utc - now <= RENEW_BEFORE:
        ends = f"{issuer.not_valid_after_utc:%d %B %Y}"
        raise AuthorityError(f"The shop's certificate authority ends on {ends}. {REMEDY}")
    limits = issuer.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = list(limits.permitted_subtrees or [])
    for host in hosts:
        if not any(names.covers(one, host) for one in permitted):
            reach = ", ".join(str(one.value) for one in permitted)
            raise AuthorityError(
                f"The shop's certificate authority may not vouch for {host}, only for {reach}. "
                f"Go back to the address it was made for, or start anew. {REMEDY}"
            )


def _issue(data: Path, hosts: Sequence[str], now: datetime) -> None:
    issuer = certificate(data)
    leaf, key = certificates.server(hosts, now, issuer, signing_key(data))
    _write_key(data / FOLDER / "server.key", key)
    (data / FOLDER / "server.pem").write_bytes(_pem(leaf) + _pem(issuer))


def _pem(one: x509.Certificate) -> bytes:
    return one.public_bytes(serialization.Encoding.PEM)


def _write_key(path: Path, key: certificates.Key) -> None:
    """Never readable by others, not even for a moment."""
    raw = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(raw)
