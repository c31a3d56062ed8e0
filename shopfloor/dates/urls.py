"""Addresses of the office's page about calendars."""

from django.urls import path

from shopfloor.dates import views

app_name = "dates"
urlpatterns = [
    path("", views.page, name="page"),
    path("<uuid:feed_id>/revoke/", views.revoke, name="revoke"),
]
