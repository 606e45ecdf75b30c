"""What becomes of a bottle: opened, drunk from, handed over, finished, broken. Its row is laid from these acts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from uuid import UUID

from staveward.models import Act, Bottle, BottleChange, Club, Person
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.bottlings import BRIM_OVER_LABEL
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.locking import lock_club
from staveward.services.lookup import person_in

# What makes bottles or says what became of one.
TOUCHES_BOTTLES = frozenset({"bottlings", "bottle-changes"})
# What lets air in: the gap's oxygen is new again.
LETS_AIR_IN = frozenset({"opened", "level"})
ENDS = {"finished": "finished", "broken": "broken"}


def _bottle(club: Club, bottle_id: UUID) -> Bottle:
    bottle = Bottle.objects.for_club(club).select_related("bottling__act").filter(pk=bottle_id).first()
    if bottle is None:
        raise Impossible.field(
            "bottle", str(bottle_id), "a bottle of this club", "No bottle of that key is in this club."
        )
    return bottle


def _authorise(command: ActCommand, standing: Standing) -> None:
    bottle = _bottle(command.club, command.data["bottle"])
    holders = {bottle.first_holder_id, bottle.holder_id}
    holders |= set(bottle.changes.values_list("person_id", flat=True))
    require(
        command.author,
        "bottle",
        # Whoever ever held it: a phone without signal may not know yet that it was handed on.
        sharers=frozenset(one for one in holders if one is not None),
        detail="That bottle is somebody else's.",
    )


def _judge(command: ActCommand) -> list[str]:
    bottle = _bottle(command.club, command.data["bottle"])
    level_ml = command.data.get("level_ml")
    change = command.data["change"]
    if change == "level" and level_ml is None:
        raise Impossible.field("level_ml", None, "a number of mL", "Say how much is left.")
    most_ml = round(BRIM_OVER_LABEL * bottle.size_ml)
    if level_ml is not None and level_ml > most_ml:
        raise Impossible.field(
            "level_ml", level_ml, f"0 to {most_ml} mL", f"A bottle of {bottle.size_ml} mL cannot hold that."
        )
    _person(command)
    return []


def _person(command: ActCommand) -> Person | None:
    named = command.data.get("person")
    return None if named is None else person_in(command.club, named, "person", command.happened_at)


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    lock_club(command.club)
    BottleChange.objects.create(
        act=act,
        bottle_id=_bottle(command.club, command.data["bottle"]).pk,
        change=command.data["change"],
        level_ml=command.data.get("level_ml"),
        person=_person(command),
    )
    return ()


def bottles_follow(act: Act) -> list[FeedRow]:
    """Lays the bottles anew that an act, or what it replaced, names; a bottling taken back takes its bottles along."""
    ids = [act.pk, *([act.replaces_id] if act.replaces_id else [])]
    if act.replaces is not None and act.replaces.collection == "bottlings":
        made = Bottle.objects.filter(bottling_id=act.replaces.pk).values_list("id", flat=True)
        return [("bottles", pk) for pk in made]
    touched = list(BottleChange.objects.filter(act_id__in=ids).values_list("bottle_id", flat=True))
    if not touched:
        return []
    _lay(Bottle.objects.filter(changes__act_id__in=ids).select_related("bottling__act").distinct())
    return [("bottles", pk) for pk in touched]


def _lay(bottles: Iterable[Bottle]) -> None:
    """Writes what its acts say of each bottle, in the order of the log."""
    rows = list(bottles)
    changes: defaultdict[UUID, list[BottleChange]] = defaultdict(list)
    standing = BottleChange.objects.filter(bottle__in=rows, act__is_head=True, act__is_void=False)
    for change in standing.select_related("act").order_by("act__ordered_at", "act_id"):
        changes[change.bottle_id].append(change)
    for bottle in rows:
        bottle.holder_id, bottle.level_ml = bottle.first_holder_id, bottle.fill_ml
        bottle.opened_at, bottle.air_at = None, bottle.bottling.act.ordered_at
        bottle.ended_at, bottle.end = None, ""
        for change in changes[bottle.pk]:
            _apply(bottle, change)
    names = ["holder", "level_ml", "opened_at", "air_at", "ended_at", "end"]
    Bottle.objects.bulk_update(rows, names, batch_size=200)


def _apply(bottle: Bottle, change: BottleChange) -> None:
    at = change.act.ordered_at
    if change.level_ml is not None:
        bottle.level_ml = change.level_ml
    if change.change in LETS_AIR_IN:
        bottle.opened_at = bottle.opened_at or at
        bottle.air_at = at
    if change.change == "handed_over":
        bottle.holder_id = change.person_id
        if change.person_id is None:
            bottle.ended_at, bottle.end = at, "away"
    if change.change in ENDS:
        bottle.ended_at, bottle.end, bottle.level_ml = at, ENDS[change.change], 0


KINDS = (ActKind("bottle-changes", "event", _authorise, judge=_judge, save_detail=_save),)
