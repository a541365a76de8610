"""The sheet of a workbook (XLSX) as lines of cells, after a look at its parts: a workbook comes from outside, and may be made to harm.

Looked at before it is opened: how many parts it has, how large they become, how many elements they have; files inside
files, definitions of a document type (which can name other files), merged cells, and links to other workbooks.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any

from openpyxl import load_workbook

from hoods.core.table import DAY, ERROR, FORMULA, NUMBER, TEXT, YES_NO, Cell, Unreadable, restored

ZIP, OLD = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
SHEET = "hoods"  # the sheet that is read where there are several
MOST_PARTS = 300
MOST_BYTES = 48 * 1024 * 1024  # of all parts, unpacked
MOST_TAGS = {"sheet": 4_000_000, "words": 400_000, "other": 30_000}  # of elements and their ends
_PIECE, _OVERLAP = 1024 * 1024, 512
_FORBIDDEN = {
    re.compile(rb"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE): "definitions",
    re.compile(rb"<(?:\w+:)?mergeCell\b"): "merged",
    re.compile(rb"<(?:\w+:)?row\b[^<>]*?\shidden=[\"'](?:1|true)[\"']"): "hidden",
}
_WHOLE = 15  # digits that a spreadsheet keeps of a number


def lines(data: bytes, *, most_rows: int, named: str = SHEET) -> Iterator[tuple[int, list[Cell]]]:
    try:
        _look(data)
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
    except Unreadable:
        raise
    except Exception as error:  # whatever a library makes of a broken file, it is no workbook
        raise Unreadable("not-a-workbook") from error
    try:
        sheet = _sheet(book, named)
        sheet.reset_dimensions()
        for number, row in enumerate(sheet.iter_rows(), start=1):
            yield number, [_cell(cell) for cell in row]
            if number > most_rows:
                return
    except Unreadable:
        raise
    except Exception as error:
        raise Unreadable("not-a-workbook") from error
    finally:
        book.close()


def _sheet(book: Any, name: str) -> Any:
    sheets = list(book.worksheets)
    if not sheets:
        raise Unreadable("not-a-workbook")
    named = [sheet for sheet in sheets if sheet.title.casefold() == name]
    if len(sheets) == 1:
        return sheets[0]
    if len(named) != 1:
        raise Unreadable("which-sheet", sheets=len(sheets), name=name)
    return named[0]


def _look(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        names = parts.infolist()
        if len(names) > MOST_PARTS or sum(part.file_size for part in names) > MOST_BYTES:
            raise Unreadable("unpacks-too-large", most=MOST_BYTES // (1024 * 1024))
        left = MOST_BYTES
        for part in names:
            if part.flag_bits & 1:
                raise Unreadable("old-workbook")
            if "externallinks/" in part.filename.lower():
                raise Unreadable("links")
            left -= _look_at(parts, part, left)


def _look_at(parts: zipfile.ZipFile, part: zipfile.ZipInfo, left: int) -> int:
    """How many bytes a part unpacks to; raises Unreadable where it holds what no list of hoods does."""
    kind = _kind(part.filename.lower())
    read, tags, end = 0, 0, b""
    try:
        with parts.open(part) as file:
            while piece := file.read(_PIECE):
                if not read and piece.startswith((ZIP, OLD)):
                    raise Unreadable("nested")
                read += len(piece)
                tags += piece.count(b"<")
                if read > left or (kind and tags > MOST_TAGS[kind]):
                    raise Unreadable("unpacks-too-large", most=MOST_BYTES // (1024 * 1024))
                if kind:
                    _refuse_forbidden(end + piece)
                end = piece[-_OVERLAP:]
    except (zlib.error, NotImplementedError, RuntimeError) as error:
        raise Unreadable("not-a-workbook") from error
    return read


def _kind(name: str) -> str:
    """What a part is; nothing for pictures and the like, which are never opened."""
    if not name.endswith((".xml", ".rels")):
        return ""
    if name.startswith("xl/worksheets/"):
        return "sheet"
    return "words" if name.endswith("sharedstrings.xml") else "other"


def _refuse_forbidden(piece: bytes) -> None:
    if b"\x00" in piece:
        raise Unreadable("not-a-workbook")
    for shape, code in _FORBIDDEN.items():
        if shape.search(piece):
            raise Unreadable(code)


def _cell(cell: Any) -> Cell:
    """What a cell holds, as text: a number as its digits, a day as year, month and day."""
    value, kind = cell.value, getattr(cell, "data_type", "n")
    if value is None:
        return Cell("")
    if kind == "f":
        return Cell(str(getattr(value, "text", value)), FORMULA)
    if kind == "e":
        return Cell(str(value), ERROR)
    if isinstance(value, bool):
        return Cell("yes" if value else "no", YES_NO)
    if isinstance(value, datetime):
        return Cell(value.date().isoformat() if value.time() == time() else value.isoformat(" "), DAY)
    if isinstance(value, date | time):
        return Cell(value.isoformat(), DAY)
    if isinstance(value, int | float):
        return _number(value, cell.number_format)
    return Cell(restored(str(value)), TEXT)


def _number(value: float, shown: str) -> Cell:
    """A whole number that is shown as it is kept is as good as text; of any other the spreadsheet may have lost a digit."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 10**_WHOLE:
        value = int(value)
    plain = isinstance(value, int) and 0 <= value < 10**11 and shown in ("General", "0", "@")
    return Cell(str(value), TEXT if plain else NUMBER)
