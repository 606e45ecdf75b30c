"""What a flight poured and no score accounts for, written into the logs at its end as samples its pourer drew.

Of each glass that is as much as was poured, less what its taster says of it. A score that comes late takes its part
off again, unless somebody has put the sample right meanwhile: their word stands.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

import rfc8785
from django.utils import timezone

from staveward.models import Act, Flight, Sample
from staveward.selectors.flights import glasses_with_scores, scores_standing
from staveward.selectors.shapes import instant_text

ML_DIGITS = 3


@dataclass
class _Unscored:
    barrel_id: UUID
    glasses: int = 0
    sample_ml: float = 0.0


def samples_tell(flight: Flight) -> list[Act]:
    """Writes, or puts right, one sample for each fill; returns the acts that are new."""
    known = {
        UUID(act.body["fill"]): act
        for act in Act.objects.filter(
            club=flight.club_id, collection="samples", is_head=True, body__flight=str(flight.pk)
        ).select_related("sample")
    }
    told = set(
        Act.objects.filter(
            club=flight.club_id, collection="samples", body__flight=str(flight.pk)
        ).values_list("body__fill", flat=True)
    )
    acts: list[Act] = []
    for fill_id, due in _unscored(flight).items():
        earlier = known.get(fill_id)
        due_ml = round(due.sample_ml, ML_DIGITS)
        if earlier is None:
            # Where there was one and none stands, somebody took it back.
            if due_ml > 0 and str(fill_id) not in told:
                acts.append(_sample(flight, fill_id, due, due_ml))
        # Keys made on a device are of version 7; ours come of the flight's own.
        elif earlier.pk.version == 5 and earlier.sample.sample_ml != due_ml:
            Act.objects.filter(pk=earlier.pk).update(is_head=False)
            acts.append(
                _sample(flight, fill_id, due, due_ml, earlier) if due_ml > 0 else _taken_back(flight, earlier)
            )
    return acts


def _unscored(flight: Flight) -> dict[UUID, _Unscored]:
    tasters = [taster.person_id for taster in flight.tasters.all() if taster.is_poured]
    found: dict[UUID, _Unscored] = {}
    for glass in glasses_with_scores().filter(flight=flight):
        due = found.setdefault(glass.fill_id, _Unscored(glass.barrel_id))
        # A called-off flight's scores count for nothing, so nothing they say is taken off elsewhere.
        said = {} if flight.called_off_at else scores_standing(glass)
        for person_id in tasters:
            score = said.get(person_id)
            if score is None:
                left_ml = flight.sample_ml
            elif score.sample_ml is None:
                left_ml = 0.0
            else:
                left_ml = max(0.0, flight.sample_ml - score.sample_ml)
            due.glasses += score is None
            due.sample_ml += left_ml
    return found


def _sample(
    flight: Flight, fill_id: UUID, due: _Unscored, sample_ml: float, earlier: Act | None = None
) -> Act:
    body = {
        "fill": str(fill_id),
        "flight": str(flight.pk),
        "glasses": due.glasses,
        "sample_ml": sample_ml,
        **({"replaces": str(earlier.pk)} if earlier else {}),
    }
    act = _act(flight, "samples", due.barrel_id, body, earlier)
    Sample.objects.create(act=act, sample_ml=sample_ml)
    return act


def _taken_back(flight: Flight, earlier: Act) -> Act:
    assert earlier.barrel_id is not None
    body = {"act": str(earlier.pk), "reason": "All of it has been scored."}
    return _act(flight, "voids", earlier.barrel_id, body, earlier)


def _act(flight: Flight, collection: str, barrel_id: UUID, said: dict[str, Any], earlier: Act | None) -> Act:
    begun = Act.objects.only("path").get(pk=flight.pk)
    now: datetime = timezone.now()
    act_id = uuid5(flight.pk, f"{collection} of {earlier.pk if earlier else said['fill']}")
    poured_at = instant_text(flight.poured_at)
    body = {
        "schema": 1,
        "happened_at": poured_at,
        "entered_at": poured_at,
        **({"barrel": str(barrel_id)} if collection == "samples" else {}),
        **said,
    }
    return Act.objects.create(
        id=act_id,
        club_id=flight.club_id,
        collection=collection,
        path=f"{begun.path.split('/flights/')[0]}/{collection}/{act_id}",
        author_id=flight.pourer_id,
        subject_id=flight.pourer_id,
        barrel_id=barrel_id,
        body=body,
        body_sha256=hashlib.sha256(rfc8785.dumps(body)).hexdigest(),
        happened_at=flight.poured_at,
        entered_at=flight.poured_at,
        received_at=now,
        ordered_at=flight.poured_at,
        replaces=earlier,
        is_void=collection == "voids",
    )
