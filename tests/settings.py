"""The server's settings for tests: a folder of its own; SQLite unless DATABASE_URL is set."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

if "SHOPFLOOR_VAR" not in os.environ or "PYTEST_XDIST_WORKER" in os.environ:
    _var = tempfile.mkdtemp(prefix="shopfloor-test-")
    os.environ["SHOPFLOOR_VAR"] = _var
    atexit.register(shutil.rmtree, _var, ignore_errors=True)
# What the developer's own shop is set to must not change what a test sees.
for _name in ("SHOPFLOOR_BASE_URL", "SHOPFLOOR_ALLOWED_HOSTS", "SHOPFLOOR_CSRF_TRUSTED_ORIGINS"):
    os.environ.pop(_name, None)

from shopfloor.config.settings import *  # noqa: E402, F403
from shopfloor.config.settings import DATABASES, VAR_DIR  # noqa: E402

SECRET_KEY = "for tests only"
ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
# Fast on purpose: no password of a test guards anything.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
Path(VAR_DIR, "static").mkdir(parents=True, exist_ok=True)

_database = DATABASES["default"]
if _database["ENGINE"].endswith("sqlite3"):
    # A file, not memory: threads must see one another's commits as they do in the shop.
    _database["TEST"] = {"NAME": str(VAR_DIR / "test.sqlite3")}
    _database["OPTIONS"]["init_command"] = "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;"
