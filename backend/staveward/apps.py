"""The one Django application of the project."""

from django.apps import AppConfig


class StavewardConfig(AppConfig):
    name = "staveward"
    label = "staveward"
    verbose_name = "Staveward"
    default_auto_field = "django.db.models.BigAutoField"
