"""Who is added to a club sets a password by the link of a mail and comes in; a first barrel names its room."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.e2e.browsing import DESK, Api, all_sent, at, at_home, eventually, press, said, signed_in
from tests.machine import Server

ADDRESS, PASSWORD = "skerry@wrackmouth.example", "salt-and-oak-31"


def _link(folder: Path) -> str | None:
    """Returns the path of the link in the newest mail to the address."""
    for mail in sorted((folder / "mail").glob("*"), reverse=True):
        text = mail.read_text()
        found = re.search(r"https?://[^/\s]+(/account/password/reset/\S+)", text)
        if found and ADDRESS in text:
            assert "has added you" in text
            return found[1]
    return None


def test_who_is_added_by_an_admin_comes_in_by_the_link_of_a_mail(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    admin = phone(**DESK)
    signed_in(admin.context, apis("tansy"))
    admin.goto(server.url)
    at_home(admin)
    at(admin, "/members")
    press(admin, "Add somebody")
    sheet = admin.get_by_role("dialog")
    sheet.get_by_label("Name").fill("Skerry")
    sheet.get_by_label("E-mail").fill("alder@wrackmouth.example")
    press(admin, "Add them")
    said(admin, "Alder has this address.")
    sheet.get_by_label("E-mail").fill(ADDRESS)
    press(admin, "Add them")
    said(admin, re.compile("^Skerry is added"))
    all_sent(admin)
    link = eventually(admin, lambda: _link(server.data_dir))

    newcomer = phone()
    newcomer.goto(server.url + link)
    newcomer.get_by_label("New password").fill("short")
    press(newcomer, "Set it")
    said(newcomer, "At least eight characters.")
    newcomer.get_by_label("New password").fill(PASSWORD)
    press(newcomer, "Set it")
    said(newcomer, "Your password is set. Sign in with it.")
    newcomer.get_by_label("E-mail").fill(ADDRESS)
    newcomer.get_by_label("Password").fill(PASSWORD)
    press(newcomer, "Sign in")
    expect(newcomer.get_by_text("Nothing for you today.")).to_be_visible()
    assert newcomer.url.rstrip("/") == server.url

    # The link has done its work.
    again = phone()
    again.goto(server.url + link)
    again.get_by_label("New password").fill("another-one-77")
    press(again, "Set it")
    said(again, re.compile("used already or is too old"))


def test_a_barrel_is_registered_in_a_room_that_is_named_with_it(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    keeper, api = phone(), apis("alder")
    signed_in(keeper.context, api)
    keeper.goto(server.url)
    at_home(keeper)
    at(keeper, "/adopt")
    keeper.get_by_label("Its name").fill("Breakwater")
    keeper.get_by_label("What it holds").fill("5")
    keeper.get_by_label("Where it stands").select_option(label="Another room")
    press(keeper, "Register it")
    said(keeper, "Name the room.")
    keeper.get_by_label("The room’s name").fill("Slipway")
    press(keeper, "Register it")
    said(keeper, re.compile("In the club"))
    all_sent(keeper)
    places = {place["name"]: place["id"] for place in api.get("places")["results"]}
    barrels = {barrel["name"]: barrel for barrel in api.get("barrels")["results"]}
    assert barrels["Breakwater"]["place"] == places["Slipway"]
