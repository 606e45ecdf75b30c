"""What care a stay has had: laid from its acts, read by the walk and the report."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import F, Max, Sum

from staveward.models import Act, CareMark, Hold, Placement, Sample, Stay, Tasting, Tending

# Sums are kept to the microlitre, so that they do not depend on the order of adding.
ML_DIGITS = 3
EVENT_MARKS = {"tastings": "taste", "pulls": "decide", "pull-votes": "decide"}
DECIDES = [name for name, mark in EVENT_MARKS.items() if mark == "decide"]
READING_MARKS = {"weight": "level", "dip": "level", "alcoholmeter": "strength", "so2_strip": "strip"}


def stay_mark_add(act: Act, stay: Stay) -> None:
    """Adds what one new event says to the marks of its stay; the result is that of laying them anew."""
    tasks = _tasks(act)
    known = dict(CareMark.objects.filter(stay=stay, task__in=tasks).values_list("task", "last_at"))
    _write(
        [
            CareMark(stay=stay, task=task, last_at=act.ordered_at)
            for task in tasks
            if known.get(task, act.ordered_at) <= act.ordered_at
        ]
    )
    drawn_ml = _drawn_ml(act)
    if drawn_ml:
        stay.sample_used_ml = round(stay.sample_used_ml + drawn_ml, ML_DIGITS)
        stay.save(update_fields=["sample_used_ml"])
    if act.collection == "tendings" and act.body.get("bung_clock") is not None:
        _bung_turned(stay)


def _drawn_ml(act: Act) -> float:
    if act.collection == "tastings":
        return act.tasting.sample_ml
    return act.sample.sample_ml if act.collection == "samples" else 0.0


def _tasks(act: Act) -> list[str]:
    if act.collection == "tendings":
        return sorted(set(act.body["tasks"]))
    if act.collection in EVENT_MARKS:
        return [EVENT_MARKS[act.collection]]
    task = READING_MARKS.get(act.reading.kind) if act.collection == "readings" else None
    return [task] if task else []


def stay_marks_lay(stays: Sequence[Stay]) -> None:
    """Lays the care marks, the bung's position and the samples drawn of these stays anew, all of them together."""
    if not stays:
        return
    standing = {"act__stay__in": stays, "act__is_head": True, "act__placement": Placement.PLACED}
    found: defaultdict[UUID, dict[str, datetime]] = defaultdict(dict)
    turned: dict[UUID, int] = {}
    tendings = Tending.objects.filter(**standing).order_by("act__ordered_at", "act_id")
    for stay_id, task, at, bung_clock in tendings.values_list(
        "act__stay_id", "task", "act__ordered_at", "bung_clock"
    ):
        found[stay_id][task] = at
        if bung_clock:
            turned[stay_id] = bung_clock
    drawn_ml: defaultdict[UUID, float] = defaultdict(float)
    for rows in (Tasting.objects.filter(**standing), Sample.objects.filter(**standing)):
        sums = rows.values("act__stay_id").annotate(last=Max("act__ordered_at"), drawn=Sum("sample_ml"))
        for row in sums.order_by():
            drawn_ml[row["act__stay_id"]] += row["drawn"] or 0.0
            if rows.model is Tasting:
                found[row["act__stay_id"]]["taste"] = row["last"]
    others = (
        Act.objects.filter(
            stay__in=stays,
            collection__in=("readings", *DECIDES),
            is_head=True,
            is_void=False,
            placement=Placement.PLACED,
        )
        .values_list("stay_id", "collection", "reading__kind")
        .annotate(last=Max("ordered_at"))
        .order_by()
    )
    for read_in, collection, kind, last in others:
        mark = EVENT_MARKS.get(collection) or READING_MARKS.get(kind)
        if mark is not None and read_in is not None:
            found[read_in][mark] = max(found[read_in].get(mark, last), last)
    _marks_write(stays, found)
    _bung_and_samples(stays, turned, drawn_ml)


def _marks_write(stays: Sequence[Stay], found: Mapping[UUID, Mapping[str, datetime]]) -> None:
    known: defaultdict[UUID, dict[str, datetime]] = defaultdict(dict)
    stale = []
    for mark in CareMark.objects.filter(stay__in=stays):
        known[mark.stay_id][mark.task] = mark.last_at
        if mark.task not in found.get(mark.stay_id, {}):
            stale.append(mark.pk)
    if stale:
        CareMark.objects.filter(pk__in=stale).delete()
    _write(
        [
            CareMark(stay=stay, task=task, last_at=last)
            for stay in stays
            for task, last in found.get(stay.pk, {}).items()
            if known[stay.pk].get(task) != last
        ]
    )


def _write(marks: Sequence[CareMark]) -> None:
    if not marks:
        return
    CareMark.objects.bulk_create(
        marks, update_conflicts=True, unique_fields=["stay", "task"], update_fields=["last_at"]
    )


def _bung_turned(stay: Stay) -> None:
    """Points the bung of one stay to where the newest entry about it says; no entry, where its hold put it."""
    turned = (
        Tending.objects.filter(
            act__stay=stay,
            act__is_head=True,
            act__placement=Placement.PLACED,
            bung_clock__isnull=False,
        )
        .order_by("-act__ordered_at", "-act_id")
        .values_list("bung_clock", flat=True)
        .first()
    )
    _bung_and_samples([stay], {stay.pk: turned} if turned else {}, {stay.pk: stay.sample_used_ml})


def _bung_and_samples(
    stays: Sequence[Stay], turned: Mapping[UUID, int], drawn_ml: Mapping[UUID, float]
) -> None:
    holds = Hold.objects.filter(act_id__in=[stay.pk for stay in stays], act__stay_id=F("act_id"))
    opened_at = dict(holds.values_list("act_id", "bung_clock"))
    changed = []
    for stay in stays:
        bung_clock = turned.get(stay.pk) or opened_at.get(stay.pk) or 12
        drunk = round(drawn_ml.get(stay.pk, 0.0), ML_DIGITS)
        if (stay.bung_clock, stay.sample_used_ml) != (bung_clock, drunk):
            stay.bung_clock, stay.sample_used_ml = bung_clock, drunk
            changed.append(stay)
    Stay.objects.bulk_update(changed, ["bung_clock", "sample_used_ml"], batch_size=100)
