"""The inventory as a list to take away, which can be brought in again unchanged; and the empty list to fill in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from hoods.forms import inventory_columns as forms
from hoods.inventory_kept import KeptHood, kept_hoods
from hoods.models import Hood
from hoods.queries import without_retired
from reports.core.yearly_tables import Table
from reports.files.cells import Value
from reports.views.list_file import list_file

OPENINGS = 3  # that the empty list has columns for
SHEET, ABOUT = "hoods", "columns"


def hood_list(request: HttpRequest, ending: str) -> HttpResponse:
    """Every hood that this person may see and that is not retired, a row each."""
    hoods = without_retired(Hood.objects.visible_to(request.user).filter(site=request.site))
    kept = list(kept_hoods(hoods.order_by("tag", "pk"), request.site).values())
    columns = forms.columns(max((len(one.openings) for one in kept), default=1) or 1)
    rows = ([_value(column, one) for column in columns] for one in kept)
    name = f"{request.site.name} {_('hoods')} {request.site.today():%Y-%m-%d}"
    return list_file(name, ending, [Table(SHEET, _headings(columns), _tuples(rows))])


def template(request: HttpRequest, ending: str) -> HttpResponse:
    """The headings alone; in a workbook also what may stand in each column."""
    columns = forms.columns(OPENINGS)
    about = [(one.heading, "needed" if one.needed else "", one.takes) for one in columns]
    tables = [Table(SHEET, _headings(columns), ()), Table(ABOUT, ("column", "of a new hood", "such as"), about)]
    return list_file(_("List of hoods"), ending, tables if ending == "xlsx" else tables[:1])


def _headings(columns: Sequence[forms.Column]) -> tuple[str, ...]:
    return tuple(column.heading for column in columns)


def _tuples(rows: Iterable[Iterable[Any]]) -> Iterator[tuple[Value, ...]]:
    return (tuple(map(_written, row)) for row in rows)


def _written(value: Any) -> Value:
    """Text: a workbook keeps it as it stands, and makes no number or day of it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _value(column: forms.Column, kept: KeptHood) -> Any:
    room = kept.placement.room if kept.placement else None
    if column.part == forms.HOOD:
        return getattr(kept.hood, column.name)
    if column.part == forms.PLACE:
        return kept.place[column.name]
    if column.part == forms.OF_ROOM:
        return getattr(room, column.name, "")
    if column.part == forms.OPENING:
        number = int(column.heading.split()[1])
        return getattr(kept.openings[number - 1], column.name) if number <= len(kept.openings) else ""
    return {
        "tag": kept.hood.tag, "building": room and room.building.name, "room": room and room.number,
        "on": kept.installed_on,
    }[column.name]  # fmt: skip
