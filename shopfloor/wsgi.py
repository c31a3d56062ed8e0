"""What the web server calls."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
application = get_wsgi_application()

from shopfloor import position  # noqa: E402 (models need the set-up above)

position.check()
