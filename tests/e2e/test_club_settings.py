"""An admin sets the club's standard drink and answers a question of law; a member reads both and drinks by them."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.e2e.browsing import (
    DESK,
    Api,
    all_sent,
    at,
    at_home,
    eventually,
    press,
    said,
    signed_in,
    worker_in_control,
)
from tests.machine import Server


def test_what_an_admin_decides_for_the_club_holds_on_a_members_phone(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    admin, api = phone(**DESK), apis("tansy")
    signed_in(admin.context, api)
    admin.goto(server.url)
    at_home(admin)
    worker_in_control(admin)
    at(admin, "/settings/club")
    said(admin, re.compile("8.g of alcohol, as in the United Kingdom"))

    # A country's drink, and a change that waits holds the next one back: it would contradict it.
    admin.context.set_offline(True)
    press(admin, "Change the standard drink")
    admin.get_by_label("Counted as in").select_option(label="United States, 14\u00a0g")
    press(admin, "Save")
    said(admin, re.compile("14.g of alcohol, as in the United States"))
    expect(admin.get_by_role("button", name=re.compile("^Change "))).to_have_count(0)
    assert api.get("")["drink_country"] == "GB"
    admin.context.set_offline(False)
    all_sent(admin)
    eventually(admin, lambda: api.get("")["drink_g"] == 14.0)

    at(admin, "/settings/club")
    press(admin, "Change Age")
    admin.get_by_label("The answer").fill("21 years")
    admin.get_by_label("Asked on").fill("2026-02-03")
    press(admin, "Save")
    said(admin, re.compile("21 years. Asked 3.February.2026"))
    all_sent(admin)
    law = eventually(
        admin, lambda: api.get("")["law"]["age_limit_years"].get("asked_on") and api.get("")["law"]
    )
    assert law["age_limit_years"] == {"answer": "21 years", "asked_on": "2026-02-03"}
    assert law["use"] == {"answer": "for the club alone"}

    # A member reads it and changes nothing; an evening's drinks are counted by it.
    member = phone()
    signed_in(member.context, apis("sedge"))
    member.goto(server.url)
    at_home(member)
    at(member, "/settings/club")
    said(member, re.compile("14.g of alcohol, as in the United States"))
    expect(member.get_by_role("button", name=re.compile("^Change"))).to_have_count(0)
    fill = next(row for row in apis("sedge").barrels().values() if (row["contents"] or {}).get("may_taste"))
    at(member, f"/barrels/{fill['id']}/taste")
    member.get_by_role("slider", name="How do you like it?").press("7")
    press(member, "Save")
    expect(member).to_have_title(re.compile("^Saved: "))
    said(member, re.compile(r"This evening so far: .* standard drinks of 14.g\."))
