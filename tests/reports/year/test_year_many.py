"""The year of many hoods: a hundred rows of each table on the page, how many there are, and where all of them stand."""

from __future__ import annotations

import re
from datetime import date

import pytest

from tests.reports.year.loading import PAGE
from tests.surveys import rows
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
MANY = 102


@pytest.fixture
def failed(ready, version, technician):
    """Hoods that failed in the year, and of which each was surveyed a second time."""
    hoods = [ready(tag=f"MH-{number:03}") for number in range(1, MANY + 1)]
    for hood in hoods:
        rows.survey(hood, version, technician, date(2026, 3, 12), "fail")
    return hoods


def part(response, name: str) -> str:
    return response.content.decode().split(f'id="{name}"', 1)[1].split("</section>", 1)[0]


def test_one_line_a_hood_comes_a_hundred_on_a_page_and_failures_name_the_print(signed_in, auditor, failed):
    client = signed_in(auditor)
    first, second = client.get(PAGE, {"from": "2026"}), client.get(PAGE, {"from": "2026", "page": "2"})
    assert [len(set(re.findall(r"MH-\d{3}", part(page, "h-hoods")))) for page in (first, second)] == [100, 2]
    assert "Page 1 of 2: hoods 1 to 100 of 102" in said(first)
    assert 'href="?from=2026-01&amp;page=2"' in first.content.decode(), "the year is kept"
    assert len(set(re.findall(r"MH-\d{3}", part(first, "h-fail")))) == 100
    assert "The first 100 of 102. All of them in the print (PDF)" in said(first)
    assert 'href="/year/report.pdf?from=2026-01">All of them' in first.content.decode()
    assert "Page 2 of 2" in said(client.get(PAGE, {"from": "2026", "page": "7"})), "past the end: the last page"
    assert "Page 1 of 2" in said(client.get(PAGE, {"from": "2026", "page": "x"})), "no number: the first"
