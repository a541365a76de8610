"""G3, G5, M1: permanent rows are refused any change by the database itself, on either engine, however it is asked."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import IntegrityError, connection, models, transaction
from django.db.migrations.executor import MigrationExecutor

from config import sealing
from hoods.models import Entry, FormerName, Hood
from surveys import models as surveys
from tests.making import AT, ON

MODELS = [seal.model for seal in sealing.SEALS]


@pytest.fixture
def signed(hood: Hood, technician) -> surveys.Survey:
    """A signed survey and a row in every sealed table, made in the order in which signing makes them."""
    by, opening = technician, hood.openings.get()
    Entry.objects.add(by=by, at=AT, action="made", what=hood)
    FormerName.objects.create(site=hood.site, hood=hood, kind="tag", text="H-9", until_at=AT)
    its_set = surveys.CriteriaSet.objects.create(site=hood.site, name="Legal")
    surveys.Assignment.objects.create(hood=hood, set=its_set, from_on=ON, at=AT, by=by)
    surveys.Benchmark.objects.create(opening=opening, value="104 ft/min", from_on=ON, at=AT, by=by)
    version = adopted(surveys.CriteriaVersion.objects.create(set=its_set, number=1, content="{}"), by, number=1)
    instrument = surveys.Instrument.objects.create(site=hood.site, name="A-07", serial="7")
    calibration = surveys.Calibration.objects.create(instrument=instrument, done_on=ON, due_on=ON, at=AT, by=by)
    draft = surveys.Draft.objects.create(hood=hood, version=version, done_on=ON, started_at=AT, started_by=by)
    saved = {"draft": draft, "content": "{}", "sha256": "0" * 64, "form_id": "f", "made_from": 0, "at": AT, "by": by}
    surveys.Revision.objects.create(number=1, **saved)
    surveys.SetAside.objects.create(**saved)
    survey = surveys.Survey.objects.create(
        draft=draft, hood=hood, version=version, instrument=instrument, calibration=calibration, reason="annual",
        done_on=ON, measured_from=AT, measured_until=AT, verdict="pass", as_found="pass", held="no-label", full=True,
        signed_at=AT, signed_by=by, record_id=2,
    )  # fmt: skip
    add_parts(survey)
    surveys.Record.objects.create(number=2, kind="survey", format=1, content="{}", sha256="0" * 64, at=AT)
    surveys.LabelCopy.objects.create(survey=survey, sheet="100x50", at=AT, by=by)
    surveys.LabelPutOn.objects.create(survey=survey, issue=1, old_removed=True, at=AT, by=by)
    stop = surveys.Stop.objects.create(hood=hood, reason="no-flow", at=AT, by=by)
    surveys.StopChange.objects.create(stop=stop, kind="hung", at=AT, by=by)
    finding = surveys.Finding.objects.create(hood=hood, survey=survey, kind="note", check_code="light-works", at=AT, by=by)
    surveys.FindingChange.objects.create(finding=finding, kind="arranged", owner="electrician", at=AT, by=by)
    notice = surveys.Notice.objects.create(
        site=hood.site, to=by, address=by.email, kind="stop-posted", hood=hood, stop=stop, at=AT, by=by
    )
    surveys.NoticeTry.objects.create(notice=notice, sent=True, at=AT)
    surveys.Qualification.objects.create(
        person=by, site=hood.site, method="traverse", qualified_by="safety office", from_on=ON, at=AT, by=by
    )
    surveys.Transcription.objects.create(draft=survey.draft, measured_by="Lena Orth", at=AT, by=by)
    batch = surveys.EarlierBatch.objects.create(site=hood.site, name="old.csv", sha256="0" * 64, at=AT, by=by)
    result = surveys.EarlierResult.objects.create(batch=batch, row=2, hood=hood, measured_on=ON, verdict="pass")
    surveys.EarlierOpening.objects.create(
        result=result, opening=opening, opening_name="working", height="18 in", average="98 ft/min", approves=True
    )
    change = surveys.EarlierChange.objects.create(batch=batch, kind="accepted", why="agreed", at=AT, by=by)
    surveys.EarlierCounted.objects.create(change=change, result=result, version=version)
    return survey


def add_parts(survey: surveys.Survey) -> None:
    for part in PARTS.values():
        part(survey)


def adopted(version: surveys.CriteriaVersion, by, number: int) -> surveys.CriteriaVersion:
    record = surveys.Record.objects.create(number=number, kind="criteria", format=1, content="{}", sha256="", at=AT)
    version.first_day, version.adopted_at, version.adopted_by, version.record = ON, AT, by, record
    version.save()
    return version


def add_traverse(survey: surveys.Survey) -> surveys.Traverse:
    return surveys.Traverse.objects.create(
        survey=survey, order=0, opening_name="working", state="as-found", unit="ft/min", rows=1, columns=1
    )


def add_reading(survey: surveys.Survey) -> None:
    surveys.Reading.objects.create(traverse=survey.traverses.get(), row=0, column=0, value="98")


def add_judgement(survey: surveys.Survey) -> None:
    surveys.Judgement.objects.create(survey=survey, state="as-left", outcome="met", consequence="fail")


def add_approval(survey: surveys.Survey) -> None:
    surveys.Approval.objects.create(survey=survey, opening_name="working", use="working")


PARTS: dict[str, Callable[[surveys.Survey], Any]] = {
    "traverse": add_traverse,
    "reading": add_reading,
    "judgement": add_judgement,
    "approval": add_approval,
}


class Undone(Exception):
    """Raised at the end of an attempt, so that nothing of it stays."""


def refused(act: Callable[[], Any]) -> bool:
    """Whether the database refuses an act; what it would have done is undone."""
    try:
        with contextlib.suppress(Undone), transaction.atomic():
            act()
            raise Undone
    except IntegrityError:
        return True
    return False


def settle() -> None:
    """Check the keys that wait for the end: PostgreSQL touches no table that has one waiting."""
    if connection.vendor == "postgresql":
        connection.cursor().execute("SET CONSTRAINTS ALL IMMEDIATE")
        connection.cursor().execute("SET CONSTRAINTS ALL DEFERRED")


@contextlib.contextmanager
def without_seals() -> Iterator[None]:
    settle()
    sealing.lift()
    try:
        yield
    finally:
        sealing.seal()


def last(model: str) -> models.Model:
    row = apps.get_model(model)._default_manager.order_by("pk").last()
    assert row is not None, f"the fixture makes no {model}"
    return row


def column(row: models.Model) -> models.Field:
    """A column that can be written again without meaning anything else."""
    return next(
        field for field in row._meta.concrete_fields if not field.primary_key and not field.unique and not field.null
    )


def by_save(row):
    row.save(force_update=True)


def by_update(row):
    field = column(row)
    type(row)._default_manager.filter(pk=row.pk).update(**{field.attname: getattr(row, field.attname)})


def by_bulk_update(row):
    type(row)._default_manager.bulk_update([row], [column(row).name])


def by_upsert(row):
    named = row._meta.pk.name
    type(row)._default_manager.bulk_create(
        [row], update_conflicts=True, unique_fields=[named], update_fields=[column(row).name]
    )


def by_raw_update(row):
    name = column(row).column
    run(row, f"UPDATE {{table}} SET {name} = {name} WHERE {{key}} = %s")


def by_raw_delete(row):
    run(row, "DELETE FROM {table} WHERE {key} = %s")


def by_delete(row):
    rows = type(row)._default_manager.filter(pk=row.pk)
    rows._raw_delete(rows.db)


def by_replace(row):
    if connection.vendor != "sqlite":
        pytest.skip("SQLite alone replaces rows")
    run(row, "INSERT OR REPLACE INTO {table} SELECT * FROM {table} WHERE {key} = %s")


def by_truncate(row):
    if connection.vendor != "postgresql":
        pytest.skip("PostgreSQL alone truncates tables")
    settle()
    connection.cursor().execute(f"TRUNCATE {row._meta.db_table} CASCADE")


def run(row: models.Model, statement: str) -> None:
    pk = row._meta.pk
    with connection.cursor() as cursor:
        value = pk.get_db_prep_value(row.pk, connection)
        cursor.execute(statement.format(table=row._meta.db_table, key=pk.column), [value])
        assert cursor.rowcount != 0, "the row was not found, so nothing was tried"


WAYS = [by_save, by_update, by_bulk_update, by_upsert, by_raw_update, by_raw_delete, by_delete, by_replace, by_truncate]


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
@pytest.mark.parametrize("model", MODELS)
def test_g3_a_permanent_row_is_never_changed_or_removed(signed, model: str, way):
    row = last(model)
    assert refused(lambda: way(row))


@pytest.mark.parametrize("way", [way for way in WAYS if way is not by_truncate], ids=lambda way: way.__name__)
@pytest.mark.parametrize("model", MODELS)
def test_g3_control_without_its_seal_the_same_row_is_changed(signed, model: str, way):
    row = last(model)
    with without_seals():
        assert not refused(lambda: way(row))


@pytest.mark.parametrize("part", PARTS)
def test_g3_nothing_is_added_to_a_survey_that_has_its_record(signed, part: str):
    assert refused(lambda: PARTS[part](signed))
    with without_seals():
        assert not refused(lambda: PARTS[part](signed))


def test_g3_no_survey_is_put_under_a_record_that_is_there(signed):
    twin = surveys.Survey.objects.get(pk=signed.pk)
    surveys.Record.objects.create(number=3, kind="survey", format=1, content="{}", sha256="", at=AT)
    twin.record_id, twin.pk = 3, new_draft(signed).pk
    assert refused(lambda: twin.save(force_insert=True))
    with without_seals():
        assert not refused(lambda: twin.save(force_insert=True))


def new_draft(survey: surveys.Survey) -> surveys.Draft:
    first = survey.draft
    return surveys.Draft.objects.create(
        hood=first.hood, version=first.version, done_on=ON, started_at=AT, started_by=first.started_by
    )


@pytest.mark.parametrize(("number", "is_refused"), [(1, True), (2, True), (3, False), (4, True), (-1, True)])
def test_g3_a_record_takes_the_last_number_plus_one(signed, number: int, is_refused: bool):
    def append():
        surveys.Record.objects.create(number=number, kind="survey", format=1, content="{}", sha256="", at=AT)

    assert refused(append) is is_refused


def test_g3_control_without_its_seal_a_number_is_left_out(signed):
    with without_seals():
        assert not refused(
            lambda: surveys.Record.objects.create(number=4, kind="survey", format=1, content="", sha256="", at=AT)
        )


def test_m1_a_criteria_version_is_free_until_adopted_and_never_after(signed, technician):
    version = surveys.CriteriaVersion.objects.create(set=signed.version.set, number=2, content="{}")
    rows = surveys.CriteriaVersion.objects.filter(pk=version.pk)
    assert not refused(lambda: rows.update(content='{"compare": "as-measured"}'))
    assert not refused(lambda: rows._raw_delete(rows.db))
    adopted(version, technician, number=3)
    assert refused(lambda: rows.update(content='{"compare": "as-measured"}'))
    assert refused(lambda: rows.update(adopted_at=None))
    assert refused(lambda: rows._raw_delete(rows.db))
    with without_seals():
        assert not refused(lambda: rows.update(content='{"compare": "as-measured"}'))


def test_every_table_that_only_grows_is_sealed():
    """A table with a moment and a person, and no end, is a log: it is sealed, or it is named here with its reason."""
    free = {
        "hoods.Role": "ends by its last day, which is written later",
        "surveys.Draft": "what it holds are its revisions",
    }
    rows = [model for app in ("hoods", "surveys") for model in apps.get_app_config(app).get_models()]
    logs = {model._meta.label for model in rows if {"at", "by_id"} <= {field.attname for field in model._meta.fields}}
    assert logs - set(free) <= set(MODELS)


# G5: the triggers are there, and stay


def test_g5_the_triggers_are_there_as_written(db):
    assert sealing.differences() == []
    wanted = {trigger.name for seal in sealing.SEALS for trigger in sealing.triggers(seal)}
    assert len(wanted) > 2 * len(sealing.SEALS)


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
