"""Looks a club over: whether what is kept agrees with itself."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from staveward.models import Club
from staveward.services.club_check import club_check


class Command(BaseCommand):
    """Changes nothing; ends with an error when something does not agree."""

    help = "Check stays, ledger, feed, forecasts and reservations against each other. Changes nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        """Takes the clubs to check; all of them without."""
        parser.add_argument("club", nargs="*", help="the club's short name in addresses")

    def handle(self, *args: Any, **options: Any) -> None:
        """Prints what was found."""
        clubs = Club.objects.order_by("slug")
        if options["club"]:
            clubs = clubs.filter(slug__in=options["club"])
            unknown = set(options["club"]) - set(clubs.values_list("slug", flat=True))
            if unknown:
                raise CommandError("There is no club called " + ", ".join(sorted(unknown)) + ".")
        found = 0
        for club in clubs:
            faults = club_check(club, timezone.now())
            found += len(faults)
            self.stdout.write(f"{club.name}: " + ("in order" if not faults else f"{len(faults)} found"))
            for fault in faults:
                self.stdout.write(f"  {fault.code}: {fault.detail}")
        if found:
            raise CommandError(
                f"{found} {'thing does' if found == 1 else 'things do'} not agree. Nothing was changed."
            )
