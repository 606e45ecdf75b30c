"""How the sign-in library behaves for a club."""

from __future__ import annotations

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class ClubAccountAdapter(DefaultAccountAdapter):
    """Accounts are made by a club's admin: nobody signs up from outside."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False
