"""What the terminal says once Tautbook is up."""

import io
import sys

import qrcode

from shopfloor import authority
from shopfloor.auth import first_password
from shopfloor.launch.running import Shop
from shopfloor.launch.steps import say


def announce(shop: Shop, passwords: dict[str, str]) -> None:
    origin = shop.place.origin
    say(f"\nTautbook is running: {origin}")
    say(f"  phone    {origin}/\n  office   {origin}/office/")
    if shop.vouches:
        _announce_landing(shop)
    elif shop.place.secure:
        say(code(f"{origin}/"))
    else:
        say("Only this machine can reach it. For phones: the same command with --lan.")
        say(code(f"{origin}/"))
    if passwords:
        say("Accounts, shown this once:")
        for name, word in passwords.items():
            say(f"  {name:<12} {word}")
        if first_password.is_given(passwords):
            say("Who signs in chooses another password, within 7 days.")
    else:
        say("Accounts are as before. A forgotten password: manage.py changepassword NAME")
    say("Stop with Ctrl-C.")


def _announce_landing(shop: Shop) -> None:
    landing = shop.place.landing(shop.landing_port)
    say(f"\nA phone's first visit: {landing} (it explains what to install)")
    say(code(landing))
    say("Fingerprint to compare on the phone before trusting (SHA-256):")
    prints = (authority.fingerprint(shop.data) or "").split(":")
    say("  " + ":".join(prints[:16]) + "\n  " + ":".join(prints[16:]))


def code(text: str) -> str:
    """The text as a QR code of half blocks; empty where the terminal cannot print those."""
    try:
        "▀▄█".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return ""
    symbol = qrcode.QRCode(border=2)
    symbol.add_data(text)
    drawn = io.StringIO()
    symbol.print_ascii(out=drawn, invert=True)
    return drawn.getvalue()
