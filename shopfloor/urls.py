"""Every address of Tautbook."""

from django.urls import include, path, re_path

from shopfloor import language, pwa, ready
from shopfloor.api.root import api
from shopfloor.auth import views
from shopfloor.dates import views as dates

handler500 = "shopfloor.busy.failed"
urlpatterns = [
    path("api/v1/", api.urls),
    path("", pwa.shell, name="shell"),
    path("e", pwa.shell, name="enrol"),
    # labels may carry the whole address in capitals, which makes a smaller symbol
    re_path(r"^[fF]/(?P<text>[^/]{1,60})/?$", pwa.label, name="label"),
    path("sw.js", pwa.service_worker, name="service-worker"),
    path("manifest.webmanifest", pwa.manifest, name="manifest"),
    path("favicon.ico", pwa.favicon, name="favicon"),
    path("health", pwa.health, name="health"),
    path("ready", ready.ready, name="ready"),
    path("language/", language.choose, name="language"),
    path("office/sign-in/", views.sign_in, name="office-sign-in"),
    path("office/sign-out/", views.sign_out, name="office-sign-out"),
    path("office/password/", views.password, name="office-password"),
    path("office/password/changed/", views.password_changed, name="office-password-changed"),
    path("dates/<str:token>.ics", dates.feed, name="date-feed"),
    path("office/dates/", include("shopfloor.dates.urls")),
    path("office/labels/", include("shopfloor.labels.urls")),
    path("office/privacy/", include("shopfloor.privacy.urls")),
    path("office/shop/lists/", include("shopfloor.exchange.urls")),
    path("office/", include("shopfloor.office.urls")),
]
