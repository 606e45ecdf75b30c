"""Two keepers' phones live one evening at the same barrels, both without signal, and come back in either order."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Locator, Page, expect

from tests.e2e import life
from tests.e2e.browsing import (
    ONLINE,
    Api,
    all_sent,
    at,
    at_home,
    eventually,
    press,
    press_it,
    said,
    signed_in,
    worker_in_control,
)
from tests.machine import Server

RECIPE = "rye by itself"


def test_two_phones_that_contradict_each_other_tell_one_story(
    phone: Callable[..., Page], server: Server, apis: Callable[[str], Api]
) -> None:
    pages = [_below_ground(phone, server, apis(who)) for who in ("alder", "wick")]
    for first in (0, 1):
        _evening(apis("alder"), pages, first)


def _below_ground(phone: Callable[..., Page], server: Server, api: Api) -> Page:
    page = phone()
    signed_in(page.context, api)
    page.goto(server.url)
    at_home(page)
    worker_in_control(page)
    return page


def _evening(api: Api, pages: list[Page], first: int) -> None:
    """One evening, after which the phone of that number is the first to have signal again."""
    barrel, recipe = _prepared(api, f"Cross Sea {first + 1}", f"{RECIPE} {first + 1}")
    name = _marked_by_both(pages)
    walked = api.barrels()[name]["id"]
    before = len(api.log(walked))
    for page in pages:
        page.evaluate(ONLINE)
        expect(_line(page, barrel, "Topped up")).to_be_visible(timeout=30_000)
        page.context.set_offline(True)

    # Both go the same round, both mend the same line, and both write the same recipe anew.
    for page, word in zip(pages, ("one jug", "two jugs"), strict=True):
        at(page, "/walk")
        press(page, f"All well {name}")
        expect(page.get_by_role("button", name=f"Undo {name}")).to_be_visible()
        _correct(page, barrel, "Topped up", word)
        at(page, f"/recipes/{recipe}")
        page.get_by_label("Name", exact=True).fill(f"{RECIPE} {first + 1}, {word}")
        press(page, "Save it")
        expect(page.get_by_role("list", name="The club’s book")).to_be_visible()
    # One fills the barrel; the other finds it empty, as far as that phone knows, and holds it wet.
    filler, holder = pages
    life.mix_and_fill(filler, barrel, RECIPE, {"Sedge": 1})
    at(holder, f"/barrels/{barrel}/hold")
    press(holder, "Hold it wet")
    press(holder, "It is held wet")
    said(holder, "the water was changed")

    # Up again, the one and then the other.
    early, late = pages[first], pages[1 - first]
    early.context.set_offline(False)
    all_sent(early)
    late.context.set_offline(False)
    _choose_mine(late)
    all_sent(late)
    early.evaluate(ONLINE)

    # Nothing is lost: what could not be fitted waits for a keeper, with its reason.
    log = api.log(barrel)
    aside = {row["collection"]: row["set_aside_reason"] for row in log if row["placement"] == "set_aside"}
    clash = "holds" if first == 0 else "fills"
    assert aside == {clash: "openings_clash", "tendings": "already_corrected"}
    assert [row["author"] for row in log if row["collection"] == "holds"] == [api.people()["Wick"]]
    marks = [row for row in api.log(walked)[: len(api.log(walked)) - before] if row["placement"] == "placed"]
    assert sorted(row["author"] for row in marks) == sorted(api.people()[who] for who in ("Alder", "Wick"))
    assert api.get(f"recipes/{recipe}")["name"].endswith("one jug" if first == 1 else "two jugs")
    assert api.get(f"barrels/{barrel}")["state"] == ("filled" if first == 0 else "held")

    _settle(late, f"Cross Sea {first + 1}", take_back=first == 0)
    all_sent(late)
    early.evaluate(ONLINE)
    _told_alike(pages, barrel)
    assert barrel not in [entry["barrel"] for entry in api.get("tray")["entries"]]


def _prepared(api: Api, name: str, recipe: str) -> tuple[str, str]:
    """A tight barrel whose last top-up both keepers will mend, and a recipe that both will write anew."""
    place = api.get("places", limit=50)["results"][0]["id"]
    barrel = api.put("barrels", {"name": name, "place": place, "nominal_l": 5})
    api.put("curings", {"barrel": barrel, "water_l": 2.5})
    api.put("tendings", {"barrel": barrel, "tasks": ["top_up"], "volume_l": 2.4, "abv_pct": 0})
    api.put("curing-verdicts", {"barrel": barrel, "verdict": "tight"})
    parts = [{"name": "rye", "kind": "spirit", "volume_l": 0.7, "abv_pct": 50}]
    body = {"name": recipe, "spirit": "whisky", "family": "spirit", "parts": parts, "is_club": True}
    return barrel, api.put("recipes", body)


def _marked_by_both(pages: list[Page]) -> str:
    """Returns the name of a barrel that both may mark on today's walk."""
    for page in pages:
        at(page, "/walk")
        expect(page.get_by_role("button", name=re.compile("^All well ")).first).to_be_visible()
    rows = pages[0].get_by_role("button", name=re.compile("^All well "))
    return rows.first.inner_text().removeprefix("All well").strip()


def _line(page: Page, barrel: str, words: str) -> Locator:
    at(page, f"/barrels/{barrel}/log")
    return page.get_by_role("button", name=re.compile(f"^Open.*{words}")).first


def _correct(page: Page, barrel: str, words: str, note: str) -> None:
    press_it(page, _line(page, barrel, words))
    press(page, "Correct it")
    page.get_by_label("A note").fill(note)
    press(page, "Save the correction")
    said(page, re.compile("^Corrected"))


def _choose_mine(page: Page) -> None:
    """The late phone is told that the recipe was changed meanwhile, and its keeper lets their own stand."""
    at(page, "/not-yet-sent")
    page.evaluate(ONLINE)
    said(page, re.compile("Somebody else changed this meanwhile"))
    press(page, "Keep mine")


def _settle(page: Page, barrel: str, *, take_back: bool) -> None:
    """The keeper looks at what waits, takes the hold back that never was, and leaves the rest as it is."""
    at(page, "/needs-the-keeper")
    press(page, "Look again")
    rows = page.get_by_role("listitem").filter(has_text=barrel)
    clash = rows.filter(has_text="held something else then")
    expect(clash).to_be_visible()
    expect(rows.filter(has_text="Somebody else corrected the same entry first")).to_be_visible()
    if take_back:
        press_it(page, clash.get_by_role("button", name="Take it back"))
        page.get_by_label("Why").fill("it was full by then")
        press_it(page, page.get_by_role("dialog").get_by_role("button", name="Take it back"))
        expect(clash).to_have_count(0)
    while rows.count() > 0:
        left = rows.count()
        press_it(page, rows.first.get_by_role("button", name="Leave it"))
        expect(rows).to_have_count(left - 1)


def _told_alike(pages: list[Page], barrel: str) -> list[str]:
    """Waits until both phones tell the same log, with nothing that is only on one of them, and returns its lines."""
    for page in pages:
        at(page, f"/barrels/{barrel}/log")

    def alike() -> list[str]:
        told = [
            page.get_by_role("list", name="Log, newest first").get_by_role("listitem").all_inner_texts()
            for page in pages
        ]
        is_one = told[0] == told[1] and not any("on this phone" in line for line in told[0])
        return told[0] if is_one else []

    return eventually(pages[0], alike)
