"""Addresses below /office/labels/ that answer with files."""

from django.urls import path

from . import views

app_name = "labels"
urlpatterns = [
    path("sheet.pdf", views.print_sheet, name="sheet"),
    path("roll.pdf", views.print_roll, {"kind": "pdf"}, name="roll-pdf"),
    path("roll.zip", views.print_roll, {"kind": "png"}, name="roll-png"),
    path("trial.pdf", views.print_trial, name="trial"),
    path("<uuid:frame_id>-<str:side>.png", views.picture, name="picture"),
]
