"""Makes the first accounts, with random passwords that are shown once."""

from django.contrib.auth.models import User

from shopfloor.auth import accounts


def make_accounts(wanted: dict[str, str], *, to_stay: bool = False) -> dict[str, str]:
    """Make each account (name: group) that is not there yet; the new ones' passwords.

    Whoever signs in has to choose another one, unless it is `to_stay`, as in the demo, whose book
    holds nothing of anybody.
    """
    passwords = {}
    for name, group in wanted.items():
        if User.objects.filter(username=name).exists():
            continue
        passwords[name] = accounts.add(name, group, to_stay=to_stay)
    return passwords
