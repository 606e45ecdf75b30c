"""Reservations: who may fill which barrel next, and when."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from staveward.models.base import ClubRow


class ReservationState(models.TextChoices):
    """A reservation's life, from wish to fill."""

    PENCILLED = "pencilled"
    CONFIRMED = "confirmed"
    WAITING = "waiting"
    REFUSED = "refused"
    WITHDRAWN = "withdrawn"
    EXPIRED = "expired"
    FILLED = "filled"


HOLDS_DAYS = (ReservationState.PENCILLED, ReservationState.CONFIRMED)


class Reservation(ClubRow):
    """A wish for a barrel on half-open dates [starts_on, ends_on); its key is that of the act that asked."""

    barrel = models.ForeignKey("staveward.Barrel", on_delete=models.PROTECT, related_name="reservations")
    person = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    starts_on = models.DateField()
    ends_on = models.DateField()
    state = models.CharField(max_length=9)
    fill_name = models.CharField(max_length=80)
    spirit = models.CharField(max_length=20)
    family = models.CharField(max_length=20)
    volume_l = models.FloatField()
    abv_pct = models.FloatField(null=True, blank=True)
    oak_wish = models.PositiveSmallIntegerField(default=3)
    note = models.TextField(blank=True, default="")
    asked_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=300, blank=True, default="")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["starts_on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_on__gt=F("starts_on")), name="reservation_starts_before_end"
            ),
            models.CheckConstraint(
                condition=Q(state__in=ReservationState.values), name="reservation_state_known"
            ),
        ]
        indexes = [models.Index(fields=["barrel", "starts_on"], name="reservation_of_barrel")]


class ReservationShare(models.Model):
    """Somebody's weight in a reserved fill."""

    reservation = models.ForeignKey(Reservation, on_delete=models.CASCADE, related_name="shares")
    person = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    weight = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["reservation", "person"], name="sharer_once_a_reservation"),
            models.CheckConstraint(condition=Q(weight__gt=0), name="reserved_weight_positive"),
        ]


class ReservationEnd(models.Model):
    """What a barrel's retirement ended, as it was before: taken back, the retirement gives it back."""

    reservation = models.OneToOneField(
        Reservation, primary_key=True, on_delete=models.CASCADE, related_name="end"
    )
    # The retirement that stands; after its correction the corrected one.
    act = models.ForeignKey("staveward.Act", on_delete=models.CASCADE, related_name="+")
    state = models.CharField(max_length=9)
    expires_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=300, blank=True, default="")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=[*HOLDS_DAYS, ReservationState.WAITING]), name="end_of_open_reservation"
            ),
        ]


class ReservationDay(models.Model):
    """One day of one barrel, owned by a pencilled or confirmed reservation: the race is decided by this key."""

    barrel = models.ForeignKey("staveward.Barrel", on_delete=models.CASCADE, related_name="+")
    day = models.DateField()
    reservation = models.ForeignKey(Reservation, on_delete=models.CASCADE, related_name="days")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["barrel", "day"], name="barrel_day_owned_once")]
