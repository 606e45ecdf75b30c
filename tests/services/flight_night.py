"""A club on the evening of a blind flight: who pours, what is scored, how it ends."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from staveward.models import Act, Stay
from staveward.selectors.flights import flight_queryset, flight_rows
from tests.ledger import DAY0, ClubScene

NAMES = ("Neap", "Ebb", "Flood", "Slack")
EVENING = 40.0


class Flights(ClubScene):
    """A club whose keeper pours four barrels for the two sharers."""

    def poured(self, count: int = 4, *, by: str = "keeper", **changes: Any) -> Act:
        self.barrels = [self.barrel(name) for name in NAMES[:count]]
        self.fills = [self.fill(barrel) for barrel in self.barrels]
        return self.pour(by=by, **changes)

    def pour(self, *, by: str = "keeper", **changes: Any) -> Act:
        body = {
            "fills": [fill.pk for fill in self.fills],
            "tasters": [self.people["sharer"].pk, self.people["other_sharer"].pk],
            "sample_ml": 10.0,
        }
        return self.send("flights", by=by, day=EVENING, **{**body, **changes})

    def score(
        self,
        flight: Act,
        code: str,
        liking: float,
        *,
        by: str = "sharer",
        day: float = EVENING + 0.01,
        **more: Any,
    ) -> Act:
        body = {
            "flight": flight.pk,
            "code": code,
            "liking": liking,
            "tasted_on": (DAY0 + timedelta(days=day)).date(),
        }
        return self.send("blind-tastings", by=by, day=day, **{**body, **more})

    def score_all(self, flight: Act, by: str, likings: Sequence[float]) -> None:
        for code, liking in zip(self.codes(flight, by), likings, strict=True):
            self.score(flight, code, liking, by=by)

    def close(self, flight: Act, *, by: str = "keeper", day: float = EVENING + 0.1) -> Act:
        return self.send("flight-closings", by=by, day=day, flight=flight.pk)

    def call_off(
        self, flight: Act, *, by: str = "keeper", day: float = EVENING + 0.1, is_poured: bool = True
    ) -> Act:
        reason = "wrong barrel in the second glass"
        return self.send(
            "flight-cancellations", by=by, day=day, flight=flight.pk, reason=reason, is_poured=is_poured
        )

    def score_unread(
        self, code: str, liking: float, *, by: str = "sharer", day: float = EVENING + 0.01, **more: Any
    ) -> Act:
        """Scores a code from a phone that has not read its flight."""
        tasted_on = (DAY0 + timedelta(days=day)).date()
        body = {"code": code, "liking": liking, "tasted_on": tasted_on}
        return self.send("blind-tastings", by=by, day=day, **{**body, **more})

    def used(self) -> list[float]:
        """Returns what was drawn off each of the barrels, in their order."""
        return [Stay.objects.get(barrel=barrel, ended_at=None).sample_used_ml for barrel in self.barrels]

    def row(self, flight: Act, by: str) -> dict[str, Any]:
        reader = self.people[by]
        return flight_rows(flight_queryset(self.club, reader).filter(pk=flight.pk), self.club, reader)[0]

    def codes(self, flight: Act, by: str) -> list[str]:
        tasters = {line["person"]: line for line in self.row(flight, by)["tasters"]}
        codes: list[str] = tasters[str(self.people[by].pk)]["codes"]
        return codes
