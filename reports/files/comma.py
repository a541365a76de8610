"""Tables as CSV: UTF-8 with a byte order mark, every cell in quotes, lines as RFC 4180 ends them.

The mark is there for the programs that open such a file by a double click and otherwise take it for an older alphabet;
the quotes, so that a comma, a semicolon or a line in a cell never begins another.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import IO, Protocol

from reports.files.cells import Value, neutral, written

MARK = "\ufeff"


class Table(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def columns(self) -> tuple[str, ...]: ...
    @property
    def rows(self) -> Iterable[tuple[Value, ...]]: ...


class _Echo:
    """Gives back what is written into it, so that a file needs no memory."""

    def write(self, text: str) -> str:
        return text


def lines(columns: Sequence[str], rows: Iterable[Sequence[Value]]) -> Iterator[bytes]:
    """The file in pieces, each as soon as its row is there."""
    writer = csv.writer(_Echo(), quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    yield (MARK + writer.writerow(columns)).encode()
    for row in rows:
        yield writer.writerow([neutral(written(value)) for value in row]).encode()


def archive(file: IO[bytes], tables: Iterable[Table], at: datetime, name: str) -> None:
    """Every table as a file of its own in one archive; the same tables at the same moment give the same bytes."""
    moment = at.timetuple()[:6]
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as kept:
        for table in tables:
            entry = zipfile.ZipInfo(f"{name} {table.name}.csv", moment)
            entry.compress_type = zipfile.ZIP_DEFLATED
            with kept.open(entry, "w") as part:
                buffered = io.BufferedWriter(part, 65536)  # type: ignore[type-var]
                for line in lines(table.columns, table.rows):
                    buffered.write(line)
                buffered.flush()
                buffered.detach()
