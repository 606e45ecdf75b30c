"""The register of barrels: a new one is registered by an act, a known one is edited in place."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.db import transaction

from staveward.models import Act, Barrel
from staveward.selectors.geometry import MEASURE_FIELDS, barrel_shape
from staveward.selectors.standing import Standing, barrel_standing
from staveward.services import rebuild
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.edits import EditCommand, edit_save, unique_checked
from staveward.services.errors import Impossible, Missing
from staveward.services.feed import FeedRow, feed_publish
from staveward.services.forecasts import forecast_queue
from staveward.services.locking import lock_barrels, lock_club
from staveward.services.lookup import place_in
from staveward.services.measures import measures_note
from staveward.services.tags import tag_code_checked, tag_code_free, tag_code_new, tag_remember

# Null means "not measured" only where the register can say so.
NULLABLE = frozenset(field.name for field in Barrel._meta.concrete_fields if field.null)
NOT_REGISTER = frozenset(
    {"schema", "happened_at", "entered_at", "time_typed", "replaces", "place", "tag_code", "barrel"}
)
# A change of these changes what was computed from the barrel's whole life.
LIFE_FIELDS = frozenset(
    {
        "nominal_l",
        "weighed_capacity_l",
        "profile",
        *MEASURE_FIELDS,
        "adopted",
        "adopted_wood_used_low",
        "adopted_wood_used_high",
        "adopted_families",
        "adopted_allergens",
    }
)


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "register", detail="Only the keeper registers a barrel.")


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    data = command.data
    place = place_in(command.club, data["place"], "place")
    code = tag_code_checked(data["tag_code"]) if data.get("tag_code") else tag_code_new(command.club)
    tag_code_free(command.club, code)
    named = _register(data)
    barrel = Barrel(
        id=act.pk, club=command.club, place=place, tag_code=code, registered_at=command.happened_at, **named
    )
    _check(barrel, {**named, "tag_code": code})
    barrel.save(force_insert=True)
    Act.objects.filter(pk=act.pk).update(barrel=barrel)
    measures_note(act, named)
    return [("barrels", barrel.pk), ("places", place.pk)]


def barrel_edit(command: EditCommand, barrel_id: UUID) -> Barrel:
    """Changes a barrel's register; what hangs on its size or its past is computed anew."""
    with transaction.atomic():
        barrel = lock_barrels(command.club, [barrel_id]).get(barrel_id)
        if barrel is None:
            raise Missing("There is no such barrel.")
        lock_club(command.club)
        owners = barrel_standing(barrel).owners
        require(
            command.author,
            "edit_barrel",
            owners=owners,
            detail="Only the keeper or an owner changes the register.",
        )
        changes, former = _register(command.changes), barrel.tag_code
        if command.changes.get("tag_code"):
            changes["tag_code"] = tag_code_checked(command.changes["tag_code"])
            tag_code_free(command.club, changes["tag_code"], barrel)
        _check(_with(barrel, changes), changes)
        note = edit_save(command, barrel, changes, collection="barrel-edits", barrel=barrel)
        measures_note(note, changes, with_unknown=True)
        if "tag_code" in changes:
            tag_remember(barrel, former, command.now)
        rows: list[FeedRow] = [("barrels", barrel.pk)]
        if LIFE_FIELDS & changes.keys():
            rows += rebuild.barrel_rebuild(Barrel.objects.select_related("club").get(pk=barrel.pk))
            forecast_queue(rebuild.open_stays([barrel.pk]), command.now)
        feed_publish(command.club, rows)
    return barrel


def _register(data: dict[str, Any]) -> dict[str, Any]:
    return {
        name: value
        for name, value in data.items()
        if name not in NOT_REGISTER and (value is not None or name in NULLABLE)
    }


def _with(barrel: Barrel, changes: dict[str, Any]) -> Barrel:
    for name, value in changes.items():
        setattr(barrel, name, value)
    return barrel


def _check(barrel: Barrel, named: dict[str, Any]) -> None:
    """Refuses a register whose measures contradict one another, before anything is computed from them."""
    if barrel.adopted_wood_used_high < barrel.adopted_wood_used_low:
        raise Impossible.field(
            "adopted_wood_used_high",
            barrel.adopted_wood_used_high,
            f"at least {barrel.adopted_wood_used_low:g}",
            "The upper figure of the wood used is below the lower one.",
        )
    weighed = barrel.weighed_capacity_l
    if weighed is not None and not 0.5 * barrel.nominal_l <= weighed <= 1.5 * barrel.nominal_l:
        raise Impossible.field(
            "weighed_capacity_l",
            weighed,
            f"{0.5 * barrel.nominal_l:g} to {1.5 * barrel.nominal_l:g} L",
            f"The maker says {barrel.nominal_l:g} L; {weighed:g} L is too far from it.",
        )
    capacity_l = barrel_shape(barrel).capacity_l
    if weighed is None and not 0.5 * barrel.nominal_l <= capacity_l <= 2.0 * barrel.nominal_l:
        raise Impossible.field(
            "bilge_diameter_cm",
            barrel.bilge_diameter_cm or barrel.outside_bilge_diameter_cm,
            f"measures that hold {0.5 * barrel.nominal_l:g} to {2.0 * barrel.nominal_l:g} L",
            f"A barrel of these measures holds {capacity_l:.1f} L, and the maker says {barrel.nominal_l:g} L.",
        )
    unique_checked(barrel, named)


KINDS = (ActKind("barrels", "apart", _authorise, save_detail=_save),)
