"""The project's own settings, on a data folder that goes away and with hashing that costs nothing."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

if "DATA_DIR" not in os.environ:
    _folder = tempfile.mkdtemp(prefix="staveward-tests-")
    atexit.register(shutil.rmtree, _folder, ignore_errors=True)
    os.environ["DATA_DIR"] = _folder

from tests.served import *  # noqa: F403
from tests.served import DATA_DIR, DATABASES

EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "testserver"]

if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # A file, not memory: two actors at once must meet the same locks as in the club.
    DATABASES["default"]["TEST"] = {"NAME": Path(DATA_DIR) / "tests.sqlite3"}
    DATABASES["default"]["OPTIONS"]["init_command"] = (
        "PRAGMA journal_mode=TRUNCATE; PRAGMA synchronous=OFF; PRAGMA foreign_keys=ON;"
    )
