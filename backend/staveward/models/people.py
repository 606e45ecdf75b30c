"""Accounts, and the people of a club."""

from __future__ import annotations

import uuid
from typing import Any, ClassVar

from django.contrib.auth.base_user import BaseUserManager
from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class UserManager(BaseUserManager["User"]):
    """Makes accounts that sign in with an e-mail address."""

    def create_user(self, email: str, password: str | None = None, **extra: Any) -> User:
        """Saves an account; without a password it can only sign in after a reset by mail."""
        user = self.model(email=self.normalize_email(email).lower(), **extra)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str | None = None, **extra: Any) -> User:
        """Saves an account for Django's own admin site."""
        return self.create_user(email, password, is_staff=True, is_superuser=True, **extra)


class User(AbstractUser):
    """One account; what it may do is said by its person in each club."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    username = None  # type: ignore[assignment]
    email = models.EmailField(unique=True)

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    objects = UserManager()  # type: ignore[assignment,misc]


class Role(models.TextChoices):
    """The parts a person can play in a club."""

    MEMBER = "member"
    KEEPER = "keeper"
    ADMIN = "admin"
    TABLET = "tablet"
    SENSOR = "sensor"


class Person(ClubRow):
    """Somebody in one club. A person without an account is known by name only."""

    user = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="persons")
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=8, default=Role.MEMBER)
    avoid_allergens = models.JSONField(default=list, blank=True)
    joined_at = models.DateTimeField()
    left_at = models.DateTimeField(null=True, blank=True)
    keep_name = models.BooleanField(default=True)
    # A change of role, share or privacy makes the phone rebuild what it may read.
    visibility_epoch = models.PositiveIntegerField(default=1)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["club", "user"], condition=Q(user__isnull=False), name="person_once_a_club"
            ),
            models.CheckConstraint(condition=Q(role__in=Role.values), name="person_role_known"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def shown_name(self) -> str:
        """The name others see: kept, or "former member" when the person chose so on leaving."""
        return self.name if self.left_at is None or self.keep_name else "former member"

    @property
    def is_keeper(self) -> bool:
        """Whether the person answers for the cellar (a keeper or an admin)."""
        return self.role in (Role.KEEPER, Role.ADMIN)
