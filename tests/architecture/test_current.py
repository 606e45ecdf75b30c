"""What is generated is as the code would generate it now."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from django.core.management import call_command

from tests.architecture.house import ROOT

OPENAPI = ROOT / "backend" / "openapi.json"
TYPES = ROOT / "frontend" / "src" / "api" / "schema.d.ts"


def test_no_migration_is_missing(db: None):
    call_command("makemigrations", check_changes=True, dry_run=True, verbosity=0)


def test_the_openapi_file_is_current_and_without_warnings(tmp_path: Path):
    made = tmp_path / "openapi.json"

    call_command("spectacular", format="openapi-json", file=str(made), validate=True, fail_on_warn=True)

    assert made.read_text() == OPENAPI.read_text(), "run: make schema"


def test_the_openapi_file_is_of_version_3_1():
    assert '"openapi": "3.1' in OPENAPI.read_text()[:200]


def test_the_web_apps_types_are_current(tmp_path: Path):
    made = tmp_path / "schema.d.ts"
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"

    subprocess.run(
        ["node_modules/.bin/openapi-typescript", str(OPENAPI), "-o", str(made)],
        cwd=ROOT / "frontend",
        env={**os.environ, "PATH": path},
        check=True,
        capture_output=True,
    )

    assert made.read_text() == TYPES.read_text(), "run: make schema"


def test_a_deployment_passes_djangos_own_check(tmp_path: Path):
    environment = {
        key: value
        for key, value in os.environ.items()
        if key not in ("DATABASE_URL", "DJANGO_SETTINGS_MODULE", "DEBUG", "SECRET_KEY")
    }
    environment |= {"DATA_DIR": str(tmp_path), "SITE_URL": "https://club.example"}

    done = subprocess.run(
        [sys.executable, "backend/manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr
