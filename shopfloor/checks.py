"""What `manage.py check` says about a start that would not work well."""

from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.checks import CheckMessage, Warning, register

BUILT = ("phone.js", "phone.css", "office.js", "office.css", "sw.js")
LOCAL = {"localhost", "127.0.0.1", "::1"}


@register()
def front_end_built(app_configs: object, **kwargs: object) -> list[CheckMessage]:
    missing = [name for name in BUILT if not finders.find(name)]
    if not missing:
        return []
    return [
        Warning(
            f"The pages are not built: {', '.join(missing)} missing.",
            hint="Run `npm ci && npm run build` in static/, then `manage.py collectstatic`.",
            id="shopfloor.W001",
        )
    ]


@register()
def phones_need_https(app_configs: object, **kwargs: object) -> list[CheckMessage]:
    if settings.ON_HTTPS or settings.ALLOWED_HOSTS[0] in LOCAL:
        return []
    return [
        Warning(
            f"PUBLIC_ORIGIN is {settings.PUBLIC_ORIGIN}: phones allow neither camera nor "
            "working without a network over plain http.",
            hint="Use an https address.",
            id="shopfloor.W002",
        )
    ]
