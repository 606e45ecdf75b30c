"""People of a club: made by an admin, known by name or with an account, and free to leave.

Whoever leaves is a stranger to every address at once; without another club the account itself is closed, which ends
its sessions.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction

from staveward.models import Act, Club, Person, Role, User
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.edits import EditCommand, edit_save
from staveward.services.errors import Conflict, FieldProblem, Missing
from staveward.services.feed import FeedRow, feed_publish, visibility_bump

# What everybody may say of themselves.
OWN_FIELDS = frozenset({"avoid_allergens", "keep_name"})


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "people", detail="Only an admin adds people.")


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    data = command.data
    user = _account(command.club, data["email"]) if data.get("email") else None
    person = Person.objects.create(
        id=act.pk,
        club=command.club,
        user=user,
        name=data["name"],
        role=data["role"],
        avoid_allergens=data.get("avoid_allergens") or [],
        joined_at=command.happened_at,
    )
    return [("people", person.pk)]


def person_edit(command: EditCommand, person_id: UUID) -> Person:
    """Changes a person: an admin all of it, everybody what is their own affair."""
    with transaction.atomic():
        # The club's row first: two admins who leave at once must not both see the other still there.
        club = Club.objects.select_for_update().get(pk=command.club.pk)
        person = Person.objects.for_club(club).select_related("user").filter(pk=person_id).first()
        if person is None:
            raise Missing("There is no such person.")
        if not (person.pk == command.author.pk and command.changes.keys() <= OWN_FIELDS):
            require(command.author, "people", detail="Only an admin changes people.")
        changes = _changes(command, club, person)
        left_before = person.left_at is not None
        old_user = person.user
        edit_save(command, person, changes, collection="person-edits")
        _keep_an_admin(club)
        _settle_account(old_user)
        if person.user_id != (old_user.pk if old_user else None):
            _settle_account(person.user)
        rows: list[FeedRow] = [("people", person.pk)]
        if "role" in changes or (person.left_at is not None) != left_before:
            visibility_bump(club, [person.pk])
            person.refresh_from_db()
        feed_publish(club, rows)
    return person


def _changes(command: EditCommand, club: Club, person: Person) -> dict[str, Any]:
    changes = {name: value for name, value in command.changes.items() if name not in ("email", "has_left")}
    if "email" in command.changes:
        email = command.changes["email"].lower()
        if person.user is None or person.user.email != email:
            changes["user"] = _account(club, email, person=person)
    if "has_left" in command.changes:
        has_left = command.changes["has_left"]
        if has_left != (person.left_at is not None):
            changes["left_at"] = command.now if has_left else None
    return changes


def _account(club: Club, email: str, person: Person | None = None) -> User:
    """Returns the account of an address, made if there is none; it stands for one person of a club only."""
    email = email.lower()
    user = User.objects.filter(email=email).first()
    if user is None:
        try:
            with transaction.atomic():
                return User.objects.create_user(email)
        except IntegrityError:
            user = User.objects.get(email=email)
    taken = Person.objects.for_club(club).filter(user=user)
    if person is not None:
        taken = taken.exclude(pk=person.pk)
    if taken.exists():
        raise Conflict(
            "Somebody of this club has this address already. If they left, let them return instead.",
            code="taken",
            fields=[
                FieldProblem("email", email, "an address nobody else here has", "This address is taken.")
            ],
        )
    if not user.is_active:
        User.objects.filter(pk=user.pk).update(is_active=True)
        user.is_active = True
    return user


def _keep_an_admin(club: Club) -> None:
    admins = Person.objects.for_club(club).filter(role=Role.ADMIN, left_at__isnull=True, user__isnull=False)
    if not admins.exists():
        raise Conflict("A club keeps at least one admin. Make somebody else admin first.", code="last_admin")


def _settle_account(user: User | None) -> None:
    """Opens an account to whoever is in a club, and closes it (with all its sessions) to whoever is in none."""
    if user is None or user.is_staff:
        return
    is_somewhere = Person.objects.filter(user=user, left_at__isnull=True).exists()
    if user.is_active != is_somewhere:
        User.objects.filter(pk=user.pk).update(is_active=is_somewhere)


def person_needs_password(person: Person) -> bool:
    """Whether a new person has an account that nobody can sign in to yet."""
    return person.user is not None and not person.user.has_usable_password()


KINDS = (ActKind("people", "apart", _authorise, save_detail=_save),)
