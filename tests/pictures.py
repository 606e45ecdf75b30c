"""Takes the pictures in docs/pictures from the demo club, so that they always show the app as it is.

make pictures
"""

from __future__ import annotations

import base64
import io
import re
import sys
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, sync_playwright

from tests.machine import CHROMIUM_ARGUMENTS, Missing, Server, chromium_path, running_server

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "docs" / "pictures"
PHONE: ViewportSize = {"width": 390, "height": 844}
DESK: ViewportSize = {"width": 1280, "height": 900}
GAP_PX = 24
COLOURS = 256
SIGN_IN = re.compile(r"^\s*(member|keeper|admin)\s+(\S+@\S+)\s+(\S+)", re.MULTILINE)
SETTLED = "() => !document.querySelector('[aria-busy=true]')"


def accounts(server: Server) -> dict[str, tuple[str, str]]:
    """Returns address and password of the first account of each role, as the demo prints them."""
    found: dict[str, tuple[str, str]] = {}
    for role, email, password in SIGN_IN.findall(server.manage("seed_demo")):
        found.setdefault(role, (email, password))
    return found


def sign_in(context: BrowserContext, server: Server, email: str, password: str) -> None:
    """Signs a browser in as the page itself would, without opening a page."""
    context.request.get(f"{server.url}/api/v1/me")
    token = next(cookie["value"] for cookie in context.cookies() if cookie["name"] == "csrftoken")
    answer = context.request.post(
        f"{server.url}/_allauth/browser/v1/auth/login",
        data={"email": email, "password": password},
        headers={"X-CSRFToken": token, "Referer": server.url},
    )
    if not answer.ok:
        raise RuntimeError(f"{email} cannot sign in: {answer.status} {answer.text()}")


def signed_in(
    browser: Browser, server: Server, account: tuple[str, str], scheme: str, viewport: ViewportSize = PHONE
) -> Page:
    """Opens the first screen of one person, on a phone unless another size is asked for."""
    context = browser.new_context(
        viewport=viewport,
        device_scale_factor=2 if viewport == PHONE else 1,
        has_touch=viewport == PHONE,
        color_scheme=scheme,
        locale="en-GB",
    )
    sign_in(context, server, *account)
    page = context.new_page()
    page.goto(server.url)
    settle(page)
    return page


def settle(page: Page) -> None:
    """Waits until the screen shows what the server knows."""
    page.wait_for_load_state("networkidle")
    page.wait_for_function(SETTLED)
    page.wait_for_timeout(1500)


def first_screens(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """What each role opens on."""
    shots = []
    for role, scheme in (("member", "dark"), ("keeper", "dark"), ("admin", "light")):
        page = signed_in(browser, server, people[role], scheme)
        shots.append(page.screenshot())
        page.context.close()
    side_by_side(browser, shots, FOLDER / "first-screens.png")


def at_the_barrel(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """A member's three acts: the barrel, its taste, and the next one reserved."""
    page = signed_in(browser, server, people["member"], "dark")
    page.get_by_role("link", name="Slack Water").first.click()
    settle(page)
    shots = [page.screenshot()]
    page.get_by_role("link", name="Taste", exact=True).click()
    settle(page)
    rod = page.get_by_role("slider")
    rod.focus()
    for key in ("8", "ArrowDown"):
        rod.press(key)
    page.get_by_role("radio", name="right", exact=True).check()
    page.evaluate("document.activeElement.blur()")
    page.wait_for_timeout(500)
    shots.append(page.screenshot())
    page.goto(f"{server.url}/reserve")
    settle(page)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "at-the-barrel.png")


def keepers_round(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """A keeper's round: today's walk, a barrel's log with an entry opened, and how often care comes round."""
    page = signed_in(browser, server, people["keeper"], "dark")
    # Whoever has done it twice has the lessons folded; here the barrels are to be seen.
    page.evaluate(
        """() => {
            const mine = JSON.parse(localStorage.getItem('staveward.account') ?? 'null')?.persons?.[0]?.id ?? '';
            for (const name of ['walk', 'look', 'roll']) localStorage.setItem(`staveward.lesson.${mine}.${name}`, '2');
        }"""
    )
    page.goto(f"{server.url}/walk")
    settle(page)
    shots = [page.screenshot()]
    page.goto(f"{server.url}/barrels")
    settle(page)
    page.get_by_role("link", name="Lee Shore").first.click()
    settle(page)
    page.goto(f"{page.url}/log")
    settle(page)
    page.get_by_role("button", name="Open").first.click()
    page.wait_for_timeout(600)
    shots.append(page.screenshot())
    page.context.close()
    page = signed_in(browser, server, people["admin"], "light")
    page.goto(f"{server.url}/settings/care")
    settle(page)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "keepers-round.png")


def first_time(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """What somebody sees who walks the cellar for the first time, and after it: what is only on this phone."""
    page = signed_in(browser, server, people["keeper"], "light")
    page.goto(f"{server.url}/walk")
    settle(page)
    shots = [page.screenshot()]
    page.context.set_offline(True)
    page.get_by_role("button", name=re.compile("^All well")).first.click()
    page.wait_for_timeout(8_000)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "first-walk.png")


def cellar_report(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """The report at a desk."""
    page = signed_in(browser, server, people["admin"], "light", DESK)
    small(page.screenshot(), FOLDER / "cellar-report.png")
    page.context.close()


def side_by_side(browser: Browser, shots: list[bytes], target: Path) -> None:
    """Writes several phone screens as one picture."""
    images = "".join(
        f'<img src="data:image/png;base64,{base64.b64encode(shot).decode()}" width="{PHONE["width"]}">'
        for shot in shots
    )
    width = len(shots) * PHONE["width"] + (len(shots) + 1) * GAP_PX
    page = browser.new_page(viewport={"width": width, "height": PHONE["height"] + 2 * GAP_PX})
    page.set_content(
        f'<body style="margin:0;padding:{GAP_PX}px;display:flex;gap:{GAP_PX}px;background:#3a3f3d">{images}</body>'
    )
    page.wait_for_timeout(300)
    small(page.screenshot(), target)
    page.close()


def small(shot: bytes, target: Path) -> None:
    """Writes a picture with as many colours as it needs: a third of the size, and no eye sees it."""
    with Image.open(io.BytesIO(shot)) as image:
        image.convert("RGB").quantize(COLOURS, method=Image.Quantize.FASTOCTREE).save(target, optimize=True)


def main() -> int:
    FOLDER.mkdir(parents=True, exist_ok=True)
    try:
        path = chromium_path()
        with running_server() as server, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=path, args=CHROMIUM_ARGUMENTS)
            people = accounts(server)
            for take in (first_screens, at_the_barrel, keepers_round, first_time, cellar_report):
                take(browser, server, people)
            browser.close()
    except Missing as missing:
        print(missing)
        return 1
    print(f"docs/pictures: {', '.join(sorted(file.name for file in FOLDER.glob('*.png')))}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
