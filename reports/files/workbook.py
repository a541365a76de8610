"""Tables as a workbook: one sheet each, row by row, so that a large one needs little memory.

Every text is stored as text: openpyxl would store one that begins with '=' as a formula. Numbers that were measured are
text too, since they are shown with the digits that were judged; counts are numbers.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import IO

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from reports.files.cells import Value, drawn, neutral, written
from reports.files.comma import Table

LONGEST = 32767  # characters that a cell can hold
NARROW, WIDE = 8, 48  # of a column, in characters


def workbook(file: IO[bytes], tables: Iterable[Table], title: str, at: datetime) -> None:
    made = Workbook(write_only=True)
    made.properties.title = title
    made.properties.creator = "Hood Ledger"
    made.properties.created = made.properties.modified = at.replace(tzinfo=None, microsecond=0)
    for table in tables:
        _sheet(made.create_sheet(table.name), table)
    made.save(file)


def _sheet(sheet: WriteOnlyWorksheet, table: Table) -> None:
    sheet.freeze_panes = "A2"
    rows = list(table.rows)
    for number, name in enumerate(table.columns):
        longest = max((len(written(row[number])) for row in rows[:200]), default=0)
        sheet.column_dimensions[get_column_letter(number + 1)].width = min(max(longest, len(name), NARROW) + 2, WIDE)
    heading = Font(bold=True)
    sheet.append([_cell(sheet, name, heading) for name in table.columns])
    for row in rows:
        sheet.append([_cell(sheet, value) for value in row])


def _cell(sheet: WriteOnlyWorksheet, value: Value, font: Font | None = None) -> WriteOnlyCell | None:
    if value is None or value == "":
        return None
    if isinstance(value, int):
        return WriteOnlyCell(sheet, value)
    text = drawn(neutral(written(value)))
    if len(text) > LONGEST:
        text = text[: LONGEST - 1] + "…"
    cell = WriteOnlyCell(sheet)
    cell.value = text
    cell.data_type = "s"  # never 'f'
    if font is not None:
        cell.font = font
    return cell
