"""The shop's own certificate authority, so that phones on its network get https.

Its power is small on purpose: critical name constraints tie it to the shop's own names and
networks and its path length is 0, so even a stolen key is of no use against anything else that
the phones visit. The key is readable by its owner alone and stays out of backups.
Fields by RFC 5280; the life of a server certificate by the browsers' limit of 398 days.
"""

import ipaddress
import os
import plistlib
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

FOLDER = "authority"
AUTHORITY_LIFE = timedelta(days=3650)
# Phones' clocks run behind at times, so a certificate counts from two days ago.
BACKDATED = timedelta(days=2)
SERVER_LIFE = timedelta(days=398) - BACKDATED
RENEW_BEFORE = timedelta(days=30)
# RFC 2606: no real name ends so. Permitting it alone refuses every real name.
NO_NAME = x509.DNSName("none.invalid")


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
    due = not _serves(chain, key, authority(data), hosts, now)
    if due:
        _issue(folder, hosts, now)
    return Served(chain, key, due)


def create(data: Path, hosts: Sequence[str], now: datetime) -> None:
    """Make a new authority for `hosts`; an older one is kept aside."""
    folder = data / FOLDER
    if folder.exists():
        folder.rename(data / f"{FOLDER}-until-{now:%Y%m%d-%H%M%S}")
    folder.mkdir(parents=True, mode=0o700)
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Tautbook of {hosts[0]}"[:64])])
    own_id = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    certificate = (
        _builder(name, name, key, now, AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(constraints(hosts), critical=True)
        .add_extension(own_id, critical=False)
        .sign(key, hashes.SHA256())
    )
    _write_key(folder / "authority.key", key)
    (folder / "authority.pem").write_bytes(certificate.public_bytes(serialization.Encoding.PEM))


def constraints(hosts: Sequence[str]) -> x509.NameConstraints:
    """Permit exactly the shop's names, and the networks that its addresses lie in.

    A name form with no permitted subtree would be unrestricted (RFC 5280, 4.2.1.10), so both
    forms always get one: names an impossible one, addresses an exclusion of all.
    """
    names = [general for host in hosts if isinstance(general := _general(host), x509.DNSName)]
    networks = [x509.IPAddress(network) for host in hosts if (network := _network(host))]
    nothing = [x509.IPAddress(ipaddress.ip_network(every)) for every in ("0.0.0.0/0", "::/0")]
    have = {one.value.version for one in networks}
    excluded = [every for every in nothing if every.value.version not in have]
    return x509.NameConstraints([*(names or [NO_NAME]), *networks], excluded or None)


def authority(data: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate((data / FOLDER / "authority.pem").read_bytes())


def fingerprint(data: Path) -> str | None:
    """SHA-256 of the authority's certificate in pairs, or None where the shop has none."""
    if not (data / FOLDER / "authority.pem").exists():
        return None
    return authority(data).fingerprint(hashes.SHA256()).hex(":").upper()


def for_android(data: Path) -> bytes:
    """The authority's certificate in DER, as Android's settings install it."""
    return authority(data).public_bytes(serialization.Encoding.DER)


def for_ios(data: Path) -> bytes:
    """A configuration profile with the authority's certificate; same certificate, same ids."""
    raw = for_android(data)
    ours = uuid.uuid5(uuid.NAMESPACE_OID, fingerprint(data) or "")
    name = authority(data).subject.rfc4514_string().removeprefix("CN=")
    shared = {"PayloadVersion": 1, "PayloadDisplayName": name}
    payload = {
        **shared,
        "PayloadType": "com.apple.security.root",
        "PayloadIdentifier": "tautbook.authority.certificate",
        "PayloadUUID": str(uuid.uuid5(ours, "certificate")).upper(),
        "PayloadContent": raw,
    }
    profile = {
        **shared,
        "PayloadType": "Configuration",
        "PayloadIdentifier": "tautbook.authority",
        "PayloadUUID": str(ours).upper(),
        "PayloadDescription": "Lets this phone trust the Tautbook server in your own shop.",
        "PayloadContent": [payload],
    }
    return plistlib.dumps(profile)


def _serves(
    chain: Path, key: Path, issuer: x509.Certificate, hosts: Sequence[str], now: datetime
) -> bool:
    """Whether the certificate at hand still does for these hosts and for a while yet."""
    if not (chain.exists() and key.exists()):
        return False
    leaf = x509.load_pem_x509_certificates(chain.read_bytes())[0]
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return (
        set(names) == set(map(_general, hosts))
        and leaf.not_valid_after_utc - now > RENEW_BEFORE
        and leaf.not_valid_before_utc <= now
        and _signed_by(leaf, issuer)
    )


def _signed_by(leaf: x509.Certificate, issuer: x509.Certificate) -> bool:
    known = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    named = leaf.extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value
    return known.digest == named.key_identifier


def _issue(folder: Path, hosts: Sequence[str], now: datetime) -> None:
    issuer = authority(folder.parent)
    _check_reach(issuer, hosts, now)
    signer = serialization.load_pem_private_key((folder / "authority.key").read_bytes(), None)
    assert isinstance(signer, ec.EllipticCurvePrivateKey)
    key = ec.generate_private_key(ec.SECP256R1())
    own_id = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    naming = x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(own_id)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, hosts[0][:64])])
    life = min(SERVER_LIFE, issuer.not_valid_after_utc - now)
    leaf = (
        _builder(name, issuer.subject, key, now, life)
        .add_extension(x509.SubjectAlternativeName(map(_general, hosts)), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(naming, critical=False)
        .sign(signer, hashes.SHA256())
    )
    _write_key(folder / "server.key", key)
    pem = serialization.Encoding.PEM
    (folder / "server.pem").write_bytes(leaf.public_bytes(pem) + issuer.public_bytes(pem))


def _check_reach(issuer: x509.Certificate, hosts: Sequence[str], now: datetime) -> None:
    if issuer.not_valid_after_utc - now <= RENEW_BEFORE:
        ends = f"{issuer.not_valid_after_utc:%d %B %Y}"
        raise AuthorityError(f"The shop's certificate authority ends on {ends}. {_REMEDY}")
    limits = issuer.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = list(limits.permitted_subtrees or [])
    for host in hosts:
        if not any(_covers(one, host) for one in permitted):
            reach = ", ".join(str(one.value) for one in permitted)
            raise AuthorityError(
                f"The shop's certificate authority may not vouch for {host}, only for {reach}. "
                f"Go back to the address it was made for, or start anew. {_REMEDY}"
            )


_REMEDY = "A new one: add --new-authority; every phone must then install it again."


def _covers(permitted: x509.GeneralName, host: str) -> bool:
    general = _general(host)
    if isinstance(permitted, x509.IPAddress) and isinstance(general, x509.IPAddress):
        return general.value in permitted.value
    if isinstance(permitted, x509.DNSName) and isinstance(general, x509.DNSName):
        return f".{general.value}".endswith(f".{permitted.value}")
    return False


def _general(host: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(host))
    except ValueError:
        return x509.DNSName(host.lower())


def _network(host: str) -> ipaddress.IPv4Network | ipaddress.IPv6Network | None:
    """The network of a private address, so that a newly given address needs no new authority."""
    general = _general(host)
    if not isinstance(general, x509.IPAddress):
        return None
    address = general.value
    wide = {4: 24, 6: 64}[address.version]
    length = wide if address.is_private else address.max_prefixlen
    return ipaddress.ip_network(f"{address}/{length}", strict=False)


def _builder(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    now: datetime,
    life: timedelta,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATED)
        .not_valid_after(now + life)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _write_key(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    """Never readable by others, not even for a moment."""
    raw = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(raw)
