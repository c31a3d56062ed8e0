from django.apps import AppConfig


class Labels(AppConfig):
    name = "shopfloor.labels"
    label = "labels"
    default_auto_field = "django.db.models.BigAutoField"
