"""Bodies of blind flights, as phones send them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from staveward.models import FlightGlass
from tests.api.cast import Cast


def flight_body(cast: Cast, fills: Sequence[str], *tasters: str) -> dict[str, Any]:
    """Returns a flight of these fills, 10 mL a glass, for people by name."""
    return cast.entry(fills=list(fills), tasters=[cast.id(name) for name in tasters], sample_ml=10)


def blind_body(cast: Cast, flight: str, code: str | None = None, **changes: Any) -> dict[str, Any]:
    """Returns a score of 6.5 of a code, the first poured unless one is named."""
    first = FlightGlass.objects.filter(flight=flight).order_by("position")[0].code
    today = datetime.now(UTC).date().isoformat()
    return cast.entry(
        **{"flight": flight, "code": code or first, "liking": 6.5, "tasted_on": today, **changes}
    )
