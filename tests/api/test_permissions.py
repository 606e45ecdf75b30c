"""The permission table, in full: every address and method, every role, own club and other club, signed out.

A row says who may do it; everybody else of the club gets 403. Strangers, and keepers of another club, get 404 for all
of it; whoever is not signed in 401. A further test holds that no address and no method is missing here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection, transaction
from django.urls import URLPattern

from staveward.api.urls import urlpatterns
from staveward.models import Act, Bottle, Club, Fill
from tests.api.cast import ROLES, Caller, Cast, photo_file, problem, uuid7
from tests.api.everything import blend, everything
from tests.api.pouring import blind_body, flight_body

pytestmark = pytest.mark.django_db

PEOPLE = ("member", "sharer", "other_sharer", "owner", "keeper", "admin")
SEERS = (*PEOPLE, "tablet")
OWNERS = ("owner", "keeper", "admin")
KEEPERS = ("keeper", "admin")
SHARERS = ("sharer", "other_sharer")
ANYBODY = ("nobody", "stranger", "other_keeper")


class Scene(Cast):
    """A barrel with an owner and an open fill of two sharers, a private one beside it, and one of each row to read."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.owned()
        self.taken = self.done("curings", self.at_barrel(29, water_l=4.5))
        self.verdict = self.done("curing-verdicts", self.at_barrel(28, verdict="tight"))
        self.open_fill = self.fill()
        self.trouble = self.done("troubles", self.at_barrel(kind="leak"), by="member")
        self.late = self.done("curings", self.at_barrel(10, water_l=2.0))
        self.wish = self.done("reservations", self.wish_body(60), by="member")
        self.recipe = self.done("recipes", self.recipe_body(is_club=True))
        for name in (*ROLES, *ANYBODY):
            self[name]

    def recipe_body(self, **changes: Any) -> dict[str, Any]:
        parts = [{"name": "rye", "volume_l": 0.7, "abv_pct": 50}]
        return self.entry(name="rye, plain", spirit="whisky", family="spirit", parts=parts, **changes)

    def wish_body(self, in_days: int) -> dict[str, Any]:
        today = datetime.now(UTC).date()
        return self.at_barrel(
            starts_on=(today + timedelta(days=in_days)).isoformat(),
            ends_on=(today + timedelta(days=in_days + 28)).isoformat(),
            fill_name="rum, plain",
            spirit="rum",
            family="spirit",
            volume_l=4.8,
            abv_pct=55,
        )


# What is no JSON is a file.
Body = Callable[[Scene, str], dict[str, Any] | bytes]


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    name: str
    method: str
    allowed: tuple[str, ...]
    path: Callable[[Scene], str]
    body: Body | None = None
    settings: tuple[tuple[str, bool | str], ...] = ()
    note: str = ""
    private: bool = False

    def __str__(self) -> str:
        return f"{self.method} {self.name}{' ' + self.note if self.note else ''}".replace(" ", "-")


def reads(name: str, allowed: tuple[str, ...], *parts: str) -> Row:
    """A page of the club that is read; parts that name a fact of the scene stand for it."""
    return Row(name, "GET", allowed, lambda scene: scene.url(*(fact(scene, part) for part in parts)))


def fact(scene: Scene, part: str) -> str:
    """Returns what a part of an address stands for."""
    known = {
        "{barrel}": lambda: str(scene.barrel.pk),
        "{place}": lambda: str(scene.place.pk),
        "{member}": lambda: scene.id("member"),
        "{tag}": lambda: scene.barrel.tag_code,
        "{wish}": lambda: scene.wish,
        "{fill}": lambda: scene.open_fill,
        "{curing}": lambda: scene.taken,
        "{bottle}": lambda: str(scene.bottle.pk),
        "{bottle-tag}": lambda: scene.bottle.tag_code,
        "{vessel}": lambda: scene.entries["decants"],
        "{verdict}": lambda: scene.verdict,
        "{trouble}": lambda: scene.trouble,
        "{recipe}": lambda: scene.recipe,
        "{flight}": lambda: scene.flight,
    }
    return known[part]() if part in known else part


def act(
    collection: str,
    allowed: tuple[str, ...],
    body: Body,
    *,
    note: str = "",
    private: bool = False,
    **settings: bool | str,
) -> Row:
    """An entry that is sent under an id of its own."""
    return Row(
        collection,
        "PUT",
        allowed,
        lambda scene: scene.url(collection, uuid7()),
        body,
        tuple(settings.items()),
        note,
        private,
    )


def at(**body: Any) -> Body:
    """A body at the club's barrel that is the same for everybody."""
    return lambda scene, who: scene.at_barrel(
        **{name: fact(scene, value) if isinstance(value, str) else value for name, value in body.items()}
    )


def edits(name: str, allowed: tuple[str, ...], path: tuple[str, ...], /, **body: Any) -> Row:
    """A change of what people edit, against its first version."""
    return Row(
        name,
        "PATCH",
        allowed,
        lambda scene: scene.url(*(fact(scene, part) for part in path)),
        lambda scene, who: body,
    )


def taste(scene: Scene, who: str) -> dict[str, Any]:
    """A taste of one's own; the tablet's is a member's."""
    return scene.tasting_body(scene.open_fill, **({"taster": scene.id("member")} if who == "tablet" else {}))


def taste_without_name(scene: Scene, who: str) -> dict[str, Any]:
    return scene.tasting_body(scene.open_fill)


def taste_of_sharer(scene: Scene, who: str) -> dict[str, Any]:
    return scene.tasting_body(scene.open_fill, taster=scene.id("sharer"))


def weigh(scene: Scene, who: str) -> dict[str, Any]:
    return scene.at_barrel(kind="weight", mass_kg=9.5)


def climate(scene: Scene, who: str) -> dict[str, Any]:
    return scene.entry(kind="climate", place=str(scene.place.pk), temp_c=11.5, rh=0.8)


def fills(scene: Scene, who: str) -> dict[str, Any]:
    return scene.fill_body(days_ago=0)


def bottling(scene: Scene, who: str) -> dict[str, Any]:
    lines = [{"size_ml": 500, "fill_ml": 500, "count": 1}]
    return scene.entry(vessel=scene.entries["decants"], bottles=lines)


def let_down(scene: Scene, who: str) -> dict[str, Any]:
    return blend(scene, scene.entries["decants"])


def poured_away(scene: Scene, who: str) -> dict[str, Any]:
    return scene.entry(vessel=scene.entries["decants"], volume_l=0.1, reason="cloudy")


def opened(scene: Scene, who: str) -> dict[str, Any]:
    return scene.entry(bottle=str(scene.bottle.pk), change="opened")


def drawn(scene: Scene, who: str) -> dict[str, Any]:
    return scene.at_barrel(fill=scene.open_fill, sample_ml=20)


def unread(scene: Scene, who: str) -> dict[str, Any]:
    return {name: value for name, value in blind_body(scene, scene.flight).items() if name != "flight"}


def flight(scene: Scene, who: str) -> dict[str, Any]:
    return flight_body(scene, scene.pair, "other_sharer" if who == "sharer" else "sharer")


READS = [
    reads("club", SEERS),
    reads("places", SEERS, "places"),
    reads("place", SEERS, "places", "{place}"),
    reads("people", SEERS, "people"),
    reads("person", SEERS, "people", "{member}"),
    reads("barrels", SEERS, "barrels"),
    reads("barrel", SEERS, "barrels", "{barrel}"),
    reads("barrel-log", SEERS, "barrels", "{barrel}", "log"),
    reads("tag", SEERS, "tags", "{tag}"),
    reads("walk", SEERS, "walk"),
    reads("changes", SEERS, "changes"),
    reads("tray", PEOPLE, "tray"),
    reads("reservations", PEOPLE, "reservations"),
    reads("reservation", PEOPLE, "reservations", "{wish}"),
    Row(
        "barrel-suggestions",
        "GET",
        PEOPLE,
        lambda scene: (
            scene.url("barrel-suggestions")
            + f"?volume_l=4.8&spirit=rum&family=spirit&abv_pct=55&earliest={datetime.now(UTC).date()}&weeks=4"
        ),
    ),
    reads("recipes", PEOPLE, "recipes"),
    reads("recipe", PEOPLE, "recipes", "{recipe}"),
    reads("recipe-versions", PEOPLE, "recipes", "{recipe}", "versions"),
    reads("vessels", PEOPLE, "vessels"),
    reads("vessel", (*SHARERS, *KEEPERS), "vessels", "{vessel}"),
    reads("bottles", PEOPLE, "bottles"),
    reads("bottle", PEOPLE, "bottles", "{bottle}"),
    reads("bottle-tag", PEOPLE, "bottle-tags", "{bottle-tag}"),
    reads("flights", PEOPLE, "flights"),
    reads("flight", (*SHARERS, *KEEPERS), "flights", "{flight}"),
    reads("report", KEEPERS, "report"),
    reads("report-csv", KEEPERS, "report.csv"),
]

ACTS = [
    act("curings", OWNERS, at(water_l=4.5)),
    act("curing-verdicts", OWNERS, at(verdict="tight")),
    act("holds", OWNERS, at(water_l=2.5)),
    act("drainings", OWNERS, at()),
    act("moves", OWNERS, at(place="{place}")),
    act("retirements", OWNERS, at(reason="worn staves")),
    act("repairs", OWNERS, at(kind="retoast")),
    act("loans", OWNERS, at(borrower="the club across the water")),
    act("loan-returns", OWNERS, at()),
    act("tag-issues", OWNERS, at()),
    act("ownerships", OWNERS, at(shares=[])),
    act("fills", OWNERS, fills),
    act("fills", (*SHARERS, *OWNERS), fills, note="if the club allows sharers", sharers_may_fill=True),
    act("decants", OWNERS, at(measured_volume_l=4.0)),
    act(
        "decants",
        (*SHARERS, *OWNERS),
        at(measured_volume_l=4.0),
        note="if the club allows",
        sharers_may_fill=True,
    ),
    act("pull-votes", (*SHARERS, *OWNERS), at(fill="{fill}", choice="pull")),
    act("pulls", OWNERS, at(fill="{fill}")),
    act("pulls", (*SHARERS, *OWNERS), at(fill="{fill}"), note="if the sharers decide", pull_by="sharers"),
    *(
        row
        for name, body in (("bottlings", bottling), ("blends", let_down), ("discards", poured_away))
        for row in (
            act(name, KEEPERS, body),
            act(name, (*SHARERS, *KEEPERS), body, note="if the club allows sharers", sharers_may_fill=True),
        )
    ),
    act("bottle-changes", ("sharer", *KEEPERS), opened),
    act("tendings", SEERS, at(tasks=["roll"])),
    act(
        "tendings",
        (*SHARERS, *OWNERS, "tablet"),
        at(tasks=["roll"]),
        note="if the club does not allow members",
        members_may_tend=False,
    ),
    act("tendings", OWNERS, at(tasks=["sulphiting"]), note="of sulphite"),
    act("readings", PEOPLE, weigh),
    act(
        "readings",
        (*SHARERS, *OWNERS),
        weigh,
        note="if the club does not allow members",
        members_may_tend=False,
    ),
    act("readings", (*PEOPLE, "sensor"), climate, note="of the climate"),
    act(
        "readings",
        (*KEEPERS, "sensor"),
        climate,
        note="of the climate if not allowed",
        members_may_tend=False,
    ),
    act("tastings", SEERS, taste),
    act("tastings", PEOPLE, taste_without_name, note="without a name"),
    act("tastings", ("sharer", *KEEPERS, "tablet"), taste_of_sharer, note="of somebody else"),
    act("tastings", (*SHARERS, *KEEPERS), taste, note="if members may not", members_may_taste_all=False),
    act("tastings", (*SHARERS, *KEEPERS), taste, note="of a private fill", private=True),
    act("flights", PEOPLE, flight),
    act("flights", (*SHARERS, *KEEPERS), flight, note="of a private fill", private=True),
    act("flights", (*SHARERS, *KEEPERS), flight, note="if members may not", members_may_taste_all=False),
    act("samples", PEOPLE, drawn),
    act("samples", (*SHARERS, *KEEPERS), drawn, note="if members may not", members_may_taste_all=False),
    act("samples", (*SHARERS, *KEEPERS), drawn, note="of a private fill", private=True),
    act("blind-tastings", SHARERS, lambda scene, who: blind_body(scene, scene.flight)),
    act("blind-tastings", PEOPLE, unread, note="of a flight the phone has not read"),
    act(
        "flight-cancellations",
        KEEPERS,
        lambda scene, who: scene.entry(flight=scene.flight, reason="nobody came", is_poured=False),
    ),
    act("flight-closings", KEEPERS, lambda scene, who: scene.entry(flight=scene.flight)),
    act("troubles", SEERS, at(kind="leak")),
    act("trouble-settlements", OWNERS, at(trouble="{trouble}", outcome="mended")),
    act("voids", KEEPERS, lambda scene, who: scene.entry(act=scene.taken, reason="wrong barrel")),
    act(
        "tendings",
        KEEPERS,
        lambda scene, who: scene.at_barrel(tasks=["roll"], replaces=scene.others_roll),
        note="correcting somebody else",
    ),
    act("photo-removals", ("sharer", *KEEPERS), lambda scene, who: scene.entry(photo=scene.photo)),
    act("tray-decisions", OWNERS, lambda scene, who: scene.entry(act=scene.late, decision="leave")),
    act("reservations", PEOPLE, lambda scene, who: scene.wish_body(120)),
    act(
        "reservation-decisions",
        OWNERS,
        lambda scene, who: scene.entry(reservation=scene.wish, decision="confirm"),
    ),
    act(
        "reservation-decisions",
        ("member",),
        lambda scene, who: scene.entry(reservation=scene.wish, decision="withdraw"),
        note="of one's own wish",
    ),
    act(
        "barrels",
        KEEPERS,
        lambda scene, who: scene.entry(name="Fetch", place=str(scene.place.pk), nominal_l=10),
    ),
    act("recipes", PEOPLE, lambda scene, who: scene.recipe_body()),
    act("recipes", KEEPERS, lambda scene, who: scene.recipe_body(is_club=True), note="into the book"),
    act("places", KEEPERS, lambda scene, who: scene.entry(name="Loft")),
    act("people", ("admin",), lambda scene, who: scene.entry(name="New Hand", role="member")),
]

EDITS = [
    edits("barrel", OWNERS, ("barrels", "{barrel}"), note="stands by the door"),
    edits("place", KEEPERS, ("places", "{place}"), walking_order=3),
    edits("person", ("admin",), ("people", "{member}"), name="Able Hand"),
    edits("person", ("member", "admin"), ("people", "{member}"), avoid_allergens=["nuts"]),
    edits("recipe", KEEPERS, ("recipes", "{recipe}"), name="rye, drier"),
    edits("club", ("admin",), (), strict_water=True),
]

# Entries of each collection are read back by whoever sees the barrel's log.
ENTRY_READS = [
    Row(
        collection,
        "GET",
        SEERS,
        lambda scene, collection=collection: scene.url(collection, scene.entries[collection]),  # type: ignore[misc]
    )
    for collection in (
        "curings",
        "curing-verdicts",
        "fills",
        "decants",
        "holds",
        "drainings",
        "tendings",
        "readings",
        "tastings",
        "samples",
        "moves",
        "ownerships",
        "retirements",
        "repairs",
        "loans",
        "loan-returns",
        "tag-issues",
        "troubles",
        "trouble-settlements",
        "pull-votes",
        "pulls",
        "bottlings",
        "blends",
        "discards",
        "bottle-changes",
        "voids",
        "photo-removals",
        "tray-decisions",
    )
]

PHOTOS = [
    Row("photo", "GET", PEOPLE, lambda scene: scene.url("photos", scene.photo)),
    Row(
        "photo",
        "PUT",
        (*SHARERS, *OWNERS),
        lambda scene: scene.url("photos", f"{uuid7()}?act={scene.open_fill}"),
        lambda scene, who: photo_file(),
    ),
]

TABLE = [*READS, *ACTS, *EDITS, *ENTRY_READS, *PHOTOS]

# Addresses outside any club: open to all, or to whoever is signed in.
OUTSIDE = {("health", "GET"), ("schema", "GET"), ("me", "GET")}
# The register's own PUT stands under its collection in the table.
REGISTERS = {
    "barrel": "barrels",
    "place": "places",
    "person": "people",
    "recipe": "recipes",
    "flight": "flights",
}
REGISTERS_OF_INTENTS = {"reservation": "reservations", "reservation-decision": "reservation-decisions"}


@pytest.fixture(scope="module")
def scene(django_db_setup: None, django_db_blocker: Any) -> Iterator[Scene]:
    """One scene for the whole table; every request of a test is rolled back."""
    with django_db_blocker.unblock(), transaction.atomic():
        made = Scene()
        made.others_roll = made.done("tendings", made.at_barrel(1, tasks=["roll"]), by="admin")
        made.photo = uuid7()
        sent = made["sharer"].put_photo(
            made.url("photos", f"{made.photo}?act={made.open_fill}"), photo_file()
        )
        assert sent.status_code == 201, sent.content
        made.entries = everything(made)
        made.bottle = Bottle.objects.filter(holder=made.people["sharer"]).order_by("number")[0]
        made.pair = [made.open_fill, made.entries["fills"]]
        made.flight = made.done("flights", flight_body(made, made.pair, *SHARERS))
        yield made
        transaction.set_rollback(True)


def answered(scene: Scene, row: Row, who: str, path: str | None = None) -> tuple[int, str]:
    """Sends a row's request as somebody, and takes back what it did; returns the status and the code."""
    with transaction.atomic():
        if row.settings:
            Club.objects.filter(pk=scene.club.pk).update(**dict(row.settings))
        if row.private:
            Fill.objects.filter(pk=scene.open_fill).update(is_private=True)
        body = row.body(scene, who) if row.body else None
        headers = {"If-Match": '"1"'} if row.method == "PATCH" else None
        caller: Caller = scene[who]
        address = path or row.path(scene)
        answer = (
            caller.put_photo(address, body)
            if isinstance(body, bytes)
            else caller.call(row.method, address, body, headers=headers)
        )
        transaction.set_rollback(True)
    code = problem(answer)["code"] if answer.status_code >= 400 else ""
    return answer.status_code, code


@pytest.mark.parametrize("row", TABLE, ids=str)
def test_the_table_holds(scene: Scene, row: Row) -> None:
    """Who may is decided without the database, and asked of one; that it can be done is asked of the other too."""
    asked = (*ROLES, *ANYBODY) if connection.vendor == "sqlite" else row.allowed[:1]
    found = {who: answered(scene, row, who) for who in asked}

    success = {(200, "")} if row.method in ("GET", "PATCH") else {(201, "")}
    wrong = {who: said for who, said in found.items() if said not in expected(row, who, success)}
    assert not wrong


def expected(row: Row, who: str, success: set[tuple[int, str]]) -> set[tuple[int, str]]:
    """Returns the answers that the table allows."""
    if who == "nobody":
        return {(401, "signed_out")}
    if who in ("stranger", "other_keeper"):
        return {(404, "not_found")}
    return success if who in row.allowed else {(403, "forbidden")}


@pytest.mark.parametrize("row", TABLE, ids=str)
def test_the_club_next_door_is_not_there(scene: Scene, row: Row) -> None:
    """The club's own keeper, at the address of the other club, with a body that would do at home."""
    path = row.path(scene).replace(f"/clubs/{scene.club.slug}", f"/clubs/{scene.other.club.slug}")

    assert path != row.path(scene)
    assert answered(scene, row, "keeper", path) == (404, "not_found")


def test_no_address_and_no_method_is_missing_from_the_table() -> None:
    tested = {(row.name, row.method) for row in TABLE} | OUTSIDE
    missing = []
    for pattern in urlpatterns:
        assert isinstance(pattern, URLPattern)
        view = pattern.callback.view_class  # type: ignore[attr-defined]
        for method in ("GET", "POST", "PUT", "PATCH", "DELETE"):
            if not hasattr(view, method.lower()):
                continue
            name = pattern.name or ""
            if method == "PUT":
                name = {**REGISTERS, **REGISTERS_OF_INTENTS}.get(name, name)
            if (name, method) not in tested:
                missing.append((pattern.name, method))
    assert not missing


# --- what hangs on whose entry it is, and when ---------------------------------------------------------------

OWN = {"member": 201, "sharer": 201, "owner": 201, "keeper": 201, "admin": 201, "tablet": 403}


@pytest.mark.parametrize("who", OWN)
def test_everybody_corrects_an_entry_of_their_own_within_a_day(scene: Scene, who: str) -> None:
    with transaction.atomic():
        mine = scene.done("tendings", scene.at_barrel(tasks=["roll"]), by=who)
        mended = scene.at_barrel(tasks=["leak_check"], replaces=mine)
        by_correction = scene[who].put(scene.url("tendings", uuid7()), mended).status_code
        taken = scene.done("tendings", scene.at_barrel(tasks=["roll"]), by=who)
        by_void = (
            scene[who].put(scene.url("voids", uuid7()), scene.entry(act=taken, reason="slip")).status_code
        )
        transaction.set_rollback(True)

    assert (by_correction, by_void) == (OWN[who], OWN[who])


@pytest.mark.parametrize(
    ("who", "status"), [("member", 403), ("sharer", 201), ("owner", 201), ("keeper", 201)]
)
def test_after_a_day_it_is_for_those_whose_barrel_or_fill_it_is(scene: Scene, who: str, status: int) -> None:
    with transaction.atomic():
        mine = scene.done("tendings", scene.at_barrel(2, tasks=["roll"]), by=who)
        Act.objects.filter(pk=mine).update(received_at=datetime.now(UTC) - timedelta(days=1, minutes=1))
        answer = scene[who].put(scene.url("voids", uuid7()), scene.entry(act=mine, reason="slip"))
        transaction.set_rollback(True)

    assert answer.status_code == status


def test_a_private_fill_is_an_outline_to_outsiders(scene: Scene) -> None:
    """The mix and the tastings of a private fill are its sharers' and the keepers'; members see that there is one."""
    with transaction.atomic():
        Fill.objects.filter(pk=scene.open_fill).update(is_private=True)
        taste_id = scene.done("tastings", scene.tasting_body(scene.open_fill, note="plums"), by="sharer")
        seen = {}
        for who in SEERS:
            barrel = scene[who].get(scene.url("barrels", scene.barrel.pk)).json()
            entry = scene[who].get(scene.url("fills", scene.open_fill)).json()
            tasted = scene[who].get(scene.url("tastings", taste_id)).json()
            feed = scene[who].get(scene.url("changes")).content
            seen[who] = (
                barrel["contents"]["name"],
                barrel["contents"]["parts"] is not None,
                entry["body"] is not None,
                tasted["body"] is not None,
                b"plums" in feed,
            )
        transaction.set_rollback(True)

    inside = ("rye, plain", True, True, True, True)
    outside = (None, False, False, False, False)
    assert seen == {who: inside if who in (*SHARERS, *KEEPERS) else outside for who in SEERS}
