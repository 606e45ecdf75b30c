"""Word to those whom trouble at a barrel touches: its sharers, its owners, and whoever has it reserved next."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from uuid import UUID, uuid5

from staveward.models import HOLDS_DAYS, Act, Barrel, Notice, Person, Reservation, ReservationShare
from staveward.selectors.occupancy import club_today
from staveward.selectors.standing import barrel_standing
from staveward.services.feed import FeedRow

SHARER, OWNER, RESERVER = "sharer", "owner", "reserver"


def notices_give(act: Act, barrel: Barrel, *, answers: Collection[UUID] = ()) -> list[FeedRow]:
    """Tells everybody concerned but the author; ``answers`` names the troubles that a settlement ends."""
    return [("notices", notice.pk) for notice in notices_for(act, barrel, answers=answers)]


def notices_for(
    act: Act, barrel: Barrel, *, knows: Collection[UUID] = (), answers: Collection[UUID] = ()
) -> list[Notice]:
    """Writes word of an act to everybody concerned but the author and those who know, with the nearest reason."""
    reasons = dict.fromkeys(_next_in_line(act, barrel), RESERVER)
    standing = barrel_standing(barrel, None, act.ordered_at)
    reasons |= dict.fromkeys(standing.owners, OWNER) | dict.fromkeys(standing.sharers, SHARER)
    # Who was told that there is trouble is told how it ended, even where the fill is long out of the barrel.
    told = Notice.objects.filter(act_id__in=answers).values_list("person_id", "why") if answers else ()
    reasons = dict(told) | reasons
    for person_id in (act.author_id, *knows):
        reasons.pop(person_id, None)
    return _write(act, barrel, reasons)


def notices_of_reservations(act: Act, barrel: Barrel, told: Mapping[UUID, str]) -> list[FeedRow]:
    """Tells people what became of their reservations as a barrel was retired, or was not after all."""
    return [("notices", notice.pk) for notice in _write(act, barrel, told)]


def _write(act: Act, barrel: Barrel, reasons: Mapping[UUID, str]) -> list[Notice]:
    here = Person.objects.for_club(barrel.club).filter(pk__in=reasons, left_at__isnull=True)
    notices = [
        Notice(
            # The same for whoever tells it again, so that a rebuild names the same row.
            id=uuid5(act.pk, str(person_id) if barrel.pk == act.barrel_id else f"{person_id}@{barrel.pk}"),
            club_id=act.club_id,
            person_id=person_id,
            barrel=barrel,
            act=act,
            why=reasons[person_id],
            at=act.ordered_at,
        )
        for person_id in here.values_list("pk", flat=True)
    ]
    Notice.objects.bulk_create(notices, ignore_conflicts=True)
    return notices


def notices_of(barrel_id: UUID) -> list[FeedRow]:
    """Returns the rows of a barrel's notices, for when an entry behind them was corrected or taken back."""
    return [
        ("notices", key) for key in Notice.objects.filter(barrel_id=barrel_id).values_list("pk", flat=True)
    ]


def _next_in_line(act: Act, barrel: Barrel) -> set[UUID]:
    """Returns the people of the soonest reservation that owns its days and is still ahead or under way."""
    soonest = (
        Reservation.objects.filter(
            barrel=barrel, state__in=HOLDS_DAYS, ends_on__gt=club_today(barrel.club, act.ordered_at)
        )
        .order_by("starts_on", "id")
        .first()
    )
    if soonest is None:
        return set()
    shared = ReservationShare.objects.filter(reservation=soonest).values_list("person_id", flat=True)
    return {soonest.person_id, *shared}
