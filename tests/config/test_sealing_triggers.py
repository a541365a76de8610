"""G5: the triggers are there as written, also after a migration."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from config import sealing
from hoods.models import Entry


def drop(table: str, name: str) -> str:
    return f"DROP TRIGGER {name}" + (f" ON {table}" if connection.vendor == "postgresql" else "")


def weaken(table: str, name: str) -> str:
    if connection.vendor == "postgresql":
        return f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$BEGIN RETURN NEW; END$$"
    return f"CREATE TRIGGER {name} BEFORE UPDATE ON {table} BEGIN SELECT 1; END"


def test_g5_a_trigger_that_is_missing_or_other_than_written_is_seen(db):
    table, name = "hoods_entry", "seal_hoods_entry_update"
    with connection.cursor() as cursor:
        cursor.execute(drop(table, name))
        assert sealing.differences() == [name]
        if connection.vendor == "postgresql":
            sealing.seal()
        cursor.execute(weaken(table, name))
        assert sealing.differences() == [name]
    sealing.seal()
    assert sealing.differences() == []


def test_g5_a_trigger_switched_off_or_strange_is_seen(db):
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("ALTER TABLE hoods_entry DISABLE TRIGGER seal_hoods_entry_delete")
            assert sealing.differences() == ["seal_hoods_entry_delete"]
        else:
            cursor.execute("CREATE TRIGGER quiet BEFORE UPDATE ON hoods_hood BEGIN SELECT RAISE(IGNORE); END")
            assert sealing.differences() == ["quiet"]


def migrate(*target: str) -> None:
    call_command("migrate", *target, verbosity=0)


def steps() -> list[tuple[str, str]]:
    """Every migration of what is sealed, in order."""
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes(), clean_start=True)
    return [(step.app_label, step.name) for step, _ in plan if step.app_label in ("hoods", "surveys")]


@pytest.mark.long
@pytest.mark.django_db(transaction=True)
def test_g5_the_triggers_are_there_after_every_migration_forward_and_back():
    try:
        migrate("hoods", "zero")
        assert sealing.differences() == []
        for app, name in steps():
            migrate(app, name)
            assert sealing.differences() == []
            if "hoods_entry" in connection.introspection.table_names():
                assert "seal_hoods_entry_update" in found()
        for app, name in reversed(steps()):
            migrate(app, name)  # back to where it was the last
            assert sealing.differences() == []
    finally:
        migrate()
    assert sealing.differences() == []
    assert len(found()) > 2 * len(sealing.SEALS)


def found() -> set[str]:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")
        return {name for (name,) in cursor.fetchall()}


@pytest.mark.django_db(transaction=True)
def test_g5_control_a_table_that_is_rebuilt_without_sealing_again_is_seen(hood):
    with connection.schema_editor() as editor:
        if connection.vendor != "sqlite":
            pytest.skip("SQLite alone rebuilds a table and drops its triggers")
        editor._remake_table(Entry)
    try:
        assert sealing.differences() == ["seal_hoods_entry_delete", "seal_hoods_entry_update"]
    finally:
        sealing.seal()
