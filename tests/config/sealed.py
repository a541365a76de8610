"""Rows that are sealed, and the ways in which somebody might change one."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction

from config import sealing
from surveys import models as surveys
from tests.making import AT, ON

MODELS = [seal.model for seal in sealing.SEALS]


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
