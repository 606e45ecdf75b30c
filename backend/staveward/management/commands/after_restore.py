"""Makes every device read its club anew, after a backup was put back."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from staveward.services.restores import feeds_renew


class Command(BaseCommand):
    help = (
        "To be run once after a restore: every phone then reads its club anew and keeps what it has not sent."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        clubs = feeds_renew()
        self.stdout.write(
            f"{clubs} club{'' if clubs == 1 else 's'}: every device reads anew at its next sync."
        )
