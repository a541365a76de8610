"""A list of hoods checked, cell by cell, by the boxes of its columns; and the box for the file itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from hoods import words
from hoods.core.table import Cell, Row, Table
from hoods.forms import list_cells
from hoods.forms.fields import read_measure
from hoods.forms.hood import MONITORED
from hoods.forms.inventory_columns import HOOD, MOST_OPENINGS, OF_ROOM, PLACE, ROW, Column, column_of, columns
from hoods.forms.list_cells import Found
from hoods.forms.plain import Plain
from hoods.inventory_said import Problem, Said, SaidOpening, opening_column

Points = tuple[str, str, str]  # a monitor, its set point, its alarm point
_TOGETHER = ("monitor", "set point", "alarm point")  # each is checked by the others


class ListFile(Plain):
    """A file with a list of hoods."""

    file = forms.FileField(
        label=_("File"),
        help_text=_("CSV (UTF-8) or an XLSX workbook, at most 10 MB."),
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.xlsx"}),
        error_messages={
            "required": _("No file is chosen: choose one."),
            "missing": _("No file is chosen: choose one."),
            "invalid": _("No file came with the page: choose it again."),
            "empty": _("This file is empty: choose one with a heading and rows below it."),
        },
    )


@dataclass(frozen=True)
class Checked:
    """What the rows of a list say, and what is wrong with them."""

    said: tuple[Said, ...]
    problems: tuple[Problem, ...]


def check(table: Table, points: Mapping[str, Points] = MappingProxyType({})) -> Checked:
    """Every cell by the box of its column. A row with something wrong is left out of what is said.

    `points`: by tag, the monitor and its points that the site has; those that a list leaves as they are, it may leave.
    """
    found, problems = _headings(table)
    if problems:
        return Checked((), tuple(problems))
    said = []
    for row in table.rows:
        one, wrong = _row(row, found, points)
        problems += wrong
        if one is not None and not wrong:
            said.append(one)
    return Checked(tuple(said), tuple(problems))


def _headings(table: Table) -> tuple[list[Found | None], list[Problem]]:
    """The column of each heading, with the number of its opening, and what is wrong with them."""
    found, problems, met = list_cells.headings(table, column_of, [column.heading for column in columns(MOST_OPENINGS)])
    if 0 < len(met & set(_TOGETHER)) < len(_TOGETHER):
        said = _("The columns monitor, set point and alarm point come together: add those that are missing.")
        problems.append(Problem(1, next(name for name in _TOGETHER if name in met), said))
    numbers = {number for each in found if each for number in [each[1]] if number}
    for number in sorted(numbers):
        if opening_column(number, "name") not in met:
            said = _("An opening is known by its name: add this column.")
            problems.append(Problem(1, opening_column(number, "name"), said))
    return found, problems


# Rows --------------------------------------------------------------------------------------------------------------


def _row(
    row: Row, found: list[Found | None], points: Mapping[str, Points]
) -> tuple[Said | None, list[Problem]]:
    parts: dict[str, dict[str, Any]] = {ROW: {}, HOOD: {}, PLACE: {}, OF_ROOM: {}}
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
            (openings.setdefault(number, {}) if number else parts[column.part])[column.name] = value
    if points.get(parts[ROW].get("tag", "")) != _said_points(parts[HOOD]):
        problems += _points(row.number, parts[HOOD])
    if problems:
        return None, problems
    absent = _absent({each[0].heading for each in found if each})
    of_room = {name: value for name, value in parts[OF_ROOM].items() if value}
    return Said(
        row=row.number, of_room=of_room, place=parts[PLACE], hood=parts[HOOD],
        openings=tuple(SaidOpening(number, what.pop("name"), what) for number, what in sorted(openings.items())),
        absent=absent, **parts[ROW],
    ), []  # fmt: skip


def _absent(have: set[str]) -> tuple[str, ...]:
    return tuple(column.heading for column in columns(1) if column.needed and column.heading not in have)


def _said_points(hood: Mapping[str, Any]) -> Points:
    return hood.get("monitor", ""), hood.get("set_point", ""), hood.get("alarm_point", "")


def _points(row: int, hood: dict[str, Any]) -> Iterator[Problem]:
    """A point of a monitor is in a unit of what the monitor shows, as on the page of a hood."""
    for name in ("set_point", "alarm_point"):
        text, kinds = hood.get(name), MONITORED.get(hood.get("monitor", ""))
        if not text or "monitor" not in hood:
            continue
        if kinds is None:
            said = _("A hood without a monitor has no such point: leave it empty, or choose a monitor.")
            yield Problem(row, name.replace("_", " "), said)
            continue
        try:
            hood[name] = str(read_measure(text, kinds))
        except ValidationError as refusal:
            yield Problem(row, name.replace("_", " "), list_cells.in_a_sentence(refusal))


def _cleaned(column: Column, cell: Cell) -> tuple[Any, Any]:
    """The value of a cell by the box of its column, or why there is none."""
    if refusal := list_cells.why_not_kind(column, cell):
        return None, refusal
    return _by_box(column.heading, cell.text.strip(), get_language() or "")


@lru_cache(maxsize=50_000)
def _by_box(key: str, text: str, language: str) -> tuple[Any, Any]:
    column, _number = column_of(key) or (None, 0)
    assert column is not None
    if column.name == "order" and not text:
        return 0, None
    if column.name == "kind" and (kind := list_cells.code_of(column.box, text)) in words.REFUSED_KINDS:
        return None, str(words.REFUSED_KINDS[kind])
    return list_cells.cleaned(column, text)
