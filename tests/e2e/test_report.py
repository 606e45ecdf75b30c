"""An admin reads the whole programme on one page: every barrel, totals that add up, on paper and as a file."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.e2e.browsing import DESK, Api, Complaints, sign_in
from tests.machine import Server


@pytest.fixture(scope="module")
def signed_in(browser: Browser, server: Server) -> Iterator[BrowserContext]:
    """The admin's desk with the club on it, for the whole module."""
    context = browser.new_context(**DESK)
    context.set_default_timeout(10_000)
    page = context.new_page()
    sign_in(page, server.url, "tansy")
    page.close()
    yield context
    context.close()


@pytest.fixture
def desk(signed_in: BrowserContext, server: Server, complaints: Complaints) -> Iterator[Page]:
    """The report, which is an admin's first screen."""
    page = signed_in.new_page()
    complaints.listen(page)
    page.goto(server.url)
    expect(_rows(page).first).to_be_visible()
    yield page
    page.close()


def test_every_barrel_stands_in_the_table_with_its_figures(desk: Page, apis: Callable[[str], Api]) -> None:
    api = apis("tansy")
    barrels = api.barrels()
    lines = {line["name"]: line for line in api.get("report")["barrels"]}
    assert set(lines) == set(barrels)
    expect(_rows(desk)).to_have_count(len(barrels))
    for name, barrel in barrels.items():
        cells = _cells(desk, name)
        contents, now = barrel["contents"], barrel["now"]
        if barrel["state"] == "filled":
            assert cells["Holds now"].lower() == contents["name"].lower()
            volume, strength = now["volume_l"], now["abv_pct"]
            _holds(cells["Litres"], volume, f"of {_short(contents['start_volume_l'])}")
            _holds(cells["% vol"], strength, f"was {contents['start_abv_pct']:.1f}".removesuffix(".0"))
            # Its first day is day 1.
            assert int(cells["Day"]) == _days_since(contents["started_at"]) + 1
            assert cells["Lost"].endswith("%")
        elif barrel["state"] == "held":
            assert cells["Holds now"] == "Water"
            _holds(cells["Litres"], now["volume_l"], "")
            days = _days_since(barrel["water"]["changed_at"])
            told = {0: "water changed today", 1: "water 1 day"}.get(days, f"water {days} days")
            assert told in cells["Care"]
            # A day to top up by is told where the weekly water is kept and its level falls within the month.
            late = {task["task"] for task in lines[name]["overdue"]} & {"top_up", "water_change"}
            top_up_on = barrel["water"]["top_up_at"]
            is_soon = top_up_on and datetime.fromisoformat(top_up_on) < datetime.now(UTC) + timedelta(days=29)
            if is_soon and not late:
                assert "top up" in cells["Care"]
        for task in lines[name]["overdue"][:1]:
            assert cells["Care"] not in ("", "in order"), task
        if barrel["state"] != "retired":
            assert re.search(r"fills?|none", cells["Wood left"])
            assert re.search(r"whisky \d+ to \d+", cells["Wood left"])
            assert _row(desk, name).get_by_role("img", name=re.compile("used")).count() == 1
            reserved = barrel["next_reservation"]
            assert cells["Next fill"].startswith(_day(reserved["starts_on"]) if reserved else "free")


def test_totals_are_the_sum_of_the_barrels(desk: Page, apis: Callable[[str], Api]) -> None:
    """What the report says of the cellar, against the logs and the barrels added up here."""
    api = apis("tansy")
    totals = api.get("report")["totals"]
    barrels = api.barrels().values()
    filled = [one for one in barrels if one["state"] == "filled"]
    volume = {end: sum(one["now"]["volume_l"][end] for one in filled) for end in ("low", "mid", "high")}
    # Litres of pure alcohol as the trade counts them: volume times strength by volume.
    pure = sum(one["now"]["volume_l"]["mid"] * one["now"]["abv_pct"]["mid"] / 100 for one in filled)
    put_in = samples = 0.0
    for one in filled:
        for entry in api.log(one["id"]):
            if entry["stay"] != one["contents"]["stay"] or not entry["is_head"] or entry["is_void"]:
                continue
            if entry["collection"] == "fills":
                put_in += sum(part["volume_l"] for part in entry["body"]["parts"])
            if entry["collection"] in ("tastings", "samples") and entry["placement"] == "placed":
                samples += entry["body"].get("sample_ml", 0.0) / 1000
    assert totals["barrels"] == len(barrels)
    for state in ("filled", "held", "curing"):
        assert totals[state] == sum(1 for one in barrels if one["state"] == state)
    for end, litres in volume.items():
        assert totals["volume_l"][end] == pytest.approx(litres, rel=2e-4)
    assert totals["pure_alcohol_l"]["mid"] == pytest.approx(pure, rel=1e-3)
    assert totals["samples_l"] == pytest.approx(samples, abs=1e-3)
    # Mixing shrinks by a few thousandths, so what began is a little less than what was put in.
    assert totals["start_volume_l"] == pytest.approx(put_in, rel=0.01)
    assert totals["lost_l"]["mid"] == pytest.approx(totals["start_volume_l"] - volume["mid"], abs=1e-3)

    sentence = desk.get_by_role("paragraph").filter(has_text="of them pure alcohol").inner_text()
    said = [float(word) for word in re.findall(r"\d+(?:\.\d+)?", sentence)]
    assert said[0] == pytest.approx(volume["low"], abs=0.6)
    assert said[1] == pytest.approx(volume["high"], abs=0.6)
    assert said[2] <= pure <= said[3]


def test_it_is_sorted_and_filtered(desk: Page, apis: Callable[[str], Api]) -> None:
    lines = apis("tansy").get("report")["barrels"]
    heading = desk.get_by_role("columnheader", name="Litres")
    heading.get_by_role("button").click()
    expect(heading).to_have_attribute("aria-sort", "descending")
    known = [one for one in lines if one["volume_l"]]
    by_volume = [one["name"] for one in sorted(known, key=lambda one: -one["volume_l"]["mid"])]
    assert _names(desk)[: len(known)] == by_volume
    heading.get_by_role("button").click()
    expect(heading).to_have_attribute("aria-sort", "ascending")
    assert _names(desk)[: len(known)] == by_volume[::-1]
    desk.get_by_role("columnheader", name="Barrel").get_by_role("button").click()
    assert _names(desk) == sorted(one["name"] for one in lines)

    desk.get_by_label("State").select_option("Wet hold")
    assert _names(desk) == sorted(one["name"] for one in lines if one["state"] == "held")
    desk.get_by_label("State").select_option("Any state")
    desk.get_by_label("Place").select_option("Sail loft")
    places = {row["name"]: row["id"] for row in apis("tansy").get("places")["results"]}
    assert _names(desk) == sorted(one["name"] for one in lines if one["place"] == places["Sail loft"])
    desk.get_by_label("State").select_option("Retired")
    expect(desk.get_by_text("No barrel stands there in that state.")).to_be_visible()
    desk.get_by_role("button", name="Show all").click()
    expect(_rows(desk)).to_have_count(len(lines))


def test_it_prints(desk: Page) -> None:
    desk.evaluate("window.print = () => { window.printed = true }")
    desk.get_by_role("button", name="Print").click()
    assert desk.evaluate("window.printed")
    desk.emulate_media(media="print")
    expect(desk.get_by_role("table")).to_be_visible()
    expect(desk.get_by_role("button", name="Print")).to_be_hidden()
    expect(desk.get_by_role("navigation", name="Acts")).to_be_hidden()
    paper = desk.pdf(format="A4", landscape=True)
    assert paper.startswith(b"%PDF")
    assert len(paper) > 10_000
    # Nothing runs off a sheet of A4 across: 297 mm less the browser's usual edges of 10 mm.
    desk.set_viewport_size({"width": 1046, "height": 718})
    assert desk.evaluate("document.documentElement.scrollWidth") <= 1046


def test_it_is_taken_as_a_file(desk: Page, apis: Callable[[str], Api]) -> None:
    with desk.expect_download() as coming:
        desk.get_by_role("link", name="CSV").click()
    download = coming.value
    assert re.fullmatch(r"cellar-report-\d{4}-\d{2}-\d{2}\.csv", download.suggested_filename)
    rows = list(csv.DictReader(io.StringIO(download.path().read_text(encoding="utf-8-sig"))))
    answer = apis("tansy").get("report")
    assert {row["barrel"] for row in rows} == {line["name"] for line in answer["barrels"]}
    filled = [row for row in rows if row["state"] == "filled"]
    for end in ("low", "mid", "high"):
        total = sum(float(row[f"volume_{end}_l"]) for row in filled)
        assert total == pytest.approx(answer["totals"]["volume_l"][end], rel=2e-4)
    assert sum(float(row["start_volume_l"]) for row in filled) == pytest.approx(
        answer["totals"]["start_volume_l"], rel=1e-4
    )
    held = [row for row in rows if row["state"] == "held"]
    assert held
    assert all(row["water_changed_at"] and row["days_since_water_changed"] for row in held)
    assert all(float(row["level_low"]) <= float(row["level_high"]) for row in held)


def test_a_phone_shows_the_same_as_staves(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    page = phone()
    sign_in(page, server.url, "tansy")
    staves = page.get_by_role("list", name="Barrels of the report").get_by_role("listitem")
    expect(staves).to_have_count(len(apis("tansy").barrels()))
    neap = staves.filter(has=page.get_by_role("heading", name="Neap", exact=True))
    neap.get_by_role("button", name="Neap").click()
    line = next(line for line in apis("tansy").get("report")["barrels"] if line["name"] == "Neap")
    days = math.floor(line["water"]["days_since_change"])
    for words in ("used", "whisky", f"water {days} days"):
        expect(neap).to_contain_text(words)


def test_a_member_is_told_that_the_report_is_not_theirs(
    server: Server, phone: Callable[..., Page], browser: Browser, complaints: Complaints
) -> None:
    page = phone()
    sign_in(page, server.url, "sedge")
    page.goto(f"{server.url}/report")
    expect(page.get_by_text("Only the keeper and the admin read the cellar report.")).to_be_visible()


def _rows(page: Page) -> Locator:
    return page.get_by_role("table").locator("tbody").get_by_role("row")


def _names(page: Page) -> list[str]:
    """The barrels in the order of the table; the names are set in capitals only by style."""
    return [one.text_content() or "" for one in _rows(page).get_by_role("link").all()]


def _row(page: Page, name: str) -> Locator:
    return _rows(page).filter(has=page.get_by_role("link", name=name, exact=True))


def _cells(page: Page, name: str) -> dict[str, str]:
    heads = [_plain(one) for one in page.get_by_role("columnheader").all_text_contents()]
    cells = [_plain(one) for one in _row(page, name).locator("th, td").all_text_contents()]
    assert len(heads) == len(cells)
    return dict(zip((head.rstrip(" ↓↑") for head in heads), cells, strict=True))


def _plain(words: str) -> str:
    return words.replace("\u00a0", " ").strip()


def _holds(cell: str, band: Any, then: str) -> None:
    """A cell says a range that agrees with the band to the digit it shows, and then what it was."""
    numbers = [float(word) for word in re.findall(r"\d+(?:\.\d+)?", cell.split(" of ")[0].split(" was ")[0])]
    shown = cell.split(" of ")[0].split(" was ")[0]
    digits = max((len(word.partition(".")[2]) for word in re.findall(r"[\d.]+", shown)), default=0)
    assert numbers[0] == pytest.approx(band["low"], abs=0.51 * 10**-digits), cell
    assert numbers[-1] == pytest.approx(band["high"], abs=0.51 * 10**-digits), cell
    assert cell.endswith(then), (cell, then)


def _short(litres: float) -> str:
    return f"{litres:.1f}".removesuffix(".0") if litres >= 3 else f"{litres:.2f}".rstrip("0").rstrip(".")


def _day(day: str) -> str:
    found = date.fromisoformat(day)
    return f"{found.day} {found:%b}"


def _days_since(moment: str) -> int:
    """Midnights of the club's own clock since then."""
    zone = ZoneInfo("Europe/London")
    return (datetime.now(zone).date() - datetime.fromisoformat(moment).astimezone(zone).date()).days
