"""Where an event belongs: the stay it fell into, or the reason why it must wait for the keeper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID
from zoneinfo import ZoneInfo

from staveward.models import Act, Barrel, Placement, Stay, StayKind, Tasting

Place = tuple[str, str, UUID | None]

# Tasks that make no sense without water in the wood.
NEEDS_WATER = frozenset({"water_change", "sulphiting"})


@dataclass
class PlacingContext:
    """What the rules need to know of one barrel: its stays in order, and the scores that already stand."""

    barrel: Barrel
    stays: list[Stay]
    zone: ZoneInfo
    scores: dict[tuple[UUID, UUID, str, int], UUID]

    @classmethod
    def load(cls, barrel: Barrel, zone: ZoneInfo, around: Act | None = None) -> PlacingContext:
        """Reads the context; for a single new act only the scores of its own fill and day are read."""
        stays = list(Stay.objects.filter(barrel=barrel).order_by("started_at", "id"))
        scores: dict[tuple[UUID, UUID, str, int], UUID] = {}
        if around is not None and around.collection == "tastings":
            mine = around.tasting
            others = (
                Tasting.objects.filter(
                    taster_id=mine.taster_id,
                    tasted_on=mine.tasted_on,
                    replicate=mine.replicate,
                    act__barrel=barrel,
                    act__is_head=True,
                    act__placement=Placement.PLACED,
                )
                .exclude(pk=around.pk)
                .select_related("act")
            )
            for other in others:
                scores[_score_key(UUID(str(other.act.body["fill"])), other)] = other.pk
        return cls(barrel=barrel, stays=stays, zone=zone, scores=scores)

    def stay(self, stay_id: UUID | None) -> Stay | None:
        """Returns one of the stays by its key."""
        return next((stay for stay in self.stays if stay.pk == stay_id), None)

    def fill_now(self, fill_id: UUID) -> UUID:
        """Returns the key of the version of a fill that stands: a corrected fill keeps the tastings that name it."""
        if self.stay(fill_id) is not None:
            return fill_id
        while fill_id in self.corrected:
            fill_id = self.corrected[fill_id]
        return fill_id

    @cached_property
    def corrected(self) -> dict[UUID, UUID]:
        """What replaced each fill of the barrel that was corrected; asked only when a fill is not among the stays."""
        corrections = Act.objects.filter(
            barrel=self.barrel, collection="fills", replaces__isnull=False, placement=Placement.PLACED
        )
        return dict(corrections.values_list("replaces_id", "id"))

    def stay_at(self, moment: datetime) -> Stay | None:
        """Returns the stay that covers a moment; on a boundary the later one."""
        for stay in reversed(self.stays):
            if stay.started_at <= moment:
                return stay if stay.ended_at is None or moment <= stay.ended_at else None
        return None


def event_place(act: Act, context: PlacingContext) -> Place:
    """Returns placement, reason and stay of an event."""
    if act.collection == "tastings":
        return _tasting_place(act, context)
    if act.collection in ("pull-votes", "pulls", "samples"):
        fill = context.stay(context.fill_now(UUID(str(act.body["fill"]))))
        if fill is None or fill.kind != StayKind.FILL:
            return Placement.SET_ASIDE, "fill_not_placed", None
        return Placement.PLACED, "", fill.pk
    if act.collection in ("bottlings", "discards"):
        # It happened to what had left the wood; the stay of that day has nothing to do with it.
        return Placement.PLACED, "", None
    stay = context.stay_at(act.ordered_at)
    if act.collection == "tendings":
        tasks = set(act.body.get("tasks", ()))
        if tasks & NEEDS_WATER and (stay is None or stay.kind == StayKind.FILL):
            return Placement.SET_ASIDE, "no_water_in_barrel", None
    return Placement.PLACED, "", stay.pk if stay else None


def _tasting_place(act: Act, context: PlacingContext) -> Place:
    tasting = act.tasting
    fill_id = context.fill_now(UUID(str(act.body["fill"])))
    stay = context.stay(fill_id)
    if stay is None or stay.kind != StayKind.FILL:
        return Placement.SET_ASIDE, "fill_not_placed", None
    if tasting.tasted_on < stay.started_at.astimezone(context.zone).date():
        return Placement.SET_ASIDE, "before_fill", None
    if stay.ended_at is not None and tasting.tasted_on > stay.ended_at.astimezone(context.zone).date():
        return Placement.SET_ASIDE, "after_decant", None
    key = _score_key(stay.pk, tasting)
    if context.scores.setdefault(key, act.pk) != act.pk:
        return Placement.SET_ASIDE, "already_scored", None
    return Placement.PLACED, "", stay.pk


def _score_key(fill_id: UUID, tasting: Tasting) -> tuple[UUID, UUID, str, int]:
    return (fill_id, tasting.taster_id, tasting.tasted_on.isoformat(), tasting.replicate)
