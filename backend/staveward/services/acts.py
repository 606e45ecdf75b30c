"""The one road every write takes: replay, authority, lock, ledger, placing, feed.

The row is the memory: the same id with the same body by the same author gets the same answer for ever, before any
role is asked; anything else under that id is refused as reused.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from django.db import IntegrityError, transaction
from django.utils import timezone

from staveward.models import Act, Barrel, Club, Person, Placement, Role
from staveward.selectors.authority import permits
from staveward.selectors.standing import Standing, barrel_standing
from staveward.services import rebuild
from staveward.services.bottle_changes import TOUCHES_BOTTLES, bottles_follow
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, FieldProblem, Forbidden, Impossible, Missing, Refusal
from staveward.services.feed import FeedRow, feed_publish
from staveward.services.forecasts import forecast_follow, forecast_refresh
from staveward.services.locking import lock_barrels, lock_club
from staveward.services.lookup import act_in
from staveward.services.photo_removals import photo_in
from staveward.services.pull_forecasts import pull_follow, pull_refresh
from staveward.services.registry import act_kind, act_kinds
from staveward.services.vessels import TOUCHES_VESSELS, vessel_in, vessels_follow

SKEW_TOLERATED_S = 120.0
LATE_AFTER = timedelta(days=1)
FUTURE_AFTER = timedelta(minutes=10)
OWN_CORRECTION_WITHIN = timedelta(days=1)


def act_replay(*, club: Club, author: Person, act_id: UUID, path: str, body_sha256: str) -> Act | None:
    """Returns the act this request repeats, or None when the id is new; refuses any other use of the id."""
    act = Act.objects.filter(pk=act_id).first()
    if act is None:
        return None
    if (act.club_id, act.author_id, act.path, act.body_sha256) == (club.pk, author.pk, path, body_sha256):
        return act
    raise Conflict("This id was used before for another entry. Nothing was changed.", code="id_reused")


def act_receive(command: ActCommand) -> tuple[Act, bool]:
    """Carries out one act and returns it, with whether it is new (False: the same one was already here)."""
    with transaction.atomic():
        kind = act_kind(command.collection)
        barrel_ids = {
            barrel_id
            for barrel_id in (
                command.barrel.pk if command.barrel else None,
                command.replaces.barrel_id if command.replaces else None,
            )
            if barrel_id is not None
        }
        lock_barrels(command.club, {*barrel_ids, *kind.barrels(command)})
        if kind.part == "apart" and command.barrel is None:
            # A register: its names stand once in a club, and nothing else keeps two of them apart.
            lock_club(command.club)
        try:
            _authorise(command, kind)
            flags = kind.judge(command)
        except Refusal:
            # The first of two copies of one request may have made the second impossible; it still gets the answer.
            earlier = _replayed(command)
            if earlier is None:
                raise
            return earlier, False
        act, created = _save(command, kind, flags)
        if not created:
            return act, False
        _supersede(command, act)
        extra = list(kind.save_detail(command, act))
        placed = rebuild.place(act, kind, command.barrel, also=barrel_ids)
        now = timezone.now()
        forecast_follow(act, placed.open_stays, now)
        pull_follow(act, placed.open_stays, now)
        _publish(command, act, [*extra, *placed.rows, *_follow(act, placed.rebuilt)])
    return act, True


def acts_receive_many(commands: Sequence[ActCommand]) -> list[Act]:
    """Carries out many acts at once, as an import does: the same checks, but each barrel's life is laid once.

    Openings and closings are laid as they come, since later acts ask what the wood held before; the events between
    them get their places at the end. All or none are kept.
    """
    acts: list[Act] = []
    with transaction.atomic():
        club = commands[0].club
        barrel_ids = {command.barrel.pk for command in commands if command.barrel is not None}
        lock_barrels(club, barrel_ids)
        rows: set[FeedRow] = set()
        for command in commands:
            kind = act_kind(command.collection)
            _authorise(command, kind)
            act, created = _save(command, kind, kind.judge(command))
            acts.append(act)
            if not created:
                continue
            _supersede(command, act)
            rows |= {("log", act.pk), *kind.save_detail(command, act)}
            if kind.part in ("opening", "closing") and command.barrel is not None:
                rebuild.life_lay(command.barrel)
            rows |= set(_follow(act))
        for barrel in Barrel.objects.for_club(club).filter(pk__in=barrel_ids).select_related("club"):
            rows |= set(rebuild.barrel_rebuild(barrel))
        stays = rebuild.open_stays(barrel_ids)
        fills = rebuild.fill_stays(barrel_ids)
        transaction.on_commit(lambda: forecast_refresh(stay_ids=stays, now=timezone.now()), robust=True)
        transaction.on_commit(lambda: pull_refresh(stay_ids=fills, now=timezone.now()), robust=True)
        feed_publish(club, rows)
    return acts


def command_build(
    *,
    club: Club,
    author: Person,
    collection: str,
    act_id: UUID,
    path: str,
    body: dict[str, Any],
    body_sha256: str,
    data: dict[str, Any],
    received_at: datetime,
    sent_at: datetime | None = None,
    barrels: Mapping[UUID, Barrel] | None = None,
) -> ActCommand:
    """Resolves what a body names (barrel, replaced entry) within the club and returns the command.

    ``barrels`` are those of the club already at hand, with their places, as an import has them.
    """
    replaces = _target(club, collection, data)
    barrel = None
    if data.get("barrel") is not None:
        barrel = (barrels or {}).get(data["barrel"]) or _barrel(club, data["barrel"])
    elif replaces is not None:
        barrel = replaces.barrel
    elif collection in ("bottlings", "discards"):
        # A vessel's story is told in the log of the barrel it came from.
        barrel = vessel_in(club, data["vessel"], "vessel").barrel
    elif collection == "photo-removals":
        barrel = photo_in(club, data["photo"], "photo").act.barrel
    elif collection == "tray-decisions":
        barrel = act_in(club, data["act"], "act").barrel
    elif collection == "reservation-decisions":
        barrel = act_in(club, data["reservation"], "reservation", "reservations").barrel
    return ActCommand(
        id=act_id,
        club=club,
        author=author,
        collection=collection,
        path=path,
        body=body,
        body_sha256=body_sha256,
        data=data,
        happened_at=data.get("happened_at") or received_at,
        entered_at=data.get("entered_at") or received_at,
        received_at=received_at,
        schema=int(data.get("schema") or 1),
        time_typed=bool(data.get("time_typed")),
        sent_at=sent_at,
        barrel=barrel,
        replaces=replaces,
    )


def _target(club: Club, collection: str, data: dict[str, Any]) -> Act | None:
    if collection == "voids":
        target = act_in(club, data["act"], "act")
        kind = act_kinds().get(target.collection)
        # A blind score in no flight waits for somebody's word; one that stands is taken back in its barrel's log.
        is_waiting = target.collection == "blind-tastings" and target.placement == Placement.SET_ASIDE
        if kind is None or (kind.part == "apart" and not is_waiting) or target.collection == "voids":
            raise Impossible.field(
                "act",
                str(target.pk),
                "an entry of a barrel's log",
                "Only what is in a barrel's log is taken back.",
            )
        return target
    if data.get("replaces") is None:
        return None
    return act_in(club, data["replaces"], "replaces", collection)


def _barrel(club: Club, barrel_id: UUID) -> Barrel:
    barrel = Barrel.objects.for_club(club).select_related("place", "club").filter(pk=barrel_id).first()
    if barrel is None:
        raise Missing(
            "No barrel of that key is in this club.",
            code="unknown_barrel",
            fields=[
                FieldProblem("barrel", str(barrel_id), "a barrel of this club", "Scan its tag once more.")
            ],
        )
    return barrel


def act_note(
    *,
    club: Club,
    author: Person,
    collection: str,
    path: str,
    body: dict[str, Any],
    body_sha256: str,
    now: datetime,
    barrel: Barrel | None = None,
) -> Act:
    """Writes an edit made in place (a register, a setting, a role) into the ledger, inside the caller's transaction."""
    return Act.objects.create(
        id=uuid4(),
        club=club,
        author=author,
        collection=collection,
        path=path,
        body=body,
        body_sha256=body_sha256,
        barrel=barrel,
        happened_at=now,
        entered_at=now,
        received_at=now,
        ordered_at=now,
    )


def ordered_instant(command: ActCommand) -> tuple[datetime, float | None]:
    """Returns the instant that orders an act, and the device's skew in seconds where it is known.

    A clock that is plainly wrong (over two minutes) is taken off, unless a person typed the time.
    """
    if command.sent_at is None:
        return command.happened_at, None
    skew = (command.sent_at - command.received_at).total_seconds()
    if abs(skew) <= SKEW_TOLERATED_S or command.time_typed:
        return command.happened_at, skew
    return command.happened_at - timedelta(seconds=skew), skew


def _replayed(command: ActCommand) -> Act | None:
    return act_replay(
        club=command.club,
        author=command.author,
        act_id=command.id,
        path=command.path,
        body_sha256=command.body_sha256,
    )


def _authorise(command: ActCommand, kind: ActKind) -> None:
    standing = Standing()
    target = command.replaces
    if target is not None:
        _authorise_correction(command, target)
    # Only a member's right may hang on a share or on the wood, and a tablet writes for members; the other roles'
    # rights are outright.
    if command.barrel is not None and command.author.role in (Role.MEMBER, Role.TABLET):
        fill_id = command.data.get("fill")
        if fill_id is None and target is not None and target.barrel_id == command.barrel.pk:
            fill_id = _fill_of(target)
        standing = barrel_standing(command.barrel, fill_id, ordered_instant(command)[0])
    kind.authorise(command, standing)


def _fill_of(act: Act) -> UUID | None:
    """Returns the fill an entry is about, which may long be out of its barrel; None where it lies in no stay."""
    if act.collection == "fills":
        return act.pk
    return UUID(str(act.body["fill"])) if "fill" in act.body else act.stay_id


def _authorise_correction(command: ActCommand, target: Act) -> None:
    if permits(command.author, "correct_any"):
        return
    if command.author.role in (Role.TABLET, Role.SENSOR):
        raise Forbidden("A device corrects nothing; somebody signed in does.")
    mine = target.author_id == command.author.pk or target.subject_id == command.author.pk
    if not mine:
        raise Forbidden("Only the keeper corrects what somebody else entered.")
    standing = Standing()
    if target.barrel is not None:
        standing = barrel_standing(target.barrel, _fill_of(target), target.ordered_at)
    involved = command.author.pk in standing.sharers or command.author.pk in standing.owners
    if not involved and command.received_at - target.received_at > OWN_CORRECTION_WITHIN:
        raise Forbidden("You may correct your own entry within a day; after that the keeper does.")


def _save(command: ActCommand, kind: ActKind, flags: list[str]) -> tuple[Act, bool]:
    ordered_at, skew = ordered_instant(command)
    if skew is not None and abs(skew) > SKEW_TOLERATED_S:
        flags.append("clock")
    if command.received_at - ordered_at > LATE_AFTER:
        flags.append("late")
    if ordered_at - command.received_at > FUTURE_AFTER:
        flags.append("future")
    act = Act(
        id=command.id,
        club=command.club,
        collection=command.collection,
        path=command.path,
        author=command.author,
        subject=kind.subject(command),
        barrel=command.barrel,
        body=command.body,
        body_sha256=command.body_sha256,
        schema=command.schema,
        happened_at=command.happened_at,
        entered_at=command.entered_at,
        received_at=command.received_at,
        skew_s=skew,
        ordered_at=ordered_at,
        flags=sorted(set(flags)),
    )
    try:
        with transaction.atomic():
            act.save(force_insert=True)
    except IntegrityError:
        # Two copies of one request at once: the second was let in before the first had committed.
        earlier = _replayed(command)
        if earlier is None:
            raise
        return earlier, False
    return act, True


def _follow(act: Act, rebuilt: Collection[UUID] = ()) -> list[FeedRow]:
    """Lays anew the vessels and bottles that an act, or what it replaced, has to do with."""
    collections = {act.collection, act.replaces.collection if act.replaces else ""}
    rows: list[FeedRow] = []
    if collections & TOUCHES_VESSELS:
        rows += vessels_follow(act, rebuilt=rebuilt)
    if collections & TOUCHES_BOTTLES:
        rows += bottles_follow(act)
    return rows


def _supersede(command: ActCommand, act: Act) -> None:
    """Takes the place of the entry this one corrects; a second correction of the same entry is set aside."""
    if command.replaces is None:
        return
    act.replaces = command.replaces
    act.is_void = act.collection == "voids"
    if Act.objects.filter(pk=command.replaces.pk, is_head=True).update(is_head=False):
        act.save(update_fields=["replaces", "is_void"])
        return
    act.placement = Placement.SET_ASIDE
    act.set_aside_reason = "already_corrected"
    act.is_head = False
    act.save(update_fields=["replaces", "is_void", "placement", "set_aside_reason", "is_head"])


def _publish(command: ActCommand, act: Act, rows: list[FeedRow]) -> None:
    published: list[FeedRow] = [("log", act.pk), *rows]
    if command.replaces is not None:
        published.append(("log", command.replaces.pk))
    feed_publish(command.club, published)
