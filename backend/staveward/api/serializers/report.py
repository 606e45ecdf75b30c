"""The cellar report: the whole programme on one page."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices
from staveward.api.serializers.barrels import NextReservationOutput, TimelineOutput, WoodUsedOutput
from staveward.api.serializers.common import BandOutput, RangeOutput


class ReportTotalsOutput(serializers.Serializer):
    barrels = serializers.IntegerField()
    filled = serializers.IntegerField()
    held = serializers.IntegerField()
    curing = serializers.IntegerField()
    volume_l = BandOutput()
    pure_alcohol_l = BandOutput()
    start_volume_l = serializers.FloatField()
    lost_l = BandOutput()
    samples_l = serializers.FloatField()


class ReportWaterOutput(serializers.Serializer):
    changed_at = serializers.DateTimeField()
    days_since_change = serializers.IntegerField()
    level = BandOutput(allow_null=True)
    top_up_on = serializers.DateField(allow_null=True)


class OverdueOutput(serializers.Serializer):
    task = serializers.CharField()
    due_at = serializers.DateTimeField()


class ReportBarrelOutput(serializers.Serializer):
    id = serializers.UUIDField()
    name = serializers.CharField()
    tag_code = serializers.CharField()
    place = serializers.UUIDField()
    capacity_l = serializers.FloatField()
    state = serializers.ChoiceField(choices=choices.BARREL_STATES)
    state_since = serializers.DateTimeField(allow_null=True)
    holds_now = serializers.CharField(allow_null=True)
    spirit = serializers.ChoiceField(choices=choices.SPIRITS, allow_null=True)
    days = serializers.IntegerField(allow_null=True)
    start_volume_l = serializers.FloatField(allow_null=True)
    volume_l = BandOutput(allow_null=True)
    start_abv_pct = serializers.FloatField(allow_null=True)
    abv_pct = BandOutput(allow_null=True)
    loss_pct = RangeOutput(allow_null=True)
    level = BandOutput(allow_null=True)
    wood_used = WoodUsedOutput()
    fills_left = serializers.DictField(
        child=serializers.ListField(child=serializers.FloatField(), min_length=2, max_length=2)
    )
    water = ReportWaterOutput(allow_null=True)
    overdue = OverdueOutput(many=True)
    troubles = serializers.ListField(child=serializers.CharField())
    next_reservation = NextReservationOutput(allow_null=True)
    wanted_by = serializers.IntegerField(help_text="How many reservations wait for it.")
    timeline = TimelineOutput(many=True)


class ForecastHitsOutput(serializers.Serializer):
    """How many outcomes fell inside what was foretold of them, with Wilson's 95 % interval of the share."""

    hits = serializers.IntegerField()
    n = serializers.IntegerField()
    low = serializers.FloatField()
    high = serializers.FloatField()
    verdict = serializers.ChoiceField(
        choices=choices.FORECAST_VERDICTS,
        help_text="Whether the intervals, meant to hold four in five, do; under 30 outcomes it is not judged.",
    )


class ForecastHonestyOutput(serializers.Serializer):
    """How well the club's forecasts of best weeks held, over the fills that were pulled for their taste."""

    fills = serializers.IntegerField()
    pull_week = ForecastHitsOutput(
        allow_null=True, help_text="The week of the decant; whoever pulls has read the forecast."
    )
    next_score = ForecastHitsOutput(allow_null=True, help_text="The next score of each taster.")


class ReportOutput(serializers.Serializer):
    made_at = serializers.DateTimeField()
    totals = ReportTotalsOutput()
    overdue = serializers.IntegerField()
    barrels = ReportBarrelOutput(many=True)
    forecasts = ForecastHonestyOutput()
