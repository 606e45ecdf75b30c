"""Measures the built app with Lighthouse and fails below 95 in any category.

    make lighthouse

The sign-in page is measured as a stranger meets it, the others as the demo club's first admin. Reports are kept in
the ignored folder ``reports``.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from tests.machine import CHROMIUM_ARGUMENTS, Missing, Server, chromium_path, running_server

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]

CATEGORIES = ("performance", "accessibility", "best-practices")
LEAST = 0.95
# Name, path, and whether somebody is signed in.
PAGES = (("sign-in", "/", False), ("first", "/", True), ("report", "/report", True))
SIGN_IN = """
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.conf import settings
from django.contrib.sessions.backends.db import SessionStore
from staveward.models import Person, Role
user = Person.objects.filter(role=Role.ADMIN, user__isnull=False).order_by("name").first().user
session = SessionStore()
session[SESSION_KEY] = str(user.pk)
session[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
session[HASH_SESSION_KEY] = user.get_session_auth_hash()
session.create()
print("session", session.session_key)
"""


def session_key(server: Server) -> str:
    """Returns the session of somebody who is signed in as the demo club's admin."""
    return server.manage("shell", "-v", "0", "-c", SIGN_IN).split("session ")[-1].strip()


def measure(url: str, report: Path, cookie: str) -> dict[str, float]:
    """Returns the score of each category for one page."""
    headers = ["--extra-headers", json.dumps({"Cookie": f"sessionid={cookie}"})] if cookie else []
    subprocess.run(
        [
            str(HERE / "node_modules" / ".bin" / "lighthouse"),
            url,
            "--quiet",
            "--output=json",
            f"--output-path={report}",
            f"--only-categories={','.join(CATEGORIES)}",
            f"--chrome-flags=--headless=new {' '.join(CHROMIUM_ARGUMENTS)}",
            *headers,
        ],
        check=True,
        env={**os.environ, "CHROME_PATH": chromium_path()},
    )
    found = json.loads(report.read_text(encoding="utf-8"))["categories"]
    return {name: found[name]["score"] for name in CATEGORIES}


def main() -> int:
    reports = ROOT / "reports"
    reports.mkdir(exist_ok=True)
    low = 0
    try:
        with running_server() as server:
            key = session_key(server)
            print(f"{'page':<10}" + "".join(f"{name:>16}" for name in CATEGORIES))
            for name, path, signed_in in PAGES:
                scores = measure(
                    server.url + path, reports / f"lighthouse-{name}.json", key if signed_in else ""
                )
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
