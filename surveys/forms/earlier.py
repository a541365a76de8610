"""A list of earlier results checked, cell by cell; and why a list counts, or counts no longer."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext_lazy as _

from hoods.core.table import Table
from hoods.forms.fields import Reason
from hoods.forms.inventory_columns import ROW
from hoods.forms.list_rows import Checked, Read, checked
from hoods.forms.plain import Plain
from hoods.inventory_said import Problem
from surveys.earlier import Said, SaidOpening
from surveys.forms.earlier_columns import columns


class Accepted(Plain):
    why = Reason(label=_("Why it may count"), max_length=1000)


class Withdrawn(Plain):
    why = Reason(label=_("Why it counts no longer"), max_length=1000)


class Struck(Plain):
    why = Reason(label=_("Why it should not have been brought in"), max_length=1000)


def check(table: Table) -> Checked[Said]:
    """Every cell by the box of its column."""
    return checked(table, columns, missing=_missing, made=_said)


def _missing(have: set[str]) -> Iterator[Problem]:
    for column in columns.of_row:
        if column.needed and column.heading not in have:
            yield Problem(1, column.heading, _("Every list of earlier results has this column: add it."))


def _said(row: Read, _have: set[str]) -> Said:
    opened = tuple(SaidOpening(number=number, **of) for number, of in sorted(row.openings.items()))
    return Said(row=row.number, openings=opened, **row.parts[ROW])
