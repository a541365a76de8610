"""I8: what is written into a file is read back as the text that it was, and nothing carries it out."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import UTC, date, datetime
from typing import Any

import openpyxl
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from reports.core.yearly_tables import Table
from reports.files import cells, comma
from reports.files.cells import BEGINNINGS, drawn, neutral, restored, written
from reports.files.workbook import workbook

AT = datetime(2026, 11, 25, 14, 3, 20, tzinfo=UTC)
FORMULAS = [
    "=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "\r=1+1", "\n=1+1", '=HYPERLINK("x")', "=cmd|' /C calc'!A0", "＝1+1",
    "-", "=", "--1", "-1.", "+5", "'=1",
]  # fmt: skip
PLAIN = ["", "98", "-5", "-5.50", "0.50", "North Range", "a=b", "a,b;c", 'he said "no"', "two\nlines", "µ ½ ≥", "1e5"]


@pytest.mark.parametrize("text", FORMULAS)
def test_i8_what_begins_like_a_formula_is_marked(text: str):
    assert neutral(text) == f"'{text}"
    assert not neutral(text).startswith(BEGINNINGS)
    assert restored(neutral(text)) == text


@pytest.mark.parametrize("text", PLAIN)
def test_i8_what_is_none_stays_as_it_is(text: str):
    assert neutral(text) == restored(neutral(text)) == text


texts = st.text(max_size=40) | st.sampled_from([*FORMULAS, *PLAIN])


@given(texts)
def test_i8_every_text_is_found_again(text: str):
    assert restored(neutral(text)) == text


def as_csv(rows: list[tuple[Any, ...]]) -> bytes:
    return b"".join(comma.lines(("one", "two", "three"), rows))


def from_csv(made: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(made.decode("utf-8-sig"), newline="")))


@given(st.lists(st.tuples(texts, texts, texts), max_size=5))
@example([("=1+1", "a\r\nb", "\x00")])
def test_i8_a_csv_file_is_read_back_as_it_was(rows):
    found = from_csv(as_csv(rows))
    assert found[0] == ["one", "two", "three"]
    assert [tuple(restored(cell) for cell in row) for row in found[1:]] == rows


def test_a_csv_file_has_a_mark_quotes_and_days_as_iso_writes_them():
    made = as_csv([(date(2026, 3, 12), None, 5), (AT, "x", -3)])
    assert made.startswith(b"\xef\xbb\xbf")
    assert made.decode("utf-8-sig").splitlines() == [
        '"one","two","three"', '"2026-03-12","","5"', '"2026-11-25T14:03:20+00:00","x","-3"',
    ]  # fmt: skip


def as_book(rows: list[tuple[Any, ...]]) -> Any:
    file = io.BytesIO()
    workbook(file, [Table("hoods", ("one", "two", "three"), rows)], "Skua Institute 2026", AT)
    return openpyxl.load_workbook(io.BytesIO(file.getvalue()))


def test_i8_no_cell_of_a_workbook_is_a_formula():
    book = as_book([(text, text, text) for text in [*FORMULAS, *PLAIN]])
    cells_ = [cell for row in book["hoods"].iter_rows(min_row=2) for cell in row]
    assert {cell.data_type for cell in cells_ if cell.value is not None} == {"s"}
    found = [restored(row[0].value or "") for row in book["hoods"].iter_rows(min_row=2)]
    # a carriage return is read back as a line's end, as the format of the file has it
    assert [text.replace("\r", "\n") for text in found] == [text.replace("\r", "\n") for text in [*FORMULAS, *PLAIN]]


def test_i8_control_without_the_guards_a_workbook_keeps_a_formula(monkeypatch):
    """The same rows as openpyxl would write them by itself: the first one would be carried out."""
    made = openpyxl.Workbook(write_only=True)
    sheet = made.create_sheet("hoods")
    sheet.append(["=1+1", "x"])
    file = io.BytesIO()
    made.save(file)
    found = openpyxl.load_workbook(io.BytesIO(file.getvalue()))["hoods"]["A1"]
    assert found.data_type == "f"


def test_i8_control_without_the_mark_a_csv_file_begins_a_cell_with_a_formula(monkeypatch):
    monkeypatch.setattr(comma, "neutral", lambda text: text)
    assert from_csv(as_csv([("=1+1", "", "")]))[1][0].startswith("=")


def test_a_workbook_holds_counts_as_numbers_and_what_was_measured_as_text():
    sheet = as_book([(98, "98.50", date(2026, 3, 12))])["hoods"]
    assert [(cell.value, cell.data_type) for cell in sheet[2]] == [(98, "n"), ("98.50", "s"), ("2026-03-12", "s")]
    assert sheet.freeze_panes == "A2"


def test_a_workbook_names_characters_that_it_cannot_hold():
    assert drawn("a\x07b") == "a[U+0007]b"
    assert as_book([("a\x07b", "\x00=1", "tab\there")])["hoods"]["A2"].value == "a[U+0007]b"


def test_an_archive_holds_each_table_and_is_the_same_twice():
    def made() -> bytes:
        file = io.BytesIO()
        tables = [Table("hoods", ("one",), [("=1",)]), Table("years", ("one",), iter([("x",)]))]
        comma.archive(file, tables, AT, "Skua Institute 2026")
        return file.getvalue()

    with zipfile.ZipFile(io.BytesIO(made())) as kept:
        assert kept.testzip() is None
        assert kept.namelist() == ["Skua Institute 2026 hoods.csv", "Skua Institute 2026 years.csv"]
        assert from_csv(kept.read("Skua Institute 2026 hoods.csv")) == [["one"], ["'=1"]]
    assert made() == made()


def test_what_a_value_is_written_as():
    assert [written(one) for one in (None, 0, "x", date(2026, 1, 2), AT)] == [
        "", "0", "x", "2026-01-02", "2026-11-25T14:03:20+00:00",
    ]  # fmt: skip
    assert cells.MARK == "'"
