"""A member reserves a barrel for the next fill; another is told why not yet; the keeper confirms."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from urllib.parse import parse_qsl, urlsplit

from playwright.sync_api import Locator, Page, expect

from tests.e2e.browsing import Api, sign_in
from tests.machine import Server


def test_two_members_want_the_same_days_and_the_keeper_decides(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    first, second = phone(), phone()
    asked = {}
    for page, who in ((first, "pell"), (second, "sedge")):
        sign_in(page, server.url, who)
        page.get_by_role("link", name=re.compile("^Reserve")).click()
        expect(page).to_have_title(re.compile("^Reserve"))
        asked[page] = _wish(page)

    # What the page says is what the server answers to the same wish.
    best = apis("pell").get("barrel-suggestions", **asked[first])["suits"][0]
    barrel = next(row for row in apis("pell").barrels().values() if row["id"] == best["barrel"])
    name = barrel["name"]
    row = _suited(first, name)
    expect(row).to_contain_text("suits best")
    words = _plain(row)
    for reason in best["reasons"]:
        assert reason in words
    assert re.search(r"Wood for .* more .* fills?\.", words), words
    assert re.search(r"Held .*(you would taste it|nothing)|Never filled", words), words
    assert re.search(r"Free (now|then|by then|.* later)", words), words
    assert _days(best["starts_on"]) in words

    # Both look at the same list; the first asks, then the second, whose list is out of date by then.
    first.get_by_role("button", name=f"Pencil {name}").click()
    expect(first.get_by_role("paragraph").filter(has_text=f"Pencilled: {name}")).to_be_visible()
    expect(
        first.get_by_role("paragraph").filter(has_text=re.compile("^The keeper confirms it"))
    ).to_be_visible()

    second.get_by_role("button", name=f"Pencil {name}").click()
    expect(second.get_by_role("paragraph").filter(has_text=f"{name} is taken then.")).to_be_visible()
    answer = _plain(second.get_by_role("paragraph").filter(has_text="waiting list, next in line"))
    assert "Pell has pencilled it" in answer
    assert _days(best["starts_on"]) in answer

    rows = [
        one
        for one in apis("alder").get("reservations", limit=200)["results"]
        if one["barrel"] == barrel["id"]
    ]
    people = apis("alder").people()
    pencilled = next(one for one in rows if one["person"] == people["Pell"] and one["state"] == "pencilled")
    waiting = next(one for one in rows if one["person"] == people["Sedge"] and one["state"] == "waiting")
    assert waiting["waiting_place"] == 1
    found = re.search(r"It is next free on (\d+ \w+)\.", answer)
    assert found, answer
    assert found.group(1) == _days(pencilled["ends_on"])

    # The keeper sees the two beside each other and gives the word.
    keeper = phone()
    sign_in(keeper, server.url, "alder")
    keeper.goto(f"{server.url}/reservations")
    asking = _reservation(keeper, "Waiting for your word", name, "Pell")
    expect(asking).to_contain_text("Wanted twice")
    asking.get_by_role("button", name="Confirm").click()
    expect(keeper.get_by_role("paragraph").filter(has_text=f"{name}: confirmed.")).to_be_visible()

    # And the member sees it.
    first.get_by_role("link", name="My reservations").click()
    first.reload()
    mine = _reservation(first, "Yours", name)
    expect(mine).to_contain_text("Confirmed.", timeout=15_000)

    second.get_by_role("link", name="My reservations").click()
    expect(_reservation(second, "Yours", name)).to_contain_text("Waiting")


def test_the_list_follows_the_wish_and_says_why_a_barrel_is_left_out(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    page = phone()
    sign_in(page, server.url, "sedge")
    page.goto(f"{server.url}/reserve")
    page.get_by_role("button", name=re.compile(r"^How much\?")).click()
    page.get_by_role("textbox", name="Litres").fill("400")
    page.get_by_role("button", name="Take it").click()
    expect(page.get_by_text("more than 0, up to 350 L")).to_be_visible()
    page.get_by_role("textbox", name="Litres").fill("9.5")
    asked = _taken(page, "9.5")
    expect(page.get_by_role("button", name=re.compile(r"^How much\?"))).to_contain_text("9.5")
    answer = apis("sedge").get("barrel-suggestions", **asked)
    barrels = {row["id"]: row["name"] for row in apis("sedge").barrels().values()}
    for one in answer["suits"]:
        expect(_suited(page, barrels[one["barrel"]])).to_be_visible()
    left_out = page.get_by_role("paragraph").filter(has_text="Not this time:")
    for one in answer["not_this_time"]:
        expect(left_out).to_contain_text(one["detail"])
    assert answer["not_this_time"], "nothing is too small for 9.5 L?"


def _taken(page: Page, figure: str) -> dict[str, str]:
    """Takes a figure into the wish; returns what the page then asked the server."""
    with page.expect_request(re.compile(rf"barrel-suggestions\?.*={re.escape(figure)}\b")) as asked:
        page.get_by_role("button", name="Take it").click()
    return dict(parse_qsl(urlsplit(asked.value.url).query))


def _wish(page: Page) -> dict[str, str]:
    """Says: 4.7 litres of rye with herbal aperitif, a gentle oak; returns what the page asked for it."""
    page.get_by_role("button", name=re.compile(r"^How much\?")).click()
    page.get_by_role("textbox", name="Litres").fill("4.7")
    page.get_by_role("button", name="Take it").click()
    page.get_by_role("button", name=re.compile(r"^What\?")).click()
    page.get_by_label("What kind?").select_option("a mix with liqueur, bitters or wine")
    page.get_by_role("textbox", name="Its name").fill("rye with herbal aperitif")
    page.get_by_role("textbox", name="Strength").fill("34,5")
    asked = _taken(page, "34.5")
    expect(page.get_by_role("list", name=re.compile("Barrels that suit"))).to_be_visible()
    return asked


def _suited(page: Page, name: str) -> Locator:
    suited = page.get_by_role("list", name=re.compile("Barrels that suit"))
    return suited.get_by_role("listitem").filter(has=page.get_by_role("heading", name=name, exact=True))


def _reservation(page: Page, group: str, barrel: str, person: str = "") -> Locator:
    rows = page.get_by_role("list", name=group).get_by_role("listitem")
    return rows.filter(has=page.get_by_role("heading", name=barrel, exact=True)).filter(has_text=person)


def _plain(part: Locator) -> str:
    return part.inner_text().replace("\u00a0", " ")


def _days(day: str) -> str:
    """A date as the app writes it: 12 December."""
    found = date.fromisoformat(day)
    return f"{found.day} {found:%B}"
