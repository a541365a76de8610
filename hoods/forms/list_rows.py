"""The rows of any list that is brought in from a file: what each says, by the boxes of its columns, and what is wrong."""

from __future__ import annotations

import difflib
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Generic, NamedTuple, TypeVar

from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from hoods.core.table import Cell, Row, Table, heading
from hoods.forms import list_cells
from hoods.forms.inventory_columns import MOST_OPENINGS, Column, Columns
from hoods.inventory_said import Problem, opening_column, said_once

One = TypeVar("One")
BEYOND = _(
    "This is no column of the list, which has at most %(most)d openings of a hood: take out those of higher numbers."
)
_OPENING = re.compile(r"opening ([0-9]{1,4}) .+")
Found = list[tuple[Column, int] | None]  # the column of each heading, and the number of its opening


class Read(NamedTuple):
    """What a row says: by the part that its columns are of, and of each opening by its number."""

    number: int
    parts: dict[str, dict[str, Any]]
    openings: dict[int, dict[str, Any]]


@dataclass(frozen=True)
class Checked(Generic[One]):
    """What the rows of a list say, and what is wrong with them."""

    said: tuple[One, ...]
    problems: tuple[Problem, ...]


def checked(
    table: Table, columns: Columns, *, made: Callable[[Read, set[str]], One],
    missing: Callable[[set[str]], Iterable[Problem]] = lambda have: (),
    wrong: Callable[[Read, set[str]], Iterable[Problem]] = lambda row, have: (),
) -> Checked[One]:  # fmt: skip
    """Every cell by the box of its column. A row with something wrong is left out of what is said.

    Of the headings that it has: `missing` tells which columns the list lacks, `wrong` what a row cannot say together, and
    `made` is what a row comes to.
    """
    found, problems = _headings(table, columns)
    have = {each[0].heading for each in found if each}
    problems += [*missing(have), *_nameless(found, have)]
    if problems:
        return Checked((), tuple(problems))
    said, language = [], get_language() or ""
    for row in table.rows:
        read, refused = _read(row, found, columns, language)
        refused += wrong(read, have)
        problems += refused
        if not refused:
            said.append(made(read, have))
    return Checked(tuple(said), tuple(said_once(problems)))


# Headings ----------------------------------------------------------------------------------------------------------


def _headings(table: Table, columns: Columns) -> tuple[Found, list[Problem]]:
    """The column of each heading, and what is wrong with them; nothing for an empty one above empty cells."""
    found: Found = []
    problems, met, beyond = [], set[str](), list[str]()
    for place, text in enumerate(table.headings):
        key = heading(text)
        column = columns.find(key)
        if _is_beyond(key):
            beyond.append(text)
        elif column is None and (key or any(row.cells[place].text for row in table.rows)):
            problems.append(Problem(1, text or f"{place + 1}", _unknown(key, columns)))
        elif column is not None and key in met:
            problems.append(Problem(1, text, _("This column is there twice: take one of them out.")))
        met.add(key)
        found.append(column)
    problems += [Problem(1, text, BEYOND % {"most": MOST_OPENINGS}) for text in beyond[:1]]
    return found, problems


def _unknown(key: str, columns: Columns) -> Any:
    if not key:
        return _("There are cells below an empty heading: write what the column is, or empty it.")
    near = difflib.get_close_matches(key, [column.heading for column in columns(MOST_OPENINGS)], 1)
    if near:
        return _("This is no column of the list. If “%(near)s” is meant, write that; otherwise take it out.") % {
            "near": near[0]
        }
    return _("This is no column of the list: take it out, or write the heading as the template has it.")


def _is_beyond(key: str) -> bool:
    """Whether a heading is of an opening with a higher number than a list has."""
    shape = _OPENING.fullmatch(key)
    return shape is not None and int(shape[1]) > MOST_OPENINGS


def _nameless(found: Found, have: set[str]) -> Iterator[Problem]:
    for number in sorted({each[1] for each in found if each and each[1]}):
        if opening_column(number, "name") not in have:
            yield Problem(1, opening_column(number, "name"), _("An opening is known by its name: add this column."))


# Cells -------------------------------------------------------------------------------------------------------------


def _read(row: Row, found: Found, columns: Columns, language: str) -> tuple[Read, list[Problem]]:
    """What a row says, and the cells that say nothing; an opening of which all cells are empty is none."""
    read, problems = Read(row.number, defaultdict(dict), {}), []
    begun = {each[1] for each, cell in zip(found, row.cells, strict=True) if each and each[1] and cell.text.strip()}
    for each, cell in zip(found, row.cells, strict=True):
        if each is None or (each[1] and each[1] not in begun):
            continue
        column, number = each
        value, refusal = _cleaned(columns, column, cell, language)
        if refusal is not None:
            problems.append(Problem(row.number, column.heading, refusal))
        else:
            (read.openings.setdefault(number, {}) if number else read.parts[column.part])[column.name] = value
    return read, problems


def _cleaned(columns: Columns, column: Column, cell: Cell, language: str) -> tuple[Any, Any]:
    """The value of a cell by the box of its column, or why there is none."""
    if refusal := list_cells.why_not_kind(column, cell):
        return None, refusal
    return _by_box(columns, column.heading, cell.text.strip(), language)


@lru_cache(maxsize=50_000)
def _by_box(columns: Columns, key: str, text: str, language: str) -> tuple[Any, Any]:
    column, _number = columns.find(key) or (None, 0)
    assert column is not None
    return list_cells.cleaned(column, text)
