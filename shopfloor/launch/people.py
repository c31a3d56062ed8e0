"""Makes the first accounts, with random passwords that are shown once."""

import secrets

from django.contrib.auth.models import Group, User

from shopfloor.auth import first_password

# Nothing that can be mistaken for something else when read from a terminal.
ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"


def make_accounts(wanted: dict[str, str]) -> dict[str, str]:
    """Make each account (name: group) that is not there yet; the new ones' passwords."""
    passwords = {}
    for name, group in wanted.items():
        if User.objects.filter(username=name).exists():
            continue
        passwords[name] = password()
        user = User.objects.create_user(name, password=passwords[name])
        first_password.give(user)
        user.groups.add(Group.objects.get_or_create(name=group)[0])
    return passwords


def password() -> str:
    """Four groups of four: 79 bits."""
    return "-".join("".join(secrets.choice(ALPHABET) for _ in range(4)) for _ in range(4))
