"""Trouble raised by anybody at a barrel, and settled by whoever answers for it."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Trouble, TroubleSettlement
from staveward.selectors.off_notes import sign_of
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.lookup import act_in
from staveward.services.notices import notices_give
from staveward.services.trouble_lay import answered_with
from staveward.services.vessels import vessel_from_fill
from staveward.services.water import volume_judged

# What must be said in litres, and how it is asked for.
NEEDS_LITRES = {
    "rescued": "Say how much was rescued.",
    "part_lost": "Say how much was lost.",
}


def _authorise_raise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "raise_trouble")


def _save_trouble(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Trouble.objects.create(
        act=act,
        kind=command.data["kind"],
        sign=command.data.get("sign") or "",
        quarantine=bool(command.data.get("quarantine")),
        note=command.data.get("note") or "",
    )
    assert command.barrel is not None
    return notices_give(act, command.barrel)


def _authorise_settle(command: ActCommand, standing: Standing) -> None:
    require(
        command.author, "settle_trouble", owners=standing.owners, detail="Only the keeper settles trouble."
    )


def _trouble_of(command: ActCommand) -> Act:
    """Returns what a settlement is about: trouble somebody raised, or a taste that raised it by its notes."""
    named = command.data["trouble"]
    trouble = act_in(command.club, named, "trouble")
    notes = trouble.body.get("off_notes") or [] if trouble.collection == "tastings" else []
    if trouble.collection != "troubles" and not sign_of(notes):
        raise Impossible.field(
            "trouble", str(named), "a trouble of this barrel", "No trouble of that key is at this barrel."
        )
    return trouble


def _judge_settle(command: ActCommand) -> list[str]:
    trouble = _trouble_of(command)
    if command.barrel is None or trouble.barrel_id != command.barrel.pk:
        raise Impossible.field(
            "trouble", str(trouble.pk), "a trouble of this barrel", "That trouble is another barrel's."
        )
    outcome, volume_l = command.data["outcome"], command.data.get("volume_l")
    if volume_l is None:
        if outcome in NEEDS_LITRES:
            raise Impossible.field("volume_l", None, "a volume", NEEDS_LITRES[outcome])
        return []
    if outcome not in NEEDS_LITRES:
        raise Impossible.field(
            "volume_l",
            volume_l,
            "nothing, with this outcome",
            "Nothing was rescued or lost with this outcome.",
        )
    if volume_l <= 0:
        raise Impossible.field("volume_l", volume_l, "more than 0 L", NEEDS_LITRES[outcome])
    return volume_judged(command.barrel, volume_l, "volume_l")


def _save_settle(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    assert command.barrel is not None
    data = command.data
    TroubleSettlement.objects.create(
        act=act, outcome=data["outcome"], volume_l=data.get("volume_l"), cause=data.get("cause") or ""
    )
    rows = notices_give(act, command.barrel, answers=answered_with(_trouble_of(command), act.ordered_at))
    if data["outcome"] != "rescued":
        return rows
    vessel = vessel_from_fill(
        act,
        None,
        volume_l=data["volume_l"],
        abv_pct=data.get("abv_pct"),
        name=data.get("vessel_name") or "",
    )
    return [*rows, *vessel]


KINDS = (
    ActKind("troubles", "event", _authorise_raise, save_detail=_save_trouble),
    ActKind(
        "trouble-settlements", "closing", _authorise_settle, judge=_judge_settle, save_detail=_save_settle
    ),
)
