"""Tag codes: five characters and an ISO/IEC 7064 MOD 37,36 check character. An old code stays its barrel's."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from datetime import datetime

from stdnum.iso7064 import mod_37_36

from staveward.models import Act, Barrel, Bottle, Club, FormerTag
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, FieldProblem, Impossible
from staveward.services.feed import FeedRow
from staveward.services.locking import lock_club

# Without 0 O 1 I: a code is read off a damp tag by lamplight.
ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
LENGTH = 5


def tag_code_new(club: Club) -> str:
    """Returns a code that nothing of the club carries or ever carried."""
    return tag_codes_new(club, 1)[0]


def tag_codes_new(club: Club, count: int) -> list[str]:
    """Returns codes that nothing of the club carries or ever carried, no barrel and no bottle."""
    taken = {
        *Barrel.objects.for_club(club).values_list("tag_code", flat=True),
        *FormerTag.objects.for_club(club).values_list("code", flat=True),
        *Bottle.objects.for_club(club).values_list("tag_code", flat=True),
    }
    codes: list[str] = []
    while len(codes) < count:
        stem = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        code = stem + mod_37_36.calc_check_digit(stem)
        if code not in taken:
            taken.add(code)
            codes.append(code)
    return codes


def tag_code_checked(text: str) -> str:
    """Returns the code in its printed form, or refuses one whose check character is wrong."""
    code = text.strip().upper().replace("-", "").replace(" ", "")
    if not mod_37_36.is_valid(code) or len(code) != LENGTH + 1:
        raise Impossible.field(
            "tag_code",
            text,
            "five characters and their check character",
            f"{text!r} is not a tag code: its check character does not fit. Read it once more.",
        )
    return code


def tag_code_free(club: Club, code: str, barrel: Barrel | None = None) -> None:
    """Refuses a code that a bottle carries, or another barrel carries or carried: a tag leads to one thing only."""
    others = Barrel.objects.for_club(club).filter(tag_code=code)
    if Bottle.objects.for_club(club).filter(tag_code=code).exists():
        raise Conflict(
            "A bottle carries that tag.",
            code="taken",
            fields=[FieldProblem("tag_code", code, "one that no other has", "This is taken already.")],
        )
    former = FormerTag.objects.for_club(club).filter(code=code)
    if barrel is not None:
        others, former = others.exclude(pk=barrel.pk), former.exclude(barrel=barrel)
    if others.exists() or former.exists():
        raise Conflict(
            "Another barrel carries that tag, or carried it once.",
            code="taken",
            fields=[FieldProblem("tag_code", code, "one that no other has", "This is taken already.")],
        )


def tag_replace(barrel: Barrel, code: str, at: datetime) -> None:
    """Gives a barrel another code and remembers the old one. Runs under the barrel's and the club's lock."""
    former, barrel.tag_code = barrel.tag_code, code
    Barrel.objects.filter(pk=barrel.pk).update(tag_code=code)
    tag_remember(barrel, former, at)


def tag_remember(barrel: Barrel, former: str, at: datetime) -> None:
    """Keeps the code that a barrel carried before the one it carries now."""
    if former == barrel.tag_code:
        return
    FormerTag.objects.filter(club_id=barrel.club_id, code=barrel.tag_code, barrel=barrel).delete()
    FormerTag.objects.create(club_id=barrel.club_id, code=former, barrel=barrel, replaced_at=at)


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(
        command.author,
        "edit_barrel",
        owners=standing.owners,
        detail="Only the keeper or an owner gives a barrel another tag.",
    )


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    assert command.barrel is not None
    lock_club(command.club)
    asked = command.data.get("tag_code")
    code = tag_code_checked(asked) if asked else tag_code_new(command.club)
    tag_code_free(command.club, code, command.barrel)
    barrel = Barrel.objects.select_related("club").get(pk=command.barrel.pk)
    tag_replace(barrel, code, command.happened_at)
    return [("barrels", barrel.pk)]


KINDS = (ActKind("tag-issues", "apart", _authorise, save_detail=_save),)
