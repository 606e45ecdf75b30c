"""The files of the house, as the architecture tests see them."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BINARY = {".png", ".ico", ".jpg", ".woff2", ".wasm", ".y4m", ".gz", ".br"}


@cache
def house_files() -> tuple[Path, ...]:
    """Returns every file that is tracked or would be, relative to the project's folder."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    found = sorted({Path(name) for name in listed.split("\0") if name})
    return tuple(path for path in found if (ROOT / path).is_file())


def text_files(*suffixes: str) -> list[Path]:
    """Returns the house's text files, all or those with one of the suffixes."""
    return [
        path
        for path in house_files()
        if path.suffix not in BINARY and (not suffixes or path.suffix in suffixes)
    ]


def read(path: Path) -> str:
    return (ROOT / path).read_text(encoding="utf-8")
