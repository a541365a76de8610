"""Files of earlier results: read as they say, or refused."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date

import pytest
from openpyxl import Workbook

from surveys.models import EarlierResult
from tests.surveys.earlier.listed import ROW, csv, keep, of, send
from tests.surveys.words import said

# --- files of every trouble: the reader is the one of lists of hoods, and these go through it ------------------------------


def encoded(how: str) -> bytes:
    return csv(of(**{"measured by": "Åsa Lind"})).decode().encode(how)


FILES = [
    ("a byte order mark", lambda: b"\xef\xbb\xbf" + encoded("utf-8"), ""),
    ("UTF-16", lambda: encoded("utf-16"), ""),
    ("semicolons", lambda: csv(ROW, separator=";"), ""),
    ("CR alone", lambda: csv(ROW).replace(b"\r\n", b"\r"), ""),
    ("an older alphabet", lambda: encoded("latin-1"), "letters of an older alphabet"),
    ("nothing", lambda: b"", "This file is empty"),
    ("no heading", lambda: b"FH-0142,2025-05-09,pass\r\n", "no heading of such a list"),
    ("too many cells", lambda: b"tag,measured on,result\r\nFH-0142,2025-05-09,pass,0,5 m/s\r\n", "This row has 5 cells"),
]  # fmt: skip


@pytest.mark.usefixtures("hood")
@pytest.mark.parametrize(("data", "why"), [one[1:] for one in FILES], ids=[one[0] for one in FILES])
def test_i3_a_file_is_read_as_it_says_or_refused(manager, data: Callable[[], bytes], why: str):
    answer = send(manager, data())
    if why:
        assert answer.status_code == 422
        assert why in said(answer)
    else:
        assert (answer.status_code, len(answer.context["plan"].added)) == (200, 1)


def book(change: Callable[[Workbook], None] = lambda made: None, title: str = "results") -> bytes:
    made = Workbook()
    made.active.title = title
    made.active.append(["tag", "measured on", "result", "notes"])
    made.active.append(["FH-0142", date(2025, 5, 9), "pass", "as it was"])
    change(made)
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def merged(made: Workbook) -> None:
    made.active.merge_cells("C2:D2")


def formula(made: Workbook) -> None:
    made.active["D2"] = "=1+1"


def number(made: Workbook) -> None:
    made.active["D2"] = 1.5


def rows_below(made: Workbook) -> None:
    made.active["A20000"] = "FH-0142"


def other_sheet(made: Workbook) -> None:
    made.create_sheet("columns").append(["tag", "what it is"])


BOOKS = [
    ("a day as a day", lambda made: None, ""),
    ("a second sheet, as the template has it", other_sheet, ""),
    ("merged cells", merged, "merged cells"),
    ("a formula", formula, "This cell holds a formula"),
    ("a number where text belongs", number, "The spreadsheet made a number of this"),
    ("rows far below", rows_below, "goes on below row 10000"),
]  # fmt: skip


@pytest.mark.usefixtures("hood")
@pytest.mark.parametrize(("change", "why"), [one[1:] for one in BOOKS], ids=[one[0] for one in BOOKS])
def test_i3_i7_a_workbook_is_read_as_it_says_or_refused(manager, change, why):
    answer = send(manager, book(change), "old results.xlsx")
    if why:
        assert (answer.status_code, why in said(answer)) == (422, True), said(answer)
    else:
        assert answer.context["plan"].added[0].said.measured_on == date(2025, 5, 9)


@pytest.mark.usefixtures("hood")
def test_i7_a_million_empty_rows_are_refused(manager):
    data = b"tag,measured on,result\r\nFH-0142,2025-05-09,pass\r\n" + b",,\r\n" * 1_000_000
    answer = send(manager, data)
    assert (answer.status_code, "goes on below row 10000" in said(answer)) == (422, True)


def test_i4_codes_that_look_like_numbers_stay_text(manager, make_hood):
    for tag in ("1E5", "007", "MAR1"):
        make_hood(tag=tag)
    keep(manager, csv(*(of(tag=tag, record="0042") for tag in ("1E5", "007", "MAR1"))))
    assert sorted(EarlierResult.objects.values_list("hood__tag", "reference")) == [
        ("007", "0042"), ("1E5", "0042"), ("MAR1", "0042"),
    ]  # fmt: skip
