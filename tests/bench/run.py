"""`make bench`: speed as ratios within one run. Goals, not gates; the gates (queries, bytes) are tests."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "backend")]
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "staveward.config.settings")
# The folder that `make run` uses is a club's; a bench makes its own and throws it away.
_folder = tempfile.TemporaryDirectory(prefix="staveward-bench-")
os.environ["DATA_DIR"] = _folder.name

import django  # noqa: E402

django.setup()

from django.core.management import call_command  # noqa: E402
from django.test.utils import setup_test_environment  # noqa: E402

from tests.bench import barrel, changes, daily, phone, report, science, tasting  # noqa: E402
from tests.bench.clubs import club_write  # noqa: E402
from tests.bench.rounds import yardstick  # noqa: E402


def prepare() -> None:
    """Makes the database's tables."""
    setup_test_environment()
    call_command("migrate", verbosity=0)
    call_command("createcachetable", verbosity=0)


def main() -> None:
    """Prints one line a comparison."""
    prepare()
    print(f"Yardstick: 40 MB through SHA-256 takes {1000 * yardstick():.0f} ms on this machine now.")
    for line in science.lines():
        print(line, flush=True)
    small, small_admin = club_write(30)
    print(report.compared(small, small_admin, 30), flush=True)
    print(tasting.compared(small, small_admin), flush=True)
    for line in barrel.lines(small, small_admin):
        print(line, flush=True)
    print(on_postgres(), flush=True)
    big, big_admin = club_write(int(os.environ.get("BENCH_BARRELS", "1000")))
    print(report.compared(big, big_admin, 1000), flush=True)
    print(report.queries_compared((small, small_admin), (big, big_admin)), flush=True)
    print(changes.read_whole(big, big_admin), flush=True)
    print(daily.passed(big), flush=True)
    for line in phone.lines():
        print(line, flush=True)
    first_load()


def on_postgres() -> str:
    """Opens the barrel beside the other database, whose driver hands over values and not text."""
    command = [sys.executable, "-m", "tests.postgres", sys.executable, __file__, "barrel"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    said = done.stdout.strip() or done.stderr.strip()
    return "\n".join(f"PostgreSQL: {line}" for line in said.splitlines())


def only_barrel() -> None:
    """Prints the lines of one barrel, on whatever database the environment names."""
    prepare()
    for line in barrel.lines(*club_write(30)):
        print(line, flush=True)


def first_load() -> None:
    """Prints the bytes of the first load, as the build's own check counts them."""
    budget = subprocess.run(
        ["npm", "run", "--silent", "budget"],
        cwd=ROOT / "frontend",
        capture_output=True,
        text=True,
        check=False,
    )
    print((budget.stdout + budget.stderr).strip() or json.dumps({"budget": budget.returncode}))


if __name__ == "__main__":
    only_barrel() if sys.argv[1:] == ["barrel"] else main()
