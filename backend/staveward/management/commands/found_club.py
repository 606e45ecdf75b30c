"""Founds a real club: its name, its zone and its first admin."""

from __future__ import annotations

import getpass
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from staveward.services.errors import Refusal
from staveward.services.founding import club_found


class Command(BaseCommand):
    """The password is asked for, never taken from the command line, where others could read it."""

    help = "Found a club with its first admin."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Says what the club is called and who answers for it."""
        parser.add_argument("name", help="the club's name")
        parser.add_argument("slug", help="its short name in addresses, as wrackmouth-boat-club")
        parser.add_argument("admin_name", help="the first admin's name")
        parser.add_argument("admin_email", help="the address the first admin signs in with")
        parser.add_argument("--timezone", default="UTC", help="the club's zone, as Europe/London")
        parser.add_argument("--currency", default="EUR", help="three letters of ISO 4217")

    def handle(self, *args: Any, **options: Any) -> None:
        """Asks for the password and founds the club."""
        try:
            club = club_found(
                name=options["name"],
                slug=options["slug"],
                admin_name=options["admin_name"],
                admin_email=options["admin_email"],
                admin_password=getpass.getpass("Password of the first admin: "),
                now=timezone.now(),
                settings={"timezone": options["timezone"], "currency": options["currency"]},
            )
        except Refusal as refusal:
            raise CommandError(refusal.detail) from refusal
        self.stdout.write(f"{club.name} is founded. Sign in as {options['admin_email']}.")
