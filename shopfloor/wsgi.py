"""What the web server calls."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
application = get_wsgi_application()

from django.conf import settings  # noqa: E402 (needs the set-up above)

from shopfloor import position  # noqa: E402 (needs the set-up above)
from shopfloor.backup import in_use  # noqa: E402 (needs the set-up above)

in_use.hold(settings.TAUTBOOK_DATA)
position.check()
