"""Every screen of the app and what makes one whole: its name, its contrast, its lines, its keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api
from tests.e2e.layout import lay_out_all, layout_faults
from tests.machine import ROOT, Server

AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
# The rules of WCAG 2.2 up to level AA, by the tags of axe-core.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LONG = "Lee Shore of the Outer Harbour under the Boathouse Stairs"
# Where each role goes, and what the screen calls itself. A word in braces is a barrel by its
# name or its state, a vessel, a bottle, or a flight by how it stands.
SCREENS = {
    "sedge": {
        "/": "Wrackmouth Boat Club",
        "/barrels": "Barrels",
        "/barrels/{Slack Water}": "Slack Water",
        f"/barrels/{{{LONG}}}": LONG,
        "/barrels/{Neap}": "Neap",
        "/barrels/{Doldrum}": "Doldrum",
        "/barrels/{Slack Water}/log": "Log of Slack Water",
        f"/barrels/{{{LONG}}}/taste": f"Taste of {LONG}",
        "/barrels/{Slack Water}/trouble": "Trouble: Slack Water",
        "/scan": "Scan",
        "/t/ABCDEF": "Tag",
        "/reserve": "Reserve",
        "/reservations": "Reservations",
        "/not-yet-sent": "Not yet sent",
        "/mine": "Mine",
        "/members": "Members",
        "/needs-the-keeper": "Needs the keeper",
        "/report": "Cellar report",
        "/recipes": "Recipes",
        "/flights": "Blind flights",
        "/flights/{on the table}": "Blind flight",
        "/flights/{on the table}/362": "Glass 362",
        "/flights/{told}": "The names",
        "/flights/tonight": "Glasses by number",
        "/flights/tonight/123": "Glass 123",
        "/nowhere": "Nothing here",
    },
    "alder": {
        "/": "Today",
        "/walk": "Today’s walk",
        "/barrels/{Overfall}": "Overfall",
        "/barrels/{Neap}": "Neap",
        "/barrels/{Spring Tide}": "Spring Tide",
        "/reservations": "Reservations",
        "/needs-the-keeper": "Needs the keeper",
        "/members": "Members",
        "/recipes/new": "A new recipe",
        "/barrels/{Scend}/mix": "Mix for Scend",
        "/barrels/{Scend}/fill": "Fill Scend",
        "/barrels/{in its curing}/curing": "Curing {in its curing}",
        "/barrels/{Scend}/curing": "Cure Scend",
        "/barrels/{held wet}/hold": "Wet hold: {held wet}",
        "/barrels/{held wet}/repair": "Work on {held wet}",
        "/barrels/{held wet}/register": "Register of {held wet}",
        "/barrels/{held wet}/retire": "Retire {held wet}",
        "/barrels/{filled}/pull": "Pull {filled}",
        "/barrels/{filled}/decant": "Decant {filled}",
        "/barrels/{Neap}/readings": "Readings of Neap",
        "/barrels/{filled}/forecast": "Forecast of {filled}",
        "/adopt": "A barrel for the club",
        "/vessels": "Vessels",
        "/vessels/{in glass}": "{in glass}",
        "/vessels/{in glass}/bottle": "Bottle {in glass}",
        "/bottles": "Bottles",
        "/b/{a bottle}": "{a bottle}",
        "/settings/club": "The club",
        "/settings/care": "Care",
    },
    "wick": {
        "/flights/{on the table}": "Pour list",
        "/flights/{told}": "The names",
        "/flights/{called off}": "Called off",
    },
    "tansy": {
        "/": "Cellar report",
        "/flights/{on the table}": "Blind flight",
        "/mine": "More",
        "/members": "Members",
    },
}


def look_whole(page: Page, server: Server, who: str, path: str, rows: dict[str, Any]) -> None:
    """Opens a screen as somebody has it, and asks of it all that any screen must be."""
    open_screen(page, server, path, rows, f"{SCREENS[who][path]} · Staveward")
    _reach_the_acts_by_keyboard(page)
    lay_out_all(page)
    for theme in ("dark", "light"):
        # Still: a plank that is changing its colour has neither theme's contrast.
        page.emulate_media(color_scheme=theme, reduced_motion="reduce")
        assert axe_faults(page) == [], theme
    page.emulate_media(reduced_motion="no-preference")
    assert layout_faults(page) == []


def rows_to_open(apis: Callable[[str], Api]) -> dict[str, Any]:
    """The club's barrels, one of them with the longest sort of name, and its blind flights."""
    api = apis("alder")
    row = api.barrels()["Lee Shore"]
    token = next(one["value"] for one in api.request.storage_state()["cookies"] if one["name"] == "csrftoken")
    answer = api.request.patch(
        f"/api/v1/clubs/{api.club}/barrels/{row['id']}",
        data={"name": LONG},
        headers={"If-Match": f'"{row["version"]}"', "X-CSRFToken": token},
    )
    assert answer.ok, answer.text()
    rows = api.barrels()
    glass = next(row for row in api.get("vessels", limit=200)["results"] if row["left_l"] > 0)
    bottle = api.get("bottles", limit=200)["results"][0]
    return {
        **rows,
        "in its curing": next(row for row in rows.values() if row["state"] == "curing"),
        "filled": next(row for row in rows.values() if row["state"] == "filled" and row["name"] != LONG),
        "held wet": next(row for row in rows.values() if row["state"] == "held"),
        "in glass": glass,
        "a bottle": {"id": bottle["tag_code"], "name": bottle["name"]},
        **_flights(apis("wick")),
    }


def _flights(api: Api) -> dict[str, Any]:
    """Returns the demo's two flights by how they stand, and one that is called off."""
    rows = api.get("flights")["results"]
    table = next(row for row in rows if row["opened_at"] is None)
    fills = sorted({line["fill"] for line in table["key"]})
    tasters = [line["person"] for line in table["tasters"]]
    off = api.put("flights", {"fills": fills, "tasters": tasters, "sample_ml": 5})
    api.put("flight-cancellations", {"flight": off, "reason": "Two glasses were mixed up", "is_poured": True})
    told = next(row for row in rows if row["opened_at"] is not None)
    return {"on the table": table, "told": told, "called off": {"id": off}}


def open_screen(page: Page, server: Server, path: str, rows: dict[str, Any], title: str) -> None:
    for name, row in rows.items():
        path = path.replace(f"{{{name}}}", row["id"])
        title = title.replace(f"{{{name}}}", row.get("name", name))
    page.goto(f"{server.url}{path}")
    expect(page).to_have_title(title)
    # Answers of the server are on the page when nothing is on its way any more.
    page.wait_for_load_state("networkidle")
    expect(page.get_by_role("main").get_by_role("status")).to_have_count(0)


def axe_faults(page: Page) -> list[str]:
    """Returns each breach that axe-core finds, with the element it stands at."""
    # Colours that are still on their way from one theme to the other are nobody's choice.
    page.evaluate(
        """async () => {
            do await new Promise((done) => setTimeout(done, 60));
            while (document.getAnimations().some((one) => one.playState === 'running'));
        }"""
    )
    if not page.evaluate("typeof window.axe === 'object'"):
        page.evaluate(AXE.read_text())
    found = page.evaluate(
        "(tags) => axe.run(document, { runOnly: tags, resultTypes: ['violations'] })", RULES
    )
    return [
        f"{one['id']}: {node['target'][-1]} {node['failureSummary']}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def _reach_the_acts_by_keyboard(page: Page) -> None:
    """The skip link leads to the acts, and the next stop is one of them."""
    if page.get_by_role("navigation", name="Acts").count() == 0:
        return
    skip = page.get_by_role("link", name="To the acts")
    skip.focus()
    assert page.evaluate("document.activeElement.getBoundingClientRect().top >= 0"), "the link is not seen"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("Boolean(document.activeElement.closest('#sill'))")
    style = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert style != "none", "the focus is not seen"
