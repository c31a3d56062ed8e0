"""Addresses of what is about people."""

from django.urls import path

from shopfloor.privacy import views

app_name = "privacy"
urlpatterns = [
    path("", views.page, name="page"),
    path("operators/<uuid:id>/known.json", views.operator_file, name="operator-file"),
    path("operators/<uuid:id>/forget/", views.forget_operator, name="forget-operator"),
    path("accounts/<int:id>/known.json", views.account_file, name="account-file"),
    path("accounts/<int:id>/forget/", views.forget_account, name="forget-account"),
]
