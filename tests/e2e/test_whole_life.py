"""One barrel's whole life on a keeper's phone, from its first water to its end: all without signal, or all with it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.e2e import life
from tests.e2e.browsing import Api, all_sent, sign_in, worker_in_control
from tests.machine import Server

RECIPE = "rye over sloe liqueur"
VESSEL = "the long demijohn"
# What each step leaves in the barrel's log, in the order of the steps.
LIFE: list[tuple[str, dict[str, Any]]] = [
    ("curings", {"dry_mass_kg": 3.1}),
    ("tendings", {"tasks": ["top_up"], "volume_l": 2.4}),
    ("tendings", {"tasks": ["leak_check"]}),
    ("curing-verdicts", {"verdict": "tight", "full_mass_kg": life.FULL_KG, "wet_mass_kg": life.WET_KG}),
    ("fills", {"spirit": "cocktail", "family": "cocktail"}),
    ("tendings", {"tasks": ["roll"]}),
    ("tendings", {"tasks": ["roll", "leak_check", "spigot_check"]}),
    ("readings", {"kind": "weight"}),
    ("tastings", {"liking": 7.0}),
    ("pull-votes", {"choice": "pull"}),
    ("pulls", {}),
    ("decants", {"measured_volume_l": 4.1, "vessel_name": VESSEL}),
    ("bottlings", {"heel_ml": 100}),
    ("holds", {}),
    ("tendings", {"tasks": ["roll", "rinse", "water_change"], "smell": "vinegar"}),
    ("drainings", {}),
    ("repairs", {"kind": "scrape_and_rechar"}),
    ("tag-issues", {}),
    ("retirements", {}),
]


@pytest.mark.parametrize("signal", ["without", "with"])
def test_a_barrel_lives_from_its_first_water_to_its_end(
    signal: str, phone: Callable[..., Page], server: Server, apis: Callable[[str], Api]
) -> None:
    api = apis("alder")
    page = phone()
    sign_in(page, server.url, "alder")
    if signal == "without":
        worker_in_control(page)
        page.context.set_offline(True)

    life.adopt(page, f"Undertone {signal}", before="Some fills" if signal == "without" else "Never filled")
    barrel = life.cure(page)
    recipe = f"{RECIPE} {signal}"
    life.write_recipe(page, recipe)
    life.mix_and_fill(page, barrel, recipe, {"Sedge": 2, "Pell": 1})
    life.roll(page, barrel)
    life.weigh(page, barrel, "8.1")
    life.taste(page, barrel, "7")
    life.pull(page, barrel)
    life.decant(page, barrel, "4.1", VESSEL)
    life.bottle(page, "8")
    life.hold_wet(page, barrel, "Vinegar")
    life.drain(page, barrel)
    life.mend_wood(page, barrel)
    life.new_tag(page, barrel)
    life.retire(page, barrel, "Vinegar that stayed")

    if signal == "without":
        assert f"Undertone {signal}" not in api.barrels()
    page.context.set_offline(False)
    all_sent(page)

    log = list(reversed(api.log(barrel)))
    lived = [
        {key: (line["body"] or {}).get(key) for key in body}
        for line, (_, body) in zip(log, LIFE, strict=False)
    ]
    assert [line["collection"] for line in log] == [collection for collection, _ in LIFE]
    assert lived == [body for _, body in LIFE]
    assert {line["placement"] for line in log} == {"placed"}
    times = [datetime.fromisoformat(line["happened_at"]) for line in log]
    assert times == sorted(times)
    # Only what a keeper's word went over is flagged: tight before the top-ups showed it, nuts that one sharer avoids.
    assert {line["collection"]: line["flags"] for line in log if line["flags"]} == {
        "curing-verdicts": ["not_shown_tight"],
        "fills": ["gate_open"],
    }
    _ended(api, barrel)


def _ended(api: Api, barrel: str) -> None:
    """What the life left: a retired barrel with its weights, and the bottles by the shares, two to one."""
    row = api.get(f"barrels/{barrel}")
    assert row["state"] == "retired"
    assert row["register"]["weighed_capacity_l"] == pytest.approx(5.114, abs=0.002)
    assert len(row["former_tags"]) == 1
    assert barrel not in [entry["barrel"] for entry in api.get("tray")["entries"]]
    people = api.people()
    (vessel,) = [one for one in api.get("vessels", limit=200)["results"] if one["barrel"] == barrel]
    assert (vessel["name"], vessel["left_l"]) == (VESSEL, 0)
    assert vessel["allergens"] == ["nuts"]
    (division,) = vessel["bottlings"]
    # Eight bottles over shares of two and one: 5 1/3 and 2 2/3, the odd one to the larger rest.
    assert {share["person"]: share["bottles"] for share in division["shares"]} == {
        people["Sedge"]: 5,
        people["Pell"]: 3,
    }
