"""A club to test with: the fixed cast, and a short way to send acts through the real service."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import rfc8785

from staveward.models import Act, Barrel, Club, Person, Place, Role, User
from staveward.services.acts import act_receive, act_replay, command_build
from staveward.services.tags import tag_code_new

DAY0 = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


@dataclass
class ClubScene:
    """One club with its people; barrels are added as a test needs them."""

    name: str = "Wrackmouth Boat Club"
    club: Club = field(init=False)
    place: Place = field(init=False)
    people: dict[str, Person] = field(init=False)

    def __post_init__(self) -> None:
        slug = f"club-{uuid4().hex[:8]}"
        self.club = Club.objects.create(name=self.name, slug=slug, timezone="Europe/London", currency="GBP")
        self.place = Place.objects.create(club=self.club, name="Under the boathouse", temp_c=12.0, rh=0.75)
        roles = {
            "keeper": Role.KEEPER,
            "admin": Role.ADMIN,
            "member": Role.MEMBER,
            "sharer": Role.MEMBER,
            "other_sharer": Role.MEMBER,
            "owner": Role.MEMBER,
            "tablet": Role.TABLET,
            "sensor": Role.SENSOR,
        }
        # Nobody signs in here, and all come at once: a scene is set more than a thousand times.
        users = [User(email=f"{name}@{slug}.test", password="!") for name in roles]
        User.objects.bulk_create(users)
        self.people = {
            name: Person(
                club=self.club, user=user, name=name.replace("_", " ").title(), role=role, joined_at=DAY0
            )
            for (name, role), user in zip(roles.items(), users, strict=True)
        }
        Person.objects.bulk_create(self.people.values())

    def barrel(self, name: str = "Neap", nominal_l: float = 5.0, **register: Any) -> Barrel:
        return Barrel.objects.create(
            club=self.club,
            place=self.place,
            name=name,
            tag_code=tag_code_new(self.club),
            nominal_l=nominal_l,
            registered_at=DAY0,
            **register,
        )

    def send(
        self,
        collection: str,
        barrel: Barrel | None = None,
        *,
        day: float = 0.0,
        by: str = "keeper",
        received: datetime | None = None,
        sent_at: datetime | None = None,
        act_id: UUID | None = None,
        **data: Any,
    ) -> Act:
        """Sends one act that happened ``day`` days after the scene's first day; it arrives at once unless said."""
        happened_at = DAY0 + timedelta(days=day)
        values = {"happened_at": happened_at, "entered_at": happened_at, **data}
        if barrel is not None:
            values["barrel"] = barrel.pk
        body = json.loads(json.dumps(values, default=_plain))
        act_id = act_id or uuid4()
        path = f"/api/v1/clubs/{self.club.pk}/{collection}/{act_id}"
        digest = hashlib.sha256(rfc8785.dumps(body)).hexdigest()
        author = self.people[by]
        repeated = act_replay(club=self.club, author=author, act_id=act_id, path=path, body_sha256=digest)
        if repeated is not None:
            return repeated
        command = command_build(
            club=self.club,
            author=author,
            collection=collection,
            act_id=act_id,
            path=path,
            body=body,
            body_sha256=digest,
            data=values,
            received_at=received or happened_at,
            sent_at=sent_at,
        )
        return act_receive(command)[0]

    def fill(self, barrel: Barrel, *, day: float = 0.0, **changes: Any) -> Act:
        """Fills a barrel with 4.7 L of a plain spirit, shared by the sharer and the other sharer."""
        data: dict[str, Any] = {
            "name": "rye, plain",
            "spirit": "whisky",
            "family": "spirit",
            "parts": [{"name": "rye", "volume_l": 0.94 * barrel.nominal_l, "abv_pct": 55.0}],
            "sharers": [
                {"person": self.people["sharer"].pk, "weight": 2},
                {"person": self.people["other_sharer"].pk, "weight": 1},
            ],
        }
        return self.send("fills", barrel, day=day, **{**data, **changes})

    def taste(self, barrel: Barrel, fill: Act, *, day: float, by: str = "sharer", **changes: Any) -> Act:
        """Logs a score of 7.5 on the day it happens."""
        data = {
            "fill": fill.pk,
            "tasted_on": (DAY0 + timedelta(days=day)).date(),
            "liking": 7.5,
            "sample_ml": 10.0,
        }
        return self.send("tastings", barrel, day=day, by=by, **{**data, **changes})


def _plain(value: Any) -> Any:
    return value.isoformat() if hasattr(value, "isoformat") else str(value)
