"""What a log says and an earlier version did not yet lay: entries that are older than the rule which reads them."""

from __future__ import annotations

from functools import reduce
from operator import or_

from django.db.models import Q, QuerySet, TextField
from django.db.models.functions import Cast

from staveward.models import Tasting
from staveward.selectors.off_notes import ALARMING
from staveward.selectors.stays import standing


def tastes_unheard() -> QuerySet[Tasting]:
    """Returns the tastings that stand, alarm by a note, and opened no trouble: none where every log is laid."""
    # As text, since SQLite cannot look into a list; the quotes keep one word from being found in another.
    names = [Q(notes__contains=f'"{note}"') for note in sorted(ALARMING)]
    return (
        Tasting.objects.filter(
            standing(), act__stay__isnull=False, act__barrel__isnull=False, act__trouble__isnull=True
        )
        .annotate(notes=Cast("off_notes", TextField()))
        .filter(reduce(or_, names))
    )
