from django.apps import AppConfig


class FramesConfig(AppConfig):
    name = "frames"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from django.utils.formats import get_format
        from django.utils.translation import gettext, ngettext

        from frames import wording

        def marks() -> tuple[str, str]:
            return get_format("DECIMAL_SEPARATOR"), get_format("THOUSAND_SEPARATOR")

        wording.speak_by(gettext, ngettext, marks)
