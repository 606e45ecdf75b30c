"""What the tests of reserving share: a club, barrels that are cured, and short ways to ask and to decide."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from staveward.models import Act, Barrel, Reservation
from tests.ledger import DAY0, ClubScene

TODAY = DAY0.date()


def on(days: int) -> date:
    """Returns the date so many days after the scene's first day."""
    return TODAY + timedelta(days=days)


class ReservingScene(ClubScene):
    """A club where people ask for barrels."""

    def cured(
        self, name: str = "Neap", nominal_l: float = 5.0, *, day: float = -10, **register: Any
    ) -> Barrel:
        """Returns a barrel that came tight before the scene's first day."""
        barrel = self.barrel(name, nominal_l, **register)
        self.send("curings", barrel, day=day, water_l=nominal_l)
        self.send("curing-verdicts", barrel, day=day + 2, verdict="tight")
        return barrel

    def ask(
        self,
        barrel: Barrel,
        first: int = 10,
        last: int = 40,
        *,
        by: str = "member",
        day: float = 0.0,
        **changes: Any,
    ) -> Reservation:
        """Asks for a barrel from day ``first`` up to ``last``, for a full fill of plain rye."""
        data: dict[str, Any] = {
            "starts_on": on(first),
            "ends_on": on(last),
            "fill_name": "rye, plain",
            "spirit": "whisky",
            "family": "spirit",
            "volume_l": barrel.nominal_l,
            "abv_pct": 55.0,
            "oak_wish": 3,
        }
        act = self.send("reservations", barrel, day=day, by=by, **{**data, **changes})
        return Reservation.objects.get(pk=act.pk)

    def decide(
        self, reservation: Reservation, decision: str, *, by: str = "keeper", day: float = 1.0, **changes: Any
    ) -> Act:
        """Decides about a reservation."""
        return self.send(
            "reservation-decisions", day=day, by=by, reservation=reservation.pk, decision=decision, **changes
        )
