"""The floors look down, never up; and the checkers below would say so if one did not."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.architecture import python_layers, web_layers
from tests.architecture.house import ROOT

BACKEND = ROOT / "backend" / "staveward"
WEB = ROOT / "frontend" / "src"


def test_python_floors_import_only_what_lies_below():
    assert [str(breach) for breach in python_layers.breaches(BACKEND)] == []


def test_web_floors_import_only_what_lies_below():
    assert [str(breach) for breach in web_layers.breaches(WEB)] == []


def test_both_checkers_see_the_real_house():
    """A checker that looks at an empty folder finds no breach either."""
    assert len(list(BACKEND.rglob("*.py"))) > 40
    assert len(list(WEB.rglob("*.ts*"))) > 10


BAD_PYTHON = {
    "science imports Django": ("science/wood.py", "from django.conf import settings", "may not import"),
    "science imports a model": ("science/wood.py", "from staveward.models import Fill", "may not import"),
    "science imports a model by dots": ("science/wood.py", "from ..models import Fill", "may not import"),
    "science imports late": ("science/wood.py", "def f():\n    import requests", "may not import"),
    "science looks at the clock": (
        "science/wood.py",
        "import datetime\nx = datetime.datetime.now()",
        "has no clock",
    ),
    "science rolls its own dice": ("science/wood.py", "import random", "may not import random"),
    "science has no seed": (
        "science/wood.py",
        "import numpy as np\nx = np.random.default_rng()",
        "passed seed",
    ),
    "science reads a file": ("science/wood.py", "x = open('a')", "reads no file"),
    "models know the science": ("models/fills.py", "from staveward.science import wood", "may not import"),
    "models know services": ("models/fills.py", "from staveward.services import fills", "may not import"),
    "selectors know services": (
        "selectors/fills.py",
        "from staveward.services import acts",
        "may not import",
    ),
    "selectors know the edge": ("selectors/fills.py", "import rest_framework", "may not import"),
    "selectors save": ("selectors/fills.py", "def f(fill):\n    fill.save()", "never writes"),
    "selectors update": ("selectors/fills.py", "Fill.objects.filter(a=1).update(a=2)", "never writes"),
    "services know the API": ("services/fills.py", "from staveward.api import errors", "may not import"),
    "services see a request": ("services/fills.py", "from django.http import HttpRequest", "may not import"),
    "the API creates": ("api/views/fills.py", "Fill.objects.create(a=1)", "never writes"),
    "the API knows wood": ("api/views/fills.py", "from staveward.science import wood", "may not import"),
    "a command has its own science": (
        "management/commands/tick.py",
        "from staveward.science import ageing",
        "may not import",
    ),
    "somebody imports config": (
        "services/fills.py",
        "from staveward.config import settings",
        "may not import",
    ),
    "only types": (
        "selectors/fills.py",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from staveward.services import acts",
        "may not import",
    ),
    "a floor nobody drew": ("helpers/misc.py", "x = 1", "no floor of the house"),
}


@pytest.mark.parametrize(("path", "code", "rule"), BAD_PYTHON.values(), ids=BAD_PYTHON)
def test_the_python_checker_catches(tmp_path: Path, path: str, code: str, rule: str):
    write(tmp_path / path, code)

    found = python_layers.breaches(tmp_path)

    assert len(found) == 1
    assert rule in found[0].rule


def test_the_python_checker_catches_services_in_a_circle(tmp_path: Path):
    write(tmp_path / "services/acts.py", "from staveward.services import fills")
    write(tmp_path / "services/fills.py", "def f():\n    from staveward.services.feed import g")
    write(tmp_path / "services/feed.py", "from .acts import g")

    found = python_layers.breaches(tmp_path)

    assert {breach.path for breach in found} == {"services/acts.py", "services/fills.py", "services/feed.py"}
    assert "acts -> fills -> feed -> acts" in found[0].rule


GOOD_PYTHON = {
    "science/wood.py": "import numpy as np\nfrom .errors import OutOfRange\nrng = np.random.default_rng(7)",
    "models/fills.py": "from django.db import models\nfrom staveward.science.vocabulary import SpiritKind",
    "selectors/fills.py": "from staveward.science import wood\nseen = {}\nseen.update(a=1)",
    "services/fills.py": "from staveward.selectors import fills\nfrom staveward.services import acts",
    "services/acts.py": "from staveward.models import Act\nAct.objects.create(a=1)",
    "api/views/fills.py": "from rest_framework import views\nfrom staveward.services import fills",
}


def test_the_python_checker_lets_a_sound_house_stand(tmp_path: Path):
    for path, code in GOOD_PYTHON.items():
        write(tmp_path / path, code)

    assert python_layers.breaches(tmp_path) == []


BAD_WEB = {
    "science reads the store": (
        "science/units.ts",
        "import { db } from '~/store/db';",
        "may not import store",
    ),
    "science touches the page": ("science/units.ts", "const w = window.innerWidth;", "knows no page"),
    "science fetches": ("science/units.ts", "await fetch('/api');", "no network"),
    "science takes a library": ("science/units.ts", "import { signal } from '@preact/signals';", "library"),
    "store knows the outbox": (
        "store/db.ts",
        "import type { Entry } from '../outbox/entry';",
        "may not import",
    ),
    "outbox knows sync": ("outbox/queue.ts", "export { lead } from '../sync/leader';", "may not import sync"),
    "sync knows pages": (
        "sync/pull.ts",
        "const p = await import('../pages/barrel');",
        "may not import pages",
    ),
    "sync names no side": ("sync/pull.ts", "import '~/pages/barrel/style.css';", "may not import pages"),
    "components know pages": (
        "components/bar/index.tsx",
        "import {\n  Barrel,\n} from '../../pages/barrel';",
        "may not import pages",
    ),
    "the worker knows the outbox": (
        "sw/index.ts",
        "import { queue } from '../outbox/queue';",
        "may not import",
    ),
    "pages know the app": (
        "pages/barrel/index.tsx",
        "import { App } from '../../app';",
        "may not import app",
    ),
    "a floor nobody drew": ("utils/misc.ts", "export {};", "no floor of the house"),
    "out of the house": ("store/db.ts", "import x from '../../../tests/x';", "may not import outside"),
}


@pytest.mark.parametrize(("path", "code", "rule"), BAD_WEB.values(), ids=BAD_WEB)
def test_the_web_checker_catches(tmp_path: Path, path: str, code: str, rule: str):
    write(tmp_path / path, code)

    found = web_layers.breaches(tmp_path)

    assert len(found) == 1
    assert rule in found[0].rule


def test_the_web_checker_lets_a_sound_house_stand(tmp_path: Path):
    write(
        tmp_path / "science/units.ts", "// fetch() and window.x are only words here\nexport const litre = 1;"
    )
    write(tmp_path / "outbox/queue.ts", "import { openDB } from 'idb';\nimport { db } from '~/store/db';")
    write(
        tmp_path / "pages/barrel/index.tsx",
        "import { queue } from '../../outbox/queue';\nimport './style.css';",
    )
    write(tmp_path / "main.tsx", "import { App } from './app';\nimport './styles/base.css';")

    assert web_layers.breaches(tmp_path) == []


def write(file: Path, code: str) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(code, encoding="utf-8")
