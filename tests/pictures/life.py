"""Pictures of one barrel's life, from its first water to its wood worked on, for docs/using.md."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from playwright.sync_api import Browser, Page

from tests.machine import Server
from tests.pictures.camera import FOLDER, experienced, rows, settle, side_by_side, signed_in

People = dict[str, tuple[str, str]]
# Something to open or to press on a screen before it is taken.
Step = Callable[[Page], object]
LESSONS = ("curing", "mix", "fill", "reading", "tasting", "decant", "bottling", "hold")


def pressed(name: str) -> Step:
    """Presses what is called so."""
    return lambda page: page.get_by_role("button", name=re.compile(f"^{name}")).first.click()


def typed(label: str, value: str) -> Step:
    """Fills in a field."""
    return lambda page: page.get_by_label(label).fill(value)


# A barrel's or a vessel's name, its page, and what is done there first.
Shot = tuple[str, str, tuple[Step, ...]]


def taken(browser: Browser, server: Server, who: tuple[str, str], shots: Iterable[Shot], name: str) -> None:
    """Takes one screen after another as one picture."""
    page = signed_in(browser, server, who, "dark")
    experienced(page, *LESSONS)
    known = {row["name"]: f"/barrels/{row['id']}" for row in rows(page, server, "barrels")}
    for row in rows(page, server, "vessels"):
        if row["left_l"] > 0.5:
            known["vessel"] = f"/vessels/{row['id']}"
    for row in rows(page, server, "bottles")[:1]:
        known["bottle"] = f"/b/{row['tag_code']}"
    pictures = []
    for of, rest, steps in shots:
        page.goto(f"{server.url}{known[of]}{rest}")
        settle(page)
        for step in steps:
            step(page)
            page.wait_for_timeout(600)
        page.evaluate("document.activeElement.blur()")
        page.wait_for_timeout(300)
        pictures.append(page.screenshot())
    page.context.close()
    side_by_side(browser, pictures, FOLDER / name)


def curing(browser: Browser, server: Server, people: People) -> None:
    """Water until it is tight: one that is nearly there, one that leaks, and the weights that make its capacity."""
    shots = (
        ("Overfall", "/curing", ()),
        ("Fetch", "/curing", ()),
        ("Fetch", "/curing", (pressed("It is tight|Call it tight"),)),
    )
    taken(browser, server, people["keeper"], shots, "curing.png")


def mix_and_fill(browser: Browser, server: Server, people: People) -> None:
    """A recipe worked out for a barrel, the amounts, and the gates before the fill."""
    choose = (pressed("Take it.*rye with herbal"),)
    shots = (
        ("Scend", "/mix", choose),
        ("Scend", "/mix", (pressed("Amounts"),)),
        ("Scend", "/fill", ()),
    )
    taken(browser, server, people["keeper"], shots, "mix-and-fill.png")


def readings(browser: Browser, server: Server, people: People) -> None:
    """A reading, and what the barrel is expected to do."""
    shots = (
        ("Slack Water", "/readings", (typed("Weight with its contents", "7.03"),)),
        ("Slack Water", "/forecast", ()),
        ("Slack Water", "/pull", ()),
    )
    taken(browser, server, people["member"], shots, "readings-and-forecast.png")


def out_of_the_wood(browser: Browser, server: Server, people: People) -> None:
    """Out of the barrel, into bottles, and what a bottle's own page tells."""
    shots = (
        ("Riptide", "/decant", ()),
        ("vessel", "/bottle", ()),
        ("bottle", "", ()),
    )
    taken(browser, server, people["keeper"], shots, "out-of-the-wood.png")


def between_fills(browser: Browser, server: Server, people: People) -> None:
    """A wet hold, its water changed, and the wood worked on."""
    shots = (
        ("Neap", "/hold", ()),
        ("Neap", "/hold", (pressed("Water changed"),)),
        ("Neap", "/repair", ()),
    )
    taken(browser, server, people["keeper"], shots, "between-fills.png")


LIFE = (curing, mix_and_fill, readings, out_of_the_wood, between_fills)
