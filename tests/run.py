"""Runs every check of the project and says how long each took.

    python -m tests.run                 all steps, the browser's beside the others
    python -m tests.run style postgres  only these

A step that cannot run (no browser, no server, no folder) fails and says what to install; none is skipped.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from contextvars import ContextVar
from pathlib import Path
from typing import TextIO

from tests.machine import Missing, chromium_path

ROOT = Path(__file__).resolve().parent.parent
BIN = ROOT / ".venv" / "bin"
PYTHON = str(BIN / "python")
WORKERS = ["-n", str(min(os.cpu_count() or 1, 4))]
# Who has nothing left takes from the other; neighbours, which share what was laid out for them, stay together.
SHARED_OUT = [*WORKERS, "--dist", "worksteal"]
# A journey's tests follow on one server.
BY_JOURNEY = [*WORKERS, "--dist", "loadfile"]
DATABASE_TESTS = ["tests/services", "tests/selectors", "tests/api"]
FUZZ = "tests/api/test_contract.py"
# What is said to whom, and what the file of the API says, is the same whatever the database: once is enough. Nor does
# the permission table ask everybody again: on PostgreSQL it asks one of those who may for each deed.
OF_NO_DATABASE = [FUZZ, "tests/api/test_flight_secrets.py", "tests/api/test_openapi.py"]
# On SQLite tables are made straight from the models: that the migrations lead to the same is tests/architecture's to
# say, and they are run by the postgres step and by every server of the browser's.


# A browser's journey waits a good part of its time, and its servers while it acts: what is left of the processors in
# between is enough for the other steps, which wait for nothing and give way.
BESIDE = "browser"
GIVE_WAY = ["nice", "-n", "5"]
# A club's own settings, and the wish to compile every module anew in each of a hundred processes.
LEFT_OUT = ("DATABASE_URL", "DATA_DIR", "PORT", "PYTHONDONTWRITEBYTECODE")

# Where a step writes to, if not to the terminal, and what stands before its commands.
OUTPUT: ContextVar[TextIO | None] = ContextVar("output", default=None)
PREFIX: ContextVar[tuple[str, ...]] = ContextVar("prefix", default=())

Result = tuple[str, bool, float]


def say(words: str) -> None:
    print(words, file=OUTPUT.get(), flush=True)


def call(*command: str | Path, folder: Path = ROOT, **extra: str) -> bool:
    """Runs one command in its folder; true when it succeeded."""
    environment = {key: value for key, value in os.environ.items() if key not in LEFT_OUT}
    environment["PATH"] = f"{BIN}{os.pathsep}{environment['PATH']}"
    environment.update(extra)
    words = [str(word) for word in command]
    say(f"$ {' '.join(words)}".replace(f"{ROOT}/", ""))
    output = OUTPUT.get()
    done = subprocess.run(
        [*PREFIX.get(), *words],
        cwd=folder,
        env=environment,
        stdout=output,
        stderr=output and subprocess.STDOUT,
        check=False,
    )
    return done.returncode == 0


def pytest(*arguments: str) -> bool:
    return call(PYTHON, "-m", "pytest", "-q", *arguments)


def locks() -> bool:
    """No committed lock names the host it was made from."""
    named = [
        path.relative_to(ROOT)
        for path in sorted((ROOT / "backend" / "requirements").iterdir())
        if "://" in path.read_text()
    ]
    named += [
        path.relative_to(ROOT)
        for path in (
            ROOT / "frontend" / "package-lock.json",
            ROOT / "tests" / "lighthouse" / "package-lock.json",
        )
        if '"resolved"' in path.read_text()
    ]
    for path in named:
        say(f"{path} names a host; make the lock again with the options in DEVELOPERS.md")
    return not named


def style() -> bool:
    checked = call(BIN / "ruff", "check", ".")
    formatted = call(BIN / "ruff", "format", "--check", ".")
    web = call("npm", "run", "--silent", "lint", folder=ROOT / "frontend")
    return locks() and checked and formatted and web


def types() -> bool:
    return call(BIN / "mypy")


def web_types() -> bool:
    return call("npm", "run", "--silent", "check", folder=ROOT / "frontend")


def web() -> bool:
    return call("npm", "run", "--silent", "test", folder=ROOT / "frontend")


def science() -> bool:
    return pytest(
        "--doctest-modules", "backend/staveward/science", "tests/science", "tests/architecture", *SHARED_OUT
    )


def sqlite() -> bool:
    return pytest(*DATABASE_TESTS, f"--ignore={FUZZ}", "--no-migrations", *SHARED_OUT)


def postgres() -> bool:
    return call(
        PYTHON,
        # As a module: a script's own folder comes first on the path, and tests/selectors would hide the library's.
        "-m",
        "tests.postgres",
        PYTHON,
        "-m",
        "pytest",
        "-q",
        *DATABASE_TESTS,
        *(f"--ignore={path}" for path in OF_NO_DATABASE),
        *SHARED_OUT,
    )


def fuzz() -> bool:
    return pytest(FUZZ, "--no-migrations", *SHARED_OUT)


def browser() -> bool:
    chromium_path()
    return pytest("tests/e2e", *BY_JOURNEY)


STEPS: dict[str, Callable[[], bool]] = {
    "style": style,
    "types": types,
    "web-types": web_types,
    "web": web,
    "science": science,
    "sqlite": sqlite,
    "postgres": postgres,
    "fuzz": fuzz,
    "browser": browser,
}


def run(names: Iterable[str]) -> list[Result]:
    """Runs steps one after the other; returns for each whether it passed, and its seconds."""
    results: list[Result] = []
    for name in names:
        say(f"\n=== {name} " + "=" * (70 - len(name)))
        start = time.monotonic()
        try:
            passed = STEPS[name]()
        except Missing as missing:
            say(str(missing))
            passed = False
        results.append((name, passed, time.monotonic() - start))
    return results


def run_beside(names: list[str]) -> list[Result]:
    """Runs the one step beside the others, and shows what it said when those have ended."""

    def one_beside(output: TextIO) -> list[Result]:
        OUTPUT.set(output)
        PREFIX.set(())
        return run([BESIDE])

    PREFIX.set(tuple(GIVE_WAY))
    with tempfile.TemporaryFile("w+") as output, ThreadPoolExecutor(1) as pool:
        other = pool.submit(one_beside, output)
        results = run(name for name in names if name != BESIDE)
        results += other.result()
        output.seek(0)
        say(output.read())
    return results


def main(names: list[str]) -> int:
    unknown = [name for name in names if name not in STEPS]
    if unknown:
        print(f"No such step: {', '.join(unknown)}. There are: {', '.join(STEPS)}.")
        return 2
    names = names or list(STEPS)
    start = time.monotonic()
    results = run_beside(names) if BESIDE in names and len(names) > 1 else run(names)
    print("\n=== summary " + "=" * 63)
    for name, passed, seconds in results:
        print(f"{name:<12}{'passed' if passed else 'FAILED':<8}{seconds:7.1f} s")
    failed = sum(not passed for _, passed, _ in results)
    print(f"{'all':<20}{time.monotonic() - start:7.1f} s\n")
    print(f"steps: {len(results) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
