"""Notices: word of trouble to those it touches, each seen by its person alone."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from staveward.models import Club, Notice, Person
from staveward.selectors.shapes import instant_text
from staveward.selectors.stays import standing

# Older than this it is history, and stands in the log.
SHOWN_FOR = timedelta(days=60)
# How it ended for whoever had reserved a barrel that was retired.
RETIRED = "retired"
# What became of it once that retirement was taken back: it stands again, or its days were over or taken.
RESTORED, STAYS_ENDED = "restored", "stays_ended"
RESERVER = "reserver"
RETURNS = (RESTORED, STAYS_ENDED)


def notice_queryset(club: Club, reader: Person, now: datetime) -> QuerySet[Notice]:
    """Returns the reader's own notices whose entry stands, newest first; what was taken back may itself be news."""
    return (
        Notice.objects.for_club(club)
        .filter(standing() | Q(why__in=RETURNS), person=reader, at__gte=now - SHOWN_FOR)
        .select_related("act__trouble", "act__trouble_settlement")
        .order_by("-at", "id")
    )


def notice_rows(notices: Iterable[Notice]) -> list[dict[str, Any]]:
    """Returns notices as the API shows them."""
    return [_row(notice) for notice in notices]


def _row(notice: Notice) -> dict[str, Any]:
    act = notice.act
    row = {
        "id": str(notice.pk),
        "barrel": str(notice.barrel_id),
        "entry": str(act.pk),
        "trouble": str(act.pk),
        "kind": None,
        "outcome": None,
        "volume_l": None,
        "cause": "",
        "why": notice.why,
        "at": instant_text(notice.at),
    }
    if notice.why in RETURNS:
        # Why it was taken back; a correction's own reason is about another barrel.
        cause = act.body.get("reason", "") if act.is_void else ""
        return row | {"outcome": notice.why, "cause": cause, "why": RESERVER}
    if act.collection == "retirements":
        return row | {"outcome": RETIRED, "cause": act.body.get("reason", "")}
    if act.collection == "trouble-settlements":
        settlement = act.trouble_settlement
        return row | {
            "trouble": str(UUID(str(act.body["trouble"]))),
            "outcome": settlement.outcome,
            "volume_l": settlement.volume_l,
            "cause": settlement.cause,
        }
    return row | {"kind": act.trouble.kind}
