"""Writes the table by which a phone lays its own entries over the care that is due; a test holds it current."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from staveward.selectors.care import CARE_TASKS
from staveward.services.marks import EVENT_MARKS, READING_MARKS

PATH = Path(__file__).parents[4] / "frontend" / "src" / "outbox" / "care-tasks.json"


def care_table() -> dict[str, Any]:
    """Returns what each entry marks, and each task of each state with the marks that settle it."""
    return {
        "events": EVENT_MARKS,
        "readings": READING_MARKS,
        "tasks": {
            state: {one.task: {"rule": one.rule, "settled_by": list(one.settled_by)} for one in tasks}
            for state, tasks in CARE_TASKS.items()
        },
    }


def table_text() -> str:
    """Returns the file as the web app's formatter would leave it: a list on its line."""
    return _text(care_table(), 0) + "\n"


def _text(value: Any, depth: int) -> str:
    if not isinstance(value, dict) or not value:
        return json.dumps(value, ensure_ascii=False)
    inner = "  " * (depth + 1)
    lines = (f"{inner}{json.dumps(key)}: {_text(one, depth + 1)}" for key, one in value.items())
    return "{\n" + ",\n".join(lines) + "\n" + "  " * depth + "}"


class Command(BaseCommand):
    """``manage.py care_table``"""

    help = "Writes frontend/src/outbox/care-tasks.json from the care schedule."

    def handle(self, *args: Any, **options: Any) -> None:
        """Writes the file anew."""
        PATH.write_text(table_text(), encoding="utf-8")
        self.stdout.write(f"Wrote {PATH.name}.")
