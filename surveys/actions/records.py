"""Records: what was attested, word for word, numbered without gaps. Nothing else writes the table of records."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import connection

from surveys.core.record import canonical, sha256_hex
from surveys.models import Record

FORMAT = 1
#: One lock for the numbering of records, held until the transaction ends. SQLite needs none: its transactions are
#: IMMEDIATE, so that one writes at a time. A lock on the last row would not do on PostgreSQL: who waits for it reads
#: the row that was last before.
LOCK = 4_855_001


def next_number() -> int:
    """The number of the next record; nobody else gets it before this transaction has ended."""
    if not connection.in_atomic_block:
        raise RuntimeError("a record is numbered inside the transaction that keeps it")
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])
        cursor.execute("SELECT COALESCE(MAX(number), 0) + 1 FROM surveys_record")
        return int(cursor.fetchone()[0])


def append_record(*, kind: str, content: Mapping[str, Any], at: datetime, number: int | None = None) -> Record:
    """Keep what was attested as the next record; inside the transaction of the act that it attests, as its last part.

    Whoever must write the number into rows that come before asks for it first, by `next_number`.
    """
    (record,) = append_records(kind=kind, contents=[content], at=at, number=next_number() if number is None else number)
    return record


def append_records(*, kind: str, contents: Iterable[Mapping[str, Any]], at: datetime, number: int) -> list[Record]:
    """Keep what was attested as records from a number on, one after another."""
    texts = [canonical(dict(content)) for content in contents]
    return Record.objects.bulk_create(
        Record(
            number=place, kind=kind, format=FORMAT, content=text.decode("utf-8"), sha256=sha256_hex(text), at=at
        )
        for place, text in enumerate(texts, start=number)
    )  # fmt: skip
