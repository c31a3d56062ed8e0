from django.apps import AppConfig


class Exchange(AppConfig):
    name = "shopfloor.exchange"
    default_auto_field = "django.db.models.BigAutoField"
