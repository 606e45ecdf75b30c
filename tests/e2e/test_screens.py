"""Every screen, as each role has it: readable by all, whole on a narrow phone, reached by keyboard, started offline."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.e2e.browsing import PHONE, Api, Complaints, address, sign_in, worker_in_control
from tests.e2e.layout import lay_out_all, layout_faults
from tests.machine import ROOT, Server, running_server

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
EVERY = [(who, path) for who, paths in SCREENS.items() for path in paths]


@pytest.fixture(scope="module")
def barrels(apis: Callable[[str], Api]) -> dict[str, Any]:
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


@pytest.fixture(scope="module")
def pages(browser: Browser, server: Server, barrels: dict[str, Any]) -> Iterator[Callable[[str], Page]]:
    """One signed-in phone for each person, kept for the whole module."""
    known: dict[str, Page] = {}

    def of(who: str) -> Page:
        if who not in known:
            page = browser.new_context(**PHONE).new_page()
            page.context.set_default_timeout(10_000)
            sign_in(page, server.url, who)
            known[who] = page
        return known[who]

    yield of
    for page in known.values():
        page.context.close()


@pytest.mark.parametrize(("who", "path"), EVERY)
def test_a_screen_is_whole(
    who: str,
    path: str,
    server: Server,
    pages: Callable[[str], Page],
    barrels: dict[str, Any],
    complaints: Complaints,
) -> None:
    page = pages(who)
    complaints.listen(page)
    _open(page, server, path, barrels, f"{SCREENS[who][path]} · Staveward")
    _reach_the_acts_by_keyboard(page)
    lay_out_all(page)
    for theme in ("dark", "light"):
        # Still: a plank that is changing its colour has neither theme's contrast.
        page.emulate_media(color_scheme=theme, reduced_motion="reduce")
        assert axe_faults(page) == [], theme
    page.emulate_media(reduced_motion="no-preference")
    assert layout_faults(page) == []
    complaints.forget(page)


def test_the_door_is_whole(phone: Callable[..., Page], server: Server) -> None:
    page = phone()
    page.goto(server.url)
    expect(page).to_have_title("Sign in · Staveward")
    for theme in ("dark", "light"):
        page.emulate_media(color_scheme=theme)
        assert axe_faults(page) == [], theme
    assert layout_faults(page) == []


def test_the_door_opens_and_closes(phone: Callable[..., Page], server: Server) -> None:
    page = phone()
    page.goto(server.url)
    page.get_by_label("E-mail").fill(address("pell"))
    page.get_by_label("Password").fill("below-the-tide-line")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("do not belong together")
    sign_in(page, server.url, "pell")
    page.goto(f"{server.url}/mine")
    page.get_by_role("button", name="Sign out").click()
    expect(page).to_have_title("Sign in · Staveward")
    page.goto(f"{server.url}/barrels")
    expect(page).to_have_title("Sign in · Staveward")
    kept = page.evaluate("async () => (await indexedDB.databases()).map((one) => one.name)")
    assert not [name for name in kept if "club" in name], kept


def test_a_taste_is_scored_with_keys_alone(
    phone: Callable[..., Page], server: Server, barrels: dict[str, Any], apis: Callable[[str], Api]
) -> None:
    page = phone()
    sign_in(page, server.url, "wick")
    page.goto(f"{server.url}/barrels/{barrels[LONG]['id']}/taste")
    rod = page.get_by_role("slider", name="How do you like it?")
    expect(rod).to_have_attribute("aria-valuetext", "not scored yet")
    _tab_to(page, "slider")
    for key in ("8", "ArrowDown"):
        page.keyboard.press(key)
    expect(rod).to_have_attribute("aria-valuetext", "7.5, like it")
    _tab_to(page, "Save")
    page.keyboard.press("Enter")
    expect(page).to_have_title(f"Saved: {LONG} · Staveward")
    page.goto(f"{server.url}/not-yet-sent")
    expect(page.get_by_role("heading", name="All has been sent")).to_be_visible(timeout=30_000)
    newest = [one for one in apis("alder").log(barrels[LONG]["id"]) if one["collection"] == "tastings"]
    assert any(one["body"]["liking"] == 7.5 and one["author"] == _person(apis, "Wick") for one in newest)


def test_every_screen_starts_with_no_signal_after_the_first_visit(
    phone: Callable[..., Page], server: Server, barrels: dict[str, Any]
) -> None:
    page = phone()
    sign_in(page, server.url, "sedge")
    worker_in_control(page)
    page.context.set_offline(True)
    for path, title in SCREENS["sedge"].items():
        _open(page, server, path, barrels, f"{title} · Staveward")
        expect(page.get_by_role("main").get_by_role("heading").first).to_be_attached()
    _open(page, server, "/barrels", barrels, "Barrels · Staveward")
    expect(page.get_by_role("banner")).to_contain_text("no signal")
    for name in ("Slack Water", "Undertow"):
        expect(page.get_by_role("heading", name=name)).to_be_visible()


def test_a_new_version_waits_until_it_is_asked_for(
    phone: Callable[..., Page], seeded: Path, web_app: Path, tmp_path: Path
) -> None:
    data = Path(shutil.copytree(seeded, tmp_path / "data"))
    newer = Path(shutil.copytree(web_app, tmp_path / "newer"))
    worker = newer / "sw.js"
    worker.write_text(worker.read_text() + "\n// a newer version\n")
    for packed in newer.glob("sw.js.*"):
        packed.unlink()
    page = phone()
    with running_server(demo=False, data_dir=data, web_app=web_app) as older:
        sign_in(page, older.url, "sedge")
        worker_in_control(page)
        port = int(older.environment["PORT"])
    with running_server(demo=False, data_dir=data, web_app=newer, port=port) as server:
        page.goto(f"{server.url}/reserve")
        offer = page.get_by_role("button", name="Take it now")
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        _until(page, "async () => Boolean((await navigator.serviceWorker.ready).waiting)")
        page.evaluate("window.before = true")
        page.wait_for_timeout(1500)
        # Over a half-said wish nothing is offered, and nothing has been swapped.
        expect(offer).to_have_count(0)
        assert page.evaluate("async () => Boolean((await navigator.serviceWorker.ready).waiting)")
        assert page.evaluate("window.before")
        page.get_by_role("link", name="Back").click()
        expect(offer).to_be_visible()
        assert page.evaluate("window.before")
        offer.click()
        _until(page, "async () => !window.before && !(await navigator.serviceWorker.ready).waiting")
        expect(page.get_by_role("navigation", name="Acts")).to_be_visible()
        expect(offer).to_have_count(0)


def test_the_looks_at_a_screen_see_what_is_broken(phone: Callable[..., Page]) -> None:
    page = phone()
    page.set_content(
        """<title>Broken</title><main>
        <p style="width: 600px; white-space: nowrap">a line that runs on and on past the edge of every phone</p>
        <p style="height: 9px; overflow: hidden">its lower half is gone</p>
        <p>one sentence</p><p style="margin-top: -30px">another sentence</p>
        <img src="data:,"></main>"""
    )
    seen = " ".join(layout_faults(page))
    for fault in ("the page is", "off the edge: a line", "cut: its lower", "over each other: one"):
        assert fault in seen
    assert [fault for fault in axe_faults(page) if fault.startswith("image-alt")]


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


def _open(page: Page, server: Server, path: str, barrels: dict[str, Any], title: str) -> None:
    for name, row in barrels.items():
        path = path.replace(f"{{{name}}}", row["id"])
        title = title.replace(f"{{{name}}}", row.get("name", name))
    page.goto(f"{server.url}{path}")
    expect(page).to_have_title(title)
    # Answers of the server are on the page when nothing is on its way any more.
    page.wait_for_load_state("networkidle")
    expect(page.get_by_role("main").get_by_role("status")).to_have_count(0)


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


def _tab_to(page: Page, what: str) -> None:
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate(
            "(what) => { const at = document.activeElement;"
            " return at.getAttribute('role') === what || at.textContent.trim() === what }",
            what,
        ):
            return
    raise AssertionError(f"Forty presses of Tab do not reach {what}.")


def _until(page: Page, question: str) -> None:
    for _ in range(60):
        try:
            if page.evaluate(question):
                return
        except Exception as error:
            # The page may be loading anew just now.
            if "context" not in str(error).lower():
                raise
        page.wait_for_timeout(250)
    raise AssertionError(f"Not within 15 s: {question}")


def _person(apis: Callable[[str], Api], name: str) -> str:
    return apis("alder").people()[name]
