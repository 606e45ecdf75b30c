"""What the tests need of the machine: a browser, a free port, and Staveward itself behind gunicorn."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
START_SECONDS = 30.0
CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


class Missing(RuntimeError):
    """Something the tests need is not on this machine; the message says what to install."""


def chromium_path() -> str:
    """Returns the browser to drive: the one named by CHROME_PATH, or the first found by its usual names."""
    named = os.environ.get("CHROME_PATH")
    for name in [named] if named else ["chromium", "chromium-browser", "google-chrome"]:
        found = shutil.which(name)
        if found:
            return found
    raise Missing("Chromium is not installed: apt-get install chromium fonts-noto-core, or set CHROME_PATH.")


def free_port() -> int:
    """Returns a port that nobody uses at the moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@dataclass(frozen=True)
class Server:
    """A running Staveward: its address, its data folder, and a way to run its management commands."""

    url: str
    data_dir: Path
    environment: dict[str, str]

    def manage(self, *arguments: str) -> str:
        """Runs a management command on the server's data and returns what it printed."""
        done = subprocess.run(
            [sys.executable, "backend/manage.py", *arguments],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise RuntimeError(f"manage.py {' '.join(arguments)} failed:\n{done.stdout}{done.stderr}")
        return done.stdout


@contextmanager
def running_server(
    *,
    demo: bool = True,
    data_dir: Path | None = None,
    port: int | None = None,
    web_app: Path | None = None,
    made: bool = False,
) -> Iterator[Server]:
    """Serves the built web app and the API behind gunicorn on a data folder of its own, as ``make run`` does.

    The clock's loop is off, so that nothing changes behind a test's back; call ``manage("tick")`` instead. A folder
    that was ``made`` by an earlier server of this code has its tables.
    """
    if not (ROOT / "frontend" / "dist" / "index.html").exists():
        raise Missing("The web app is not built: make build")
    own = data_dir is None
    folder = data_dir or Path(tempfile.mkdtemp(prefix="staveward-server-"))
    port = port or free_port()
    environment = {
        key: value
        for key, value in os.environ.items()
        if key not in ("DATABASE_URL", "SITE_URL", "SECRET_KEY", "TICK_SECONDS", "DJANGO_SETTINGS_MODULE")
    }
    environment.update(
        DATA_DIR=str(folder),
        PORT=str(port),
        DJANGO_SETTINGS_MODULE="tests.served",
        PYTHONPATH=os.pathsep.join([str(ROOT), str(ROOT / "backend")]),
    )
    if web_app is not None:
        environment["WEB_APP_DIR"] = str(web_app)
    server = Server(f"http://localhost:{port}", folder, environment)
    if not made:
        server.manage("migrate", "--no-input")
        server.manage("createcachetable")
    if demo:
        server.manage("seed_demo")
    log = (folder / "server.log").open("w+")
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "-c", "backend/gunicorn.conf.py"],
        cwd=ROOT,
        env=environment,
        stdout=log,
        stderr=subprocess.STDOUT,
    )
    try:
        _wait_until_served(server.url, process, folder / "server.log")
        yield server
    finally:
        process.terminate()
        try:
            process.wait(timeout=15)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        log.close()
        if own:
            shutil.rmtree(folder, ignore_errors=True)


def _wait_until_served(url: str, process: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        if process.poll() is not None:
            raise RuntimeError(f"The server stopped while starting:\n{log.read_text()}")
        try:
            urllib.request.urlopen(url, timeout=2).close()
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
        else:
            return
    raise RuntimeError(f"The server did not answer within {START_SECONDS:g} s:\n{log.read_text()}")
