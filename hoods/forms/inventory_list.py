"""A list of hoods checked, cell by cell, by the boxes of its columns; and the box for the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from types import MappingProxyType
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods.core.quantity import is_alarm_above
from hoods.core.table import Table
from hoods.forms import list_cells
from hoods.forms.fields import read_measure
from hoods.forms.hood import MONITORED
from hoods.forms.inventory_columns import HOOD, OF_ROOM, PLACE, ROW, columns
from hoods.forms.list_rows import Checked, Read, checked
from hoods.forms.plain import Plain
from hoods.inventory_said import Problem, Said, SaidOpening
from hoods.words import ALARM_ABOVE

Points = tuple[str, str, str]  # a monitor, its set point, its alarm point


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


def check(table: Table, points: Mapping[str, Points] = MappingProxyType({})) -> Checked[Said]:
    """Every cell by the box of its column, as on the pages.

    `points`: by tag, the monitor and its points that the site has; those that a list leaves as they are, it may leave.
    """
    wrong = partial(_why_not_points, points=points)
    return checked(table, columns, made=_said, wrong=wrong)


def _said(row: Read, have: set[str]) -> Said:
    return Said(
        row=row.number, place=row.parts[PLACE], hood=row.parts[HOOD],
        of_room={name: value for name, value in row.parts[OF_ROOM].items() if value},
        openings=tuple(SaidOpening(number, what.pop("name"), what) for number, what in sorted(row.openings.items())),
        absent=tuple(column.heading for column in columns(1) if column.needed and column.heading not in have),
        **row.parts[ROW],
    )  # fmt: skip


# Monitors ----------------------------------------------------------------------------------------------------------


TOGETHER = ("monitor", "set point", "alarm point")  # columns: each is checked by the others
_NONE: Points = ("none", "", "")


def _why_not_points(row: Read, have: set[str], points: Mapping[str, Points]) -> Iterator[Problem]:
    """A hood with a monitor has all that is said of it in the list; of one without any, `none` says all."""
    hood, there = row.parts[HOOD], [name for name in TOGETHER if name in have]
    kept = points.get(row.parts[ROW].get("tag", ""), _NONE)
    said: Points = tuple(hood.get(name.replace(" ", "_"), was) for name, was in zip(TOGETHER, kept, strict=True))
    if there and there != [*TOGETHER] and said != _NONE:
        words = _("The columns monitor, set point and alarm point come together: add those that are missing.")
        yield Problem(row.number, there[0], words, of_column=True)
    elif said != kept:
        yield from _points(row.number, hood)


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
    if is_alarm_above(hood.get("alarm_point") or "", hood.get("set_point") or ""):
        yield Problem(row, "alarm point", ALARM_ABOVE)
