"""Settings of the tests: a database of its own for each process, so that runs in one tree never meet."""

import atexit
import os
import shutil
import tempfile

from config.settings import *  # noqa: F403
from config.settings import CACHES, DATABASE_URL, DATABASES, STORAGES

SECRET_KEY = "tests-only-" + "0123456789" * 5
DEBUG = False
DEMO = False
SITE_URL = "https://hoods.skua.example"
ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1", "hoods.skua.example"]
SECURE_SSL_REDIRECT = False  # the tests' own server speaks plain http
SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = False
MAIL_IS_SET_UP = True  # Django's tests keep every mail in memory
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = True
CACHES["default"]["LOCATION"] = "cache"

_own = os.getpid()
if DATABASE_URL:
    DATABASES["default"]["TEST"] = {"NAME": f"test_hood_ledger_{_own}"}
else:
    # A file, never memory: write-ahead logging needs one.
    _folder = tempfile.mkdtemp(prefix="hood-ledger-test-")
    DATABASES["default"]["TEST"] = {"NAME": os.path.join(_folder, "ledger.sqlite3")}

    @atexit.register
    def _remove_folder() -> None:
        if os.getpid() == _own:
            shutil.rmtree(_folder, ignore_errors=True)
