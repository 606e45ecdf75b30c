"""Loads the demo club: founds it, registers its barrels, and sends its whole story through the services."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import rfc8785
from django.db import transaction

from staveward.demo.bottles import Decanted, bottles_tell
from staveward.demo.flights import flights_tell
from staveward.demo.lives import Life
from staveward.demo.story import Entry, Story
from staveward.demo.weather import FIRST_DAY, Weather
from staveward.models import Barrel, Club, Person, Place, Role
from staveward.services.acts import acts_receive_many, command_build
from staveward.services.founding import club_found, person_join

PASSWORD = "above-the-tide-line"  # noqa: S105  the demo's own, printed at every start
MAIL_DOMAIN = "wrackmouth.example"
# Who can sign in; the other people of the story are known by name only.
SIGN_INS = {"alder": "keeper", "wick": "keeper", "tansy": "admin", "sedge": "member", "pell": "member"}
STORY = Path(__file__).resolve().parents[3] / "fixtures" / "demo" / "club.json"


def demo_club() -> Club | None:
    """Returns the demo club if it is here."""
    return Club.objects.filter(slug=_plan()["club"]["slug"]).first()


def demo_load(now: datetime) -> Club:
    """Founds the demo club and writes its history; all of it or none."""
    plan = _plan()
    with transaction.atomic():
        club = _found(plan, now)
        people = _people(plan, club, now)
        story = Story(now=now, zone=ZoneInfo(club.timezone), seed=plan["seed"])
        places, weather = _places(plan, club, story)
        _send(club, people, _registrations(plan, story, places))
        barrels = {barrel.name: barrel for barrel in Barrel.objects.for_club(club).select_related("place")}
        ids = {key: person.pk for key, person in people.items()}
        story.entries.clear()
        decants: list[Decanted] = []
        for one in plan["barrels"]:
            life = Life(story, one, barrels[one["name"]], weather[one["place"]], ids)
            life.tell(plan["mixes"])
            decants += life.decants
        for key, place in places.items():
            author = "cellar-sensor" if key == "cellar" else "wick"
            weather[key].tell_readings(story, place.pk, author, FIRST_DAY + 12)
        _send(club, people, story.entries)
        _after(plan, story, club, people, barrels)
        # Told last, so that chance deals the same hand to all the rest.
        _send(club, people, _recipes(plan, story))
        story.entries.clear()
        bottles_tell(story, decants)
        _send(club, people, story.entries)
        story.entries.clear()
        keyed = {one["key"]: barrels[one["name"]] for one in plan["barrels"]}
        flights_tell(story, plan["flights"], people, keyed)
        _send(club, people, story.entries)
    return club


def sign_ins() -> list[tuple[str, str]]:
    """Returns the part and the address of those whose sign-in is printed."""
    return [(role, f"{key}@{MAIL_DOMAIN}") for key, role in SIGN_INS.items()]


def _plan() -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(STORY.read_text(encoding="utf-8"))
    return loaded


def _found(plan: dict[str, Any], now: datetime) -> Club:
    admin = next(one for one in plan["people"] if one["role"] == Role.ADMIN)
    settings_of = {key: value for key, value in plan["club"].items() if key not in ("name", "slug")}
    return club_found(
        name=plan["club"]["name"],
        slug=plan["club"]["slug"],
        admin_name=admin["name"],
        admin_email=f"{admin['key']}@{MAIL_DOMAIN}",
        admin_password=PASSWORD,
        now=now + timedelta(days=FIRST_DAY),
        settings=settings_of,
    )


def _people(plan: dict[str, Any], club: Club, now: datetime) -> dict[str, Person]:
    people = {"tansy": Person.objects.for_club(club).get(role=Role.ADMIN)}
    for one in plan["people"]:
        if one["key"] in people:
            continue
        people[one["key"]] = person_join(
            club,
            name=one["name"],
            role=one["role"],
            **(
                {"email": f"{one['key']}@{MAIL_DOMAIN}", "password": PASSWORD}
                if one["key"] in SIGN_INS
                else {}
            ),
            joined_at=now + timedelta(days=FIRST_DAY),
            avoid_allergens=one.get("avoid_allergens", []),
        )
    return people


def _places(plan: dict[str, Any], club: Club, story: Story) -> tuple[dict[str, Place], dict[str, Weather]]:
    places, weather = {}, {}
    for one in plan["places"]:
        places[one["key"]] = Place.objects.create(
            club=club,
            name=one["name"],
            walking_order=one["walking_order"],
            temp_c=one["temp_c"],
            rh=one["rh"],
        )
        weather[one["key"]] = Weather(story, one)
    return places, weather


def _registrations(plan: dict[str, Any], story: Story, places: dict[str, Place]) -> list[Entry]:
    for one in plan["barrels"]:
        first = one["life"][0]["from"] - 1
        story.tell(
            "barrels",
            "alder",
            story.at(first, 11.0),
            place=places[one["place"]].pk,
            bought_on=story.at(first - 6, 11.0).date(),
            **{
                key: one[key]
                for key in ("name", "nominal_l", "stave_mm", "stave_count", "wood", "char", "price_minor")
            },
            hoops="stainless",
            spigot="wood",
            bung="cork",
            bung_tight=one["key"] in ("fairway", "neap", "bar-buoy"),
        )
    return list(story.entries)


def _recipes(plan: dict[str, Any], story: Story) -> list[Entry]:
    """Tells what stands in the recipe book."""
    story.entries.clear()
    for one in plan["recipes"]:
        content = {key: value for key, value in one.items() if key not in ("by", "days_ago")}
        story.tell("recipes", one["by"], story.at(-one["days_ago"], 20.0), **content)
    return list(story.entries)


def _after(
    plan: dict[str, Any], story: Story, club: Club, people: dict[str, Person], barrels: dict[str, Barrel]
) -> None:
    """Tells what stands out at the end: trouble, an entry that does not fit, wishes that clash, an owner."""
    story.entries.clear()
    names = {one["key"]: barrels[one["name"]] for one in plan["barrels"]}
    for one in plan["barrels"]:
        if trouble := one.get("trouble"):
            when = story.at(-trouble["days_ago"], 18.5)
            story.tell(
                "troubles",
                "wick",
                when,
                barrel=names[one["key"]].pk,
                kind=trouble["kind"],
                note=trouble["note"],
            )
        if owners := one.get("owners"):
            shares = [{"person": people[key].pk, "weight": weight} for key, weight in owners.items()]
            story.tell(
                "ownerships", "alder", story.at(-200, 12.0), barrel=names[one["key"]].pk, shares=shares
            )
    _misdated(plan["set_aside"], story, names)
    wishes = [_wish(one, story, people, names) for one in plan["reservations"]]
    _send(club, people, story.entries)
    story.entries.clear()
    for key, one in zip(wishes, plan["reservations"], strict=True):
        if one.get("confirmed"):
            story.tell(
                "reservation-decisions", "alder", story.at(-1, 21.0), reservation=key, decision="confirm"
            )
    _send(club, people, story.entries)
    left = [one for one in plan["people"] if "left_days_ago" in one]
    for one in left:
        Person.objects.filter(pk=people[one["key"]].pk).update(left_at=story.at(-one["left_days_ago"], 12.0))


def _misdated(one: dict[str, Any], story: Story, barrels: dict[str, Barrel]) -> None:
    fill = barrels[one["barrel"]].stays.filter(kind="fill", ended_at__isnull=True).get()
    tasted_on = fill.started_at.date() - timedelta(days=one["days_before_fill"])
    story.tell(
        "tastings",
        one["person"],
        story.at(-1, 20.0),
        barrel=barrels[one["barrel"]].pk,
        fill=fill.pk,
        tasted_on=tasted_on,
        liking=one["liking"],
        sample_ml=10.0,
    )


def _wish(one: dict[str, Any], story: Story, people: dict[str, Person], barrels: dict[str, Barrel]) -> UUID:
    starts_on = story.today + timedelta(days=one["from"])
    asked_at = story.at(-2 if one.get("confirmed") else -1, 20.0 + 0.01 * len(story.entries))
    return story.tell(
        "reservations",
        one["person"],
        asked_at,
        barrel=barrels[one["barrel"]].pk,
        starts_on=starts_on,
        ends_on=starts_on + timedelta(weeks=one["weeks"]),
        fill_name=one["fill_name"],
        spirit=one["spirit"],
        family=one["family"],
        volume_l=one["volume_l"],
        oak_wish=one["oak_wish"],
        sharers=[{"person": people[who].pk, "weight": weight} for who, weight in one["shares"].items()],
    )


def _send(club: Club, people: dict[str, Person], entries: list[Entry]) -> None:
    in_order = sorted(entries, key=lambda entry: (entry.happened_at, entry.id))
    commands = []
    barrels = Barrel.objects.for_club(club).select_related("place", "club").in_bulk()
    for entry in in_order:
        body = json.loads(json.dumps(entry.data, default=_plain))
        commands.append(
            command_build(
                club=club,
                author=people[entry.author],
                collection=entry.collection,
                act_id=entry.id,
                path=f"/api/v1/clubs/{club.pk}/{entry.collection}/{entry.id}",
                body=body,
                body_sha256=hashlib.sha256(rfc8785.dumps(body)).hexdigest(),
                data=entry.data,
                received_at=entry.received_at,
                barrels=barrels,
            )
        )
    acts_receive_many(commands)


def _plain(value: Any) -> str:
    if isinstance(value, UUID):
        return str(value)
    text: str = value.isoformat()
    return text
