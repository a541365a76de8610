"""A list of hoods checked, cell by cell, by the boxes of its columns; and the box for the file itself."""

from __future__ import annotations

import difflib
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
from hoods.core.table import DAY, ERROR, FORMULA, NUMBER, TEXT, YES_NO, Cell, Row, Table, heading
from hoods.forms.fields import Choice, Day, Measure, read_measure
from hoods.forms.hood import MONITORED
from hoods.forms.inventory_columns import HOOD, MOST_OPENINGS, OF_ROOM, PLACE, ROW, Column, column_of, columns
from hoods.forms.plain import Plain
from hoods.inventory_said import Problem, Said, SaidOpening, opening_column

Points = tuple[str, str, str]  # a monitor, its set point, its alarm point
_TOGETHER = ("monitor", "set point", "alarm point")  # each is checked by the others
YES, NO = ("yes", "true"), ("no", "false", "")


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
            "empty": _("This file is empty: choose one with a heading and a row for each hood."),
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


def _headings(table: Table) -> tuple[list[tuple[Column, int] | None], list[Problem]]:
    """The column of each heading, with the number of its opening; nothing for an empty one above empty cells."""
    found: list[tuple[Column, int] | None] = []
    problems, met = [], set[str]()
    for place, text in enumerate(table.headings):
        key = heading(text)
        column = column_of(key)
        if column is None and (key or any(row.cells[place].text for row in table.rows)):
            problems.append(Problem(1, text or f"{place + 1}", _unknown(key)))
        elif column is not None and key in met:
            problems.append(Problem(1, text, _("This column is there twice: take one of them out.")))
        met.add(key)
        found.append(column)
    if 0 < len(met & set(_TOGETHER)) < len(_TOGETHER):
        said = _("The columns monitor, set point and alarm point come together: add those that are missing.")
        problems.append(Problem(1, next(name for name in _TOGETHER if name in met), said))
    numbers = {number for each in found if each for number in [each[1]] if number}
    for number in sorted(numbers):
        if opening_column(number, "name") not in met:
            said = _("An opening is known by its name: add this column.")
            problems.append(Problem(1, opening_column(number, "name"), said))
    return found, problems


def _unknown(key: str) -> Any:
    if not key:
        return _("There are cells below an empty heading: write what the column is, or empty it.")
    near = difflib.get_close_matches(key, [column.heading for column in columns(MOST_OPENINGS)], 1)
    if near:
        return _("This is no column of the list. If “%(near)s” is meant, write that; otherwise take it out.") % {
            "near": near[0]
        }
    return _("This is no column of the list: take it out, or write the heading as the template has it.")


# Rows --------------------------------------------------------------------------------------------------------------


def _row(
    row: Row, found: list[tuple[Column, int] | None], points: Mapping[str, Points]
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
            yield Problem(row, name.replace("_", " "), _sentence(refusal))


def _cleaned(column: Column, cell: Cell) -> tuple[Any, Any]:
    """The value of a cell by the box of its column, or why there is none."""
    if refusal := _why_not_kind(column, cell):
        return None, refusal
    return _by_box(column.heading, cell.text.strip(), get_language() or "")


def _why_not_kind(column: Column, cell: Cell) -> Any:
    if cell.kind == TEXT:
        return None
    if cell.kind == FORMULA:
        return _("This cell holds a formula: copy it and paste its value.")
    if cell.kind == ERROR:
        return _("This cell holds an error of the spreadsheet (%(text)s): write the value.") % {"text": cell.text}
    if cell.kind == DAY and not isinstance(column.box, Day):
        return _("The spreadsheet made a day of this (%(text)s): format the column as text, and type it again.") % {
            "text": cell.text
        }
    if cell.kind == NUMBER and not isinstance(column.box, Measure):
        return _(
            "The spreadsheet made a number of this (%(text)s), and may have lost digits: format the column as text, and type it again."
        ) % {"text": cell.text}
    if cell.kind == YES_NO and not isinstance(column.box, forms.BooleanField):
        return _("The spreadsheet made yes or no of this: format the column as text, and type it again.")
    return None


@lru_cache(maxsize=50_000)
def _by_box(key: str, text: str, language: str) -> tuple[Any, Any]:
    column, _number = column_of(key) or (None, 0)
    assert column is not None
    if isinstance(column.box, forms.BooleanField):
        return _yes_no(column, text)
    if isinstance(column.box, Choice):
        text = _code(column.box, text)
    if column.name == "order" and not text:
        return 0, None
    if column.name == "kind" and text in words.REFUSED_KINDS:
        return None, str(words.REFUSED_KINDS[text])
    try:
        return column.box.clean(text), None
    except ValidationError as refusal:
        said = _sentence(refusal)
        if isinstance(column.box, Choice):
            said = _not_one_of(text, column.takes)
        return None, said


def _not_one_of(text: str, takes: str) -> str:
    if not text:
        return str(_("Nothing is written here: write one of %(takes)s.") % {"takes": takes})
    return str(_("“%(text)s” is not one of these: %(takes)s.") % {"text": text, "takes": takes})


def _yes_no(column: Column, text: str) -> tuple[Any, Any]:
    word = text.casefold()
    if not word and column.name == "tested_every_survey":
        return True, None
    if word in (*YES, *NO):
        return word in YES, None
    return None, _("“%(text)s” is neither yes nor no: write one of them.") % {"text": text}


def _code(box: Choice, text: str) -> str:
    """The code that is written, or whose words are."""
    choices: Mapping[str, str] = {str(said).casefold(): str(code) for code, said in box.choices if code}
    return choices.get(text.casefold(), text.casefold() if text.casefold() in choices.values() else text)


def _sentence(refusal: ValidationError) -> str:
    return " ".join(str(each) for each in refusal.messages)
