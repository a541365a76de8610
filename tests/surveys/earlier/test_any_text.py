"""E25: whatever stands in a list, it is kept as it was written or refused in a sentence, and shown as words."""

from __future__ import annotations

import csv
import io

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from hoods import inventory_file
from hoods.forms import inventory_list as of_hoods
from surveys.forms import earlier as of_results
from surveys.models import EarlierResult
from tests.hoods.listed import NEW
from tests.pages import changed, everything
from tests.surveys.earlier.listed import ROW, of, problems, send
from tests.surveys.earlier.listed import csv as listed
from tests.surveys.earlier.listed import keep as keep_results

WILD = "<script>alert(1)</script> مرحبا 🧪 =1+1"
WORDS = ("restriction", "measured by", "judged by", "record", "notes")
OF_HOODS = ("position", "maker", "model", "serial", "uses forbidden", "room name", "department")
LISTS = [
    *((of_results.check, ROW, column, lambda said, name: getattr(said, name)) for column in WORDS),
    *((of_hoods.check, NEW, column, lambda said, name: said.hood.get(name, said.of_room.get(name, said.place.get(name))))
      for column in OF_HOODS),
]  # fmt: skip
FIELDS = {"record": "reference", "room name": "name"}


def as_file(row: dict[str, str]) -> bytes:
    """As a spreadsheet writes it: every cell quoted, quotes doubled."""
    file = io.StringIO(newline="")
    writer = csv.writer(file, quoting=csv.QUOTE_ALL)
    writer.writerows([row, row.values()])
    return file.getvalue().encode("utf-8", "surrogatepass")


@pytest.mark.parametrize(
    ("check", "row", "column", "kept"), LISTS, ids=[f"{one[0].__module__} {one[2]}" for one in LISTS]
)
@given(
    text=st.text(min_size=1, max_size=60)
    | st.sampled_from(["a\x00b", "x" * 20_000, "'=1+1", "1E5", " a ", "\u202eback", WILD])
)
def test_e25_any_text_is_kept_as_it_was_written_or_refused(check, row, column, kept, text):
    try:
        checked = check(inventory_file.read(as_file(row | {column: text})))
    except inventory_file.Unreadable:
        return
    if checked.problems:
        assert all(str(problem.said) for problem in checked.problems)
        return
    (said,) = checked.said
    found = kept(said, FIELDS.get(column, column.replace(" ", "_"))) or ""
    plain = text[1:] if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@", "\t", "\r") else text
    assert found.split() == plain.split()


@pytest.mark.django_db
def test_e25_what_looks_like_a_page_is_shown_as_words(manager: Client, hood):
    row = of(result="restrict", **dict.fromkeys(WORDS, WILD))
    shown = send(manager, listed(row))
    kept = keep_results(manager, listed(row))
    result = EarlierResult.objects.get()
    assert [getattr(result, FIELDS.get(name, name.replace(" ", "_"))) for name in WORDS] == [WILD] * 5
    said = [page.content.decode() for page in (shown, kept, manager.get(f"/hoods/{hood.pk}/"))]
    assert not any("<script>alert" in page for page in said)
    assert ["&lt;script&gt;alert(1)&lt;/script&gt; مرحبا 🧪" in page for page in said] == [True] * 3, "and it is shown"


@pytest.mark.django_db
@pytest.mark.parametrize(("text", "place"), [("a\x00b", (0, "")), ("a\x07b", (2, "notes")), ("x" * 1001, (2, "notes"))])
def test_e25_what_cannot_be_kept_is_refused_where_it_stands(manager: Client, hood, text: str, place: tuple[int, str]):
    before = everything()
    found = problems(send(manager, listed(of(notes=text))))
    assert [(row, column) for row, column, _said in found] == [place]
    assert changed(before, everything()) == []
    keep_results(manager, listed(of(notes="x" * 1000)))
    assert EarlierResult.objects.get().notes == "x" * 1000, "the control"
