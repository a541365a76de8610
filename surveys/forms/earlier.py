"""A list of earlier results checked, cell by cell; and why a list counts, or counts no longer."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from hoods.core.table import Cell, Row, Table
from hoods.forms import list_cells
from hoods.forms.fields import Reason
from hoods.forms.inventory_columns import MOST_OPENINGS, Column
from hoods.forms.list_cells import Found
from hoods.forms.plain import Plain
from hoods.inventory_said import Problem, opening_column
from surveys.earlier import Said, SaidOpening
from surveys.forms.earlier_columns import COLUMNS, column_of, columns


class Accepted(Plain):
    why = Reason(label=_("Why it may count"), max_length=1000)


class Withdrawn(Plain):
    why = Reason(label=_("Why it counts no longer"), max_length=1000)


class Struck(Plain):
    why = Reason(label=_("Why it should not have been brought in"), max_length=1000)


class Checked:
    """What the rows of a list say, and what is wrong with them."""

    def __init__(self, said: list[Said], problems: list[Problem]) -> None:
        self.said, self.problems = said, problems


def check(table: Table) -> Checked:
    """Every cell by the box of its column. A row with something wrong is left out of what is said."""
    found, problems, met = list_cells.headings(table, column_of, [column.heading for column in columns(MOST_OPENINGS)])
    problems += _missing(found, met)
    said: list[Said] = []
    if problems:
        return Checked(said, problems)
    for row in table.rows:
        one, wrong = _row(row, found)
        problems += wrong
        if one is not None:
            said.append(one)
    return Checked(said, problems)


def _missing(found: list[Found | None], met: set[str]) -> Iterator[Problem]:
    for column in COLUMNS:
        if column.needed and column.heading not in met:
            yield Problem(1, column.heading, _("Every list of earlier results has this column: add it."))
    for number in sorted({each[1] for each in found if each} - {0}):
        if opening_column(number, "name") not in met:
            yield Problem(1, opening_column(number, "name"), _("An opening is known by its name: add this column."))


def _row(row: Row, found: list[Found | None]) -> tuple[Said | None, list[Problem]]:
    what: dict[str, Any] = {}
    openings: dict[int, dict[str, Any]] = {}
    problems: list[Problem] = []
    begun = {each[1] for each, cell in zip(found, row.cells, strict=True) if each and each[1] and cell.text.strip()}
    for each, cell in zip(found, row.cells, strict=True):
        if each is None or (each[1] and each[1] not in begun):
            continue
        column, number = each
        value, refusal = _cleaned(column, cell)
        if refusal is not None:
            problems.append(Problem(row.number, column.heading, refusal))
        else:
            (openings.setdefault(number, {}) if number else what)[column.name] = value
    if problems:
        return None, problems
    opened = tuple(SaidOpening(number=number, **of) for number, of in sorted(openings.items()))
    return Said(row=row.number, openings=opened, **what), []


def _cleaned(column: Column, cell: Cell) -> tuple[Any, Any]:
    """The value of a cell by the box of its column, or why there is none."""
    if refusal := list_cells.why_not_kind(column, cell):
        return None, refusal
    return _by_box(column.heading, cell.text.strip(), get_language() or "")


@lru_cache(maxsize=50_000)
def _by_box(key: str, text: str, language: str) -> tuple[Any, Any]:
    column, _number = column_of(key) or (None, 0)
    assert column is not None
    return list_cells.cleaned(column, text)
