"""Loads the demo club into an empty data folder, and prints its sign-ins at every start."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from staveward.demo.loader import PASSWORD, demo_club, demo_load, sign_ins
from staveward.models import Club


class Command(BaseCommand):
    """Does nothing where another club lives, and nothing twice."""

    help = "Load the demo club (only into an empty data folder or its own) and print its sign-ins."

    def handle(self, *args: Any, **options: Any) -> None:
        """Loads the club if it is not here yet."""
        if demo_club() is None:
            if Club.objects.exists():
                self.stdout.write("Another club lives in this data folder; the demo club was not loaded.")
                return
            self.stdout.write("Loading the demo club: fourteen months of an invented cellar ...")
            self.stdout.flush()
            demo_load(timezone.now())
        self.stdout.write("\nWrackmouth Boat Club (invented). Sign in with any of:")
        for role, email in sign_ins():
            self.stdout.write(f"  {role:<7} {email:<26} {PASSWORD}")
        self.stdout.write("")
