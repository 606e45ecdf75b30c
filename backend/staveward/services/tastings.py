"""Tastings: a score of a fill, by whoever drank the sample."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Person, Role, Tasting
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.lookup import person_in


def _taster(command: ActCommand) -> Person:
    named = command.data.get("taster")
    if named is None and command.replaces is not None and command.replaces.subject is not None:
        # Whoever mends an entry does not become the one who tasted.
        return command.replaces.subject
    return command.author if named is None else person_in(command.club, named, "taster", command.happened_at)


def _authorise(command: ActCommand, standing: Standing) -> None:
    taster = _taster(command)
    author = command.author
    if taster.pk != author.pk and not (author.is_keeper or author.role == Role.TABLET):
        raise Forbidden("You can only log what you tasted yourself.")
    if author.role == Role.TABLET and taster.pk == author.pk:
        raise Forbidden("The tablet logs a taste for a member by name.")
    if taster.pk != author.pk and taster.role in (Role.TABLET, Role.SENSOR):
        raise Impossible.field(
            "taster",
            str(taster.pk),
            "somebody of this club",
            f"{taster.name} is a device and tastes nothing.",
        )
    require(
        # Whoever stands at the tablet tastes what they may taste with their own phone.
        taster if author.role == Role.TABLET else author,
        "taste",
        sharers=standing.sharers,
        owners=standing.owners,
        open_fill=standing.open_fill,
        detail="This fill is its sharers' to taste.",
    )


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Tasting.objects.create(
        act=act,
        taster=_taster(command),
        tasted_on=command.data["tasted_on"],
        liking=command.data["liking"],
        oak=command.data.get("oak"),
        off_notes=command.data.get("off_notes") or [],
        sample_ml=command.data.get("sample_ml") or 0.0,
        replicate=command.data.get("replicate") or 1,
        note=command.data.get("note") or "",
    )
    return ()


def _judge(command: ActCommand) -> list[str]:
    """A blind score names its flight only where it corrects itself: the rest is written by the opening."""
    named = (command.body.get("flight"), command.body.get("code"))
    earlier = command.replaces.body if command.replaces is not None else {}
    if named not in ((None, None), (earlier.get("flight"), earlier.get("code"))):
        raise Impossible.field(
            "flight",
            named[0],
            "only in a correction of what was scored blind",
            "A blind score is sent for its flight and code, without its barrel.",
        )
    return []


KINDS = (ActKind("tastings", "event", _authorise, judge=_judge, save_detail=_save, subject=_taster),)
