"""Calls ``manage.py tick`` every so many seconds until the server that started it is gone.

Used by ``make run`` only; a deployment has a timer of its own (docs/operating.md). Tick is idempotent and
leased by a database row, so a call too many does no harm.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

MANAGE = Path(__file__).resolve().parent / "manage.py"
PARENT_CHECK_SECONDS = 1.0


def main(seconds: float) -> None:
    parent = os.getppid()
    stop = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: stop.set())
    wait_left = 5.0  # let the first page come up before the first call
    while not stop.is_set() and os.getppid() == parent:
        if wait_left <= 0:
            tick = subprocess.run([sys.executable, str(MANAGE), "tick"], check=False, start_new_session=True)
            if tick.returncode != 0 and not stop.is_set():
                print(f"tick failed with {tick.returncode}; it is tried again in {seconds:g} s", flush=True)
            wait_left = seconds
        stop.wait(PARENT_CHECK_SECONDS)
        wait_left -= PARENT_CHECK_SECONDS


if __name__ == "__main__":
    main(float(sys.argv[1]))
