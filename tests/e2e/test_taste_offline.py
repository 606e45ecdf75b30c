"""A member tastes in a cellar without signal: kept at once, kept when the app dies, on the server exactly once."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import segno
from playwright.sync_api import BrowserContext, Page, Playwright, Route, expect

from tests.e2e.browsing import PHONE, Api, Complaints, kill, sign_in, worker_in_control
from tests.machine import CHROMIUM_ARGUMENTS, Server, chromium_path

MOST_SECONDS = 10.0
MOST_TAPS = 3
COUNT_TAPS = "addEventListener('pointerdown', () => { window.taps = (window.taps ?? 0) + 1 }, true)"


@pytest.mark.parametrize(
    ("way", "barrel", "score"), [("camera", "Slack Water", 7.5), ("typed", "Lee Shore", 6.0)]
)
def test_a_taste_without_signal_arrives_exactly_once(
    way: str,
    barrel: str,
    score: float,
    server: Server,
    playwright: Playwright,
    apis: Callable[[str], Api],
    complaints: Complaints,
    tmp_path: Path,
) -> None:
    row = apis("alder").barrels()[barrel]
    before = _tastings(apis("alder"), row["id"])
    film = tmp_path / "tag.y4m"
    write_film(film, f"{server.url}/t/{row['tag_code']}")

    def open_app() -> tuple[BrowserContext, Page]:
        context = playwright.chromium.launch_persistent_context(
            tmp_path / "phone",
            executable_path=chromium_path(),
            args=[
                *CHROMIUM_ARGUMENTS,
                "--use-fake-ui-for-media-stream",
                "--use-fake-device-for-media-stream",
                f"--use-file-for-fake-video-capture={film}",
            ],
            **PHONE,
        )
        context.set_default_timeout(10_000)
        context.grant_permissions(["camera"] if way == "camera" else [])
        context.add_init_script(COUNT_TAPS)
        page = context.pages[0]
        complaints.listen(page)
        return context, page

    # The first visit, with signal.
    context, page = open_app()
    sign_in(page, server.url, "sedge")
    worker_in_control(page)

    # Down in the cellar: no signal, and the app starts anew.
    context.set_offline(True)
    page.reload()
    expect(page.get_by_role("banner")).to_contain_text("no signal")
    page.get_by_role("link", name="Scan").click()
    began = time.monotonic()
    if way == "typed":
        _type_code(page, row["tag_code"])
        began = time.monotonic()
        page.get_by_role("button", name="Open", exact=True).tap()
    expect(page).to_have_title(f"Taste of {barrel} · Staveward")
    taps_before = page.evaluate("window.taps ?? 0")
    _tap_rod(page, score)
    page.get_by_role("radio", name="right", exact=True).tap()
    page.get_by_role("button", name="Save").tap()
    expect(page).to_have_title(f"Saved: {barrel} · Staveward")
    took = time.monotonic() - began
    taps = page.evaluate("window.taps") - taps_before
    assert took < MOST_SECONDS
    assert taps <= MOST_TAPS
    expect(page.get_by_role("main")).to_contain_text(re.compile("on this phone", re.I))

    # The app is killed, and opened again, still without signal.
    kill(context)
    context, page = open_app()
    context.set_offline(True)
    page.goto(f"{server.url}/not-yet-sent")
    kept = page.get_by_role("list", name="Only on this phone").get_by_role("listitem")
    expect(kept).to_have_count(1)
    expect(kept).to_contain_text(barrel)
    assert _tastings(apis("alder"), row["id"]) == before

    # Signal, but the first two answers are lost after the server has acted.
    puts: list[str] = []

    def lose_two(route: Route) -> None:
        if route.request.method != "PUT":
            route.continue_()
            return
        puts.append(route.request.url)
        answer = route.fetch()
        assert answer.status in (200, 201), answer.text()
        if len(puts) <= 2:
            route.abort("connectionreset")
        else:
            route.fulfill(response=answer)

    context.route("**/tastings/*", lose_two)
    context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.get_by_role("heading", name="All has been sent")).to_be_visible(timeout=60_000)
    assert len(puts) == 3
    assert len(set(puts)) == 1

    # Exactly one on the server, as scored, and in the barrel's log.
    added = [one for one in _tastings(apis("alder"), row["id"]) if one not in before]
    assert len(added) == 1
    assert puts[0].endswith(added[0])
    entry = next(one for one in apis("alder").log(row["id"]) if one["id"] == added[0])
    assert entry["body"]["liking"] == score
    assert entry["placement"] == "placed"
    page.goto(f"{server.url}/barrels/{row['id']}/log")
    today = page.get_by_role("main").get_by_role("listitem").filter(has_text="Sedge").first
    expect(today).to_contain_text(f"{score:g}")
    context.close()


def test_a_wrong_code_is_refused_before_any_look_up(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    page = phone()
    sign_in(page, server.url, "sedge")
    code = apis("sedge").barrels()["Slack Water"]["tag_code"]
    wrong = code[:-1] + ("A" if code[-1] != "A" else "B")
    page.get_by_role("link", name="Scan").click()
    _type_code(page, wrong)
    page.get_by_role("button", name="Open", exact=True).click()
    field = page.get_by_role("textbox", name=re.compile("code"))
    expect(field).to_have_attribute("aria-invalid", "true")
    assert (
        field.evaluate(
            "(input) => document.getElementById(input.getAttribute('aria-describedby')"
            ".split(' ').at(-1))?.textContent?.length"
        )
        > 10
    )
    expect(page).to_have_title("Scan · Staveward")


def write_film(path: Path, text: str, width: int = 640, height: int = 480) -> None:
    """Writes what the camera shows: the tag's QR code on pale paper, 4:2:0, a few frames over and over."""
    code = np.array(list(segno.make(text, error="m", micro=False).matrix_iter(border=4)), dtype=np.uint8)
    scale = min(width, height) * 3 // 4 // len(code)
    picture = np.where(np.kron(code, np.ones((scale, scale), dtype=np.uint8)) > 0, 30, 220).astype(np.uint8)
    luma = np.full((height, width), 150, dtype=np.uint8)
    top, left = (height - len(picture)) // 2, (width - len(picture)) // 2
    luma[top : top + len(picture), left : left + len(picture)] = picture
    chroma = np.full(width * height // 2, 128, dtype=np.uint8).tobytes()
    with path.open("wb") as film:
        film.write(f"YUV4MPEG2 W{width} H{height} F10:1 Ip A1:1 C420jpeg\n".encode())
        for _ in range(10):
            film.write(b"FRAME\n" + luma.tobytes() + chroma)


def _type_code(page: Page, code: str) -> None:
    page.get_by_role("textbox", name=re.compile("code")).fill(code.lower())


def _tap_rod(page: Page, score: float) -> None:
    """One tap on the rod, at the height of the score."""
    rod = page.get_by_role("slider", name="How do you like it?")
    ten, zero = (rod.get_by_text(words, exact=True).bounding_box() for words in ("10", "0"))
    assert ten
    assert zero
    top, bottom = (box["y"] + box["height"] / 2 for box in (ten, zero))
    whole = rod.bounding_box()
    assert whole
    page.touchscreen.tap(whole["x"] + whole["width"] / 2, bottom - (bottom - top) * score / 10)
    expect(rod).to_have_attribute("aria-valuenow", f"{score:g}")


def _tastings(api: Api, barrel: str) -> list[str]:
    return [one["id"] for one in api.log(barrel) if one["collection"] == "tastings"]
