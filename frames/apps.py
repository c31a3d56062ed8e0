from django.apps import AppConfig


class FramesConfig(AppConfig):
    name = "frames"
    default_auto_field = "django.db.models.BigAutoField"
