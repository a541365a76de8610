"""The year with the database: each survey in one year by the site's midnight, the sum of the parts, who sees what of it."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.urls import reverse

from hoods.models import HoodEvent
from reports.core.yearly_tables import NAMES
from reports.queries.yearly import Scope, years_with_surveys
from surveys.models import Assignment, Qualification, Record
from tests import making
from tests.agreement import html_of
from tests.reports.core.test_yearly import parts_are_the_whole
from tests.reports.pdf import reading
from tests.reports.year.loading import NOW, PAGE, loaded
from tests.surveys import rows
from tests.surveys.words import first_line, plain

pytestmark = pytest.mark.django_db


# What it says -------------------------------------------------------------------------------------------------------


def test_the_first_line_says_within_overdue_and_failed(site, auditor, ready, version, technician, signed_in):
    for number in range(3):
        rows.survey(ready(tag=f"FH-{number}"), version, technician, date(2026, 3, 12))
    late = ready(tag="FH-LATE")
    rows.survey(late, version, technician, date(2025, 3, 12))
    failed = ready(tag="FH-FAIL")
    rows.survey(failed, version, technician, date(2026, 5, 1), "fail")
    assert first_line(signed_in(auditor).get(PAGE)) == (
        "3 of 5 hoods in service are surveyed within their interval today (60.0 %). One is overdue. Of 4 routine surveys "
        "one ended in fail as found, one as left."
    )
    assert first_line(signed_in(auditor).get(PAGE, {"from": "2025-01"})) == (
        "1 of 5 hoods in service had been surveyed within their interval on 31 DEC 2025 (20.0 %). None was overdue. Of 1 "
        "routine survey none ended in fail as found, none as left."
    )


def test_an_empty_site_has_a_page(site, auditor, signed_in):
    response = signed_in(auditor).get(PAGE)
    assert first_line(response) == "No hood is in service today. No routine survey was made."
    assert reading.quick_text(signed_in(auditor).get(reverse("reports:year_report")).content)


def test_the_exceptions_stand_on_page_and_print(
    site, auditor, ready, version, technician, programme_manager, signed_in
):
    hood, late = ready(tag="FH-0142"), ready(tag="FH-0150")
    rows.survey(hood, version, technician, date(2026, 3, 2), "fail")
    rows.survey(hood, version, technician, date(2026, 3, 14), reason="after-repair")
    old = rows.survey(late, version, technician, date(2025, 10, 1))
    rows.survey(late, version, technician, date(2025, 10, 1), "restrict", amends=old, why="Read at the wrong hood.")
    rows.survey(late, version, technician, date(2026, 11, 20), "no-verdict", full=False)
    HoodEvent.objects.create(
        hood=late,
        kind="overdue-explained",
        on=date(2026, 11, 2),
        at=NOW,
        by=programme_manager,
        why="Room closed for works",
    )
    other = rows.criteria(site, programme_manager, name="Acids")
    Assignment.objects.create(
        hood=hood, set=other.set, from_on=date(2026, 6, 1), at=NOW, by=programme_manager, why="Acids moved in",
        evidence="Tracer test of May",
    )  # fmt: skip
    Qualification.objects.create(
        person=technician, site=site, method="face velocity by traverse", qualified_by="Skua course",
        from_on=date(2026, 1, 1), at=NOW, by=programme_manager,
    )  # fmt: skip
    client = signed_in(auditor)
    page = plain(html_of(client.get(PAGE)))
    print_ = reading.quick_text(client.get(reverse("reports:year_report")).content)
    for said in (
        "Room closed for works", "Acids moved in", "Tracer test of May", "face velocity by traverse", "Skua course",
    ):  # fmt: skip
        assert said in page
        assert said in print_
    assert "1 survey left its hood in fail; 1 met criteria again later" in page
    assert "It took 12 days (median), 12 at most" in page
    assert "Read at the wrong hood." in plain(html_of(client.get(PAGE, {"from": "2025-01"})))
    made = loaded(site, auditor)
    assert [(one.became, one.days) for one in made.failures] == [("met-again", 12)]
    assert [(one.line.hood.tag, one.explained) for one in made.late] == [("FH-0150", "Room closed for works")]
    assert [one.qualified for one in made.surveyors] == [3]


def test_the_print_says_moment_zone_record_hash_and_pages(site, auditor, ready, version, technician, signed_in):
    rows.survey(ready(), version, technician, date(2026, 3, 12))
    made = signed_in(auditor).get(reverse("reports:year_report"), {"paper": "Letter"})
    last = Record.objects.order_by("-number").first()
    words = reading.quick_text(made.content)
    assert f"Records as of 25 NOV 2026, 14:00 UTC+00:00 (Europe/London); the last was record {last.number}" in words
    assert last.sha256 in words
    count = len(reading.pages(made.content))
    assert all(f"page {number} of {count}" in text for number, text in enumerate(reading.pages(made.content), 1))
    assert "Meeting criteria does not guarantee containment." in words
    assert reading.size(made.content) == pytest.approx((215.9, 279.4), abs=0.1)
    assert made.headers["Content-Disposition"] == 'inline; filename="Skua Institute 2026.pdf"'


def test_a_year_that_is_none_is_refused_at_its_field_and_the_entry_kept(site, auditor, signed_in):
    client = signed_in(auditor)
    for text, said in (("spring", "“spring” is no month."), ("2027-01", "These months have not begun.")):
        response = client.get(PAGE, {"from": text})
        assert response.status_code == 422
        html = response.content.decode()
        assert said in html
        assert re.search(rf'<input[^>]*id="from"[^>]*value="{text}"[^>]*aria-invalid="true"', html)
        assert client.get(reverse("reports:year_report"), {"from": text}).status_code == 404
    for building in ("x", "987654321", "9" * 30, "٣"):
        assert client.get(PAGE, {"building": building}).status_code == 404


def test_years_are_those_with_surveys(site, auditor, ready, version, technician):
    assert years_with_surveys(Scope(site, auditor), NOW.date()) == []
    hood = ready()
    for on in (date(2023, 12, 31), date(2026, 1, 1)):
        rows.survey(hood, version, technician, on)
    assert years_with_surveys(Scope(site, auditor), NOW.date()) == [2026, 2025, 2024, 2023]


# A8: a lab manager --------------------------------------------------------------------------------------------------


def test_a8_a_lab_manager_counts_their_own_rooms_alone(
    site, lab_manager, auditor, ready, other_room, version, technician, signed_in
):
    mine, other = ready(tag="FH-MINE"), ready(tag="ZZ-OTHER", room=other_room)
    for hood in (mine, other):
        rows.survey(hood, version, technician, date(2026, 3, 12))
    rows.survey(other, version, technician, date(2026, 4, 12), "fail")
    found, whole = loaded(site, lab_manager), loaded(site, auditor)
    parts_are_the_whole(found.counts)
    assert (found.counts.service.hoods, len(found.counts.surveys)) == (1, 1)
    assert (whole.counts.service.hoods, len(whole.counts.surveys)) == (2, 3)
    client = signed_in(lab_manager)
    for view in ("reports:year", "reports:year_report", "reports:year_archive", "reports:year_book"):
        response = client.get(reverse(view))
        made = b"".join(response) if response.streaming else response.content
        assert b"ZZ-OTHER" not in made, view
    for name in NAMES:
        made = b"".join(client.get(reverse("reports:year_table"), {"table": name}))
        assert b"ZZ-OTHER" not in made, name
    for view in ("reports:year_months", "reports:year_buildings", "reports:year_averages"):
        assert client.get(reverse(view)).status_code == 200
    assert "pass 1" in client.get(reverse("reports:year_months")).content.decode()
    assert "fail 1" not in client.get(reverse("reports:year_months")).content.decode()


def test_a8_control_the_same_hood_is_told_to_who_sees_the_site(
    auditor, ready, other_room, version, technician, signed_in
):
    rows.survey(ready(tag="ZZ-OTHER", room=other_room), version, technician, date(2026, 3, 12))
    assert b"ZZ-OTHER" in signed_in(auditor).get(PAGE).content


def test_a_building_has_its_own_year(site, building, auditor, ready, version, technician, signed_in):
    far = making.make_room(making.make_building(site, "Mill House"), "1")
    for hood in (ready(tag="FH-NEAR"), ready(tag="FH-FAR", room=far)):
        rows.survey(hood, version, technician, date(2026, 3, 12))
    page = html_of(signed_in(auditor).get(PAGE, {"building": building.pk}))
    assert "FH-NEAR" in page
    assert "FH-FAR" not in page
    file = signed_in(auditor).get(reverse("reports:year_archive"), {"building": building.pk})
    assert file.headers["Content-Disposition"] == 'attachment; filename="Skua Institute 2026 North Range.zip"'
