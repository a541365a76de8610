"""A table as it came in a file: headings, rows of cells, and what a cell held besides text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

TEXT, NUMBER, DAY, YES_NO, FORMULA, ERROR = "text", "number", "day", "yes-no", "formula", "error"


class Cell(NamedTuple):
    """The text of a cell, and what it was: text that somebody typed, or what a spreadsheet made of it."""

    text: str
    kind: str = TEXT


class Row(NamedTuple):
    """A row by the number that a spreadsheet shows beside it; as many cells as there are headings."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Table:
    headings: tuple[str, ...]
    rows: tuple[Row, ...]


class Unreadable(Exception):
    """A file that is no such table: a code and values, and the row where it is known."""

    def __init__(self, code: str, *, row: int | None = None, **values: Any):
        super().__init__(code)
        self.code, self.row, self.values = code, row, values


def heading(text: str) -> str:
    """A heading as it is compared: small letters, single spaces, an underscore as a space."""
    return " ".join(text.replace("_", " ").casefold().split())


#: Text that begins so is marked in our own files, so that no program takes it for a formula; the mark itself is marked too.
MARK = "'"
MARKED = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", MARK)


def restored(text: str) -> str:
    """The text that a cell of one of our own files was made from; any other text as it is."""
    return text[1:] if text.startswith(MARK) and text[1:].startswith(MARKED) else text
