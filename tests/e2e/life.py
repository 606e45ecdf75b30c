"""The steps of a barrel's life on a phone, each as a keeper takes it: for every journey that needs one."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect

from tests.e2e.browsing import at, choose, press, said

# What the steps below pour, weigh and read; a journey compares the server's log with it.
FULL_KG, WET_KG = 8.7, 3.6


def adopt(page: Page, name: str, *, litres: str = "5", before: str = "Never filled") -> None:
    """Takes a barrel into the club, and goes on to cure it."""
    at(page, "/adopt")
    page.get_by_label("Its name").fill(name)
    page.get_by_label("What it holds").fill(litres)
    choose(page, before)
    press(page, re.compile("^(Adopt|Register) it$"))
    said(page, re.compile("In the club"))
    page.get_by_role("link", name="It is dry: cure it").click()


def cure(page: Page) -> str:
    """Cures the barrel whose curing is open until it is called tight by two weights; returns the barrel's id."""
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
    page.get_by_label("Full of water").fill(str(FULL_KG))
    page.get_by_label("Drained, the wood wet").fill(str(WET_KG))
    said(page, re.compile(r"It holds 5\.11\d?.L, by weight"))
    press(page, "It is tight")
    said(page, re.compile("^Tight: "))
    return barrel


def write_part(part: Locator, name: str, volume_ml: str, abv_pct: str) -> None:
    """Writes one part of a recipe."""
    part.get_by_label("Its name").fill(name)
    part.get_by_label("How much").fill(volume_ml)
    part.get_by_label("Strength").fill(abv_pct)


def write_recipe(page: Page, name: str) -> None:
    """Writes a recipe of two parts, the second of them sweet and with nuts."""
    at(page, "/recipes/new")
    page.get_by_label("Name", exact=True).fill(name)
    rye, sloe = page.get_by_role("group", name="Part 1"), page.get_by_role("group", name="Part 2")
    write_part(rye, "rye", "700", "50")
    write_part(sloe, "sloe liqueur", "300", "26")
    sloe.get_by_label("Sugar").fill("200")
    sloe.get_by_label("nuts").check()
    press(page, "Write it down")
    expect(page.get_by_role("list", name="The club’s book")).to_contain_text(name[:1].upper() + name[1:])


def mix_and_fill(page: Page, barrel: str, recipe: str, sharers: dict[str, int]) -> None:
    """Mixes a recipe for a barrel, goes through its gates and fills it for sharers of so many shares each."""
    at(page, f"/barrels/{barrel}/mix")
    press(page, re.compile(f"^Take it.*{recipe}"))
    expect(page.get_by_role("banner")).to_contain_text("poured")
    press(page, "Pour")
    gates = page.get_by_role("list", name="Gates")
    expect(gates).to_contain_text("Tight")
    for box in gates.get_by_role("checkbox").all():
        box.check()
    for name, shares in sharers.items():
        page.get_by_label("Add a sharer").select_option(label=name)
        for _ in range(shares - 1):
            press(page, f"+ one share for {name}")
    press(page, "Fill it")
    said(page, re.compile("^Filled, and rolled"))


def roll(page: Page, barrel: str) -> None:
    """Rolls a filled barrel, looks at it and wipes its spigot."""
    at(page, f"/barrels/{barrel}")
    press(page, "All well")
    press(page, "Save")
    said(page, re.compile("^All well: "))


def weigh(page: Page, barrel: str, kg: str) -> None:
    """Reads the barrel's weight; what is far off is read once more, and kept."""
    at(page, f"/barrels/{barrel}/readings")
    choose(page, "Scale")
    page.get_by_label("Weight with its contents").fill(kg)
    press(page, "Save")
    said(page, re.compile("^Saved"))


def taste(page: Page, barrel: str, score: str) -> None:
    """Tastes what is in the barrel."""
    at(page, f"/barrels/{barrel}/taste")
    page.get_by_role("slider", name="How do you like it?").press(score)
    press(page, "Save")
    expect(page).to_have_title(re.compile("^Saved: "))


def pull(page: Page, barrel: str) -> None:
    """Says that it is time, and decides it."""
    at(page, f"/barrels/{barrel}/pull")
    choose(page, "Pull it")
    press(page, "Pull it")
    said(page, re.compile("^It is to be pulled. Decant"))


def decant(page: Page, barrel: str, litres: str, vessel: str) -> None:
    """Empties the barrel into a vessel, and goes on to bottle that."""
    at(page, f"/barrels/{barrel}/decant")
    page.get_by_label("What came out").fill(litres)
    page.get_by_label("Into which vessel?").fill(vessel)
    press(page, "Decanted")
    expect(page).to_have_title(re.compile("^Decanted "))
    page.get_by_role("link", name="Bottle it").click()


def bottle(page: Page, count: str) -> None:
    """Bottles the vessel whose bottling is open, as it is proposed, and divides the bottles by the shares."""
    expect(page.get_by_label("How many")).to_have_value(count)
    press(page, "Bottled")
    expect(page.get_by_role("heading", name="Bottled")).to_be_visible()


def hold_wet(page: Page, barrel: str, smell: str) -> None:
    """Holds the barrel wet, changes its water once by its smell, and drains it."""
    at(page, f"/barrels/{barrel}/hold")
    press(page, "Hold it wet")
    press(page, "It is held wet")
    said(page, "the water was changed")
    press(page, "Water changed")
    choose(page, smell)
    press(page, "Save")
    said(page, re.compile("^Water changed: "))


def drain(page: Page, barrel: str) -> None:
    """Ends a wet hold."""
    at(page, f"/barrels/{barrel}/hold")
    press(page, "Drained")
    press(page, "It is drained")
    said(page, re.compile("^Drained: "))


def mend_wood(page: Page, barrel: str) -> None:
    """Has the wood scraped and charred anew."""
    at(page, f"/barrels/{barrel}/repair")
    press(page, "Charred or toasted")
    press(page, "Save")
    said(page, re.compile("^Wood worked on: "))


def new_tag(page: Page, barrel: str) -> None:
    """Gives the barrel another tag."""
    at(page, f"/barrels/{barrel}/repair")
    press(page, "A new tag")
    press(page, "It carries this tag now")
    said(page, re.compile("^Tag "))


def retire(page: Page, barrel: str, why: str) -> None:
    """Ends the barrel's life."""
    at(page, f"/barrels/{barrel}/retire")
    choose(page, why)
    press(page, "Retire it")
    said(page, re.compile("is retired"))
