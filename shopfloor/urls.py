"""Every address of Tautbook."""

from importlib.util import find_spec

from django.urls import include, path

urlpatterns = []
if find_spec("shopfloor.office") is not None:
    urlpatterns.append(path("office/", include("shopfloor.office.urls")))
