"""The authority's certificate in the forms that phones install."""

import plistlib
import uuid

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization

from frames.wording import mark

IDENTIFIER = "tautbook.authority"

MEANT = mark("Lets this phone trust the Tautbook server in your own shop.")


def fingerprint_of(certificate: x509.Certificate) -> str:
    """SHA-256 in pairs, as phones show it."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def name_of(certificate: x509.Certificate) -> str:
    return certificate.subject.rfc4514_string().removeprefix("CN=")


def for_android(certificate: x509.Certificate) -> bytes:
    """DER, as Android's settings install it."""
    return certificate.public_bytes(serialization.Encoding.DER)


def for_ios(certificate: x509.Certificate, meant: str = MEANT) -> bytes:
    """A configuration profile; the same certificate always gives the same ids."""
    ours = uuid.uuid5(uuid.NAMESPACE_OID, fingerprint_of(certificate))
    shared = {"PayloadVersion": 1, "PayloadDisplayName": name_of(certificate)}
    payload = {
        **shared,
        "PayloadType": "com.apple.security.root",
        "PayloadIdentifier": f"{IDENTIFIER}.certificate",
        "PayloadUUID": str(uuid.uuid5(ours, "certificate")).upper(),
        "PayloadContent": for_android(certificate),
    }
    profile = {
        **shared,
        "PayloadType": "Configuration",
        "PayloadIdentifier": IDENTIFIER,
        "PayloadUUID": str(ours).upper(),
        "PayloadDescription": meant,
        "PayloadContent": [payload],
    }
    return plistlib.dumps(profile)
