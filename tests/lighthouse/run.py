"""Measures the built app with Lighthouse and fails below 95 in any category.

    make lighthouse

The sign-in page is measured as a stranger meets it, the others as the demo club's first admin. Reports are kept in
the ignored folder ``reports``.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Playwright, sync_playwright

from tests.machine import CHROMIUM_ARGUMENTS, Missing, Server, chromium_path, free_port, running_server
from tests.pictures.camera import accounts, sign_in

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]

CATEGORIES = ("performance", "accessibility", "best-practices")
LEAST = 0.95
# Name, path, and whether somebody is signed in.
PAGES = (("sign-in", "/", False), ("first", "/", True), ("report", "/report", True))


def measure(url: str, report: Path, port: int) -> dict[str, float]:
    """Returns the score of each category for one page, in the browser that listens on a port."""
    subprocess.run(
        [
            str(HERE / "node_modules" / ".bin" / "lighthouse"),
            url,
            "--quiet",
            "--output=json",
            f"--output-path={report}",
            f"--only-categories={','.join(CATEGORIES)}",
            f"--port={port}",
            # Whoever is signed in stays so; the cache is cold all the same, in a browser that has only just started.
            "--disable-storage-reset",
        ],
        check=True,
    )
    found = json.loads(report.read_text(encoding="utf-8"))["categories"]
    return {name: found[name]["score"] for name in CATEGORIES}


@contextmanager
def browser_of(playwright: Playwright, server: Server, account: tuple[str, str] | None) -> Iterator[int]:
    """Starts a browser of its own, signed in or not, and gives the port it listens on."""
    port = free_port()
    with tempfile.TemporaryDirectory(prefix="staveward-lighthouse-") as profile:
        context = playwright.chromium.launch_persistent_context(
            profile,
            executable_path=chromium_path(),
            args=[*CHROMIUM_ARGUMENTS, f"--remote-debugging-port={port}"],
        )
        try:
            if account:
                sign_in(context, server, *account)
            yield port
        finally:
            context.close()


def main() -> int:
    reports = ROOT / "reports"
    reports.mkdir(exist_ok=True)
    low = 0
    try:
        with running_server() as server, sync_playwright() as playwright:
            admin = accounts(server)["admin"]
            print(f"{'page':<10}" + "".join(f"{name:>16}" for name in CATEGORIES))
            for name, path, signed_in in PAGES:
                with browser_of(playwright, server, admin if signed_in else None) as port:
                    scores = measure(server.url + path, reports / f"lighthouse-{name}.json", port)
                low += sum(score < LEAST for score in scores.values())
                print(
                    f"{name:<10}" + "".join(f"{score * 100:>16.0f}" for score in scores.values()), flush=True
                )
    except Missing as missing:
        print(missing)
        return 1
    return 1 if low else 0


if __name__ == "__main__":
    sys.exit(main())
