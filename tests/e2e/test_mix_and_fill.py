"""A keeper writes a recipe, mixes it for a barrel, goes through the gates and fills it, all without signal."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.e2e import life
from tests.e2e.browsing import Api, eventually, sign_in, worker_in_control
from tests.machine import Server

NAME = "rye over sloe liqueur"


def test_a_mix_without_signal_fills_its_barrel_exactly_once(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    api = apis("alder")
    barrel = next(row for row in api.barrels().values() if row["state"] == "ready")
    sedge = api.people()["Sedge"]
    page = phone()
    sign_in(page, server.url, "alder")
    worker_in_control(page)
    page.context.set_offline(True)

    # The recipe, in the book at once though nobody else knows it.
    life.write_recipe(page, NAME)

    # Scaled to this barrel; what was really poured takes the plan's place.
    page.goto(f"{server.url}/barrels/{barrel['id']}/mix")
    page.get_by_role("button", name=re.compile(f"^Take it.*{NAME}")).tap()
    picture = page.get_by_role("img", name=re.compile(rf"^{barrel['name']} filled to 2 lines: rye to"))
    expect(picture).to_be_visible()
    page.get_by_role("button", name="Amounts").tap()
    page.get_by_label(re.compile("^rye")).fill("3.2")
    page.get_by_role("button", name="Done").tap()
    expect(page.get_by_role("banner")).to_contain_text("1 of 2 poured")
    expect(page.get_by_role("main")).to_contain_text("Nuts: marks the barrel for life")

    # The gates: what is open is not passed over.
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Pour", exact=True).tap()
    expect(page).to_have_title(f"Fill {barrel['name']} · Staveward")
    gates = page.get_by_role("list", name="Gates")
    expect(gates).to_contain_text("Tight")
    # A second tap in the same place within 400 ms counts as an echo of the first.
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Fill it").tap(force=True)
    expect(page.get_by_role("alert")).to_contain_text("Not yet.")
    for box in gates.get_by_role("checkbox").all():
        box.check()
    page.get_by_label("Add a sharer").select_option(label="Sedge")
    page.get_by_label("rye", exact=True).select_option(label="Sedge")
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Fill it").tap()
    expect(page.get_by_role("main")).to_contain_text("Filled, and rolled. Saved. Kept on this phone.")

    # On this phone the barrel is filled at once, and after the app was opened anew.
    page.goto(f"{server.url}/barrels/{barrel['id']}")
    expect(page.get_by_role("main")).to_contain_text("Week 1 of rye over sloe liqueur")
    page.reload()
    expect(page.get_by_role("main")).to_contain_text("Week 1 of rye over sloe liqueur")
    assert api.barrels()[barrel["name"]]["state"] == "ready"

    page.context.set_offline(False)
    fills = eventually(page, lambda: [row for row in api.log(barrel["id"]) if row["collection"] == "fills"])
    eventually(page, lambda: api.barrels()[barrel["name"]]["state"] == "filled")

    assert len(fills) == 1
    body = fills[0]["body"]
    assert (body["parts"][0]["name"], body["parts"][0]["volume_l"]) == ("rye", 3.2)
    assert body["parts"][0]["supplied_by"] == sedge
    assert body["sharers"] == [{"person": sedge, "weight": 1}]
    assert [part["name"] for part in body["plan"]["parts"]] == ["rye", "sloe liqueur"]
    recipe = api.get(f"recipes/{body['recipe']}")
    assert (recipe["name"], recipe["is_club"]) == (NAME, True)
    allergens = next(gate for gate in body["gates"] if gate["gate"] == "allergens")
    assert (allergens["ok"], allergens["accepted_by_choice"]) == (False, True)
    assert "gate_open" in fills[0]["flags"]
    rolls = eventually(
        page, lambda: [row for row in api.log(barrel["id"]) if (row["body"] or {}).get("tasks") == ["roll"]]
    )
    assert len(rolls) == 1
    contents = api.barrels()[barrel["name"]]["contents"]
    assert (contents["name"], contents["allergens"]) == (NAME, ["nuts"])


def test_what_never_goes_into_wood_is_stopped_with_its_reason(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    barrel = apis("alder").barrels()["Neap"]
    page = phone()
    sign_in(page, server.url, "alder")
    page.goto(f"{server.url}/recipes/new")
    page.get_by_label("Name", exact=True).fill("rum with cream")
    rum, cream = page.get_by_role("group", name="Part 1"), page.get_by_role("group", name="Part 2")
    life.write_part(rum, "rum", "700", "50")
    cream.get_by_label("Kind").select_option(label="Milk or cream")
    life.write_part(cream, "cream", "200", "0")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.get_by_role("list", name="The club’s book")).to_contain_text("Rum with cream")

    page.goto(f"{server.url}/barrels/{barrel['id']}/mix")
    page.get_by_role("button", name=re.compile("^Take it.*rum with cream")).tap()
    expect(page.get_by_role("main")).to_contain_text("milk and cream spoil in the pores")
    expect(page.get_by_role("button", name="Pour", exact=True)).to_have_count(0)
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Why not").tap(force=True)
    expect(page.get_by_role("dialog")).to_contain_text("Take it out under Amounts")
    expect(page.get_by_role("button", name="Pour it all the same")).to_have_count(0)
