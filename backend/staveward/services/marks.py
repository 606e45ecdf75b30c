"""What care a stay has had: laid from its acts, read by the walk and the report."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db.models import Max, Sum

from staveward.models import Act, CareMark, Placement, Sample, Stay, Tasting, Tending

# Sums are kept to the microlitre, so that they do not depend on the order of adding.
ML_DIGITS = 3
READING_MARKS = {"weight": "level", "dip": "level", "alcoholmeter": "strength", "so2_strip": "strip"}


def stay_mark_add(act: Act, stay: Stay) -> None:
    """Adds what one new event says to the marks of its stay; the result is that of laying them anew."""
    tasks = _tasks(act)
    known = dict(CareMark.objects.filter(stay=stay, task__in=tasks).values_list("task", "last_at"))
    _write(
        stay, {task: act.ordered_at for task in tasks if known.get(task, act.ordered_at) <= act.ordered_at}
    )
    drawn_ml = _drawn_ml(act)
    if drawn_ml:
        stay.sample_used_ml = round(stay.sample_used_ml + drawn_ml, ML_DIGITS)
        stay.save(update_fields=["sample_used_ml"])
    if act.collection == "tendings" and act.body.get("bung_clock") is not None:
        _bung_and_samples(stay)


def _drawn_ml(act: Act) -> float:
    if act.collection == "tastings":
        return act.tasting.sample_ml
    return act.sample.sample_ml if act.collection == "samples" else 0.0


def _tasks(act: Act) -> list[str]:
    if act.collection == "tendings":
        return sorted(set(act.body["tasks"]))
    if act.collection == "tastings":
        return ["taste"]
    task = READING_MARKS.get(act.reading.kind) if act.collection == "readings" else None
    return [task] if task else []


def stay_marks_lay(stay_ids: Iterable[UUID]) -> None:
    """Lays the care marks, the bung's position and the samples drawn of these stays anew."""
    for stay in Stay.objects.filter(pk__in=list(stay_ids)):
        _marks(stay)
        _bung_and_samples(stay)


def _marks(stay: Stay) -> None:
    standing = {"act__stay": stay, "act__is_head": True, "act__placement": Placement.PLACED}
    found: dict[str, datetime] = {
        row["task"]: row["last"]
        for row in Tending.objects.filter(**standing).values("task").annotate(last=Max("act__ordered_at"))
    }
    tasted = Tasting.objects.filter(**standing).aggregate(last=Max("act__ordered_at"))["last"]
    if tasted is not None:
        found["taste"] = tasted
    readings = (
        stay.acts.filter(collection="readings", is_head=True, placement=Placement.PLACED)
        .values("reading__kind")
        .annotate(last=Max("ordered_at"))
    )
    for row in readings:
        task = READING_MARKS.get(row["reading__kind"])
        if task is not None:
            found[task] = max(found.get(task, row["last"]), row["last"])
    CareMark.objects.filter(stay=stay).exclude(task__in=found).delete()
    _write(stay, found)


def _write(stay: Stay, found: dict[str, datetime]) -> None:
    if not found:
        return
    CareMark.objects.bulk_create(
        [CareMark(stay=stay, task=task, last_at=last) for task, last in found.items()],
        update_conflicts=True,
        unique_fields=["stay", "task"],
        update_fields=["last_at"],
    )


def _bung_and_samples(stay: Stay) -> None:
    standing = {"act__stay": stay, "act__is_head": True, "act__placement": Placement.PLACED}
    turned = (
        Tending.objects.filter(**standing, bung_clock__isnull=False)
        .order_by("-act__ordered_at", "-act_id")
        .values_list("bung_clock", flat=True)
        .first()
    )
    opened_at: int = stay.acts.filter(pk=stay.pk).values_list("hold__bung_clock", flat=True).first() or 12
    drawn: list[float] = [
        rows.aggregate(total=Sum("sample_ml"))["total"] or 0.0
        for rows in (Tasting.objects.filter(**standing), Sample.objects.filter(**standing))
    ]
    drunk = round(sum(drawn), ML_DIGITS)
    bung_clock = turned or opened_at
    if (stay.bung_clock, stay.sample_used_ml) != (bung_clock, drunk):
        stay.bung_clock, stay.sample_used_ml = bung_clock, drunk
        stay.save(update_fields=["bung_clock", "sample_used_ml"])
