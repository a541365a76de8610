"""Every trouble of a file that somebody brings: page and command say the same, by row and column, and keep nothing."""

from __future__ import annotations

from io import StringIO
from itertools import pairwise

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from hoods import inventory_file
from hoods.forms.inventory_columns import MOST_OPENINGS, columns
from hoods.models import Hood
from surveys.models import EarlierResult
from tests import pages
from tests.hoods.listed import NEW, book, comma, problems, rows, send, shown
from tests.surveys.earlier import listed as results

pytestmark = pytest.mark.django_db

OPENINGS = ("name", "use", "width", "height")
NO_OPENING = {name: text for name, text in NEW.items() if not name.startswith("opening")}
MANY = {f"opening {number} {name}": f"{number} in" for number in range(1, 32) for name in OPENINGS}
PLAIN = NEW | {"uses forbidden": "never"}

TROUBLES = {
    # a file, and the row, the column and words of what is said
    "i3 a decimal comma": (
        comma(PLAIN | {"opening 1 height": "0,457 m"}, separator=";"), 2, "opening 1 height", "at most one point",
    ),
    "i3 a decimal comma that parts a cell": (comma(PLAIN).replace(b"457 mm", b"0,457 m"), 2, "", "has 37 cells and the heading 36"),
    "i3 an older alphabet": (comma(PLAIN | {"maker": "Ågren"}).decode().encode("latin-1"), 2, "", "save it as ‘CSV UTF-8’"),
    "i3 headings twice": (comma(PLAIN).replace(b",maker,", b",Room_Name,"), 1, "Room_Name", "there twice"),
    "i3 a heading alone": (comma(PLAIN).partition(b"\r\n")[0], 0, "", "write one for each hood"),
    "i3 no heading": (comma(PLAIN).partition(b"\r\n")[2], 0, "", "it names the columns, ‘tag’ among them"),
    "i3 31 openings": (comma(NO_OPENING | MANY), 1, "opening 16 name", "at most 15 openings of a hood: take out those of higher numbers"),
    "i2 one tag in two rows": (comma(PLAIN, PLAIN), 3, "tag", "Row 2 has this tag already"),
    "i2 one tag in two rows, small": (comma(PLAIN, PLAIN | {"tag": "fh-0007"}), 3, "tag", "Row 2 has this tag already"),
    "i4 small letters": (comma(PLAIN | {"tag": "fh-0142"}), 2, "tag", "looks like FH-0142"),
    "i4 letters of another alphabet": (comma(PLAIN | {"tag": "FН-0142"}), 2, "tag", "looks like FH-0142"),
    "i4 a dash for a hyphen": (comma(PLAIN | {"tag": "FH–0142"}), 2, "tag", "looks like FH-0142"),
    "i6 31 February": (comma(PLAIN | {"installed on": "2021-02-31"}), 2, "installed on", "year, month and day, such as"),
    "i6 a day to come": (comma(PLAIN | {"installed on": "2140-01-01"}), 2, "installed on", "still to come"),
    "i7 a formula in a workbook": (book(PLAIN | {"maker": "=A1"}), 2, "maker", "copy it and paste its value"),
}  # fmt: skip


def told_by_command(data: bytes, folder) -> str:
    file = folder / "hoods.csv"
    file.write_bytes(data)
    with pytest.raises(CommandError) as refused:
        call_command("import_hoods", str(file), stdout=StringIO())
    return str(refused.value)


@pytest.mark.parametrize("trouble", TROUBLES)
def test_a_trouble_is_said_on_the_page_and_by_the_command_with_its_row_and_column(
    manager, hood, programme_manager, tmp_path, trouble
):
    data, row, column, words = TROUBLES[trouble]
    before = rows()
    ((number, where, said),) = problems(send(manager, data))
    assert (number, where) == (row, column)
    assert words in said
    told = told_by_command(data, tmp_path)
    assert said in told
    assert not row or f"row {row}" in told
    assert f"{column}: " in told
    assert "Nothing is kept" in told
    assert pages.changed(before, rows()) == []


READ = {
    "i3 a byte order mark": b"\xef\xbb\xbf" + comma(PLAIN),
    "i3 UTF-16": comma(PLAIN).decode().encode("utf-16"),
    "i3 semicolons": comma(PLAIN, separator=";"),
    "i3 tabs": comma(PLAIN, separator="\t"),
    "i3 lines of an old machine": comma(PLAIN, end="\r"),
    "i3 empty rows below": comma(PLAIN) + b",,,\r\n" * 50,
    "i7 a workbook": book(PLAIN),
}


@pytest.mark.parametrize("name", READ)
def test_a_file_without_trouble_says_the_same_however_it_is_written(manager, site, name):
    """The control: the same row, read right from each of these."""
    page, address = shown(manager, READ[name])
    manager.post(address, {"seen": page.context["plan"].digest})
    again, _address = shown(manager, comma(PLAIN))
    assert again.context["plan"].left == 1
    assert Hood.objects.get().openings.count() == 2


def test_page_and_command_name_every_problem_at_once_in_the_order_of_the_rows(
    manager, hood, programme_manager, tmp_path
):
    """What a cell says wrongly, and what the site does not let be: not one after the other was put right."""
    data = comma(
        PLAIN | {"tag": "fh-0142"},
        PLAIN | {"tag": "FH-1", "kind": "canopi"},
        PLAIN | {"tag": "FH-2", "building": "north range"},
    )
    found = problems(send(manager, data))
    assert [each[:2] for each in found] == [(2, "tag"), (3, "kind"), (4, "building")]
    told = told_by_command(data, tmp_path)
    places = [told.index(f"row {row}, {column}: {said}") for row, column, said in found]
    assert all(one < other for one, other in pairwise(places))


def test_a_list_has_as_many_openings_as_its_columns_allow():
    assert len(columns(MOST_OPENINGS)) <= inventory_file.MOST_COLUMNS < len(columns(MOST_OPENINGS + 1))


def test_i4_a_hood_with_as_many_openings_as_a_list_has_goes_out_and_comes_in(manager, site):
    most = {f"opening {number} {name}": said for number in range(1, MOST_OPENINGS + 1) for name, said in (
        ("name", f"place {number}"), ("use", "other" if number > 1 else "working"), ("width", "62 in"), ("height", f"{number + 2} in"),
    )}  # fmt: skip
    page, address = shown(manager, comma(NO_OPENING | most))
    manager.post(address, {"seen": page.context["plan"].digest})
    assert Hood.objects.get().openings.count() == MOST_OPENINGS
    for view in ("inventory", "inventory_book"):
        again, _address = shown(manager, pages.body(manager.get(reverse(f"reports:{view}"))), view)
        assert again.context["said"] == "This list changes nothing: its one hood is kept as it says."


# --- a list of earlier results: the same reader ------------------------------------------------------------------------

OF_RESULTS = {
    "i3 a decimal comma": (results.of(average="0,5 m/s"), 2, "opening 1 average", "at most one point"),
    "i4 letters of another alphabet": (results.of(tag="FН-0142"), 2, "tag", "looks like FH-0142"),
    "i6 31 February": (results.of(**{"measured on": "2025-02-31"}), 2, "measured on", "year, month and day"),
    "i6 a day to come": (results.of(**{"measured on": "2140-01-01"}), 2, "measured on", "still to come"),
}  # fmt: skip


@pytest.mark.parametrize("trouble", OF_RESULTS)
def test_i12_a_trouble_of_earlier_results_is_said_with_its_row_and_column(manager, hood, trouble):
    row, number, column, words = OF_RESULTS[trouble]
    refused = results.send(manager, results.csv(row))
    ((at, where, said),) = results.problems(refused)
    assert (refused.status_code, at, where) == (422, number, column)
    assert words in said
    assert not EarlierResult.objects.exists()
    results.keep(manager, results.csv(results.ROW))
    assert EarlierResult.objects.count() == 1, "the control"
