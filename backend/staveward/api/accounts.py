"""Sends a new person the mail with which they set their password: the sign-in library's own reset, as an invitation."""

from __future__ import annotations

import logging
from smtplib import SMTPException

from allauth.account.forms import ResetPasswordForm
from rest_framework.request import Request

from staveward.models import Person
from staveward.services.people import person_needs_password

logger = logging.getLogger(__name__)


def password_mail_send(request: Request, person: Person) -> None:
    """Mails whoever has an account without a password; a mail server that fails does not undo the person."""
    if not person_needs_password(person) or person.user is None:
        return
    form = ResetPasswordForm({"email": person.user.email})
    if not form.is_valid():
        logger.error("no password mail for person %s: %s", person.pk, form.errors.as_json())
        return
    try:
        form.save(request._request)
    except (OSError, SMTPException):
        logger.exception("the password mail for person %s was not sent", person.pk)
