"""What blind scores say of a taster, for that taster alone: how far their nose wanders, and whether they lean.

Nobody's vote is weighted by it, and nobody else reads it: a figure that others see would be scored for.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Any
from uuid import UUID

from staveward.models import BlindTasting, Club, Person
from staveward.science.agreement import LEAST_DUPLICATES, Glass, own_noise, rater_offsets


def taster_own(club: Club, reader: Person) -> dict[str, Any]:
    """Returns the reader's own figures from all flights whose names are told; two queries at most."""
    rows = (
        BlindTasting.objects.filter(
            glass__flight__club=club, glass__flight__opened_at__isnull=False, act__is_head=True
        )
        .order_by("act__ordered_at", "act_id")
        .values_list(
            "glass_id", "taster_id", "liking", "glass__flight_id", "glass__fill_id", "glass__is_doubled"
        )
    )
    # Of two scores of one glass the later counts.
    last: dict[tuple[int, UUID], tuple[float, UUID, UUID, bool]] = {
        (glass_id, taster_id): (liking, flight_id, fill_id, is_doubled)
        for glass_id, taster_id, liking, flight_id, fill_id, is_doubled in rows
        if glass_id is not None
    }
    twice: defaultdict[tuple[UUID, UUID], list[float]] = defaultdict(list)
    scores = []
    for (glass_id, taster_id), (liking, flight_id, fill_id, is_doubled) in last.items():
        scores.append(Glass(str(glass_id), str(taster_id), liking))
        if is_doubled and taster_id == reader.pk:
            twice[flight_id, fill_id].append(liking)
    pairs = [(both[0], both[1]) for both in twice.values() if len(both) == 2]
    leaning = rater_offsets(scores).get(str(reader.pk)) if scores else None
    return {
        "pairs": len(pairs),
        "sd": round(own_noise([one for one, _ in pairs], [other for _, other in pairs]), 2)
        if len(pairs) >= LEAST_DUPLICATES
        else None,
        "shared_glasses": leaning.shared_glasses if leaning else 0,
        "offset": round(leaning.offset, 2) if leaning and leaning.is_told else None,
    }
