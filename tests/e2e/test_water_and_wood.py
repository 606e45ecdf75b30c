"""A tag that was replaced, and a trouble, with the word of it to whoever is concerned."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, choose, press, said, sign_in, signed_in
from tests.machine import Server

Phones = Callable[..., Page]


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
