"""The opening of a blind flight: each score becomes its taster's tasting in the log of the barrel it was of.

What was poured and is in no score goes into the logs with it, so that each barrel's stock is what is in the wood.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID, uuid5

import rfc8785
from django.db.models import Max
from django.utils import timezone

from staveward.models import Act, Barrel, BlindTasting, Flight, FlightGlass, Tasting
from staveward.services import rebuild
from staveward.services.feed import FeedRow
from staveward.services.flight_samples import samples_tell
from staveward.services.forecasts import forecast_queue
from staveward.services.pull_forecasts import pull_queue

# What a tasting says as its taster said it blind.
SAID = (
    "schema",
    "happened_at",
    "entered_at",
    "time_typed",
    "note",
    "tasted_on",
    "liking",
    "oak",
    "off_notes",
    "profile",
    "strength_served_abv_pct",
    "is_spat",
)
_Key = tuple[UUID, UUID, date]


def names_tell(flight: Flight) -> list[FeedRow]:
    """Writes the scores that stand and have no tasting yet into the logs, and what was poured beside them."""
    scores = list(
        BlindTasting.objects.filter(glass__flight=flight, tasting__isnull=True, act__is_head=True)
        .select_related("act", "glass")
        .order_by("act__ordered_at", "act_id")
    )
    # Of two by one taster the later counts; the earlier stays a blind score that was given again.
    last = {(score.glass_id, score.taster_id): score for score in scores}
    acts = _write(flight, sorted(last.values(), key=lambda score: (_glass(score).position, score.act_id)))
    return logs_follow(flight, [*acts, *samples_tell(flight)])


def logs_follow(flight: Flight, acts: Sequence[Act]) -> list[FeedRow]:
    """Lays the barrels of these new entries anew; their forecasts follow with the next tick."""
    rows: list[FeedRow] = [("log", act.pk) for act in acts]
    rows += [("log", act.replaces_id) for act in acts if act.replaces_id is not None]
    barrel_ids = sorted({act.barrel_id for act in acts if act.barrel_id is not None})
    for barrel in Barrel.objects.for_club(flight.club).filter(pk__in=barrel_ids).select_related("club"):
        rows += rebuild.barrel_rebuild(barrel)
    now = timezone.now()
    forecast_queue(rebuild.open_stays(barrel_ids), now)
    pull_queue(rebuild.fill_stays(barrel_ids), now)
    return rows


def _write(flight: Flight, scores: Sequence[BlindTasting]) -> list[Act]:
    replicate = _replicates(scores)
    order = {taster.person_id: taster.codes for taster in flight.tasters.all()}
    acts: list[Act] = []
    tastings: list[Tasting] = []
    for score in scores:
        glass, said = _glass(score), score.act.body
        day = date.fromisoformat(said["tasted_on"])
        key = (glass.fill_id, score.taster_id, day)
        replicate[key] += 1
        sample_ml = flight.sample_ml if score.sample_ml is None else score.sample_ml
        body: dict[str, Any] = {
            **{name: said[name] for name in SAID if name in said},
            "barrel": str(glass.barrel_id),
            "fill": str(glass.fill_id),
            "flight": str(flight.pk),
            "code": glass.code,
            "sample_ml": sample_ml,
            "replicate": replicate[key],
            "position": order[score.taster_id].index(glass.code) + 1,
        }
        act = _act(score, body)
        acts.append(act)
        tastings.append(
            Tasting(
                act=act,
                taster_id=score.taster_id,
                tasted_on=day,
                liking=score.liking,
                oak=said.get("oak"),
                off_notes=said.get("off_notes") or [],
                sample_ml=sample_ml,
                replicate=replicate[key],
                note=said.get("note") or "",
            )
        )
        score.tasting = act
    Act.objects.bulk_create(acts)
    Tasting.objects.bulk_create(tastings)
    BlindTasting.objects.bulk_update(scores, ["tasting"])
    return acts


def _glass(score: BlindTasting) -> FlightGlass:
    assert score.glass is not None
    return score.glass


def _act(score: BlindTasting, body: dict[str, Any]) -> Act:
    """Returns the taster's own entry: theirs to correct, told when they told it."""
    blind = score.act
    act_id = uuid5(blind.pk, "tasting")
    return Act(
        id=act_id,
        club_id=blind.club_id,
        collection="tastings",
        path=f"{blind.path.split('/blind-tastings/')[0]}/tastings/{act_id}",
        author_id=score.taster_id,
        subject_id=score.taster_id,
        barrel_id=_glass(score).barrel_id,
        body=body,
        body_sha256=hashlib.sha256(rfc8785.dumps(body)).hexdigest(),
        happened_at=blind.happened_at,
        entered_at=blind.entered_at,
        received_at=blind.received_at,
        skew_s=blind.skew_s,
        ordered_at=blind.ordered_at,
        flags=blind.flags,
    )


def _replicates(scores: Sequence[BlindTasting]) -> defaultdict[_Key, int]:
    """Returns how often each fill was scored by each taster on a day already: a score more is one more."""
    fills = {_glass(score).fill_id for score in scores}
    taken = (
        Tasting.objects.filter(
            act__barrel__in={_glass(score).barrel_id for score in scores},
            taster__in={score.taster_id for score in scores},
            act__body__fill__in=[str(fill_id) for fill_id in fills],
        )
        .values_list("act__body__fill", "taster_id", "tasted_on")
        .annotate(most=Max("replicate"))
        .order_by()
    )
    return defaultdict(
        int, {(UUID(fill_id), taster_id, day): most for fill_id, taster_id, day, most in taken}
    )
