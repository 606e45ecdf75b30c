"""What is done with a vessel short of bottling it: blended with others or with water, or discarded."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from staveward.models import Act, Vessel
from staveward.selectors.standing import Standing
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.locking import lock_club
from staveward.services.vessels import (
    act_root,
    is_made_from,
    vessel_authorise,
    vessel_draw,
    vessel_in,
)


def _authorise_discard(command: ActCommand, standing: Standing) -> None:
    vessel_authorise(command.author, vessel_in(command.club, command.data["vessel"], "vessel"))


def _save_discard(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    return vessel_draw(act, command.club, command.data["vessel"], command.data["volume_l"], "volume_l")


def _authorise_blend(command: ActCommand, standing: Standing) -> None:
    for part in _parts(command):
        vessel_authorise(command.author, vessel_in(command.club, part["vessel"], "parts"))


def _parts(command: ActCommand) -> list[dict[str, Any]]:
    return sorted(command.data["parts"], key=lambda part: str(part["vessel"]))


def _judge_blend(command: ActCommand) -> list[str]:
    parts = _parts(command)
    ids = [part["vessel"] for part in parts]
    if len(set(ids)) != len(ids):
        raise Impossible.field(
            "parts", [str(one) for one in ids], "each vessel once", "A vessel stands here twice."
        )
    if len(ids) == 1 and not command.data.get("water_l"):
        raise Impossible.field("parts", len(ids), "two vessels, or one and water", "One vessel is no blend.")
    root = act_root(command.replaces) if command.replaces is not None else None
    if root is not None and is_made_from(command.club, ids, root):
        raise Impossible.field("parts", str(root), "other vessels", "A blend cannot be a part of itself.")
    return []


def _save_blend(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    if not act.is_head:
        return ()
    lock_club(command.club)
    rows: list[FeedRow] = []
    for part in _parts(command):
        rows += vessel_draw(act, command.club, part["vessel"], part["volume_l"], "parts")
    measured_l, measured_pct = command.data.get("volume_l"), command.data.get("abv_pct")
    water_l = command.data.get("water_l") or 0.0
    # What nobody measured is laid from the parts with everything else a blend has of them.
    together_l = water_l + sum(part["volume_l"] for part in _parts(command))
    vessel, _ = Vessel.objects.update_or_create(
        pk=act_root(act),
        club_id=act.club_id,
        defaults={
            "act": act,
            "given_name": command.data["name"],
            "name": command.data["name"],
            "made_at": act.ordered_at,
            "volume_l": together_l if measured_l is None else measured_l,
            "abv_pct": measured_pct,
            "abv_basis": "calculated" if measured_pct is None else "measured",
            "water_l": water_l,
        },
    )
    return [*rows, ("vessels", vessel.pk)]


KINDS = (
    ActKind("discards", "event", _authorise_discard, save_detail=_save_discard),
    ActKind("blends", "event", _authorise_blend, judge=_judge_blend, save_detail=_save_blend),
)
