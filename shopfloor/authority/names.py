"""Which names and addresses an authority may vouch for. Pure.

"Host" is a name or an address as text, the way it stands in an origin but without brackets.
"""

import ipaddress
from collections.abc import Sequence

from cryptography import x509

# RFC 2606: no real name ends so. Permitting it alone refuses every real name.
NO_NAME = x509.DNSName("none.invalid")
EVERY_ADDRESS = [x509.IPAddress(ipaddress.ip_network(every)) for every in ("0.0.0.0/0", "::/0")]
# How far a private address may wander by itself, in bits of its network.
NETWORK_BITS = {4: 24, 6: 64}


def general(host: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(host))
    except ValueError:
        return x509.DNSName(host.lower())


def constraints(hosts: Sequence[str]) -> x509.NameConstraints:
    """Permit exactly the shop's names, and the networks that its addresses lie in.

    A name form with no permitted subtree would be unrestricted (RFC 5280, 4.2.1.10), so both
    forms always get one: names an impossible one, addresses an exclusion of all.
    """
    names = [one for one in map(general, hosts) if isinstance(one, x509.DNSName)]
    networks = [x509.IPAddress(network) for host in hosts if (network := _network(host))]
    have = {one.value.version for one in networks}
    excluded = [every for every in EVERY_ADDRESS if every.value.version not in have]
    return x509.NameConstraints([*(names or [NO_NAME]), *networks], excluded or None)


def covers(permitted: x509.GeneralName, host: str) -> bool:
    wanted = general(host)
    if isinstance(permitted, x509.IPAddress) and isinstance(wanted, x509.IPAddress):
        return wanted.value in permitted.value
    if isinstance(permitted, x509.DNSName) and isinstance(wanted, x509.DNSName):
        return f".{wanted.value}".endswith(f".{permitted.value}")
    return False


def _network(host: str) -> ipaddress.IPv4Network | ipaddress.IPv6Network | None:
    """The network of a private address, so that a newly given address needs no new authority."""
    one = general(host)
    if not isinstance(one, x509.IPAddress):
        return None
    address = one.value
    bits = NETWORK_BITS[address.version] if address.is_private else address.max_prefixlen
    return ipaddress.ip_network(f"{address}/{bits}", strict=False)
