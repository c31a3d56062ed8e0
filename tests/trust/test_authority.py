"""The shop's own certificate authority, judged by OpenSSL and by the path rules of RFC 5280."""

import ipaddress
import os
import plistlib
import stat
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.x509 import verification

from shopfloor import authority
from shopfloor.authority import AuthorityError, certificates, phones

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
HOSTS = ["shop.test", "192.168.7.4"]
# The browsers' limit for a server certificate (CA/Browser Forum Baseline Requirements, 6.3.2).
LONGEST_LIFE = timedelta(days=398)


@pytest.fixture
def served(tmp_path: Path) -> authority.Served:
    return authority.ensure(tmp_path, HOSTS, NOW)


def leaf_of(served: authority.Served) -> x509.Certificate:
    return x509.load_pem_x509_certificates(served.certificate.read_bytes())[0]


def openssl_verify(data: Path, leaf: x509.Certificate, at: datetime = NOW) -> str:
    file = data / "judged.pem"
    file.write_bytes(leaf.public_bytes(serialization.Encoding.PEM))
    done = subprocess.run(
        [
            *("openssl", "verify", "-x509_strict", "-purpose", "sslserver"),
            *("-attime", str(int(at.timestamp()))),
            *("-CAfile", str(data / "authority/authority.pem"), str(file)),
        ],
        capture_output=True,
        text=True,
    )
    return done.stdout + done.stderr


def accepts(data: Path, leaf: x509.Certificate, host: str, at: datetime = NOW) -> bool:
    """Whether the path validation of RFC 5280, as the `cryptography` library has it, agrees."""
    store = verification.Store([authority.certificate(data)])
    try:
        subject: verification.Subject = x509.IPAddress(ipaddress.ip_address(host))
    except ValueError:
        subject = x509.DNSName(host)
    builder = verification.PolicyBuilder().store(store).time(at)
    try:
        builder.build_server_verifier(subject).verify(leaf, [])
    except verification.VerificationError:
        return False
    return True


def forged(data: Path, host: str) -> x509.Certificate:
    """What a thief of the key could make: a certificate for a host that is not the shop's."""
    issuer = authority.certificate(data)
    return certificates.server([host], NOW, issuer, authority.signing_key(data))[0]


def test_both_libraries_accept_the_chain(tmp_path: Path, served: authority.Served) -> None:
    leaf = leaf_of(served)
    assert openssl_verify(tmp_path, leaf).endswith(": OK\n")
    assert accepts(tmp_path, leaf, "shop.test")
    assert accepts(tmp_path, leaf, "192.168.7.4")
    assert not accepts(tmp_path, leaf, "other.test")


@pytest.mark.parametrize(
    "host", ["bank.example", "shop.test.example", "192.168.8.4", "9.9.9.9", "2001:db8::1"]
)
def test_a_stolen_key_is_of_no_use_elsewhere(
    tmp_path: Path, served: authority.Served, host: str
) -> None:
    stolen = forged(tmp_path, host)
    said = openssl_verify(tmp_path, stolen)
    assert "permitted subtree violation" in said or "excluded subtree violation" in said
    assert not accepts(tmp_path, stolen, host)


@pytest.mark.parametrize(
    ("hosts", "foreign"), [(["shop.test"], "10.0.0.1"), (["10.0.0.5"], "shop.test")]
)
def test_a_shop_with_one_form_of_name_gives_no_power_over_the_other(
    tmp_path: Path, hosts: list[str], foreign: str
) -> None:
    authority.ensure(tmp_path, hosts, NOW)
    assert "subtree violation" in openssl_verify(tmp_path, forged(tmp_path, foreign))


def test_constraints_and_path_length_are_critical(tmp_path: Path, served: object) -> None:
    extensions = authority.certificate(tmp_path).extensions
    assert extensions.get_extension_for_class(x509.NameConstraints).critical
    basic = extensions.get_extension_for_class(x509.BasicConstraints)
    assert basic.critical
    assert basic.value == x509.BasicConstraints(ca=True, path_length=0)


def test_a_server_certificate_lives_at_most_398_days(served: authority.Served) -> None:
    leaf = leaf_of(served)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= LONGEST_LIFE


@pytest.mark.skipif(os.name == "nt", reason="Windows has no permission bits")
def test_keys_are_readable_by_their_owner_alone(tmp_path: Path, served: object) -> None:
    for key in (tmp_path / "authority").glob("*.key"):
        assert stat.S_IMODE(key.stat().st_mode) == 0o600


def test_nothing_is_renewed_while_all_is_well(tmp_path: Path, served: object) -> None:
    assert not authority.ensure(tmp_path, HOSTS, NOW + timedelta(days=300)).renewed


@pytest.mark.parametrize(
    ("hosts", "later"),
    [(HOSTS, timedelta(days=370)), (HOSTS, timedelta(days=500)), (["shop.test"], timedelta(0))],
    ids=["near its end", "after its end", "other names"],
)
def test_it_renews_by_itself_under_the_same_authority(
    tmp_path: Path, served: authority.Served, hosts: list[str], later: timedelta
) -> None:
    before = authority.fingerprint(tmp_path)
    again = authority.ensure(tmp_path, hosts, NOW + later)
    assert again.renewed
    assert authority.fingerprint(tmp_path) == before
    assert openssl_verify(tmp_path, leaf_of(again), NOW + later).endswith(": OK\n")


def test_a_new_address_in_the_same_network_needs_no_new_authority(
    tmp_path: Path, served: authority.Served
) -> None:
    again = authority.ensure(tmp_path, ["shop.test", "192.168.7.88"], NOW)
    assert accepts(tmp_path, leaf_of(again), "192.168.7.88")


@pytest.mark.parametrize("host", ["other.test", "10.1.2.3"])
def test_a_foreign_name_is_refused_with_a_remedy(tmp_path: Path, served: object, host: str) -> None:
    with pytest.raises(AuthorityError, match=rf"may not vouch for {host}.*--new-authority"):
        authority.ensure(tmp_path, [host], NOW)


def test_an_ending_authority_says_so(tmp_path: Path, served: object) -> None:
    with pytest.raises(AuthorityError, match=r"ends on .* 2036.*--new-authority"):
        authority.ensure(tmp_path, HOSTS, NOW + certificates.AUTHORITY_LIFE - timedelta(days=3))


def test_a_new_authority_keeps_the_old_one_aside(tmp_path: Path, served: object) -> None:
    before = authority.fingerprint(tmp_path)
    authority.create(tmp_path, ["other.test"], NOW)
    assert authority.fingerprint(tmp_path) != before
    assert authority.ensure(tmp_path, ["other.test"], NOW).renewed
    assert (tmp_path / "authority-until-20261125-090000/authority.key").exists()


def test_phones_get_the_same_certificate_in_their_own_form(tmp_path: Path, served: object) -> None:
    certificate = authority.certificate(tmp_path)
    raw = phones.for_android(certificate)
    payload = plistlib.loads(phones.for_ios(certificate))["PayloadContent"][0]
    assert payload["PayloadType"] == "com.apple.security.root"
    assert x509.load_der_x509_certificate(raw) == certificate
    assert payload["PayloadContent"] == raw
    assert phones.for_ios(certificate) == phones.for_ios(certificate)


def test_the_fingerprint_is_the_one_openssl_prints(tmp_path: Path, served: object) -> None:
    file = str(tmp_path / "authority/authority.pem")
    command = ["openssl", "x509", "-in", file, "-noout", "-fingerprint", "-sha256"]
    said = subprocess.run(command, capture_output=True, text=True).stdout
    assert said.strip().split("=")[1] == authority.fingerprint(tmp_path)
