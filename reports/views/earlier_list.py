"""The empty list of earlier results, to fill in."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from reports.core.yearly_tables import Table
from reports.views.list_file import list_file
from surveys.forms.earlier_columns import SHEET, columns

OPENINGS = 2  # that the empty list has columns for
ABOUT = "columns"


def template(request: HttpRequest, ending: str) -> HttpResponse:
    """The headings alone; in a workbook also what may stand in each column."""
    every = columns(OPENINGS)
    about = [(one.heading, "needed" if one.needed else "", one.takes) for one in every]
    headings = tuple(one.heading for one in every)
    tables = [Table(SHEET, headings, ()), Table(ABOUT, ("column", "in every row", "such as"), about)]
    return list_file(_("Earlier results"), ending, tables if ending == "xlsx" else tables[:1])
