"""Blind flights: one pours, two score by number, with signal and without, then the names come; or it is called off."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.e2e.browsing import ONLINE, Api, at, eventually, press, press_it, said, sign_in, worker_in_control
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
    # The list stands on the pourer's phone before the server has it.
    flight = eventually(
        pourer,
        lambda: [
            row
            for row in apis("alder").get("flights")["results"]
            if row["glasses"] == 5 and row["key"] and row["opened_at"] is None
        ],
    )[0]
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
    _online(pages["pell"])
    eventually(pourer, lambda: apis("alder").get(f"flights/{flight['id']}")["scores"])
    for page in (*pages.values(), pourer):
        # What they would ask for within the minute.
        page.evaluate(ONLINE)
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


def test_a_flight_is_lived_where_no_signal_is(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    barrels = _open_to_all(apis)
    pages = {who: phone() for who in ("alder", *TASTERS)}
    for who, page in pages.items():
        sign_in(page, server.url, who)
    for who in ("alder", "pell"):
        worker_in_control(pages[who])
        pages[who].context.set_offline(True)

    # The pourer's phone makes the numbers itself, and has the whole list at once.
    pourer = pages["alder"]
    at(pourer, "/flights")
    pourer.get_by_role("button", name="Pour one").tap()
    sheet = pourer.get_by_role("dialog", name="Pour a blind flight")
    for name in (*barrels, *TASTERS.values()):
        sheet.get_by_role("checkbox", name=name, exact=True).check()
    sheet.get_by_role("button", name="Make the numbers").tap()
    expect(pourer).to_have_title("Pour list · Staveward")
    lines = pourer.get_by_role("list", name="Numbers and barrels").get_by_role("listitem")
    expect(lines).to_have_count(5)
    poured = [re.split(r"\s+", line.inner_text().strip(), maxsplit=1) for line in lines.all()]
    # Barrels' names are drawn in capitals.
    ids = {name.casefold(): row["id"] for name, row in apis("alder").barrels().items()}
    key = {code: ids[name.casefold()] for code, name in poured}
    assert len(key) == 5
    assert len(set(key.values())) == 4
    said(pourer, re.compile("types the number on the glass"))

    # Neither taster's phone has read the flight: one has no signal, the other has, and it is not there yet.
    for page in (pages["pell"], pages["sedge"]):
        at(page, "/flights")
        page.get_by_role("link", name="A numbered glass in your hand").tap()
        for liking, code in enumerate(key, start=1):
            page.get_by_label("Number").fill(code)
            page.get_by_role("link", name="Leave").wait_for()
            press(page, "Taste it")
            expect(page).to_have_title(f"Glass {code} · Staveward")
            page.get_by_role("slider", name="How do you like it?").press(str(liking))
            press(page, "Save")
            expect(page).to_have_title("Glasses by number · Staveward")
        scored = page.get_by_role("list", name="Scored this evening").get_by_role("listitem")
        expect(scored).to_have_count(5)
    # What came before its flight waits for it, and tells the keeper no score.
    tray = eventually(
        pages["sedge"],
        lambda: [
            entry for entry in apis("alder").get("tray")["entries"] if entry["collection"] == "blind-tastings"
        ],
    )
    assert {entry["body"] is None for entry in tray} == {True}

    # Signal for the pourer: the flight arrives and takes up what waited, and still nothing is told.
    _online(pourer)
    flight = eventually(
        pourer,
        lambda: [
            row
            for row in apis("alder").get("flights")["results"]
            if {x["code"] for x in row["key"] or ()} == set(key)
        ],
    )[0]
    assert {line["code"]: line["barrel"] for line in flight["key"]} == key
    row = eventually(
        pourer,
        lambda: [
            one
            for one in apis("sedge").get("flights")["results"]
            if one["id"] == flight["id"] and len(one["mine"]) == 5
        ],
    )[0]
    assert (row["key"], row["scores"], row["opened_at"]) == (None, None, None)
    assert not any(entry["collection"] == "blind-tastings" for entry in apis("alder").get("tray")["entries"])

    # The last phone comes up from the cellar: the names are told.
    _online(pages["pell"])
    eventually(
        pages["pell"],
        lambda: apis("alder").get(f"flights/{flight['id']}")["opened_at"],
        NAMES_WITHIN_MS / 1000,
    )
    for page in pages.values():
        at(page, f"/flights/{flight['id']}")
        # A phone looks once a minute by itself; signal that comes back makes it look at once.
        page.evaluate(ONLINE)
        expect(page).to_have_title("The names · Staveward", timeout=NAMES_WITHIN_MS)
    logged = _blind(apis("alder"), set(key.values()), flight["id"])
    assert len(logged) == 10
    assert {line["placement"] for line in logged} == {"placed"}
    for line in logged:
        liking = list(key).index(line["body"]["code"]) + 1
        assert (line["barrel"], line["body"]["liking"]) == (key[line["body"]["code"]], liking)


def test_a_flight_is_called_off_without_signal_and_what_was_poured_is_gone(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    names = _open_to_all(apis)[:2]
    rows = {name: apis("alder").barrels()[name] for name in names}
    before = {name: row["contents"]["sample_used_ml"] for name, row in rows.items()}
    flight = apis("alder").put(
        "flights",
        {
            "fills": [row["contents"]["stay"] for row in rows.values()],
            "tasters": [apis("alder").people()["Sedge"]],
            "sample_ml": 7,
        },
    )
    page = phone()
    sign_in(page, server.url, "alder")
    worker_in_control(page)
    at(page, f"/flights/{flight}")
    expect(page).to_have_title("Pour list · Staveward")
    page.context.set_offline(True)
    press(page, "Call it off")
    sheet = page.get_by_role("dialog", name="Call it off?")
    press_it(page, sheet.get_by_role("button", name="Call it off"))
    expect(sheet).to_contain_text("Say why it is called off.")
    sheet.get_by_label("Why").fill("nobody came")
    press_it(page, sheet.get_by_role("button", name="Call it off"))
    expect(page).to_have_title("Called off · Staveward")
    said(page, "Called off by you: nobody came.")

    _online(page)
    row = eventually(
        page,
        lambda: [
            one
            for one in apis("sedge").get("flights")["results"]
            if one["id"] == flight and one["called_off_at"]
        ],
    )[0]
    assert (row["called_off_reason"], row["key"], row["scores"]) == ("nobody came", None, None)
    after = apis("alder").barrels()
    for name in names:
        assert after[name]["contents"]["sample_used_ml"] == before[name] + 7
    # It stands in the barrel's log under who poured, to be corrected like any entry.
    at(page, f"/barrels/{rows[names[0]]['id']}/log")
    said(page, re.compile("7\\smL poured blind and scored by nobody"))


def _online(page: Page) -> None:
    page.context.set_offline(False)
    page.evaluate(ONLINE)


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
    notice = page.locator(".notice").filter(has_text="Alder poured")
    notice.get_by_role("link", name="The glasses").tap()
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
