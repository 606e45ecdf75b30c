"""Reads the check files, from the folder that ``STAVEWARD_VECTORS`` names or from fixtures/vectors.

Another set of points in the same format can be run through the same adapters by naming its folder.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

OWN_FOLDER = Path(__file__).parents[2] / "fixtures" / "vectors"
FOLDER = Path(os.environ.get("STAVEWARD_VECTORS") or OWN_FOLDER)


def read_checks(name: str) -> dict[str, Any]:
    """Reads one check file of the chosen folder."""
    found: dict[str, Any] = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    return found


def is_own_set() -> bool:
    """Says whether the set is the one that lies in fixtures/vectors."""
    return FOLDER.resolve() == OWN_FOLDER.resolve()
