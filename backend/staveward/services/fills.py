"""Fills and decants: what is poured into the wood, and what comes out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django.db.models import Q

from staveward.models import (
    Act,
    Decant,
    Fill,
    FillPart,
    FillShare,
    Person,
    Placement,
    Reservation,
    Role,
    Vessel,
)
from staveward.science.vocabulary import WoodState
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Forbidden, Impossible
from staveward.services.feed import FeedRow, visibility_bump
from staveward.services.lineage import fill_allergens, part_cost_minor
from staveward.services.locking import lock_club
from staveward.services.lookup import person_in, shares_in
from staveward.services.mixes import (
    measured_abv_pct,
    mix_flags,
    part_temp_c,
    part_volume_l,
    poured,
    recipe_named,
    vessel_litres,
    vessels_named,
)
from staveward.services.reservation_days import FILLABLE, reservation_fulfil
from staveward.services.vessels import vessel_draw, vessel_from_fill
from staveward.services.water import volume_judged

# Below this a batch in wood spoils (alcoholometry reference, strength and spoilage: design value).
TOO_WEAK_BELOW_ABV_PCT = 15.0


def _authorise_fill(command: ActCommand, standing: Standing) -> None:
    named = frozenset(share["person"] for share in command.data["sharers"])
    require(
        command.author,
        "fill",
        sharers=named,
        owners=standing.owners,
        detail="In this club the keeper fills the barrels.",
    )
    asked = command.data.get("reservation")
    if asked is not None and command.author.role == Role.MEMBER and command.author.pk not in standing.owners:
        theirs = Q(person=command.author) | Q(shares__person=command.author)
        if not Reservation.objects.for_club(command.club).filter(theirs, pk=asked).exists():
            raise Forbidden("That reservation is somebody else's.")


def _judge_fill(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    data = command.data
    volume_l, abv_pct, sugar_g_l = poured(data)
    _judge_shares(data)
    if volume_l <= 0:
        raise Impossible.field("volume_l", volume_l, "more than 0 L", "Nothing was poured.")
    flags = volume_judged(command.barrel, volume_l, "volume_l")
    if abv_pct < TOO_WEAK_BELOW_ABV_PCT:
        flags.append("too_weak")
    if abv_pct > command.barrel.max_abv_pct:
        flags.append("too_strong")
    return [*flags, *mix_flags(command.club, command.author, data, sugar_g_l)]


def _judge_shares(data: dict[str, Any]) -> None:
    """Refuses shares that do not add up to the whole that was named."""
    whole = data.get("shares_total")
    given = sum(share["weight"] for share in data["sharers"]) + _club_weight(data)
    if whole is not None and data["sharers"] and given != whole:
        raise Impossible.field(
            "sharers", given, f"{whole} in all", f"The shares add up to {given}, not to {whole}."
        )


def _club_weight(data: dict[str, Any]) -> int:
    """Returns the club's own weight beside the sharers'; with no sharer the whole is the club's."""
    return int(data.get("club_weight") or 0) if data["sharers"] else 0


def _save_fill(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    assert command.barrel is not None
    data = command.data
    volume_l, abv_pct, sugar_g_l = poured(data)
    shares = shares_in(command.club, data["sharers"], "sharers", command.happened_at)
    reservation = _reservation(command)
    if any(part.get("vessel") is not None for part in data["parts"]):
        # What the vessels hold is read when nobody else can change it.
        lock_club(command.club)
    lineage = vessels_named(command.club, data["parts"])
    recipe = recipe_named(command.club, command.author, data) if data.get("recipe") is not None else None
    fill = Fill.objects.create(
        act=act,
        name=data["name"],
        spirit=data["spirit"],
        family=data["family"],
        volume_l=volume_l,
        abv_pct=abv_pct,
        sugar_g_l=sugar_g_l,
        abv_basis=data.get("abv_basis") or _basis(data, sugar_g_l, lineage),
        allergens=fill_allergens(data["parts"], lineage),
        # What nobody said is laid with the stays (``fill_before``).
        wood_state=data.get("wood_state") or WoodState.CURED,
        is_private=bool(data.get("is_private")),
        open_to_tasting=data.get("open_to_tasting", True),
        planned_days=data.get("planned_days"),
        club_weight=_club_weight(data),
        sample_budget_ml=round(volume_l * 10.0 * command.club.sample_budget_pct),
        reservation=reservation,
        recipe=recipe,
        recipe_version=data.get("recipe_version") if recipe is not None else None,
    )
    FillPart.objects.bulk_create(
        FillPart(
            fill=fill,
            position=position,
            name=part["name"],
            kind=part.get("kind") or "",
            volume_l=part_volume_l(part),
            abv_pct=part["abv_pct"],
            sugar_g_l=part.get("sugar_g_l") or 0.0,
            temp_c=part_temp_c(part),
            supplied_by=person_in(command.club, part["supplied_by"], "parts.supplied_by", command.happened_at)
            if part.get("supplied_by")
            else None,
            cost_minor=part_cost_minor(part, part_volume_l(part), lineage),
        )
        for position, part in enumerate(data["parts"])
    )
    FillShare.objects.bulk_create(
        FillShare(fill=fill, person=person, weight=weight) for person, weight in shares
    )
    rows = [
        row
        for vessel_id, litres in vessel_litres(data["parts"]).items()
        for row in vessel_draw(act, command.club, vessel_id, litres, "parts.vessel")
    ]
    if act.placement != Placement.PLACED:
        # A second correction of the same entry waits for the keeper and tells nobody anything.
        return rows
    if command.replaces is not None:
        _tell(command, fill)
    if reservation is not None and reservation.state in FILLABLE:
        rows += reservation_fulfil(reservation)
    return rows


def _tell(command: ActCommand, fill: Fill) -> None:
    """Makes those read anew whose view a correction changes: its sharers, or with its privacy everybody."""
    assert command.replaces is not None
    before = Fill.objects.get(act_id=command.replaces.pk)
    if before.is_private != fill.is_private:
        visibility_bump(command.club, Person.objects.for_club(command.club).values_list("pk", flat=True))
        return
    shares = FillShare.objects.filter(fill__in=(before, fill))
    visibility_bump(command.club, shares.values_list("person_id", flat=True))


def _reservation(command: ActCommand) -> Reservation | None:
    named = command.data.get("reservation")
    if named is None:
        return None
    reservation = Reservation.objects.for_club(command.club).filter(pk=named, barrel=command.barrel).first()
    if reservation is None:
        raise Impossible.field(
            "reservation", str(named), "a reservation of this barrel", "No such reservation of this barrel."
        )
    return reservation


def _basis(data: dict[str, Any], sugar_g_l: float, lineage: Mapping[UUID, Vessel]) -> str:
    if measured_abv_pct(data, sugar_g_l) is not None:
        return "measured"
    if len(data["parts"]) != 1:
        return "calculated"
    (part,) = data["parts"]
    vessel = lineage.get(part["vessel"]) if part.get("vessel") is not None else None
    if vessel is not None:
        # It has no label; what is known of it is what somebody measured, if anybody did.
        return "measured" if vessel.abv_basis == "measured" else "calculated"
    return "calculated" if part.get("sugar_g_l") else "label"


def _authorise_decant(command: ActCommand, standing: Standing) -> None:
    require(
        command.author,
        "fill",
        sharers=standing.sharers,
        owners=standing.owners,
        detail="In this club the keeper decants.",
    )


def _judge_decant(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    return volume_judged(command.barrel, command.data["measured_volume_l"], "measured_volume_l")


def _save_decant(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Decant.objects.create(
        act=act, measured_volume_l=command.data["measured_volume_l"], abv_pct=command.data.get("abv_pct")
    )
    return vessel_from_fill(
        act,
        None,
        volume_l=command.data["measured_volume_l"],
        abv_pct=command.data.get("abv_pct"),
        name=command.data.get("vessel_name") or "",
    )


KINDS = (
    ActKind("fills", "opening", _authorise_fill, judge=_judge_fill, save_detail=_save_fill),
    ActKind("decants", "closing", _authorise_decant, judge=_judge_decant, save_detail=_save_decant),
)
