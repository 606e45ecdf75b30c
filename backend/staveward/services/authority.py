"""The permission table's refusing half; the table itself is read by every floor (``selectors.authority``)."""

from __future__ import annotations

from uuid import UUID

from staveward.models import Person
from staveward.selectors.authority import permits
from staveward.services.errors import Forbidden


def require(
    person: Person,
    deed: str,
    *,
    sharers: frozenset[UUID] = frozenset(),
    owners: frozenset[UUID] = frozenset(),
    open_fill: bool = False,
    detail: str = "Your part in the club does not allow this.",
) -> None:
    """Refuses unless the permission table says yes."""
    if not permits(person, deed, sharers=sharers, owners=owners, open_fill=open_fill):
        raise Forbidden(detail)
