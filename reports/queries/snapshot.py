"""One state of the ledger for all that a report reads, while others go on writing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def snapshot() -> Iterator[None]:
    """Every query inside sees the ledger as it stood at the first one.

    Nobody who writes is kept waiting: on SQLite this is a deferred transaction (a writer goes on beside it, in the
    write-ahead log), on PostgreSQL one that repeats what it read. Inside a transaction there is a state already.
    """
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        connection.ensure_connection()
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            with connection.cursor() as cursor:
                cursor.execute("ROLLBACK")  # nothing was written
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
