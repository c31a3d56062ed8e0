"""The rooms people enter by: phones, office, API."""

from django.apps import AppConfig
from django.db.backends.signals import connection_created
from django.db.models.signals import post_migrate


class ShopfloorConfig(AppConfig):
    name = "shopfloor"

    def ready(self) -> None:
        from shopfloor import checks, turns  # noqa: F401 (registers itself)
        from shopfloor.auth.roles import make_groups

        # after every migrate rather than in one migration: a flushed database gets them again
        post_migrate.connect(make_groups, sender=self)
        connection_created.connect(turns.watch)
