"""Makes the two kinds of certificate. Pure but for the random keys. Fields by RFC 5280."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from shopfloor.authority.names import constraints, general

AUTHORITY_LIFE = timedelta(days=3650)
# Phones' clocks run behind at times, so a certificate counts from two days ago.
BACKDATED = timedelta(days=2)
# Browsers refuse server certificates that live longer than 398 days in all.
SERVER_LIFE = timedelta(days=398) - BACKDATED

Key = ec.EllipticCurvePrivateKey


def authority(hosts: Sequence[str], now: datetime) -> tuple[x509.Certificate, Key]:
    """A self-signed authority that may sign servers of `hosts` and nothing else."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = _named(f"Tautbook of {hosts[0]}")
    own_id = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    certificate = (
        _builder(name, name, key, now, now + AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(constraints(hosts), critical=True)
        .add_extension(own_id, critical=False)
        .sign(key, hashes.SHA256())
    )
    return certificate, key


def server(
    hosts: Sequence[str], now: datetime, issuer: x509.Certificate, signer: Key
) -> tuple[x509.Certificate, Key]:
    """A certificate for a server under all of `hosts`; whether `issuer` may is not asked here."""
    key = ec.generate_private_key(ec.SECP256R1())
    own_id = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    naming = x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(own_id)
    ends = min(now + SERVER_LIFE, issuer.not_valid_after_utc)
    certificate = (
        _builder(_named(hosts[0]), issuer.subject, key, now, ends)
        .add_extension(x509.SubjectAlternativeName(map(general, hosts)), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(naming, critical=False)
        .sign(signer, hashes.SHA256())
    )
    return certificate, key


def signed_by(leaf: x509.Certificate, issuer: x509.Certificate) -> bool:
    known = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    named = leaf.extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value
    return known.digest == named.key_identifier


def _named(text: str) -> x509.Name:
    # X.520 allows a common name 64 characters.
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text[:64])])


def _builder(
    subject: x509.Name, issuer: x509.Name, key: Key, now: datetime, ends: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATED)
        .not_valid_after(ends)
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
