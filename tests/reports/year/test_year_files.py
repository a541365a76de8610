"""I8: the files of a year, in which no formula runs."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import date

import openpyxl
import pytest
from django.urls import reverse

from hoods.models import HoodEvent
from reports.core.yearly_tables import NAMES, TABLES
from reports.files.cells import restored
from tests import making, surveying
from tests.reports.year.loading import NOW
from tests.surveys import rows

pytestmark = pytest.mark.django_db


# Files --------------------------------------------------------------------------------------------------------------

TRAP = "=HYPERLINK(1)"


@pytest.fixture
def trapped(site, auditor, ready, version, technician, programme_manager):
    """A year in which everything that somebody can type begins like a formula."""
    site.name = TRAP
    site.save()
    room = making.make_room(making.make_building(site, "+Range"), "@214")
    hood = ready(tag="-FH-1", room=room)
    rows.survey(hood, version, technician, date(2025, 3, 12))
    rows.survey(hood, version, technician, date(2026, 3, 2), "fail")
    HoodEvent.objects.create(
        hood=hood, kind="overdue-explained", on=date(2026, 5, 2), at=NOW, by=programme_manager, why="\t=1+1"
    )
    return hood


def test_i8_every_csv_is_parsed_back_without_a_formula(trapped, auditor, signed_in):
    client, seen = signed_in(auditor), set()
    for name, columns, _rows in TABLES:
        response = client.get(reverse("reports:year_table"), {"table": name, "from": "2026"})
        assert response.headers["Content-Type"] == "text/csv; charset=utf-8"
        assert response.headers["Content-Disposition"].endswith(f'2026 {name}.csv"')
        parsed = list(csv.reader(io.StringIO(b"".join(response).decode("utf-8-sig"), newline="")))
        assert tuple(parsed[0]) == columns
        assert {len(row) for row in parsed} == {len(columns)}
        cells = [cell for row in parsed[1:] for cell in row]
        assert not [cell for cell in cells if cell[:1] in tuple("=+-@\t\r")]
        seen |= {restored(cell) for cell in cells}
    assert {TRAP, "+Range", "@214", "-FH-1", "\t=1+1"} <= seen


def test_i8_no_sheet_of_the_workbook_holds_a_formula(trapped, auditor, signed_in):
    made = b"".join(signed_in(auditor).get(reverse("reports:year_book"), {"from": "2026"}))
    book = openpyxl.load_workbook(io.BytesIO(made))
    assert book.sheetnames == [name for name, _columns, _rows in TABLES]
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert kinds <= {"s", "n"}
    values = {cell.value for sheet in book for row in sheet.iter_rows() for cell in row}
    assert {f"'{TRAP}", "'-FH-1"} <= values


def test_the_archive_holds_every_table_and_reading(site, auditor, make_hood, technician, programme_manager, signed_in):
    version = surveying.make_version(site, programme_manager)
    hood = make_hood(tag="FH-0142")
    surveying.assign(hood, version, programme_manager)
    surveying.survey(hood, surveying.entered(surveying.make_instrument(site, programme_manager)), technician)
    made = b"".join(signed_in(auditor).get(reverse("reports:year_archive")))
    with zipfile.ZipFile(io.BytesIO(made)) as kept:
        assert kept.namelist() == [f"Skua Institute 2026 {name}.csv" for name in NAMES]
        text = kept.read("Skua Institute 2026 readings.csv").decode("utf-8-sig")
    found = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["reading"] for row in found] == [value for line in surveying.GOOD for value in line]
    assert {(row["hood"], row["unit"], row["done_on"]) for row in found} == {("FH-0142", "ft/min", "2026-03-12")}


def test_what_is_no_table_is_not_found(auditor, signed_in):
    assert signed_in(auditor).get(reverse("reports:year_table"), {"table": "people"}).status_code == 404
    assert signed_in(auditor).get(reverse("reports:year_table")).status_code == 404
