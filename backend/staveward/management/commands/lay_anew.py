"""Brings every barrel's log under the rules of this version."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from staveward.services.lay_anew import logs_lay_anew


class Command(BaseCommand):
    """Run it after ``migrate``; it does nothing where nothing is left to do."""

    help = "After an update: lay anew the logs that hold what a new rule reads. Safe to run at any time."

    def handle(self, *args: Any, **options: Any) -> None:
        """Lays them and says how many."""
        laid = logs_lay_anew()
        if laid or options["verbosity"] > 1:
            self.stdout.write(f"{laid} barrel{'' if laid == 1 else 's'}: the log was laid anew.")
