"""A list as a file to take away: CSV, or a workbook."""

from __future__ import annotations

import io
from typing import Any

from django.http import HttpResponse, StreamingHttpResponse
from django.utils import timezone
from django.utils.http import content_disposition_header

from reports.core.yearly_tables import Table
from reports.files import comma, workbook

BOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def list_file(name: str, ending: str, tables: list[Table]) -> HttpResponse:
    response: Any
    if ending == "csv":
        lines = comma.lines(tables[0].columns, tables[0].rows)
        response = StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8")
    else:
        file = io.BytesIO()
        workbook.workbook(file, tables, name, timezone.now())
        response = HttpResponse(file.getvalue(), content_type=BOOK)
    response.headers["Content-Disposition"] = content_disposition_header(True, f"{name}.{ending}")
    return response
