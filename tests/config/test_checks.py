"""Before serving: each refusal, each in words, and a worker that does not start."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.management import call_command
from django.db import connection

from config import checks
from tests.making import make_person

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def outside_the_demo(db, settings, monkeypatch):
    """A ledger that may be served as it is."""
    monkeypatch.delenv("DJANGO_ALLOW_ASYNC_UNSAFE", raising=False)  # set for the tests in a browser
    settings.DEMO = False
    return settings


def test_a_ledger_set_up_whole_is_served(outside_the_demo):
    checks.refuse_unless_fit()


REFUSALS = [
    # setting       value                              what is said
    ("SECRET_KEY",  "",                                "no secret key"),
    ("SECRET_KEY",  "short",                           "no secret key"),
    ("SITE_URL",    "",                                "no address of this site"),
    ("SITE_URL",    "hoods.skua.example",              "no address of this site"),
    ("SITE_URL",    "https://skua.example/hoods",      "no address of this site"),
    ("SITE_URL",    "ftp://hoods.skua.example",        "no address of this site"),
    ("DEBUG",       True,                              "DEBUG is on"),
]  # fmt: skip


@pytest.mark.parametrize(("setting", "value", "said"), REFUSALS, ids=[f"{row[0]} {row[1]}" for row in REFUSALS])
def test_serving_refuses(outside_the_demo, setting, value, said):
    setattr(outside_the_demo, setting, value)
    with pytest.raises(ImproperlyConfigured, match=said):
        checks.refuse_unless_fit()


def test_serving_refuses_people_of_the_demo_outside_it(outside_the_demo):
    person = make_person("Ruth Okafor")
    with pytest.raises(ImproperlyConfigured, match="outside the demo"):
        checks.refuse_unless_fit()
    outside_the_demo.DEMO = True
    checks.refuse_unless_fit()
    outside_the_demo.DEMO = False
    person.is_active = False
    person.save()
    checks.refuse_unless_fit()


def test_serving_refuses_a_missing_trigger(outside_the_demo):
    of_table = "" if connection.vendor == "sqlite" else " ON surveys_record"
    connection.cursor().execute(f"DROP TRIGGER seal_surveys_record_delete{of_table}")
    with pytest.raises(ImproperlyConfigured, match="seal_surveys_record_delete"):
        checks.refuse_unless_fit()


def test_serving_refuses_without_the_table_that_counts_sign_ins(outside_the_demo):
    outside_the_demo.CACHES = {**outside_the_demo.CACHES, "default": {"LOCATION": "elsewhere"}}
    assert [found.id for found in checks.cache_table("default")] == ["house.E014"]


@pytest.mark.django_db(transaction=True)
def test_serving_refuses_a_database_older_than_the_program():
    try:
        call_command("migrate", "surveys", "zero", verbosity=0)
        assert [found.id for found in checks.migrations_are_done("default")] == ["house.E013"]
    finally:
        call_command("migrate", verbosity=0)
    assert [*checks.migrations_are_done("default")] == []


PRAGMAS = [
    # statement                            what is said
    ("PRAGMA synchronous=NORMAL",          "synchronous is 1, not FULL"),
    ("PRAGMA recursive_triggers=OFF",      "recursive_triggers is 0, not ON"),
    ("PRAGMA foreign_keys=OFF",            "foreign_keys is 0, not ON"),
]  # fmt: skip


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="of SQLite alone")
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(("statement", "said"), PRAGMAS, ids=[row[0] for row in PRAGMAS])
def test_serving_refuses_a_connection_opened_otherwise(statement, said):
    assert [*checks.sqlite_pragmas("default")] == []
    try:
        connection.cursor().execute(statement)
        assert [said in found.msg for found in checks.sqlite_pragmas("default")] == [True]
    finally:
        connection.close()


def served(tmp_path: Path, *command: str, **env: str) -> subprocess.CompletedProcess[str]:
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("HOOD_", "SITE_", "DJANGO_"))}
    env = {"HOOD_LEDGER_DATABASE": str(tmp_path / "ledger.sqlite3"), "DATABASE_URL": "", **env}
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, env={**clean, **env}, capture_output=True, text=True, check=False
    )


@pytest.mark.long
def test_gunicorn_starts_only_when_all_holds(tmp_path):
    served(tmp_path, "manage.py", "migrate", "--verbosity=0", "--skip-checks").check_returncode()
    served(tmp_path, "manage.py", "createcachetable").check_returncode()
    gunicorn = ("-m", "gunicorn", "--check-config", "config.wsgi")
    whole = {"SITE_URL": "https://hoods.skua.example", "HOOD_LEDGER_SECRET_KEY": "k" * 50}
    assert served(tmp_path, *gunicorn, **whole).returncode == 0
    for missing, said in {"SITE_URL": "house.E002", "HOOD_LEDGER_SECRET_KEY": "house.E001"}.items():
        refused = served(tmp_path, *gunicorn, **{**whole, missing: ""})
        assert (refused.returncode, said in refused.stderr) == (1, True)
    refused = served(tmp_path, *gunicorn, **{**whole, "HOOD_LEDGER_DEBUG": "1"})
    assert (refused.returncode, "house.E003" in refused.stderr) == (1, True)
    refused = served(tmp_path, *gunicorn, **{**whole, "HOOD_LEDGER_DATABASE": str(tmp_path / "absent" / "l.sqlite3")})
    assert (refused.returncode, "house.E010" in refused.stderr) == (1, True)


@pytest.mark.parametrize(
    "env",
    [
        {},
        {"DATABASE_URL": "mysql://nowhere"},
        {"DATABASE_URL": "//:::x"},
        {"HOOD_LEDGER_PROXIES": "two", "SITE_URL": "://"},
    ],
    ids=str,
)
def test_settings_never_raise(tmp_path, env):
    served(tmp_path, "-c", "import config.settings", **env).check_returncode()
