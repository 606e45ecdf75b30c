"""Every screen as the keepers have it: readable, whole on a narrow phone, reached by keyboard."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.e2e.browsing import Complaints
from tests.e2e.screens import SCREENS, look_whole
from tests.machine import Server

EVERY = [(who, path) for who in ("alder", "wick") for path in SCREENS[who]]


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
    look_whole(page, server, who, path, barrels)
    complaints.forget(page)


def test_every_role_is_looked_at() -> None:
    assert {who for who, _ in EVERY} | {"sedge", "tansy"} == SCREENS.keys()
