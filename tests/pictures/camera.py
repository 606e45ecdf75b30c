"""A camera for the documents: a browser signed in as somebody of the demo club, and pictures small enough to keep."""

from __future__ import annotations

import base64
import io
import re
from pathlib import Path
from typing import Any, Literal

from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize

from tests.machine import Server

ROOT = Path(__file__).resolve().parents[2]
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
    browser: Browser,
    server: Server,
    account: tuple[str, str],
    scheme: Literal["dark", "light"],
    viewport: ViewportSize = PHONE,
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


def experienced(page: Page, *lessons: str) -> None:
    """Folds lessons away, as for somebody who has done the things twice: a picture is to show what lies under them."""
    page.evaluate(
        """(lessons) => {
            const mine = JSON.parse(localStorage.getItem('staveward.account') ?? 'null')?.persons?.[0]?.id ?? '';
            for (const name of lessons) localStorage.setItem(`staveward.lesson.${mine}.${name}`, '2');
        }""",
        lessons,
    )


def rows(page: Page, server: Server, collection: str) -> list[dict[str, Any]]:
    """Returns the rows of a register that the person signed in may see."""
    club = page.request.get(f"{server.url}/api/v1/me").json()["persons"][0]["club"]["id"]
    answer = page.request.get(f"{server.url}/api/v1/clubs/{club}/{collection}?limit=100")
    found: list[dict[str, Any]] = answer.json()["results"]
    return found


def settle(page: Page) -> None:
    """Waits until the screen shows what the server knows."""
    page.wait_for_load_state("networkidle")
    page.wait_for_function(SETTLED)
    page.wait_for_timeout(1500)


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
