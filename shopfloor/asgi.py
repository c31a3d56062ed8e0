"""What the web server calls."""

import os

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
django.setup(set_prefix=False)

from django.conf import settings  # noqa: E402 (needs the set-up above)

from shopfloor import position  # noqa: E402 (needs the set-up above)
from shopfloor.backup import in_use  # noqa: E402 (needs the set-up above)
from shopfloor.front import Front  # noqa: E402 (needs the set-up above)

in_use.hold(settings.TAUTBOOK_DATA)
position.check()
application = Front()
