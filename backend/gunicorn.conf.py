"""How the web server runs: few processes with threads, and the clock's loop beside them when asked for."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent

chdir = str(HERE)
wsgi_app = "staveward.config.wsgi:application"
bind = f"{os.environ.get('HOST', '127.0.0.1')}:{os.environ.get('PORT', '8000')}"
worker_class = "gthread"
workers = int(os.environ.get("WEB_PROCESSES", "2"))
threads = int(os.environ.get("WEB_THREADS", "4"))
# Loaded once and shared, and whole: nobody's first request waits for it.
preload_app = True
timeout = 60
graceful_timeout = 10
keepalive = 5
# A worker that leaks is replaced before anybody notices, and not all at the same moment.
max_requests = 10_000
max_requests_jitter = 1_000
accesslog = os.environ.get("ACCESS_LOG") or None
errorlog = "-"
loglevel = os.environ.get("LOG_LEVEL", "warning")

_clock: subprocess.Popen[bytes] | None = None


def when_ready(server: Any) -> None:
    """Says where to go, and starts the loop that calls ``manage.py tick`` when TICK_SECONDS is set."""
    global _clock
    print(f"Staveward is at http://localhost:{os.environ.get('PORT', '8000')}  (Ctrl-C stops it)", flush=True)
    seconds = os.environ.get("TICK_SECONDS", "")
    if seconds:
        _clock = subprocess.Popen([sys.executable, str(HERE / "tick_loop.py"), seconds])


def post_worker_init(worker: Any) -> None:
    """Spares the collector what the worker loaded at its start and keeps for life."""
    gc.collect()
    gc.freeze()


def on_exit(server: Any) -> None:
    """Ends the loop with the server."""
    if _clock is None:
        return
    _clock.terminate()
    try:
        _clock.wait(timeout=10)
    except subprocess.TimeoutExpired:
        _clock.kill()
