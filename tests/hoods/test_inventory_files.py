"""Files of every trouble: read right, or refused in a sentence, quickly and in little memory; never guessed."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook

from hoods import inventory_book, inventory_file
from hoods.core.table import Unreadable
from hoods.wording import UNREADABLE, why_unreadable

ROOT = Path(__file__).resolve().parents[2]
PLAIN = "tag,maker,position\r\nFH-1,Alder,left\r\n"
ÅRE = "tag,maker\r\nFH-1,Åre\r\n"


def code_of(data: bytes) -> str:
    with pytest.raises(Unreadable) as refused:
        inventory_file.read(data)
    assert why_unreadable(refused.value), "every code has its sentence"
    return refused.value.code


def cells(data: bytes) -> list[list[str]]:
    table = inventory_file.read(data)
    return [list(table.headings), *([cell.text for cell in row.cells] for row in table.rows)]


# --- CSV ----------------------------------------------------------------------------------------------------------------

READ = {
    "a byte order mark": (b"\xef\xbb\xbf" + ÅRE.encode(), [["tag", "maker"], ["FH-1", "Åre"]]),
    "UTF-16, little end first": (ÅRE.encode("utf-16"), [["tag", "maker"], ["FH-1", "Åre"]]),
    "UTF-16, big end first": (b"\xfe\xff" + ÅRE.encode("utf-16-be"), [["tag", "maker"], ["FH-1", "Åre"]]),
    "semicolons, and a decimal comma kept as it is": (b"tag;interior width\r\nFH-1;0,5 m\r\n",
                                                      [["tag", "interior width"], ["FH-1", "0,5 m"]]),
    "tabs": (b"tag\tmaker\r\nFH-1\tAlder, sons; co\r\n", [["tag", "maker"], ["FH-1", "Alder, sons; co"]]),
    "quotes": (b'tag,maker\r\nFH-1,"Alder, ""the"" maker\r\nsecond line"\r\n',
               [["tag", "maker"], ["FH-1", 'Alder, "the" maker\r\nsecond line']]),
    "CR alone": (b"tag,maker\rFH-1,Alder\r", [["tag", "maker"], ["FH-1", "Alder"]]),
    "LF alone": (b"tag,maker\nFH-1,Alder\n", [["tag", "maker"], ["FH-1", "Alder"]]),
    "headings otherwise written": (b"Tag,Interior_Width\r\nFH-1,18 in\r\n", [["Tag", "Interior_Width"], ["FH-1", "18 in"]]),
    "what looks like a number or a month": (b"tag,serial\r\n1E5,007\r\nMAR1,1.50\r\n",
                                            [["tag", "serial"], ["1E5", "007"], ["MAR1", "1.50"]]),
    "empty cells and lines at the end": (b"tag,maker,\r\nFH-1,Alder,,,\r\n,,\r\n\r\n", [["tag", "maker"], ["FH-1", "Alder"]]),
}  # fmt: skip


@pytest.mark.parametrize("name", READ)
def test_i3_i4_a_file_is_read_as_it_says(name):
    data, expected = READ[name]
    assert cells(data) == expected


REFUSED = {
    "Latin-1": (ÅRE.encode("latin-1"), "encoding"),
    "UTF-16 without a mark": (PLAIN.encode("utf-16-le"), "unmarked"),
    "UTF-16 without a mark, big end first": (PLAIN.encode("utf-16-be"), "unmarked"),
    "half a UTF-16 character": (ÅRE.encode("utf-16")[:-1], "encoding"),
    "a NUL": (b"tag,maker\r\nFH-1,a\x00b\r\n", "no-text"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01", "no-text"),
    "a quote that is never closed": (b'tag,maker\r\nFH-1,"Alder\r\nFH-2,b\r\n', "quotes"),
    "a quote within a cell": (b'tag,maker\r\nFH-1,"Al"der\r\n', "quotes"),
    "a decimal comma between commas": (b"tag,interior width\r\nFH-1,0,5 m\r\n", "too-many-cells"),
    "no heading": (b"FH-1,Alder\r\n", "no-heading"),
    "a line that names what parts the cells": (b"sep=;\r\ntag;maker\r\nFH-1;Alder\r\n", "told"),
    "such a line in quotes, after a mark": (b'\xef\xbb\xbf"SEP=,"\r\ntag,maker\r\nFH-1,Alder\r\n', "told"),
    "one column, whatever parts it": (b"tag|maker\r\nFH-1|Alder\r\n", "no-heading"),
    "nothing": (b"", "empty"),
    "blanks": (b"\r\n \r\n", "empty"),
    "a heading alone": (b"tag,maker\r\n", "no-rows"),
    "a page of the web": (b"<html><table><tr><td>tag</td></tr></table></html>", "no-heading"),
    "a workbook of an older kind": (inventory_book.OLD + b"\xa1\xb1\x1a\xe1" + b"\0" * 600, "old-workbook"),
    "more columns than any list": (b"tag," + b"x," * 300 + b"y\r\n", "too-many-columns"),
    "a very long cell": (b"tag,maker\r\nFH-1," + b"x" * 20_000 + b"\r\n", "long-cell"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_i3_a_file_that_cannot_be_read_is_refused_not_guessed(name):
    data, code = REFUSED[name]
    assert code_of(data) == code
    assert cells(PLAIN.encode()) == [["tag", "maker", "position"], ["FH-1", "Alder", "left"]], "the control"


def test_the_row_of_a_fault_is_named():
    with pytest.raises(Unreadable) as refused:
        inventory_file.read(b'tag,maker\r\nFH-1,a\r\nFH-2,"b"c\r\n')
    assert refused.value.row == 3


# --- workbooks ----------------------------------------------------------------------------------------------------------


def book(*, title: str = "hoods", more: Callable[[Workbook], None] = lambda made: None) -> bytes:
    made = Workbook()
    sheet = made.active
    sheet.title = title
    sheet.append(["tag", "maker"])
    sheet.append(["FH-1", "Alder"])
    more(made)
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def again(data: bytes, parts: dict[str, bytes]) -> bytes:
    """A workbook with parts added, or put in the place of its own."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            if name not in parts:
                new.writestr(name, old.read(name))
        for name, content in parts.items():
            new.writestr(name, content)
    return file.getvalue()


SHEET = "xl/worksheets/sheet1.xml"
OPEN = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
CLOSE = b"</sheetData></worksheet>"
HEAD = (
    b'<row r="1"><c r="A1" t="inlineStr"><is><t>tag</t></is></c><c r="B1" t="inlineStr"><is><t>maker</t></is></c></row>'
)
XXE = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
BILLION = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'


def with_words(words: bytes, rows: bytes = b"") -> bytes:
    """A workbook that keeps its texts in one part, as spreadsheet programs write them."""
    with zipfile.ZipFile(io.BytesIO(book())) as made:
        types = made.read("[Content_Types].xml")
    part = b'<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>'
    main = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return again(book(), {
        "[Content_Types].xml": types.replace(b"</Types>", part + b"</Types>"),
        "xl/sharedStrings.xml": b'<sst xmlns="' + main + b'">' + words + b"</sst>", SHEET: OPEN + rows + CLOSE,
    })  # fmt: skip


def empty_rows(number: int) -> bytes:
    return OPEN + HEAD + b"<row/>" * number + CLOSE


def far_row() -> bytes:
    return OPEN + HEAD + b'<row r="1048576"><c r="A1048576" t="inlineStr"><is><t>FH-1</t></is></c></row>' + CLOSE


TROUBLES: dict[str, tuple[Callable[[], bytes], str]] = {
    "merged cells": (lambda: book(more=lambda made: made.active.merge_cells("A2:B2")), "merged"),
    "a hidden row": (lambda: book(more=lambda made: setattr(made.active.row_dimensions[2], "hidden", True)), "hidden"),
    "two sheets of unlike names": (lambda: book(title="x", more=lambda made: made.create_sheet("y")), "which-sheet"),
    "a link to another workbook": (lambda: again(book(), {"xl/externalLinks/externalLink1.xml": b"<x/>"}), "links"),
    "an entity that is a file": (lambda: again(book(), {SHEET: XXE + OPEN + HEAD + CLOSE}), "definitions"),
    "entities of entities": (lambda: again(book(), {"xl/sharedStrings.xml": BILLION + b"<sst/>"}), "definitions"),
    "an entity in UTF-16": (
        lambda: again(book(), {SHEET: (XXE + OPEN + HEAD + CLOSE).decode().encode("utf-16")}), "not-a-workbook",
    ),
    "a million empty rows": (lambda: again(book(), {SHEET: empty_rows(1_000_000)}), "too-many-rows"),
    "a last row far below": (lambda: again(book(), {SHEET: far_row()}), "too-many-rows"),
    "a part that unpacks to 200 MB": (
        lambda: again(book(), {SHEET: OPEN + HEAD + b" " * 200_000_000 + CLOSE}), "unpacks-too-large",
    ),
    "five million cells": (
        lambda: again(book(), {SHEET: OPEN + HEAD + b"<row>" + b"<c/>" * 5_000_000 + b"</row>" + CLOSE}),
        "unpacks-too-large",
    ),
    "a million words": (
        lambda: with_words(b"<si><t>7</t></si>" * 700_000, HEAD),
        "unpacks-too-large",
    ),
    "a thousand parts": (
        lambda: again(book(), {f"xl/media/{number}.xml": b"<x/>" for number in range(1000)}), "unpacks-too-large",
    ),
    "an archive in the archive": (lambda: again(book(), {"xl/embeddings/a.bin": book()}), "nested"),
    "no workbook": (lambda: again(book(), {"xl/workbook.xml": b"<nothing/>"}), "not-a-workbook"),
    "cut off": (lambda: book()[:-200], "not-a-workbook"),
    "a flipped byte": (lambda: flipped(book()), "not-a-workbook"),
    "a million lines of commas": (lambda: b"tag,maker\r\n" + b",\r\n" * 1_000_000, "too-many-rows"),
    "more than 10 MB": (lambda: b"tag,maker\r\n" + b"x" * 11_000_000, "too-large"),
}  # fmt: skip


def flipped(data: bytes) -> bytes:
    at = data.index(b"xl/worksheets/sheet1.xml") + 60
    return data[:at] + bytes([data[at] ^ 0xFF]) + data[at + 1 :]


# What one file costs, in a process of its own: seconds, and bytes of memory beyond what the program itself takes.
MEASURED = """
import json, resource, sys, time
import openpyxl
from hoods import inventory_file
from hoods.core.table import Unreadable
data = open(sys.argv[1], "rb").read()
inventory_file.read(open(sys.argv[2], "rb").read())
pages = int(open("/proc/self/statm").read().split()[0]) * resource.getpagesize()
resource.setrlimit(resource.RLIMIT_AS, (pages + 200_000_000,) * 2)
begun = time.process_time()
try:
    code = f"read {len(inventory_file.read(data).rows)}"
except Unreadable as refusal:
    code = refusal.code
except MemoryError:
    code = "out of memory"
print(json.dumps([code, time.process_time() - begun]))
"""


def measured(data: bytes, folder: Path, program: str = MEASURED) -> tuple[str, float]:
    (folder / "file").write_bytes(data)
    (folder / "plain").write_bytes(book())
    done = subprocess.run(
        [sys.executable, "-c", program, str(folder / "file"), str(folder / "plain")],
        cwd=ROOT, env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    code, seconds = json.loads(done.stdout)
    return code, seconds


@pytest.mark.parametrize("name", TROUBLES)
def test_i7_u10_a_file_made_to_harm_is_refused_within_two_seconds_and_200_mb(name, tmp_path):
    make, expected = TROUBLES[name]
    code, seconds = measured(make(), tmp_path)
    assert code == expected
    assert seconds < 2
    assert code in UNREADABLE


@pytest.mark.long
@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read where Linux says it")
def test_i7_without_the_look_at_its_parts_a_bomb_is_not_refused(tmp_path):
    """The control: the same file, the look at its parts lifted, takes more than it may."""
    lifted = MEASURED.replace("pages = int", "inventory_file.inventory_book._look = lambda data: None\npages = int")
    data = with_words(b"<si><t>7</t></si>" * 700_000, HEAD)
    code, _seconds = measured(data, tmp_path)
    assert code == "unpacks-too-large"
    code, seconds = measured(data, tmp_path, lifted)
    assert code == "out of memory" or seconds > 2
    merged = book(more=lambda made: made.active.merge_cells("A2:B2"))
    assert measured(merged, tmp_path)[0] == "merged"
    assert measured(merged, tmp_path, lifted)[0] == "read 1"


def test_texts_that_are_kept_in_a_part_of_their_own_are_read():
    words = b"".join(b"<si><t>%s</t></si>" % word for word in (b"tag", b"maker", b"007", b"Alder"))
    row = b'<row><c t="s"><v>%d</v></c><c t="s"><v>%d</v></c></row>'
    assert cells(with_words(words, row % (0, 1) + row % (2, 3))) == [["tag", "maker"], ["007", "Alder"]]


def test_a_plain_workbook_is_read_and_the_sheet_of_hoods_among_several():
    assert cells(book()) == [["tag", "maker"], ["FH-1", "Alder"]]
    assert cells(book(more=lambda made: made.create_sheet("columns"))) == [["tag", "maker"], ["FH-1", "Alder"]]


def test_every_sentence_belongs_to_a_trouble_that_is_tried():
    tried = {code for _data, code in REFUSED.values()} | {code for _make, code in TROUBLES.values()}
    assert tried == set(UNREADABLE)


def test_a_line_that_names_what_parts_the_cells_is_named_itself():
    with pytest.raises(Unreadable) as refused:
        inventory_file.read(b"sep=;\r\ntag;maker\r\nFH-1;Alder\r\n")
    assert why_unreadable(refused.value).startswith("The first line, ‘sep=;’, is no heading: delete it.")
    assert refused.value.row == 1
