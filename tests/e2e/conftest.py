"""The built web app behind gunicorn with the demo club, and Chromium to use it."""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from tests.e2e.browsing import PHONE, Api, Complaints, api_as, sign_in
from tests.e2e.screens import rows_to_open
from tests.machine import CHROMIUM_ARGUMENTS, ROOT, Missing, Server, chromium_path, running_server

expect.set_options(timeout=10_000)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if item.path.is_relative_to(here):
            item.add_marker(pytest.mark.e2e)


@pytest.fixture(scope="session")
def web_app(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the built app, which a build meanwhile does not change."""
    built = ROOT / "frontend" / "dist"
    if not (built / "index.html").exists():
        raise Missing("The web app is not built: make build")
    return Path(shutil.copytree(built, tmp_path_factory.mktemp("web") / "app"))


@pytest.fixture(scope="session")
def seeded(web_app: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo club's data folder, loaded once for all who test side by side; each module gets a copy of it."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    folder, done = shared / "seeded", shared / "seeded.done"
    with (shared / "seeded.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not done.exists():
            folder.mkdir()
            with running_server(data_dir=folder, web_app=web_app):
                pass
            done.touch()
    return folder


@pytest.fixture(scope="module")
def server(seeded: Path, web_app: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Staveward behind gunicorn on fresh demo data, for one journey."""
    folder = Path(shutil.copytree(seeded, tmp_path_factory.mktemp("club") / "data"))
    with running_server(demo=False, made=True, data_dir=folder, web_app=web_app) as running:
        yield running


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    launched = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_ARGUMENTS)
    yield launched
    launched.close()


@pytest.fixture(scope="module")
def apis(playwright: Playwright, server: Server) -> Iterator[Callable[[str], Api]]:
    """Signs people in beside the browser, each once a module."""
    known: dict[str, Api] = {}

    def of(who: str) -> Api:
        if who not in known:
            known[who] = api_as(playwright, server.url, who)
        return known[who]

    yield of
    for one in known.values():
        one.request.dispose()


@pytest.fixture
def complaints() -> Iterator[Complaints]:
    """Collects what pages complain of; a test that ends with a complaint has failed."""
    kept = Complaints()
    yield kept
    assert kept.said == []


@pytest.fixture
def phone(browser: Browser, complaints: Complaints) -> Iterator[Callable[..., Page]]:
    """Opens pages, each on a phone of its own; words given change the context."""
    contexts: list[BrowserContext] = []

    def open_page(**changes: Any) -> Page:
        context = browser.new_context(**{**PHONE, **changes})
        contexts.append(context)
        context.set_default_timeout(10_000)
        context.on("page", complaints.listen)
        return context.new_page()

    yield open_page
    for context in contexts:
        context.close()


@pytest.fixture(scope="module")
def barrels(apis: Callable[[str], Api]) -> dict[str, Any]:
    """The rows that screens are opened with, one barrel having the longest sort of name."""
    return rows_to_open(apis)


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
