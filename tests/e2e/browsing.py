"""How a test uses the web app: contexts as phones have them, sign-in, waiting, and the server's own word."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

from PIL import Image
from playwright.sync_api import (
    APIRequestContext,
    BrowserContext,
    ConsoleMessage,
    Error,
    Locator,
    Page,
    Playwright,
    expect,
)

from tests.ids import uuid7
from tests.machine import ROOT

# As ``manage.py seed_demo`` prints them.
MAIL_DOMAIN = "wrackmouth.example"
PASSWORD = "above-the-tide-line"
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
    "locale": "en-GB",
}
ONLINE = "dispatchEvent(new Event('online'))"
# The parts that the app's worker fetches after the others.
LATER = {path.name for path in (ROOT / "frontend" / "dist").rglob("*.wasm")}
DESK = {"viewport": {"width": 1280, "height": 800}, "locale": "en-GB"}


@dataclass
class Complaints:
    """What a page said was wrong: errors, and breaches of the content security policy."""

    said: list[str] = field(default_factory=list)

    def listen(self, page: Page) -> None:
        """Hears a page from now on."""
        page.on("pageerror", self._error)
        page.on("console", self._console)

    def forget(self, page: Page) -> None:
        """Stops hearing a page that outlives the test."""
        page.remove_listener("pageerror", self._error)
        page.remove_listener("console", self._console)

    def _error(self, error: Error) -> None:
        self.said.append(str(error))

    def _console(self, message: ConsoleMessage) -> None:
        # A request that fails without signal is the browser's own note, not a fault of the app.
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.said.append(message.text)


def address(who: str) -> str:
    """Returns the demo address of a person of the club."""
    return f"{who}@{MAIL_DOMAIN}"


def sign_in(page: Page, url: str, who: str) -> None:
    """Signs in through the door, as a person does, and waits for the club's rows."""
    page.goto(url)
    page.get_by_label("E-mail").fill(address(who))
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    at_home(page)


def at_home(page: Page) -> None:
    """Waits until the first screen stands and the club has been read."""
    expect(page.get_by_role("navigation", name="Acts")).to_be_visible(timeout=20_000)
    main = page.get_by_role("main")
    expect(main.get_by_role("listitem").or_(main.get_by_role("row")).first).to_be_visible(timeout=30_000)
    # Rows come page by page; until the last of them the phone is not fit for a cellar.
    expect(page.get_by_text("nothing fetched yet")).to_have_count(0, timeout=30_000)


def choose(page: Page, name: str) -> None:
    """Presses a plank of a group as a finger does: when it has come to rest and nothing lies over it."""
    radio = page.get_by_role("radio", name=name, exact=True)
    page.locator("label").filter(has=radio).click()
    expect(radio).to_be_checked()


# When and where each page was pressed last.
_pressed: WeakKeyDictionary[Page, tuple[float, float, float]] = WeakKeyDictionary()
# The app takes a second tap within 400 ms and 40 px for the echo of a glove, and ignores it.
ECHO_SECONDS, ECHO_PX = 0.45, 45


def press_it(page: Page, plank: Locator) -> None:
    """Presses a plank as a hand does: not twice at one place within the blink in which a tap may echo."""
    plank.scroll_into_view_if_needed()
    box = plank.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    at, last_x, last_y = _pressed.get(page, (0.0, 0.0, 0.0))
    wait = at + ECHO_SECONDS - time.monotonic()
    if wait > 0 and max(abs(x - last_x), abs(y - last_y)) < ECHO_PX:
        page.wait_for_timeout(1000 * wait)
    plank.click()
    _pressed[page] = (time.monotonic(), x, y)


def press(page: Page, name: str | re.Pattern[str]) -> None:
    """Presses the one button of a name; of several, the one that was opened last."""
    press_it(page, page.get_by_role("button", name=name, exact=True).last)


def said(page: Page, words: str | re.Pattern[str]) -> None:
    """Waits for words in the room itself; the same are spoken once to a reader."""
    expect(page.get_by_role("main").get_by_text(words).first).to_be_visible()


def at(page: Page, path: str) -> None:
    """Goes on inside the app, as a link would: with no signal a page is not loaded anew."""
    page.evaluate(
        "(path) => { history.pushState(null, '', path); dispatchEvent(new PopStateEvent('popstate')) }", path
    )
    page.wait_for_url(f"**{path}")


def all_sent(page: Page) -> None:
    """Waits until nothing is left on this phone only."""
    at(page, "/not-yet-sent")
    # With signal again the app goes at once; a browser that only pretends may not have told it.
    page.evaluate(ONLINE)
    expect(page.get_by_role("heading", name="All has been sent")).to_be_visible(timeout=60_000)


def eventually(page: Page, ask: Callable[[], Any], seconds: float = 30.0) -> Any:
    """Asks until the answer is no longer empty, and returns it."""
    end = time.monotonic() + seconds
    while not (found := ask()):
        assert time.monotonic() < end, f"It did not come about within {seconds:g} s."
        page.wait_for_timeout(100)
    return found


def worker_in_control(page: Page) -> None:
    """Waits until the service worker answers for the page and has put every part of the app aside."""
    end = time.monotonic() + 30
    while time.monotonic() < end:
        kept = page.evaluate(
            """async () => {
                if (!navigator.serviceWorker?.controller) return [];
                const opened = await Promise.all((await caches.keys()).map((name) => caches.open(name)));
                const kept = await Promise.all(opened.map((cache) => cache.keys()));
                return kept.flat().map((request) => new URL(request.url).pathname);
            }"""
        )
        # The worker takes over with all of the app but what it fetches later; that is what comes last.
        if {path.rpartition("/")[2] for path in kept} >= LATER:
            assert len(kept) > 30
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"No worker took over with all parts within half a minute ({len(kept)} kept).")


def kill(context: BrowserContext) -> None:
    """Ends an app at once: closing alone lifts "no signal" a moment before its pages are gone."""
    for page in context.pages:
        page.goto("about:blank")
    context.close()


@dataclass
class Api:
    """The server's own word, asked beside the browser."""

    request: APIRequestContext
    club: str

    def get(self, path: str, **params: Any) -> Any:
        address = f"/api/v1/clubs/{self.club}/{path}".removesuffix("/")
        answer = self.request.get(address, params=params or None)
        assert answer.ok, f"{path}: {answer.status} {answer.text()}"
        return answer.json()

    def put(self, collection: str, body: dict[str, Any]) -> str:
        """Writes an entry as a phone would, and returns its id."""
        origin = self.request.get("/").url
        key, now = uuid7(), datetime.now(UTC).isoformat()
        answer = self.request.put(
            f"/api/v1/clubs/{self.club}/{collection}/{key}",
            data={"happened_at": now, "entered_at": now, **body},
            headers={"X-CSRFToken": _cookie(self.request, "csrftoken"), "Origin": origin.rstrip("/")},
        )
        assert answer.ok, f"{collection}: {answer.status} {answer.text()}"
        return key

    def text(self, path: str) -> str:
        answer = self.request.get(f"/api/v1/clubs/{self.club}/{path}")
        assert answer.ok, f"{path}: {answer.status}"
        return answer.text()

    def barrels(self) -> dict[str, Any]:
        """Returns every barrel by its name."""
        return {row["name"]: row for row in self.get("barrels", limit=200)["results"]}

    def people(self) -> dict[str, str]:
        """Returns each person's id by name."""
        return {row["name"]: row["id"] for row in self.get("people", limit=200)["results"]}

    def log(self, barrel: str) -> list[Any]:
        rows: list[Any] = self.get(f"barrels/{barrel}/log", limit=200)["results"]
        return rows


def api_as(playwright: Playwright, url: str, who: str) -> Api:
    """Signs in beside the browser."""
    request = playwright.request.new_context(base_url=url)
    request.get("/api/v1/me")
    token = _cookie(request, "csrftoken")
    answer = request.post(
        "/_allauth/browser/v1/auth/login",
        data={"email": address(who), "password": PASSWORD},
        headers={"X-CSRFToken": token, "Origin": url},
    )
    assert answer.ok, answer.text()
    me = request.get("/api/v1/me").json()
    return Api(request, me["persons"][0]["club"]["id"])


def _cookie(request: APIRequestContext, name: str) -> str:
    return next(one["value"] for one in request.storage_state()["cookies"] if one["name"] == name)


def signed_in(context: BrowserContext, api: Api) -> BrowserContext:
    """Gives a context the sign-in of an API session."""
    context.add_cookies(api.request.storage_state()["cookies"])  # type: ignore[arg-type]
    return context


def photo_file(path: Path) -> Path:
    """Writes a photo as a camera does: large, lying, and full of notes."""
    notes = Image.Exif()
    notes[0x0112] = 6
    notes[0x010F] = "A camera"
    Image.linear_gradient("L").convert("RGB").resize((3000, 2000)).save(path, exif=notes.tobytes())
    return path
