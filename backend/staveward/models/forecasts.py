"""Forecasts: what the science says of a stay, kept with when and from what it was said."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Forecast(ClubRow):
    """One answer of the science floor, never changed; the stay points to its newest of each kind.

    The kind ``contents`` says what is in the barrel; ``pull`` says when a fill will be liked best (its ``near`` and
    ``curve`` are told by ``selectors.pull_forecasts``). Of ``contents``:

    ``near`` holds daily knots around ``made_at`` (what a screen interpolates between two ticks), ``today`` the first
    few of them (all that a report of many barrels wants), ``curve`` weekly knots from the start of the stay to the
    horizon (what a picture draws).
    """

    stay = models.ForeignKey("staveward.Stay", on_delete=models.CASCADE, related_name="forecasts")
    kind = models.CharField(max_length=12, default="contents")
    made_at = models.DateTimeField()
    input_seq = models.BigIntegerField()
    science_version = models.CharField(max_length=20)
    climate_guessed = models.BooleanField(default=True)
    near = models.JSONField()
    today = models.JSONField(null=True, blank=True)
    curve = models.JSONField()

    class Meta:
        ordering = ["made_at", "id"]
        constraints = [models.CheckConstraint(condition=Q(input_seq__gte=0), name="forecast_seq_positive")]
        indexes = [models.Index(fields=["stay", "-made_at"], name="forecast_of_stay")]


class ForecastScore(ClubRow):
    """How good the pull forecasts of one decanted fill were, scored when it ended and anew when its log changed.

    ``counts`` is false where the fill was pulled for another reason than its taste. ``pull_week`` holds one row a lead
    time (what was foretold, against the week really decanted), ``next_score`` one a score (the last forecast before
    that evening, against the score), ``hindsight`` the final forecast where the fill was tasted long enough for one.
    """

    stay = models.OneToOneField("staveward.Stay", on_delete=models.CASCADE, related_name="forecast_score")
    made_at = models.DateTimeField()
    decanted_week = models.FloatField()
    counts = models.BooleanField(default=True)
    pull_week = models.JSONField(default=list)
    next_score = models.JSONField(default=list)
    hindsight = models.JSONField(null=True, blank=True)


class Job(models.Model):
    """Work that waits for a tick: leased by a row, run once, kept with its outcome."""

    name = models.CharField(max_length=40)
    key = models.CharField(max_length=80)
    run_after = models.DateTimeField()
    leased_until = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=300, blank=True, default="")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["name", "key"], name="job_once_a_key")]
