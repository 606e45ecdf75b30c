"""Facts of many barrels that no stay holds: loans, sulphite in the wood, the last repair, old tags."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime, time
from typing import Any, NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Max, Q, QuerySet

from staveward.models import FormerTag, Hold, Reading, Tending
from staveward.science.vocabulary import SULPHITE_LABEL_MG_L, ReadingKind, TendingKind
from staveward.selectors.questions import Question, Scope
from staveward.selectors.shapes import instant_text
from staveward.selectors.stays import ReservationFacts, standing, standing_acts


class LoanFacts(NamedTuple):
    """A barrel that is in somebody else's house."""

    borrower: str
    since: datetime
    back_by: str | None

    def as_row(self) -> dict[str, Any]:
        """Returns the loan as the API shows it."""
        return {"borrower": self.borrower, "since": instant_text(self.since), "back_by": self.back_by}


class SulphiteFacts(NamedTuple):
    """When sulphite last went into the wood, what a strip has shown since, and the last fill whose gate was passed."""

    made_at: datetime
    strip_mg_l: float | None
    strip_at: datetime | None
    filled_at: datetime | None = None

    @property
    def is_past(self) -> bool:
        """Whether a fill has passed the gate since, and no strip was read after it."""
        return self.filled_at is not None and (self.strip_at is None or self.strip_at <= self.filled_at)

    @property
    def is_clear(self) -> bool:
        """Whether the newest strip lies under the figure from which a label must name sulphites."""
        return self.strip_mg_l is not None and self.strip_mg_l < SULPHITE_LABEL_MG_L

    def as_row(self) -> dict[str, Any]:
        """Returns the gate as the API shows it."""
        return {
            "made_at": instant_text(self.made_at),
            "strip_mg_l": self.strip_mg_l,
            "strip_at": instant_text(self.strip_at),
            "is_clear": self.is_clear,
        }


def loans_by_barrel(scope: Scope) -> dict[UUID, LoanFacts]:
    """Returns the barrels that are lent now: the newest word of each is a loan, not its return."""
    newest: dict[UUID, LoanFacts | None] = {}
    for barrel_id, collection, at, borrower, back_by in _loans(scope):
        newest[barrel_id] = LoanFacts(str(borrower), at, back_by) if collection == "loans" else None
    return {barrel_id: loan for barrel_id, loan in newest.items() if loan is not None}


@Question
def _loans(scope: Scope) -> QuerySet[Any, Any]:
    acts = standing_acts(scope, "loans", "loan-returns")
    return acts.order_by("ordered_at", "id").values_list(
        "barrel_id", "collection", "ordered_at", "body__borrower", "body__back_by"
    )


def repaired_at_by_barrel(scope: Scope) -> dict[UUID, datetime]:
    """Returns when each barrel's wood was last charred or toasted anew."""
    return dict(_repairs(scope))


@Question
def _repairs(scope: Scope) -> QuerySet[Any, Any]:
    acts = standing_acts(scope, "repairs")
    return acts.values_list("barrel_id").annotate(last=Max("ordered_at"))


def sulphite_by_barrel(scope: Scope) -> dict[UUID, SulphiteFacts]:
    """Returns the sulphite last put into each barrel, with the newest strip read and the last fill made after it."""
    made: dict[UUID, datetime] = {}
    for barrel_id, at in (*_solutions_made(scope), *_sulphitings(scope)):
        made[barrel_id] = max(made.get(barrel_id, at), at)
    strips = {barrel_id: (at, so2_mg_l) for barrel_id, at, so2_mg_l in _strips(scope)}
    passed = {
        barrel_id: at
        for barrel_id, at, gates in _fills_made(Scope(scope.club_id, tuple(made)))
        if _passed_gate(gates)
    }
    found = {}
    for barrel_id, made_at in made.items():
        strip = strips.get(barrel_id)
        is_later = strip is not None and strip[0] >= made_at
        filled_at = passed.get(barrel_id)
        found[barrel_id] = SulphiteFacts(
            made_at,
            strip[1] if strip and is_later else None,
            strip[0] if strip and is_later else None,
            filled_at if filled_at is not None and filled_at >= made_at else None,
        )
    return found


@Question
def _solutions_made(scope: Scope) -> QuerySet[Any, Any]:
    holds = Hold.objects.filter(_of_barrels(scope), is_solution=True)
    return holds.values_list("act__barrel_id").annotate(last=Max("act__ordered_at"))


@Question
def _sulphitings(scope: Scope) -> QuerySet[Any, Any]:
    tendings = Tending.objects.filter(_of_barrels(scope), task=TendingKind.SULPHITING)
    return tendings.values_list("act__barrel_id").annotate(last=Max("act__ordered_at"))


@Question
def _strips(scope: Scope) -> QuerySet[Any, Any]:
    read = Reading.objects.filter(_of_barrels(scope), kind=ReadingKind.SO2_STRIP, so2_mg_l__isnull=False)
    return read.order_by("act__ordered_at", "act_id").values_list(
        "act__barrel_id", "act__ordered_at", "so2_mg_l"
    )


@Question
def _fills_made(scope: Scope) -> QuerySet[Any, Any]:
    fills = standing_acts(scope, "fills")
    return fills.order_by("ordered_at", "id").values_list("barrel_id", "ordered_at", "body__gates")


def _of_barrels(scope: Scope) -> Q:
    return scope.on("act__barrel_id", "act__barrel__club_id") & standing()


def refill_at(
    sulphite: SulphiteFacts | None, booked: ReservationFacts | None, zone: ZoneInfo
) -> datetime | None:
    """Returns when a barrel is to be filled whose wood no strip has shown clear of sulphite, or None."""
    if sulphite is None or sulphite.is_past or sulphite.is_clear or booked is None:
        return None
    return datetime.combine(booked.starts_on, time(), zone)


def looked_at_by_barrel(scope: Scope) -> dict[UUID, datetime]:
    """Returns when each barrel was last looked over while nothing was in it."""
    return {
        barrel_id: at
        for barrel_id, at, tasks in _looks(scope)
        if TendingKind.LEAK_CHECK.value in (tasks or ())
    }


@Question
def _looks(scope: Scope) -> QuerySet[Any, Any]:
    # Few: almost all that is tended holds something.
    acts = standing_acts(scope, "tendings").filter(stay__isnull=True)
    return acts.order_by("ordered_at").values_list("barrel_id", "ordered_at", "body__tasks")


def _passed_gate(gates: list[dict[str, Any]] | None) -> bool:
    """Whether a fill went through the gate of sulphite: only one that was left open says that nobody looked."""
    return all(
        one.get("ok") or one.get("accepted_by_choice") for one in gates or () if one.get("gate") == "sulphite"
    )


def former_tags_by_barrel(scope: Scope) -> dict[UUID, list[dict[str, Any]]]:
    """Returns the codes that each barrel carried before, newest first."""
    found: defaultdict[UUID, list[dict[str, Any]]] = defaultdict(list)
    for barrel_id, code, replaced_at in _former_tags(scope):
        found[barrel_id].append({"code": code, "replaced_at": instant_text(replaced_at)})
    return dict(found)


@Question
def _former_tags(scope: Scope) -> QuerySet[Any, Any]:
    tags = FormerTag.objects.filter(scope.on("barrel_id", "club_id"))
    return tags.order_by("-replaced_at", "code").values_list("barrel_id", "code", "replaced_at")
