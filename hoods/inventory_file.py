"""A list (of hoods, or of what they had) as a file, CSV or a workbook: bytes in, a table of cells out. Nothing is guessed: a file is read as it says, or refused."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator

from hoods import inventory_book
from hoods.core.table import Cell, Row, Table, Unreadable, heading, restored

MOST_BYTES = 10 * 1024 * 1024
MOST_ROWS = 10_000  # below the heading
MOST_COLUMNS = 200
LONGEST_CELL = 10_000  # characters
KEY = "tag"  # the column without which nothing is a list of hoods
_TOLD = re.compile(r"\"?(sep=[^\r\n\"]?)\"?\s*[\r\n]", re.IGNORECASE)  # a line above the heading that names what parts the cells
_SEPARATORS = (",", ";", "\t")


def read(data: bytes, sheet: str = inventory_book.SHEET) -> Table:
    """The table of a file, of a workbook that of the sheet so named; raises Unreadable."""
    if len(data) > MOST_BYTES:
        raise Unreadable("too-large", most=MOST_BYTES // (1024 * 1024))
    if not data.strip():
        raise Unreadable("empty")
    if data.startswith(inventory_book.ZIP):
        lines = inventory_book.lines(data, most_rows=MOST_ROWS + 1, named=sheet)
    elif data.startswith(inventory_book.OLD):
        raise Unreadable("old-workbook")
    else:
        lines = _comma(_text(data))
    return _table(lines)


def _text(data: bytes) -> str:
    """The text of a file by the mark at its beginning; without one, UTF-8 or nothing."""
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    if not marked and b"\x00" in data:
        raise Unreadable("unmarked" if _is_of_two_bytes(data) else "no-text")
    try:
        text = data.decode("utf-16" if marked else "utf-8-sig")
    except UnicodeDecodeError as error:
        raise Unreadable("encoding", row=data.count(b"\n", 0, error.start) + 1) from error
    if "\x00" in text:
        raise Unreadable("no-text")
    return text


def _is_of_two_bytes(data: bytes) -> bool:
    """Whether a file reads as text of which each letter has two bytes, the way that a heading in plain letters has them."""
    first = data[:64]
    return any(len(half := first[at::2]) > 1 and not any(half) and all(first[1 - at :: 2]) for at in (0, 1))


def _comma(text: str) -> Iterator[tuple[int, list[Cell]]]:
    if told := _TOLD.match(text):
        raise Unreadable("told", row=1, line=told[1])
    separator = _separator(text)
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    while True:
        number += 1
        try:
            line = next(lines)
        except StopIteration:
            return
        except csv.Error as error:
            raise Unreadable("quotes", row=number) from error
        yield number, [Cell(restored(text)) for text in line]


def _separator(text: str) -> str:
    """What parts the cells of the heading: the one by which it has the column of tags, and a second column."""
    found = []
    for separator in _SEPARATORS:
        try:
            first = next(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True), [])
        except csv.Error:
            continue
        if len(first) > 1 and KEY in map(heading, first):
            found.append(separator)
    if len(found) != 1:
        raise Unreadable("no-heading")
    return found[0]


def _table(lines: Iterable[tuple[int, list[Cell]]]) -> Table:
    source = iter(lines)
    _, first = next(source, (1, []))
    headings = tuple(cell.text.strip() for cell in _trimmed(first))
    if KEY not in map(heading, headings):
        raise Unreadable("no-heading")
    if len(headings) > MOST_COLUMNS:
        raise Unreadable("too-many-columns", most=MOST_COLUMNS)
    rows = []
    for number, cells in source:
        if number > MOST_ROWS + 1:
            raise Unreadable("too-many-rows", row=number, most=MOST_ROWS)
        cells = _trimmed(cells)
        if not cells:
            continue
        if len(cells) > len(headings):
            raise Unreadable("too-many-cells", row=number, found=len(cells), headings=len(headings))
        if any(len(cell.text) > LONGEST_CELL for cell in cells):
            raise Unreadable("long-cell", row=number, most=LONGEST_CELL)
        rows.append(Row(number, (*cells, *[Cell("")] * (len(headings) - len(cells)))))
    if not rows:
        raise Unreadable("no-rows")
    return Table(headings, tuple(rows))


def _trimmed(cells: list[Cell]) -> list[Cell]:
    """Without the empty cells at the end."""
    last = len(cells)
    while last and not cells[last - 1].text.strip() and cells[last - 1].kind == "text":
        last -= 1
    return cells[:last]
