"""A barrel as its reader sees it: register, state, contents, wood, care and what comes next, all derived.

``barrel_rows`` answers for a page of barrels with the same number of queries whatever the page's length. Of a
private fill those outside it get an outline: that there is one, since when, how much is left and what it may do to
somebody with an allergy, but not what it is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from staveward.models import Act, Barrel, Club, FillPart, Person, Placement, Stay, StayKind
from staveward.science.evaporation import usual_stave_mm
from staveward.science.geometry import BarrelShape
from staveward.science.vocabulary import HOLD_TARGET_FRACTION, BarrelState, TendingKind
from staveward.selectors import cellar_facts
from staveward.selectors import stays as facts
from staveward.selectors.authority import permits
from staveward.selectors.care import CareBook, CareDue, CareSubject
from staveward.selectors.forecasts import Contents, as_range, forecast_at, near_shown
from staveward.selectors.geometry import MEASURE_FIELDS, assumed_mm, barrel_shape, capacity_basis
from staveward.selectors.pull_forecasts import pull_row
from staveward.selectors.questions import Question, Scope
from staveward.selectors.shapes import date_text, instant_text
from staveward.selectors.stays import FillFacts, StayFacts
from staveward.selectors.tightness import last_shown
from staveward.selectors.wood import (
    WoodAnswer,
    adopted_wood,
    allergens_held,
    carry_over,
    wood_answers,
    wood_question,
)

BUNG_UP = 12
# Air-dry oak and what stands on a shell besides its inner surface (chimes, hoops, spigot): working assumptions.
OAK_KG_M3 = 700.0
SHELL_FACTOR = 1.2
# Full of water, the heaviest thing it holds: nobody is hurt by a figure that is a little high.
FULL_KG_L = 1.0


def barrel_queryset(club: Club) -> QuerySet[Barrel]:
    """Returns the club's barrels by name."""
    return Barrel.objects.for_club(club).select_related("place")


def barrels_in_state(barrels: QuerySet[Barrel], state: str) -> QuerySet[Barrel]:
    """Returns the barrels that are in a state, which is derived and so asked of their stays."""
    mine = Stay.objects.filter(barrel=OuterRef("pk"))
    latest = mine.order_by("-started_at", "-id")
    retired = Act.objects.filter(
        barrel=OuterRef("pk"),
        collection="retirements",
        is_head=True,
        is_void=False,
        placement=Placement.PLACED,
    )
    known = barrels.annotate(
        is_retired=Exists(retired),
        open_kind=Subquery(mine.filter(ended_at__isnull=True).values("kind")[:1]),
        # Where there was no stay yet, "" instead of NULL, which no exclusion would let through.
        last_kind=Coalesce(Subquery(latest.values("kind")[:1]), Value("")),
        last_outcome=Coalesce(Subquery(latest.values("outcome")[:1]), Value("")),
        was_used=Exists(mine.exclude(kind=StayKind.CURING)),
    )
    if state == BarrelState.RETIRED:
        return known.filter(is_retired=True)
    known = known.filter(is_retired=False)
    kind = {BarrelState.CURING: "curing", BarrelState.FILLED: "fill", BarrelState.HELD: "hold"}.get(
        BarrelState(state)
    )
    if kind is not None:
        return known.filter(open_kind=kind)
    known = known.filter(open_kind__isnull=True)
    if state == BarrelState.READY:
        return known.filter(last_kind=StayKind.CURING, last_outcome="tight")
    known = known.exclude(last_kind=StayKind.CURING, last_outcome="tight")
    return known.filter(was_used=state == BarrelState.EMPTY)


def barrel_row(barrel: Barrel, club: Club, reader: Person, now: datetime) -> dict[str, Any]:
    """Returns one barrel as the reader sees it."""
    return barrel_rows([barrel], club, reader, now)[0]


def barrel_rows(barrels: Iterable[Barrel], club: Club, reader: Person, now: datetime) -> list[dict[str, Any]]:
    """Returns barrels as the reader sees them; the number of queries does not depend on how many."""
    page = list(barrels)
    if not page:
        return []
    cellar = Cellar(page, club, reader, now)
    return [view.row() for view in cellar.views]


class Cellar:
    """A page of barrels with everything that is known of them, each kind of fact read once."""

    def __init__(self, barrels: Sequence[Barrel], club: Club, reader: Person, now: datetime) -> None:
        self.club, self.reader, self.now = club, reader, now
        self.zone = ZoneInfo(club.timezone)
        self.care_book = CareBook(club)
        scope = Scope(club.pk, tuple(barrel.pk for barrel in barrels))
        today = now.astimezone(self.zone).date()
        self.stays = facts.stays_by_barrel(scope)
        self.fills = facts.fills_by_stay(scope)
        self.shares = facts.shares_by_fill(scope)
        self.forecasts = facts.forecasts_by_stay(scope)
        self.pulls = facts.pulls_by_stay(scope)
        self.marks = facts.marks_by_stay(scope)
        self.solutions = facts.solutions(scope)
        self.water_l = facts.water_by_stay(scope)
        self.retired_at = facts.retired_at_by_barrel(scope)
        self.troubles = facts.troubles_by_barrel(scope)
        self.reservations = facts.reservations_by_barrel(scope, today)
        self.owners = facts.owners_by_barrel(scope)
        self.loans = cellar_facts.loans_by_barrel(scope)
        self.sulphite = cellar_facts.sulphite_by_barrel(scope)
        self.looked_at = cellar_facts.looked_at_by_barrel(scope)
        self.repaired_at = cellar_facts.repaired_at_by_barrel(scope)
        self.former_tags = cellar_facts.former_tags_by_barrel(scope)
        self.parts = _parts_by_fill(scope)
        self.temp_c: dict[UUID, float] = dict(_temperatures(scope))
        questions = [
            wood_question(
                self.stays.get(barrel.pk, ()),
                self.fills,
                adopted_wood(barrel),
                now,
            )
            for barrel in barrels
        ]
        self.views = [
            BarrelView(self, barrel, wood)
            for barrel, wood in zip(barrels, wood_answers(questions), strict=True)
        ]

    def is_closed(self, fill: FillFacts) -> bool:
        """Whether a fill is an outline to the reader."""
        return fill.is_private and not permits(self.reader, "see_private", sharers=self.sharers(fill))

    def sharers(self, fill: FillFacts) -> frozenset[UUID]:
        """Returns the people of a fill."""
        return frozenset(person for person, _ in self.shares.get(fill.act_id, ()))


@dataclass
class BarrelView:
    """One barrel of a page; each part of its row is a method."""

    cellar: Cellar
    barrel: Barrel
    wood: WoodAnswer

    @cached_property
    def stays(self) -> Sequence[StayFacts]:
        return self.cellar.stays.get(self.barrel.pk, ())

    @cached_property
    def stay(self) -> StayFacts | None:
        return facts.open_stay(self.stays)

    @cached_property
    def fill(self) -> FillFacts | None:
        return self.cellar.fills.get(self.stay.id) if self.stay is not None else None

    @cached_property
    def is_closed(self) -> bool:
        return self.fill is not None and self.cellar.is_closed(self.fill)

    @cached_property
    def shape(self) -> BarrelShape:
        return barrel_shape(self.barrel)

    @cached_property
    def capacity_l(self) -> float:
        return self.barrel.nominal_l if self.basis == "nominal" else self.shape.capacity_l

    @cached_property
    def basis(self) -> str:
        return capacity_basis(self.barrel)

    @cached_property
    def state(self) -> tuple[str, datetime]:
        return facts.barrel_state(
            self.stays, self.cellar.retired_at.get(self.barrel.pk), self.barrel.registered_at
        )

    @cached_property
    def marks(self) -> Mapping[str, datetime]:
        return self.cellar.marks.get(self.stay.id, {}) if self.stay is not None else {}

    @cached_property
    def now(self) -> Contents | None:
        forecast = self.cellar.forecasts.get(self.stay.id) if self.stay is not None else None
        return None if forecast is None else forecast_at(forecast.near, self.cellar.now)

    @cached_property
    def quarantined(self) -> bool:
        return any(trouble.quarantine for trouble in self.cellar.troubles.get(self.barrel.pk, ()))

    @cached_property
    def may_taste(self) -> bool:
        """Whether the reader may log a taste of what is in it now."""
        fill = self.fill
        if fill is None or self.quarantined:
            return False
        return permits(
            self.cellar.reader,
            "taste",
            sharers=self.cellar.sharers(fill),
            owners=frozenset(person for person, _ in self.cellar.owners.get(self.barrel.pk, ())),
            open_fill=fill.open_to_tasting and not fill.is_private,
            club=self.cellar.club,
        )

    @property
    def is_away(self) -> bool:
        """Whether nobody of the club can walk to it: lent, or missing."""
        troubles = self.cellar.troubles.get(self.barrel.pk, ())
        return self.barrel.pk in self.cellar.loans or any(trouble.kind == "missing" for trouble in troubles)

    def sulphite_row(self) -> dict[str, Any] | None:
        """Returns the sulphite that a next fill would meet: the last gate passed or strip read says, which is later."""
        found = self.cellar.sulphite.get(self.barrel.pk)
        return None if found is None or found.is_past else found.as_row()

    def loan_row(self) -> dict[str, Any] | None:
        """Returns who has it, or None while it is at home."""
        loan = self.cellar.loans.get(self.barrel.pk)
        return None if loan is None else loan.as_row()

    def care(self) -> list[CareDue]:
        """Returns what the barrel asks for, soonest first; of one that is not here, nothing can be asked."""
        if self.is_away:
            return []
        state, since = self.state
        pull = self.cellar.pulls.get(self.stay.id) if self.stay is not None else None
        subject = CareSubject(
            state=state,
            since=since,
            capacity_l=self.capacity_l,
            marks=self.marks,
            is_solution=self.stay is not None and self.stay.id in self.cellar.solutions,
            temp_c=self.cellar.temp_c.get(self.barrel.place_id),
            planned_days=self.fill.planned_days if self.fill is not None else None,
            best_week=None if pull is None else float(pull.near["best_week"][1]),
            looked_at=self.cellar.looked_at.get(self.barrel.pk),
            refill_at=cellar_facts.refill_at(
                self.cellar.sulphite.get(self.barrel.pk),
                facts.next_reservation(self.cellar.reservations.get(self.barrel.pk, ())),
                self.cellar.zone,
            ),
        )
        return self.cellar.care_book.due(subject)

    def mass_full_kg(self) -> float:
        """Returns what it weighs full, from the scale or from its wood."""
        known = self.barrel.wet_mass_kg or self.barrel.dry_mass_kg
        if known is None:
            stave_mm = self.barrel.stave_mm or float(usual_stave_mm(self.capacity_l))
            known = SHELL_FACTOR * OAK_KG_M3 * self.shape.wood_area_cm2 / 1e4 * stave_mm / 1e3
        return round(known + FULL_KG_L * self.capacity_l, 1)

    def row(self) -> dict[str, Any]:
        """Returns the barrel as the API shows it."""
        barrel, cellar = self.barrel, self.cellar
        state, since = self.state
        booked = facts.next_reservation(cellar.reservations.get(barrel.pk, ()))
        return {
            "id": str(barrel.pk),
            "version": barrel.version,
            "name": barrel.name,
            "tag_code": barrel.tag_code,
            "place": str(barrel.place_id),
            "nominal_l": barrel.nominal_l,
            "capacity_l": round(self.capacity_l, 3),
            "capacity_basis": self.basis,
            "shape": {
                "profile": self.shape.profile,
                "bilge_diameter_cm": round(self.shape.bilge_diameter_cm, 2),
                "head_diameter_cm": round(self.shape.head_diameter_cm, 2),
                "length_cm": round(self.shape.length_cm, 2),
                "stave_mm": barrel.stave_mm,
                "stave_count": barrel.stave_count,
                "assumed_mm": assumed_mm(barrel),
            },
            "wood": barrel.wood,
            "char": barrel.char,
            "bung_tight": barrel.bung_tight,
            "max_abv_pct": barrel.max_abv_pct,
            "mass_full_kg": self.mass_full_kg(),
            "state": state,
            "state_since": instant_text(since),
            "bung_clock": self.stay.bung_clock if self.stay is not None else BUNG_UP,
            "contents": self.contents_row(),
            "now": self.now_row(),
            "wood_used": self.wood.used,
            "wood_spent": self.wood.is_spent,
            "fills_left": self.wood.fills_left,
            "held_before": self.held_before_rows(),
            "carry_over_pct": carry_over(self.shape, barrel.stave_mm, self.stays, barrel.adopted, cellar.now),
            "allergens": allergens_held(self.stays, cellar.fills, barrel.adopted_allergens),
            "care": [due.as_row() for due in self.care()],
            "water": self.water_row(),
            "timeline": self.timeline_rows(),
            "owners": _share_rows(cellar.owners.get(barrel.pk, ())),
            "next_reservation": None if booked is None else reservation_row(booked),
            "troubles": self.trouble_rows(),
            "loan": self.loan_row(),
            "sulphite": self.sulphite_row(),
            "repaired_at": instant_text(cellar.repaired_at.get(barrel.pk)),
            "tightness": self.tightness_row(),
            "former_tags": cellar.former_tags.get(barrel.pk, []),
            "register": register_row(barrel),
        }

    def contents_row(self) -> dict[str, Any] | None:
        """Returns what is in the barrel, or its outline."""
        stay, fill, cellar = self.stay, self.fill, self.cellar
        if stay is None:
            return None
        forecast = cellar.forecasts.get(stay.id)
        pull = cellar.pulls.get(stay.id)
        start_l = fill.volume_l if fill is not None else cellar.water_l.get(stay.id, 0.0)
        open_fill = None if fill is None or self.is_closed else fill
        return {
            "stay": str(stay.id),
            "kind": stay.kind,
            "started_at": instant_text(stay.started_at),
            "name": open_fill.name if open_fill else None,
            "spirit": open_fill.spirit if open_fill else None,
            "family": open_fill.family if open_fill else None,
            "abv_basis": open_fill.abv_basis if open_fill else None,
            "is_private": fill.is_private if fill else False,
            "open_to_tasting": fill.open_to_tasting if fill else False,
            "may_taste": self.may_taste,
            "start_volume_l": round(start_l, 4),
            "start_abv_pct": round(open_fill.abv_pct, 3) if open_fill else None,
            "sugar_g_l": round(open_fill.sugar_g_l, 2) if open_fill else None,
            "sharers": _share_rows(cellar.shares.get(open_fill.act_id, ())) if open_fill else [],
            "club_weight": open_fill.club_weight if open_fill else 0,
            # What a glass of it may do to somebody is nobody's secret.
            "allergens": sorted(fill.allergens) if fill else [],
            "parts": cellar.parts.get(open_fill.act_id, []) if open_fill else None,
            "sample_budget_ml": fill.sample_budget_ml if fill else 0,
            "sample_used_ml": round(stay.sample_used_ml, 2),
            "planned_days": fill.planned_days if fill else None,
            "near": None if forecast is None else near_shown(forecast.near, with_strength=not self.is_closed),
            "forecast_at": None if forecast is None else instant_text(forecast.made_at),
            "climate_guessed": True if forecast is None else forecast.climate_guessed,
            "pull": None if pull is None or self.is_closed else pull_row(pull),
        }

    def now_row(self) -> dict[str, Any] | None:
        """Returns volume, strength and level at this moment."""
        found = self.now
        if found is None:
            return None
        with_strength = found.abv_pct is not None and not self.is_closed
        return {
            "at": instant_text(self.cellar.now),
            "volume_l": as_range(found.volume_l, 4),
            "abv_pct": as_range(found.abv_pct, 3) if with_strength and found.abv_pct else None,
            "level": as_range(found.level, 4),
        }

    def water_row(self) -> dict[str, Any] | None:
        """Returns what a wet hold is judged by: when its water was changed, its half mark, when it wants more."""
        stay = self.stay
        if stay is None or stay.kind != StayKind.HOLD:
            return None
        forecast = self.cellar.forecasts.get(stay.id)
        return {
            "changed_at": instant_text(water_changed_at(stay, self.marks)),
            "half_volume_l": round(HOLD_TARGET_FRACTION * self.capacity_l, 4),
            # A lying barrel is alike above and below its axis, so half its volume stands at half its height.
            "half_level": 0.5,
            "top_up_at": None if forecast is None else forecast.near.get("top_up_at"),
        }

    def held_before_rows(self) -> list[dict[str, Any]]:
        """Returns the fills that have ended, oldest first.

        Spirit and family stay readable even of a private one: whoever fills next must know what the wood holds.
        """
        cellar = self.cellar
        rows = []
        for stay in self.stays:
            fill = cellar.fills.get(stay.id)
            if fill is not None and stay.ended_at is not None:
                rows.append(
                    {
                        "name": None if cellar.is_closed(fill) else fill.name,
                        "spirit": fill.spirit,
                        "family": fill.family,
                        "ended_on": date_text(stay.ended_at.astimezone(cellar.zone).date()),
                    }
                )
        return rows

    def tightness_row(self) -> dict[str, Any]:
        """Returns whether the barrel was last shown to be tight."""
        repaired_at = self.cellar.repaired_at.get(self.barrel.pk)
        return last_shown(self.stays, [] if repaired_at is None else [repaired_at]).as_row()

    def timeline_rows(self) -> list[dict[str, Any]]:
        """Returns the stays in order, as the time-line draws them."""
        rows = []
        for stay in self.stays:
            fill = self.cellar.fills.get(stay.id)
            rows.append(
                {
                    "kind": stay.kind,
                    "from": instant_text(stay.started_at),
                    "to": instant_text(stay.ended_at),
                    "name": fill.name if fill is not None and not self.cellar.is_closed(fill) else None,
                }
            )
        return rows

    def trouble_rows(self) -> list[dict[str, Any]]:
        """Returns the open troubles, oldest first."""
        return [
            {
                "id": str(trouble.id),
                "kind": trouble.kind,
                "since": instant_text(trouble.since),
                "sign": trouble.sign,
                "quarantine": trouble.quarantine,
                "note": trouble.note,
                "tastes": [str(taste) for taste in trouble.tastes],
            }
            for trouble in self.cellar.troubles.get(self.barrel.pk, ())
        ]


def water_changed_at(stay: StayFacts, marks: Mapping[str, datetime]) -> datetime:
    """Returns when the water of a hold was last changed; it was fresh when the hold began."""
    return marks.get(TendingKind.WATER_CHANGE, stay.started_at)


def reservation_row(one: facts.ReservationFacts) -> dict[str, Any]:
    """Returns a reservation in short, as a barrel shows its next one."""
    return {
        "id": str(one.id),
        "person": str(one.person_id),
        "starts_on": date_text(one.starts_on),
        "ends_on": date_text(one.ends_on),
        "state": one.state,
    }


def _share_rows(shares: Iterable[tuple[UUID, int]]) -> list[dict[str, Any]]:
    return [{"person": str(person), "weight": weight} for person, weight in shares]


def _parts_by_fill(scope: Scope) -> dict[UUID, list[dict[str, Any]]]:
    """Returns what was poured into the fills that are in the barrels now, in the order of pouring."""
    found: defaultdict[UUID, list[dict[str, Any]]] = defaultdict(list)
    for fill_id, name, volume_l, abv_pct in _parts(scope):
        found[fill_id].append({"name": name, "volume_l": volume_l, "abv_pct": abv_pct})
    return dict(found)


@Question
def _parts(scope: Scope) -> QuerySet[Any, Any]:
    mine = FillPart.objects.filter(
        scope.on("fill__act__stay__barrel_id", "fill__act__stay__club_id"),
        facts.standing("fill__act"),
        fill__act__collection="fills",
        fill__act__stay__ended_at__isnull=True,
    )
    return mine.order_by("position").values_list("fill_id", "name", "volume_l", "abv_pct")


@Question
def _temperatures(scope: Scope) -> QuerySet[Any, Any]:
    # Of the places of the barrels asked for.
    mine = Barrel.objects.filter(scope.on("pk", "club_id"))
    return mine.order_by("place_id").values_list("place_id", "place__temp_c").distinct()


# What the register holds besides name, place and size: what a screen that edits it must know.
REGISTER_FIELDS = (
    "dry_mass_kg",
    "wet_mass_kg",
    "weighed_capacity_l",
    *MEASURE_FIELDS,
    "hoops",
    "spigot",
    "bung",
    "maker",
    "adopted",
    "adopted_allergens",
    "note",
)


def register_row(barrel: Barrel) -> dict[str, Any]:
    """Returns what was registered, as it was registered: a measure nobody took is None, whatever the shape assumes."""
    return {name: getattr(barrel, name) for name in REGISTER_FIELDS}
