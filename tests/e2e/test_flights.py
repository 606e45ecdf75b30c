"""A blind flight of four barrels: one pours, two score by number, one of them without signal, then the names come."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, sign_in, worker_in_control
from tests.machine import Server

TASTERS = {"sedge": "Sedge", "pell": "Pell"}
NAMES_WITHIN_MS = 60_000


def test_a_flight_is_scored_by_number_and_named_when_all_have_finished(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    barrels = _open_to_all(apis)

    # The keeper pours: four barrels, two tasters, five numbers.
    pourer = phone()
    sign_in(pourer, server.url, "alder")
    pourer.goto(f"{server.url}/flights")
    pourer.get_by_role("button", name="Pour one").tap()
    sheet = pourer.get_by_role("dialog", name="Pour a blind flight")
    for name in (*barrels, *TASTERS.values()):
        sheet.get_by_role("checkbox", name=name, exact=True).check()
    expect(sheet).to_contain_text("Five glasses for each of two")
    sheet.get_by_role("button", name="Make the numbers").tap()
    expect(pourer).to_have_title("Pour list · Staveward")
    expect(pourer.get_by_role("list", name="Numbers and barrels").get_by_role("listitem")).to_have_count(
        5, timeout=30_000
    )
    flight = apis("alder").get("flights")["results"][0]
    key = {line["code"]: line["barrel"] for line in flight["key"]}

    # The tasters read it; one goes where no signal is.
    pages = {who: phone() for who in TASTERS}
    for who, page in pages.items():
        sign_in(page, server.url, who)
        expect(page.get_by_role("main")).to_contain_text("Alder poured a blind flight for you: five glasses")
    worker_in_control(pages["pell"])
    pages["pell"].context.set_offline(True)
    orders = {who: _score_all(page, barrels) for who, page in pages.items()}
    assert all(set(order) == set(key) for order in orders.values())
    assert orders["sedge"] != orders["pell"]

    # Sedge waits for Pell, whose scores lie on the phone: nothing is told, and nothing stands at a barrel.
    row = apis("sedge").get(f"flights/{flight['id']}")
    assert (row["key"], row["scores"], len(row["mine"])) == (None, None, 5)
    assert _blind(apis("alder"), key.values(), flight["id"]) == []
    expect(pages["sedge"].get_by_role("main")).to_contain_text("Yours are in.")
    expect(pages["pell"].get_by_role("main")).to_contain_text("Yours are in.")

    # Signal again: the last score tells the names, on every phone.
    pages["pell"].context.set_offline(False)
    pages["pell"].evaluate("dispatchEvent(new Event('online'))")
    for page in (*pages.values(), pourer):
        expect(page).to_have_title("The names · Staveward", timeout=NAMES_WITHIN_MS)
        rows = page.get_by_role("list", name="The names").get_by_role("listitem")
        expect(rows).to_have_count(4)
        for name in barrels:
            expect(page.get_by_role("main")).to_contain_text(name)
    for who in TASTERS:
        other = next(name for one, name in TASTERS.items() if one != who)
        expect(pages[who].get_by_role("main")).to_contain_text("It stood there twice, as")
        expect(pages[who].get_by_role("main")).to_contain_text(
            re.compile(rf"You gave [\d. and]+\. {other} \d")
        )

    # Each score stands at its barrel, once, as its taster gave it.
    logged = _blind(apis("alder"), set(key.values()), flight["id"])
    assert len(logged) == 10
    assert {line["placement"] for line in logged} == {"placed"}
    for who, name in TASTERS.items():
        person = apis("alder").people()[name]
        own = {line["body"]["code"]: line for line in logged if line["author"] == person}
        for position, code in enumerate(orders[who], start=1):
            line = own[code]
            assert (line["barrel"], line["body"]["liking"]) == (key[code], position)
            assert line["body"]["position"] == position


def _open_to_all(apis: Callable[[str], Api]) -> list[str]:
    """Returns four barrels that everybody of the flight may taste from."""
    seen = [apis(who).barrels() for who in ("alder", *TASTERS)]

    def is_open(row: dict[str, Any]) -> bool:
        contents = row["contents"]
        held = any(trouble["quarantine"] for trouble in row["troubles"])
        return bool(contents and contents["kind"] == "fill" and contents["may_taste"] and not held)

    return [name for name in seen[0] if all(is_open(rows[name]) for rows in seen)][:4]


def _score_all(page: Page, barrels: list[str]) -> list[str]:
    """Scores every glass in its order, the first with 1, the next with 2; returns the numbers as they came."""
    page.get_by_role("link", name="The glasses").tap()
    codes = []
    for liking in range(1, 6):
        act = page.get_by_role("navigation", name="Acts").get_by_role(
            "link", name=re.compile(r"^Taste \d{3}$")
        )
        expect(act).to_be_visible()
        for name in barrels:
            expect(page.get_by_role("main")).not_to_contain_text(name)
        code = act.inner_text().split()[-1]
        act.tap()
        expect(page).to_have_title(f"Glass {code} · Staveward")
        page.get_by_role("slider", name="How do you like it?").press(str(liking))
        # The echo of a tap is ignored for a moment.
        page.wait_for_timeout(450)
        page.get_by_role("button", name="Save").tap()
        expect(page).to_have_title("Blind flight · Staveward")
        codes.append(code)
    return codes


def _blind(api: Api, barrels: Any, flight: str) -> list[Any]:
    end = time.monotonic() + 5
    while True:
        found = [
            line
            for barrel in set(barrels)
            for line in api.log(barrel)
            if line["collection"] == "tastings" and (line["body"] or {}).get("flight") == flight
        ]
        if found or time.monotonic() > end:
            return found
        time.sleep(0.5)
