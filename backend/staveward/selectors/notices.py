"""Notices: word of trouble to those it touches, each seen by its person alone."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from staveward.models import Club, Notice, Person
from staveward.selectors.shapes import instant_text
from staveward.selectors.stays import standing

# Older than this it is history, and stands in the log.
SHOWN_FOR = timedelta(days=60)
# How it ended for whoever had reserved a barrel that was retired.
RETIRED = "retired"


def notice_queryset(club: Club, reader: Person, now: datetime) -> QuerySet[Notice]:
    """Returns the reader's own notices whose entry stands, newest first."""
    return (
        Notice.objects.for_club(club)
        .filter(standing(), person=reader, at__gte=now - SHOWN_FOR)
        .select_related("act__trouble", "act__trouble_settlement")
        .order_by("-at", "id")
    )


def notice_rows(notices: Iterable[Notice]) -> list[dict[str, Any]]:
    """Returns notices as the API shows them."""
    return [_row(notice) for notice in notices]


def _row(notice: Notice) -> dict[str, Any]:
    act = notice.act
    is_settled = act.collection == "trouble-settlements"
    is_end = act.collection == "retirements"
    settlement = act.trouble_settlement if is_settled else None
    return {
        "id": str(notice.pk),
        "barrel": str(notice.barrel_id),
        "entry": str(act.pk),
        "trouble": str(UUID(str(act.body["trouble"]))) if is_settled else str(act.pk),
        "kind": None if is_settled or is_end else act.trouble.kind,
        "outcome": RETIRED if is_end else settlement.outcome if settlement else None,
        "volume_l": settlement.volume_l if settlement else None,
        "cause": act.body.get("reason", "") if is_end else settlement.cause if settlement else "",
        "why": notice.why,
        "at": instant_text(notice.at),
    }
