"""Who may do what: the permission table as data, asked by every write and every read.

A deed is looked up by the person's role first. "share" means: as a sharer of the fill in question; "own" means: as
an owner of the barrel; "club" means: if the club's settings allow it to all members.
"""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from staveward.models import Club, Person, Role

_KEEPERS = frozenset({Role.KEEPER, Role.ADMIN})
_PEOPLE = frozenset({Role.MEMBER, Role.KEEPER, Role.ADMIN})
_SEERS = _PEOPLE | {Role.TABLET}


@dataclass(frozen=True)
class Rule:
    """Whom a deed is open to: roles outright, sharers or owners by their standing, members if the club says so."""

    roles: frozenset[str]
    sharer: str = ""
    owner: bool = False
    setting: str = ""


RULES: dict[str, Rule] = {
    "see": Rule(_SEERS),
    "see_private": Rule(_KEEPERS, sharer="always"),
    "taste": Rule(_KEEPERS | {Role.TABLET}, sharer="always", setting="open_fill"),
    "sample": Rule(_KEEPERS, sharer="always", setting="open_fill"),
    "tend": Rule(_KEEPERS | {Role.TABLET}, sharer="always", owner=True, setting="members_may_tend"),
    "measure": Rule(_KEEPERS, sharer="always", owner=True, setting="members_may_tend"),
    "measure_climate": Rule(_KEEPERS | {Role.SENSOR}, owner=True, setting="members_may_tend"),
    "reserve": Rule(_PEOPLE),
    "decide_reservation": Rule(_KEEPERS, owner=True),
    "fill": Rule(_KEEPERS, sharer="sharers_may_fill", owner=True),
    "cellar_work": Rule(_KEEPERS, owner=True),
    "correct_any": Rule(_KEEPERS),
    "see_photos": Rule(_PEOPLE),
    "photograph": Rule(_KEEPERS, sharer="always", owner=True),
    "tray": Rule(_PEOPLE),
    "tray_all": Rule(_KEEPERS, owner=True),
    "raise_trouble": Rule(_SEERS),
    "settle_trouble": Rule(_KEEPERS, owner=True),
    "register": Rule(_KEEPERS),
    "edit_barrel": Rule(_KEEPERS, owner=True),
    # Standing at each fill decides who pours it blind and who may taste it so.
    "flights": Rule(_PEOPLE),
    "close_flight": Rule(_KEEPERS),
    "recipes": Rule(_PEOPLE),
    "recipes_all": Rule(_KEEPERS),
    # Standing opens one's own vessels; everybody of the club may ask which those are.
    "vessels": Rule(_KEEPERS, sharer="always", owner=True),
    "bottles": Rule(_PEOPLE),
    "bottle": Rule(_KEEPERS, sharer="always"),
    "vote_pull": Rule(_KEEPERS, sharer="always", owner=True),
    "pull": Rule(_KEEPERS, sharer="sharers_pull", owner=True),
    "report": Rule(_KEEPERS),
    "people": Rule(frozenset({Role.ADMIN})),
    "settings": Rule(frozenset({Role.ADMIN})),
}


def permits(
    person: Person,
    deed: str,
    *,
    sharers: frozenset[UUID] = frozenset(),
    owners: frozenset[UUID] = frozenset(),
    open_fill: bool = False,
    club: Club | None = None,
) -> bool:
    """Whether a person may do a deed, given who shares the fill and who owns the barrel it is about."""
    rule = RULES[deed]
    if person.left_at is not None:
        return False
    if person.role in rule.roles:
        return True
    if person.role != Role.MEMBER:
        return False
    club = club or person.club
    if rule.sharer and person.pk in sharers and (rule.sharer == "always" or bool(getattr(club, rule.sharer))):
        return True
    if rule.owner and person.pk in owners:
        return True
    if rule.setting == "open_fill":
        return open_fill and club.members_may_taste_all
    return bool(rule.setting) and bool(getattr(club, rule.setting))
