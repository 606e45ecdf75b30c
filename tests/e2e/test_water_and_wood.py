"""A new barrel from its first water to its retirement, without signal until the end; trouble, and word of it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, choose, sign_in, signed_in, worker_in_control
from tests.machine import Server

Phones = Callable[..., Page]


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def said(page: Page, words: str | re.Pattern[str]) -> None:
    """Waits for words in the room itself; the same are spoken once to a reader."""
    expect(page.get_by_role("main").get_by_text(words).first).to_be_visible()


def at(page: Page, server: Server, path: str) -> None:
    """Goes on inside the app, as a link would: with no signal a page is not loaded anew."""
    page.evaluate(
        "(path) => { history.pushState(null, '', path); dispatchEvent(new PopStateEvent('popstate')) }", path
    )
    page.wait_for_url(f"{server.url}{path}")


def test_a_barrel_is_adopted_cured_held_and_retired_with_no_signal(
    phone: Phones, server: Server, apis: Callable[[str], Api]
) -> None:
    page = phone()
    sign_in(page, server.url, "alder")
    page.reload()
    worker_in_control(page)
    page.context.set_offline(True)

    at(page, server, "/adopt")
    page.get_by_label("Its name").fill("Undertone")
    page.get_by_label("What it holds").fill("5")
    choose(page, "Some fills")
    press(page, "Adopt it")
    said(page, re.compile("In the club"))
    page.get_by_role("link", name="It is dry: cure it").click()

    page.get_by_label("Hoops sit firm and even").check()
    page.get_by_label("Empty and dry").fill("3.1")
    press(page, "Begin curing")
    said(page, "Keep soaking.")
    barrel = page.url.split("/")[-2]

    # Half full it is filled up; that is no leak. Then a joint is wiped.
    press(page, "Fill up")
    page.get_by_label("Poured in").fill("2400")
    press(page, "Save")
    expect(page.get_by_role("button", name="Top up", exact=True)).to_be_visible()
    press(page, "Wipe a joint")
    press(page, "Save")
    said(page, "One joint wiped, to be looked at.")

    # Whoever stands there decides: two weights make the capacity.
    press(page, "Call it tight")
    page.get_by_label("Full of water").fill("8.7")
    page.get_by_label("Drained, the wood wet").fill("3.6")
    said(page, re.compile(r"It holds 5\.11\d?.L, by weight"))
    press(page, "It is tight")
    said(page, "Tight: saved. kept on this phone.")

    at(page, server, f"/barrels/{barrel}/hold")
    press(page, "Hold it wet")
    press(page, "It is held wet")
    said(page, "the water was changed")
    press(page, "Water changed")
    choose(page, "Vinegar")
    press(page, "Save")
    said(page, "It does not smell as it should.")

    at(page, server, f"/barrels/{barrel}/repair")
    press(page, "A new tag")
    press(page, "It carries this tag now")
    at(page, server, f"/barrels/{barrel}/retire")
    choose(page, "Vinegar that stayed")
    press(page, "Retire it")
    said(page, re.compile("is retired"))

    page.context.set_offline(False)
    expect(page.get_by_text(re.compile("not yet sent"))).to_have_count(0, timeout=30_000)
    api = apis("alder")
    sent = [row["collection"] for row in reversed(api.log(barrel))]
    assert [one for one in sent if one != "tendings"] == [
        "curings",
        "curing-verdicts",
        "holds",
        "tag-issues",
        "retirements",
    ]
    row = api.get(f"barrels/{barrel}")
    assert row["state"] == "retired"
    assert row["register"]["weighed_capacity_l"] == pytest.approx(5.114, abs=0.002)
    assert len(row["former_tags"]) == 1


def test_an_old_tag_says_that_it_was_replaced(
    phone: Phones, server: Server, apis: Callable[[str], Api]
) -> None:
    keeper = phone()
    signed_in(keeper.context, apis("alder"))
    scend = apis("alder").barrels()["Scend"]
    keeper.goto(f"{server.url}/barrels/{scend['id']}/repair")
    press(keeper, "A new tag")
    press(keeper, "It carries this tag now")
    said(keeper, re.compile(r"was replaced today"))
    expect(keeper.get_by_text(re.compile("not yet sent"))).to_have_count(0)
    for _ in range(50):
        if apis("alder").get(f"barrels/{scend['id']}")["tag_code"] != scend["tag_code"]:
            break
        keeper.wait_for_timeout(200)
    keeper.wait_for_timeout(1000)

    keeper.goto(f"{server.url}/t/{scend['tag_code']}")
    expect(keeper.get_by_role("heading", name="An old tag")).to_be_visible()
    keeper.get_by_role("link", name="Open Scend").click()
    expect(keeper.get_by_role("heading", name="Scend")).to_be_visible()


def test_a_rescue_ends_the_fill_and_its_sharers_read_of_it(
    phone: Phones, server: Server, apis: Callable[[str], Api]
) -> None:
    keeper = phone()
    signed_in(keeper.context, apis("alder"))
    slack = apis("alder").barrels()["Slack Water"]
    keeper.goto(f"{server.url}/barrels/{slack['id']}/trouble")
    choose(keeper, "A leak")
    press(keeper, "Write it down")
    said(keeper, re.compile("Its sharers are told"))
    keeper.goto(f"{server.url}/barrels/{slack['id']}/trouble")
    keeper.get_by_label("How it ended").select_option(label="The fill was rescued into a vessel")
    keeper.get_by_label("Litres in the vessel").fill("3.9")
    keeper.get_by_label("The vessel", exact=True).fill("demijohn 2")
    press(keeper, "Settle it")
    said(keeper, re.compile("Everybody concerned is told"))

    sharer = phone()
    sign_in(sharer, server.url, "sedge")
    told = sharer.get_by_text(
        re.compile(r"Slack Water, your fill, today: It was rescued: 3\.9.L into a vessel")
    )
    expect(told).to_be_visible()
    press(sharer, "Read")
    expect(told).to_have_count(0)
    assert apis("alder").get(f"barrels/{slack['id']}")["state"] == "empty"
