"""The club's settings, kept by its admins."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from staveward.models import Barrel, Club, Person
from staveward.science.vocabulary import CareRule
from staveward.selectors.care_lines import care_lines, club_lines, period_bounds
from staveward.services.authority import require
from staveward.services.edits import EditCommand, edit_save
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow, feed_publish, visibility_bump

# What every barrel's row is computed with.
BARREL_SETTINGS = frozenset({"care", "strict_water", "timezone", "sample_budget_pct", "turnaround_days"})
# What decides who may see or do what.
VISIBILITY_SETTINGS = frozenset({"members_may_taste_all", "members_may_tend", "sharers_may_fill"})


def club_edit(command: EditCommand) -> Club:
    """Changes settings; a change of who may do what makes every device read the club anew."""
    require(command.author, "settings", detail="Only an admin changes the club's settings.")
    with transaction.atomic():
        club = Club.objects.select_for_update().get(pk=command.club.pk)
        changes = dict(command.changes)
        if "care" in changes:
            changes["care"] = _care(changes["care"])
        edit_save(command, club, changes, collection="club-edits")
        rows: list[FeedRow] = [("club", club.pk)]
        if BARREL_SETTINGS & changes.keys():
            rows += [("barrels", pk) for pk in Barrel.objects.for_club(club).values_list("pk", flat=True)]
        if VISIBILITY_SETTINGS & changes.keys():
            visibility_bump(club, Person.objects.for_club(club).values_list("pk", flat=True))
        feed_publish(club, rows)
    return club


def _care(changes: dict[str, dict[str, Any]]) -> dict[str, dict[str, float]]:
    """Checks each period against its line and keeps only what differs from the usual schedule; null goes back to it."""
    kept = {}
    for key, periods in changes.items():
        rules = [rule for line, rule in care_lines().items() if key in (line, rule.code)]
        if not rules:
            raise Impossible.field(
                f"care.{key}",
                key,
                "a line of the care schedule",
                "No line of the care schedule has this key.",
            )
        for name, value in periods.items():
            if value is not None:
                _bounded(key, rules[0], name, value)
        own = {
            name: float(value)
            for name, value in periods.items()
            if value is not None and any(getattr(rule, name) != value for rule in rules)
        }
        if own:
            kept[key] = own
    lines = club_lines(Club(care=kept))
    if lines["cure.stop"].first_hours < lines["cure.warn"].first_hours:
        raise Impossible.field(
            "care.cure.stop.first_hours",
            lines["cure.stop"].first_hours,
            f"at least {lines['cure.warn'].first_hours:g} hours",
            "A curing is given up after the warning, not before it.",
        )
    return kept


def _bounded(key: str, rule: CareRule, name: str, value: float) -> None:
    bounds = period_bounds(rule, name)
    if bounds is None:
        raise Impossible.field(
            f"care.{key}.{name}", value, "nothing: it is due once", "This is due once and does not come back."
        )
    if not bounds.low <= value <= bounds.high:
        raise Impossible.field(
            f"care.{key}.{name}",
            value,
            f"{bounds.low:g} to {bounds.high:g} hours",
            f"{value:g} hours are no such period.",
        )
