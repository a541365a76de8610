"""Certificates by search: by hood, room, serial number, who answers for the room, who surveyed, and year."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import making
from tests.surveys import rows
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def surveyed(make_hood, in_force, technician, other_room):
    """FH-0142 surveyed in two years, FH-0190 in another room once, and failed."""
    other_room.responsible = "Owen Castellan"
    other_room.save()
    hood, other = make_hood(tag="FH-0142", serial="4001-B"), make_hood(tag="FH-0190", room=other_room)
    rows.survey(hood, in_force, technician, date(2025, 3, 1))
    rows.survey(hood, in_force, technician, date(2026, 3, 12))
    rows.survey(other, in_force, technician, date(2026, 3, 13), "fail", average="41")
    return hood, other


def found(response) -> list[tuple[str, str]]:
    """Tag and day of each row."""
    body = response.content.decode().partition("<tbody")[2]
    return re.findall(r'<span class="tag">(FH-\d+)</span></a>.*?<time datetime="([\d-]+)">', body)


@pytest.mark.parametrize(
    ("asked", "days"),
    [
        ("", ["2026-03-13", "2026-03-12", "2025-03-01"]),
        ("q=FH-0142", ["2026-03-12", "2025-03-01"]),
        ("q=4001-b", ["2026-03-12", "2025-03-01"]),
        ("q=castellan", ["2026-03-13"]),
        ("q=okafor", ["2026-03-13", "2026-03-12", "2025-03-01"]),
        ("q=118", ["2026-03-13"]),
        ("year=2025", ["2025-03-01"]),
        ("q=FH-0142&year=2026", ["2026-03-12"]),
        ("q=nobody", []),
        ("q=%00", []),
    ],
)
def test_signed_surveys_are_found(signed_in, auditor, surveyed, asked, days):
    page = signed_in(auditor).get(f"/certificates/?{asked}")
    assert [day for _tag, day in found(page)] == days
    assert first_line(page).startswith(f"{len(days)} signed survey" if days else "No signed survey that you may see")


def test_each_comes_with_its_paper_by_its_right_name(signed_in, auditor, surveyed):
    page = signed_in(auditor).get("/certificates/")
    hood, other = surveyed
    for survey, name in ((hood.surveys.first(), "Certificate (PDF)"), (other.surveys.get(), "Report (PDF)")):
        assert re.search(rf'href="/surveys/{survey.pk}/certificate.pdf">{re.escape(name)}', page.content.decode())


def test_p9_a_year_that_is_none_is_no_success(signed_in, auditor, surveyed):
    for asked in ("20x", "99999", "0", "２０２６"):
        page = signed_in(auditor).get("/certificates/", {"year": asked})
        assert page.status_code == 422
        assert f"“{asked}” is not a year. Write its four digits, such as 2026." in said(page)
        assert first_line(page) == "Nothing was looked for: put the year right."
        assert found(page) == []


def test_a8_a_lab_manager_finds_those_of_own_rooms_alone_in_counts_too(signed_in, lab_manager, surveyed):
    client = signed_in(lab_manager)
    assert first_line(client.get("/certificates/")) == "2 signed surveys, each with its certificate or report."
    for asked in ("FH-0190", "castellan", surveyed[1].code, "118"):
        page = client.get("/certificates/", {"q": asked})
        assert found(page) == []
        assert first_line(page) == "No signed survey that you may see is found."


def test_a2_those_of_another_site_are_not_found(signed_in, auditor, make_hood, in_force, technician):
    far = making.make_room(making.make_building(making.make_site("Far Institute"), "Shore House"))
    rows.survey(make_hood(tag="FH-0777", room=far), in_force, technician, date(2026, 3, 12))
    assert found(signed_in(auditor).get("/certificates/")) == []


@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_the_same_queries_for_any_number(signed_in, auditor, make_hood, in_force, technician, number):
    for _ in range(number):
        rows.survey(make_hood(), in_force, technician, date(2026, 3, 12))
    client = signed_in(auditor)
    client.get("/certificates/")
    with CaptureQueriesContext(connection) as asked:
        assert client.get("/certificates/?q=FH").status_code == 200
    assert len(asked) == 8, [query["sql"][:90] for query in asked]


def test_f1_a_later_page_goes_on_where_the_one_before_it_ends(signed_in, auditor, make_hood, in_force, technician):
    hood = make_hood()
    days = [date(2025, 1, 1) + timedelta(days=number) for number in range(103)]
    for day in days:
        rows.survey(hood, in_force, technician, day)
    client = signed_in(auditor)
    first, second = (client.get(f"/certificates/?page={number}") for number in (1, 2))
    told = [[survey.done_on for survey, _place in page.context["page"].object_list] for page in (first, second)]
    assert told == [days[:2:-1], days[2::-1]]
    assert [page.context["page"].paginator.count for page in (first, second)] == [103, 103]
