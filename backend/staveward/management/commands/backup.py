"""Writes a whole copy of the SQLite database while the club goes on using it."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection


class Command(BaseCommand):
    help = "Copies the SQLite database, whole and checked, to a file (default: DATA_DIR/backups, named by the time)."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", type=Path, help="where to write the copy; must not exist yet")

    def handle(self, *args: Any, **options: Any) -> None:
        if connection.vendor != "sqlite":
            raise CommandError("This database is PostgreSQL: use pg_dump (docs/operating.md).")
        stamp = datetime.now(UTC).strftime("%Y-%m-%dT%H%M%SZ")
        target: Path = options["file"] or settings.DATA_DIR / "backups" / f"staveward-{stamp}.sqlite3"
        if target.exists():
            raise CommandError(f"{target} exists already; name another file.")
        target.parent.mkdir(parents=True, exist_ok=True)
        draft = target.with_name(f"{target.name}.part")
        try:
            copy_database(Path(connection.settings_dict["NAME"]), draft)
            os.replace(draft, target)
        finally:
            draft.unlink(missing_ok=True)
        self.stdout.write(f"Backup written and checked: {target} ({target.stat().st_size // 1024} kB)")


def copy_database(source: Path, target: Path) -> None:
    """Copies a live database through SQLite's own online backup, and checks the copy."""
    reader = sqlite3.connect(f"file:{source}?mode=ro", uri=True, timeout=20)
    writer = sqlite3.connect(target)
    try:
        os.chmod(target, 0o600)
        reader.backup(writer)
        verdict = writer.execute("PRAGMA integrity_check").fetchone()[0]
    finally:
        writer.close()
        reader.close()
    if verdict != "ok":
        raise CommandError(
            f"The copy is damaged ({verdict}): the database itself may be. Keep every older backup."
        )
