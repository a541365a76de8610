"""Rows that are permanent: the database itself refuses to change or remove them, whoever asks.

`SEALS` is the one list. `seal` makes its triggers, as often as it is called, on SQLite and on PostgreSQL; they are lifted
before migrations (a table that refuses changes cannot be rebuilt, and SQLite drops the triggers of a rebuilt table) and
made again after. `differences` compares what the database holds with what is written here; serving refuses on any.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

PREFIX = "seal_"


@dataclass(frozen=True)
class Seal:
    """One table whose rows are never changed or removed."""

    model: str
    once: str = ""  # a column: sealed from the moment that it is filled
    recorded: str = ""  # SQL that is true of NEW when its record is already written: nothing is added afterwards
    in_sequence: str = ""  # a column: each new row takes the last number plus one

    @property
    def table(self) -> str:
        return apps.get_model(self.model)._meta.db_table


_SURVEY_RECORDED = (
    "EXISTS (SELECT 1 FROM surveys_record r JOIN surveys_survey s ON s.record_id = r.number"
    " WHERE s.draft_id = NEW.survey_id)"
)

SEALS: tuple[Seal, ...] = (
    Seal("hoods.Entry"),
    Seal("hoods.FormerName"),
    Seal("hoods.HoodEvent"),
    Seal("hoods.Placement"),
    Seal("surveys.Assignment"),
    Seal("surveys.Benchmark"),
    Seal("surveys.Calibration"),
    Seal("surveys.CriteriaVersion", once="adopted_at"),
    Seal("surveys.Revision"),
    Seal("surveys.SetAside"),
    Seal("surveys.Transcription"),
    Seal("surveys.Record", in_sequence="number"),
    Seal("surveys.Survey", recorded="EXISTS (SELECT 1 FROM surveys_record r WHERE r.number = NEW.record_id)"),
    Seal("surveys.Traverse", recorded=_SURVEY_RECORDED),
    Seal(
        "surveys.Reading",
        recorded=(
            "EXISTS (SELECT 1 FROM surveys_record r JOIN surveys_survey s ON s.record_id = r.number"
            " JOIN surveys_traverse t ON t.survey_id = s.draft_id WHERE t.id = NEW.traverse_id)"
        ),
    ),
    Seal("surveys.Judgement", recorded=_SURVEY_RECORDED),
    Seal("surveys.Approval", recorded=_SURVEY_RECORDED),
    Seal("surveys.LabelCopy"),
    Seal("surveys.LabelPutOn"),
    Seal("surveys.Stop"),
    Seal("surveys.StopChange"),
    Seal("surveys.Finding"),
    Seal("surveys.FindingChange"),
    Seal("surveys.Notice"),
    Seal("surveys.NoticeHood"),
    Seal("surveys.NoticeTry"),
    Seal("surveys.Qualification"),
    Seal("surveys.EarlierBatch"),
    Seal("surveys.EarlierResult"),
    Seal("surveys.EarlierOpening"),
    Seal("surveys.EarlierChange"),
    Seal("surveys.EarlierCounted"),
)


@dataclass(frozen=True)
class Trigger:
    """One trigger, in words of neither engine: before `event` on a row of `table`, refuse `when`."""

    table: str
    event: str  # UPDATE, DELETE, INSERT, TRUNCATE
    refusal: str
    when: str = ""  # SQL; empty: always

    @property
    def name(self) -> str:
        return f"{PREFIX}{self.table}_{self.event.lower()}"


def triggers(seal: Seal) -> Iterator[Trigger]:
    """The triggers that hold one seal."""
    table = seal.table
    once = f"OLD.{seal.once} IS NOT NULL" if seal.once else ""
    yield Trigger(table, "UPDATE", f"{table}: a permanent row is never changed", once)
    yield Trigger(table, "DELETE", f"{table}: a permanent row is never removed", once)
    yield Trigger(table, "TRUNCATE", f"{table}: permanent rows are never removed")
    if seal.recorded:
        yield Trigger(table, "INSERT", f"{table}: its record is written, nothing is added to it", seal.recorded)
    if seal.in_sequence:
        number = seal.in_sequence
        gap = f"NEW.{number} <> (SELECT COALESCE(MAX({number}), 0) + 1 FROM {table})"  # noqa: S608
        yield Trigger(table, "INSERT", f"{table}: a number is the last one plus one", gap)


def seal(using: str = "default") -> None:
    """Make every trigger anew, of the tables that exist."""
    connection = connections[using]
    with transaction.atomic(using=using), connection.cursor() as cursor:
        _lift(connection, cursor)
        for statement in _statements(connection):
            cursor.execute(statement)


def lift(using: str = "default") -> None:
    """Take the triggers away, for a migration or for emptying a test database."""
    connection = connections[using]
    with transaction.atomic(using=using), connection.cursor() as cursor:
        _lift(connection, cursor)


def differences(using: str = "default") -> list[str]:
    """Names of triggers that are missing, other than written here, or not from here."""
    connection = connections[using]
    written, found = _written(connection), _found(connection)
    return sorted(name for name in written.keys() | found.keys() if written.get(name) != found.get(name))


def before_migration(using: str, plan: Any = None, **kwargs: Any) -> None:
    if plan is None or plan:
        lift(using)


def after_migration(using: str, **kwargs: Any) -> None:
    seal(using)


def _tables(connection: BaseDatabaseWrapper) -> list[str]:
    return connection.introspection.table_names()


def _wanted(connection: BaseDatabaseWrapper) -> list[Trigger]:
    tables = set(_tables(connection))
    wanted = [trigger for each in SEALS if each.table in tables for trigger in triggers(each)]
    if connection.vendor == "sqlite":
        return [trigger for trigger in wanted if trigger.event != "TRUNCATE"]
    return wanted


def _statements(connection: BaseDatabaseWrapper) -> list[str]:
    wanted = _wanted(connection)
    if connection.vendor == "sqlite":
        return [_sqlite(trigger) for trigger in wanted]
    return [statement for trigger in wanted for statement in _postgresql(trigger)]


def _sqlite(trigger: Trigger) -> str:
    when = f" WHEN {trigger.when}" if trigger.when else ""
    return (
        f"CREATE TRIGGER {trigger.name} BEFORE {trigger.event} ON {trigger.table} FOR EACH ROW{when}"
        f" BEGIN SELECT RAISE(ABORT, '{trigger.refusal}'); END"
    )


def _body(trigger: Trigger) -> str:
    refuse = f"RAISE EXCEPTION '{trigger.refusal}' USING ERRCODE = 'integrity_constraint_violation';"
    if not trigger.when:
        return f"BEGIN {refuse} END"
    row = "OLD" if trigger.event == "DELETE" else "NEW"
    return f"BEGIN IF {trigger.when} THEN {refuse} END IF; RETURN {row}; END"


def _postgresql(trigger: Trigger) -> list[str]:
    each = "STATEMENT" if trigger.event == "TRUNCATE" else "ROW"
    return [
        f"CREATE OR REPLACE FUNCTION {trigger.name}() RETURNS trigger LANGUAGE plpgsql AS $${_body(trigger)}$$",
        f"CREATE TRIGGER {trigger.name} BEFORE {trigger.event} ON {trigger.table}"
        f" FOR EACH {each} EXECUTE FUNCTION {trigger.name}()",
    ]


def _lift(connection: BaseDatabaseWrapper, cursor: Any) -> None:
    if connection.vendor == "sqlite":
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND name LIKE 'seal\\_%' ESCAPE '\\'")
        for (name,) in cursor.fetchall():
            cursor.execute(f'DROP TRIGGER "{name}"')
        return
    cursor.execute(
        "SELECT t.tgname, c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid"
        " WHERE NOT t.tgisinternal AND t.tgname LIKE 'seal\\_%' AND pg_table_is_visible(c.oid)"
    )
    for name, table in cursor.fetchall():
        cursor.execute(f'DROP TRIGGER "{name}" ON "{table}"')
        cursor.execute(f'DROP FUNCTION IF EXISTS "{name}"()')


# pg_trigger.tgtype is a sum of these
_ROW, _BEFORE = 1, 2
_EVENTS = {"INSERT": 4, "DELETE": 8, "UPDATE": 16, "TRUNCATE": 32}


def _written(connection: BaseDatabaseWrapper) -> dict[str, Any]:
    wanted = _wanted(connection)
    if connection.vendor == "sqlite":
        return {trigger.name: (trigger.table, _sqlite(trigger)) for trigger in wanted}
    return {
        trigger.name: (
            trigger.table,
            _EVENTS[trigger.event] + _BEFORE + (0 if trigger.event == "TRUNCATE" else _ROW),
            "O",  # enabled
            None,  # no condition beside the function's own
            _body(trigger),
        )
        for trigger in wanted
    }


def _found(connection: BaseDatabaseWrapper) -> dict[str, Any]:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name, tbl_name, sql FROM sqlite_master WHERE type = 'trigger'")
            return {name: (table, text) for name, table, text in cursor.fetchall()}
        cursor.execute(
            "SELECT t.tgname, c.relname, t.tgtype, t.tgenabled::text, pg_get_expr(t.tgqual, t.tgrelid), p.prosrc"
            " FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid"
            " WHERE NOT t.tgisinternal AND pg_table_is_visible(c.oid)"
        )
        return {name: tuple(rest) for name, *rest in cursor.fetchall()}
