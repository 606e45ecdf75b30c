"""The clock: does what is due because time has passed."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from staveward.services.ticks import tick


class Command(BaseCommand):
    """Run it every minute; a call too many does no harm."""

    help = "Make the forecasts that are due, let reservations lapse, tidy up. Safe to run at any time."

    def handle(self, *args: Any, **options: Any) -> None:
        """Calls the clock once."""
        done = tick(timezone.now())
        if options["verbosity"] > 1:
            self.stdout.write(
                f"{done.forecasts} forecasts, {done.pulls} best weeks, "
                f"{done.lapsed} reservations lapsed, {done.pruned} jobs and {done.thinned} old courses tidied"
            )
        if done.failed:
            raise CommandError("Failed, and will be tried again: " + ", ".join(sorted(set(done.failed))))
