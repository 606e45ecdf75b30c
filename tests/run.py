"""Runs every check of the project, one after the other, and says how long each took.

    python -m tests.run                 all steps
    python -m tests.run style postgres  only these

A step that cannot run (no browser, no server, no folder) fails and says what to install; none is skipped.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from tests.machine import Missing, chromium_path

ROOT = Path(__file__).resolve().parent.parent
BIN = ROOT / ".venv" / "bin"
PYTHON = str(BIN / "python")
WORKERS = ["-n", str(min(os.cpu_count() or 1, 4))]
DATABASE_TESTS = ["tests/services", "tests/selectors", "tests/api"]
FUZZ = "tests/api/test_contract.py"
# What is said to whom, and what the file of the API says, is the same whatever the database: once is enough.
OF_NO_DATABASE = [FUZZ, "tests/api/test_flight_secrets.py", "tests/api/test_openapi.py"]
# On SQLite tables are made straight from the models: that the migrations lead to the same is tests/architecture's to
# say, and they are run by the postgres step and by every server of the browser's.


def call(*command: str | Path, folder: Path = ROOT, **extra: str) -> bool:
    """Runs one command in its folder; true when it succeeded."""
    environment = {
        key: value for key, value in os.environ.items() if key not in ("DATABASE_URL", "DATA_DIR", "PORT")
    }
    environment["PATH"] = f"{BIN}{os.pathsep}{environment['PATH']}"
    environment.update(extra)
    words = [str(word) for word in command]
    print("$", " ".join(words).replace(f"{ROOT}/", ""), flush=True)
    return subprocess.run(words, cwd=folder, env=environment, check=False).returncode == 0


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
        print(f"{path} names a host; make the lock again with the options in DEVELOPERS.md")
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
        "--doctest-modules", "backend/staveward/science", "tests/science", "tests/architecture", *WORKERS
    )


def sqlite() -> bool:
    return pytest(*DATABASE_TESTS, f"--ignore={FUZZ}", "--no-migrations", *WORKERS)


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
        *WORKERS,
    )


def fuzz() -> bool:
    return pytest(FUZZ, "--no-migrations", *WORKERS)


def browser() -> bool:
    chromium_path()
    return pytest("tests/e2e", *WORKERS, "--dist", "loadfile")


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


def main(names: list[str]) -> int:
    unknown = [name for name in names if name not in STEPS]
    if unknown:
        print(f"No such step: {', '.join(unknown)}. There are: {', '.join(STEPS)}.")
        return 2
    results: list[tuple[str, bool, float]] = []
    for name in names or STEPS:
        print(f"\n=== {name} " + "=" * (70 - len(name)), flush=True)
        start = time.monotonic()
        try:
            passed = STEPS[name]()
        except Missing as missing:
            print(missing)
            passed = False
        results.append((name, passed, time.monotonic() - start))
    print("\n=== summary " + "=" * 63)
    for name, passed, seconds in results:
        print(f"{name:<12}{'passed' if passed else 'FAILED':<8}{seconds:7.1f} s")
    failed = sum(not passed for _, passed, _ in results)
    print(f"{'all':<20}{sum(seconds for *_, seconds in results):7.1f} s\n")
    print(f"steps: {len(results) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
