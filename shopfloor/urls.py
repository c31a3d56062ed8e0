"""Every address of Tautbook."""

from importlib.util import find_spec

from django.urls import include, path

urlpatterns = []
for prefix, name in (("office/labels/", "labels"), ("office/", "office")):
    if find_spec(f"shopfloor.{name}") and find_spec(f"shopfloor.{name}.urls"):
        urlpatterns.append(path(prefix, include(f"shopfloor.{name}.urls")))
