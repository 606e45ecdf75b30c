"""The life of each demo barrel: its curings, fills and holds, with the care they had and what was measured.

What the wood holds inside comes from ``science.ageing`` at a multiplier of the barrel's own that the club does not
know; what people read of it carries their scatter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import UUID

import numpy as np

from staveward.demo.bottles import Decanted
from staveward.demo.story import Story
from staveward.demo.weather import Weather
from staveward.models import Barrel
from staveward.science.ageing import trajectory
from staveward.science.blending import Part, blend
from staveward.science.wood import soaked_l
from staveward.selectors.geometry import barrel_shape

CM2_PER_M2 = 10_000.0
DRAIN_LOSS_L = 0.05
KEEPERS = ["alder", "wick"]
FILL_CARE = ["roll", "leak_check", "spigot_check"]
BUNG_CLOCKS = (12, 4, 8)


@dataclass
class Inside:
    """What is truly in the barrel through one fill: litres and % vol by day."""

    volume_l: np.ndarray[Any, Any]
    abv_pct: np.ndarray[Any, Any]


class Life:
    """Tells one barrel's life."""

    def __init__(
        self, story: Story, plan: dict[str, Any], barrel: Barrel, weather: Weather, people: dict[str, UUID]
    ) -> None:
        self.story, self.plan, self.barrel, self.weather, self.people = story, plan, barrel, weather, people
        self.decants: list[Decanted] = []
        self.shape = barrel_shape(barrel)
        self.area_m2 = self.shape.wood_area_cm2 / CM2_PER_M2
        self.stave_mm = float(plan["stave_mm"])
        self.capacity_l = round(barrel.nominal_l * story.near(1.01, 0.008), 2)
        self.dry_kg = round(0.70 * self.area_m2 * self.stave_mm * 1.35 + 0.25, 2)
        self.wet_kg = round(self.dry_kg * 1.17, 2)

    def tell(self, mixes: dict[str, Any]) -> None:
        """Tells everything, in order."""
        life = self.plan["life"]
        for number, stay in enumerate(life):
            until = stay.get("to", life[number + 1]["from"] if number + 1 < len(life) else None)
            match stay["kind"]:
                case "curing":
                    self._curing(stay)
                case "fill":
                    self._fill(stay, mixes[stay["mix"]])
                case "hold":
                    self._hold(stay, until)
                case "retirement":
                    self._act("retirements", stay["from"], 11.0, reason=stay["reason"])

    def _act(self, collection: str, day: float, hour: float, author: str = "alder", **data: Any) -> UUID:
        return self.story.tell(collection, author, self.story.at(day, hour), barrel=self.barrel.pk, **data)

    # --- curing ----------------------------------------------------------------------------------------------

    def _curing(self, stay: dict[str, Any]) -> None:
        start, end = stay["from"], stay.get("to")
        self._act("curings", start, 10.0, water_l=round(0.97 * self.capacity_l, 2), dry_mass_kg=self.dry_kg)
        leak = float(stay.get("leak_ml_day", 25.0))
        fades = end is not None or stay.get("closing", False)
        hours = 2.0
        until = 24.0 * ((end if end is not None else 0) - start) - (1.0 if end is not None else -8.0)
        last = 0.0
        for joint in stay.get("joints", ()):
            at = [{"part": "stave", "clock": joint["clock"], "state": "wiped"}]
            self._act("tendings", start + joint["wiped_h"] / 24.0, 10.0, tasks=["leak_check"], joints=at)
            seen = [{**at[0], "state": joint["state"]}]
            self._act("tendings", start + joint["seen_h"] / 24.0, 10.0, tasks=["leak_check"], joints=seen)
        while hours < until and self.story.is_past(start + hours / 24.0, 10.0):
            soaked = float(
                np.diff(soaked_l([last / 24.0, hours / 24.0], self.area_m2, self.stave_mm, "dry"))[0]
            )
            dripped = leak * (hours - last) / 24.0 * (np.exp(-hours / 20.0) if fades else 1.0)
            volume_l = max(0.0, self.story.near(soaked + dripped / 1000.0, 0.002))
            if volume_l >= 0.005:
                moment = start + hours / 24.0
                self._act(
                    "tendings",
                    moment,
                    10.0,
                    self.story.one_of(KEEPERS),
                    tasks=["top_up"],
                    volume_l=round(volume_l, 3),
                    abv_pct=0.0,
                    reading_u_ml=2.0,
                    is_well=fades or hours < 48.0,
                )
            last = hours
            hours += 4.0 if hours < 24.0 else 12.0
        if end is not None:
            self._act(
                "curing-verdicts",
                end,
                17.0,
                verdict="tight",
                wet_mass_kg=self.wet_kg,
                weighed_capacity_l=self.capacity_l,
            )

    # --- fills -----------------------------------------------------------------------------------------------

    def _fill(self, stay: dict[str, Any], mix: dict[str, Any]) -> None:
        start, end = stay["from"], stay.get("to")
        parts = self._parts(mix, stay["fullness"] * self.capacity_l)
        fill = self._act(
            "fills",
            start,
            15.0,
            name=mix["name"],
            spirit=mix["spirit"],
            family=mix["family"],
            parts=parts,
            sharers=[
                {"person": self.people[key], "weight": weight} for key, weight in stay["sharers"].items()
            ],
            is_private=stay.get("is_private", False),
            planned_days=stay.get("planned_days", (end - start) if end is not None else None),
        )
        last = end if end is not None else 0
        inside = self._inside(parts, start, last)
        tastes = self._taste_days(start, last, stay)
        self._care(start, last)
        for day in tastes:
            self._tasting(stay, fill, start, day)
        self._readings(parts, inside, start, last)
        if end is not None:
            soak = float(soaked_l(end - start, self.area_m2, self.stave_mm, "wet"))
            measured: dict[str, Any] = {
                "measured_volume_l": round(max(0.2, inside.volume_l[-1] - soak - DRAIN_LOSS_L), 2)
            }
            if not any(part["sugar_g_l"] for part in parts):
                # An alcoholmeter tells the strength of a plain spirit only.
                measured["abv_pct"] = round(self.story.near(inside.abv_pct[-1], 0.2), 1)
            act = self._act("decants", end, 16.0, **measured)
            self.decants.append(Decanted(act, end, measured["measured_volume_l"]))

    def _parts(self, mix: dict[str, Any], wanted_l: float) -> list[dict[str, Any]]:
        """Returns the parts that together make the wanted volume, contraction counted."""
        shares = mix["parts"]
        mixed = blend([Part(one["share"], one["abv_pct"], one.get("sugar_g_l", 0.0)) for one in shares])
        scale = wanted_l / float(mixed.volume_l)
        return [
            {
                "name": one["name"],
                "volume_l": round(one["share"] * scale, 3),
                "abv_pct": one["abv_pct"],
                "sugar_g_l": one.get("sugar_g_l", 0.0),
                "temp_c": 20.0,
                "allergens": one.get("allergens", []),
                "cost_minor": round(one["share"] * scale * one.get("cost_minor_per_l", 0)),
            }
            for one in shares
        ]

    def _inside(self, parts: list[dict[str, Any]], start: int, end: int) -> Inside:
        mixed = blend([Part(one["volume_l"], one["abv_pct"], one["sugar_g_l"]) for one in parts])
        days = end - start
        temp_c, rh = self.weather.between(start, days)
        course = trajectory(
            float(mixed.volume_l),
            float(mixed.abv_pct),
            days,
            temp_c[None, :],
            rh[None, :],
            self.capacity_l,
            self.area_m2,
            self.stave_mm,
            sugar_g_l=float(mixed.sugar_g_l),
            wood_state="wet",
            k_median=self.plan["true_k"],
            k_spread=1.0,
            leak_spread=1.0,
        )
        return Inside(course.volume_mid_l[0], course.abv_mid_pct[0])

    def _care(self, start: int, end: int) -> None:
        for day in range(start + 1, min(start + 4, end)):
            self._act("tendings", day, 17.5, self.story.one_of(KEEPERS), tasks=["leak_check"])
        # Somebody walks the cellar every week; the last walk was within the week.
        for day in range(start + 7, end, 7):
            self._act("tendings", day, 17.5, self.story.one_of(KEEPERS), tasks=FILL_CARE, bung_clock=12)

    def _taste_days(self, start: int, end: int, stay: dict[str, Any]) -> list[int]:
        size = self.barrel.nominal_l
        first = 7 if size <= 4 else 14 if size <= 25 else 28
        every = 7 if size <= 25 else 14
        if "to" in stay:
            return list(range(start + first, end - 1, every))
        newest = -7 if stay.get("taste_due_today") else -int(self.story.chance.integers(2, min(6, every)))
        return sorted(range(newest, start + first - 1, -every))

    def _tasting(self, stay: dict[str, Any], fill: UUID, start: int, day: int) -> None:
        week = (day - start) / 7.0
        peak_week, peak = self.plan["peak_week"], self.plan["peak"]
        distance = np.log((week + 1.0) / (peak_week + 1.0))
        true_liking = peak - 4.2 * (np.sqrt(1.0 + distance**2) - 1.0) * 2.0
        # Of few sharers most come to a tasting; of many about three.
        attendance = min(0.78, 3.0 / len(stay["sharers"]))
        for place, taster in enumerate(stay["sharers"]):
            if not self.story.is_likely(attendance):
                continue
            offset = self._offset(taster)
            liking = float(
                np.clip(np.round(2.0 * self.story.near(true_liking + offset, 0.5)) / 2.0, 0.0, 10.0)
            )
            self._act(
                "tastings",
                day,
                19.0 + 0.1 * place,
                taster,
                fill=fill,
                tasted_on=(self.story.at(day, 19.0)).date(),
                liking=liking,
                oak=int(np.sign(np.round(1.6 * self.story.near(float(distance), 0.25)))),
                sample_ml=5.0
                if self.barrel.nominal_l <= 3
                else 10.0
                if self.barrel.nominal_l <= 10
                else 15.0,
            )

    def _offset(self, taster: str) -> float:
        """Returns how much higher or lower this taster always scores."""
        return float(np.random.default_rng(sum(taster.encode())).normal(0.0, 0.6))

    def _readings(self, parts: list[dict[str, Any]], inside: Inside, start: int, end: int) -> None:
        every = 14 if self.barrel.nominal_l < 10 else 28
        mixed = blend([Part(one["volume_l"], one["abv_pct"], one["sugar_g_l"]) for one in parts])
        density_kg_l = float(mixed.mass_kg / mixed.volume_l)
        for day in range(start + 14, end, every):
            volume_l = float(inside.volume_l[day - start])
            if self.barrel.nominal_l <= 10:
                mass_kg = self.story.near(self.wet_kg + volume_l * density_kg_l, 0.008)
                self._act("readings", day, 17.7, kind="weight", mass_kg=round(mass_kg, 2))
            else:
                dip_cm = float(self.shape.dip_at_volume_cm(min(volume_l, 0.99 * self.shape.capacity_l)))
                self._act(
                    "readings", day, 17.7, kind="dip", dip_mm=round(self.story.near(10.0 * dip_cm, 1.5))
                )

    # --- holds -----------------------------------------------------------------------------------------------

    def _hold(self, stay: dict[str, Any], until: int | None) -> None:
        start = stay["from"]
        self._act(
            "holds",
            start,
            17.0,
            water_l=round(0.5 * self.capacity_l, 2),
            spirit_dose_ml=float(stay.get("dose_ml", 0.0)),
            bung_clock=12,
        )
        newest = -int(stay.get("changed_days_ago", 3))
        last = until - 1 if until is not None else newest
        days = list(range(last, start + 3, -7))[::-1]
        for number, day in enumerate(days):
            is_last = until is None and day == days[-1]
            clock = (
                stay.get("bung_clock", BUNG_CLOCKS[(number + 1) % 3])
                if is_last
                else BUNG_CLOCKS[(number + 1) % 3]
            )
            self._act(
                "tendings",
                day,
                9.5 if is_last else 18.0,
                self.story.one_of(KEEPERS),
                tasks=["water_change", "roll"],
                volume_l=round(0.5 * self.capacity_l, 2),
                bung_clock=clock,
            )
