"""A survey from paper is marked wherever it is shown, credited to who measured, and never to who typed it in."""

from __future__ import annotations

import csv
import io
from datetime import timedelta

import openpyxl
import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from surveys.actions.transcribing import start_transcription
from surveys.models import Finding, FindingChange, Qualification, Transcription
from tests import surveying
from tests.pages import body
from tests.reports.pdf import reading
from tests.surveys import rows
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
MARK = "Transcribed from paper"
NAMED = "Lena Orth, from paper; typed in by Ruth Okafor"
SAID_OF_IT = "no qualification on record"


@pytest.fixture
def version(site, programme_manager):
    return rows.criteria(site, programme_manager)


@pytest.fixture
def day(site):
    return site.today()


@pytest.fixture
def judged(hood, version, programme_manager):
    rows.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def typed_in(judged, version, technician, day):
    """A survey that the technician typed in; whoever measured is a person of the ledger or not."""

    def make(measured_by="Lena Orth", person=None, on=day, hood=judged):
        made = rows.survey(hood, version, technician, on)
        name = person.name if person else measured_by
        Transcription.objects.create(
            draft=made.draft, measured_by=name, person=person, at=timezone.now(), by=technician
        )
        return made

    return make


def qualified(person, site, day, by):
    Qualification.objects.create(
        person=person, site=site, method="face velocity by traverse", qualified_by="Skua course",
        from_on=day - timedelta(days=30), at=timezone.now(), by=by,
    )  # fmt: skip


def table(client: Client, name: str) -> list[dict[str, str]]:
    text = body(client.get(f"/year/table.csv?table={name}")).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


PAGES = ("/hoods/", "/rooms/", "/rooms/{room}/", "/due/", "/hoods/{hood}/", "/year/")


@pytest.mark.parametrize("path", PAGES)
def test_every_list_marks_a_hood_whose_last_survey_is_from_paper(
    typed_in, judged, room, signed_in, programme_manager, path
):
    typed_in()
    assert MARK in said(signed_in(programme_manager).get(path.format(room=room.pk, hood=judged.pk)))


@pytest.mark.parametrize("path", PAGES)
def test_the_control_no_list_marks_what_was_measured_with_a_tablet(
    judged, version, technician, day, room, signed_in, programme_manager, path
):
    rows.survey(judged, version, technician, day)
    page = signed_in(programme_manager).get(path.format(room=room.pk, hood=judged.pk))
    assert "from paper" not in said(page)


def test_the_mark_goes_with_the_paper_once_a_tablet_measured_later(
    typed_in, judged, version, technician, day, room, signed_in
):
    typed_in(on=day - timedelta(days=5))
    rows.survey(judged, version, technician, day)
    assert MARK not in said(signed_in(technician).get(f"/rooms/{room.pk}/"))
    assert MARK not in said(Client().get(f"/H/{judged.code}"))


def test_the_public_page_marks_it_and_names_nobody(typed_in, judged):
    typed_in()
    words = said(Client().get(f"/H/{judged.code}"))
    assert MARK in words
    assert "Lena Orth" not in words
    assert "Ruth Okafor" not in words


def test_the_mark_costs_no_query(typed_in, judged, version, technician, day, room, signed_in):
    client = signed_in(technician)
    paths = (f"/rooms/{room.pk}/", f"/H/{judged.code}")

    def asked():
        counted = []
        for path in paths:
            with CaptureQueriesContext(connection) as queries:
                client.get(path)
            counted.append(len(queries))
        return counted

    rows.survey(judged, version, technician, day - timedelta(days=5))
    client.get(paths[0])
    before = asked()
    typed_in()
    assert asked() == before


def test_the_list_of_certificates_names_who_measured(typed_in, signed_in, programme_manager):
    typed_in()
    assert NAMED in said(signed_in(programme_manager).get("/certificates/"))


def test_the_year_credits_who_measured_and_no_qualification_of_who_typed(
    typed_in, judged, version, site, technician, day, make_hood, programme_manager, signed_in
):
    qualified(technician, site, day, programme_manager)
    typed_in()
    other = make_hood(tag="FH-0150")
    rows.assign(other, version, programme_manager)
    rows.survey(other, version, technician, day)
    client = signed_in(programme_manager)
    page = said(client.get("/year/"))
    assert f"{NAMED}" in page
    assert SAID_OF_IT in page
    printed = reading.quick_text(body(client.get("/year/report.pdf")))
    assert NAMED in printed
    assert SAID_OF_IT in printed
    counted = {one["name"]: one for one in table(client, "surveyors")}
    assert {name: (one["surveys"], one["surveys_on_qualified_days"], one["from_paper"], one["typed_in_by"]) for name, one in counted.items()} == {
        "Lena Orth": ("1", "0", "yes", "Ruth Okafor"), "Ruth Okafor": ("1", "1", "no", ""),
    }  # fmt: skip
    surveys = {
        one["hood"]: (one["surveyor"], one["from_paper"], one["typed_in_by"]) for one in table(client, "surveys")
    }
    assert surveys == {"FH-0142": ("Lena Orth", "yes", "Ruth Okafor"), "FH-0150": ("Ruth Okafor", "no", "")}
    hoods = {one["hood"]: (one["flags"], one["last_from_paper"]) for one in table(client, "hoods")}
    assert hoods == {"FH-0142": ("from-paper", "yes"), "FH-0150": ("", "no")}
    book = openpyxl.load_workbook(io.BytesIO(body(client.get("/year/tables.xlsx"))), read_only=True)
    heads, *lines = book["surveys"].iter_rows(values_only=True)
    (line,) = [dict(zip(heads, one, strict=True)) for one in lines if one[0] == "FH-0142"]
    assert (line["surveyor"], line["from_paper"], line["typed_in_by"]) == ("Lena Orth", "yes", "Ruth Okafor")


def test_a_person_of_the_ledger_who_measured_on_paper_has_their_own_qualification(
    typed_in, site, day, programme_manager, signed_in
):
    qualified(programme_manager, site, day, programme_manager)
    typed_in(person=programme_manager)
    client = signed_in(programme_manager)
    (one,) = table(client, "surveyors")
    assert (one["name"], one["surveys_on_qualified_days"], one["typed_in_by"]) == (
        programme_manager.name,
        "1",
        "Ruth Okafor",
    )
    assert f"{programme_manager.name}, from paper; typed in by Ruth Okafor" in said(client.get("/year/"))
    assert SAID_OF_IT not in said(client.get("/year/"))


def test_from_the_start_page_on_nothing_else_is_needed(hood, site, technician, programme_manager, signed_in):
    """The same by a survey that was begun, typed in and signed by the actions."""
    from surveys.actions.transcribing import start_transcription

    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager)
    at = timezone.now()
    draft = start_transcription(
        hood=hood, measured_on=site.today() - timedelta(days=1), measured_by="Lena Orth", by=technician, at=at
    )
    surveying.save(draft, surveying.entered(surveying.make_instrument(site, programme_manager)), technician, at)
    surveying.sign(draft, technician, at)
    assert MARK in said(Client().get(f"/H/{hood.code}"))
    assert NAMED in said(signed_in(programme_manager).get("/year/"))


# --- who did it: on every page that names somebody ----------------------------------------------------------------------


def test_the_page_of_a_finding_names_who_measured_and_who_typed_it_in(
    judged, version, typed_in, day, technician, signed_in
):
    first = typed_in(on=day - timedelta(days=9))
    found = Finding.objects.create(
        hood=judged, survey=first, kind="note", check_code="light-works", at=first.signed_at, by=technician
    )
    again = typed_in(on=day, measured_by="Jens Falk")
    FindingChange.objects.create(finding=found, kind="closed", survey=again, at=again.signed_at, by=technician)
    words = said(signed_in(technician).get(f"/findings/{found.pk}/"))
    assert f"record {first.record_id}, {NAMED}" in words
    assert f"({NAMED})" in words, "who opened it"
    assert "(Jens Falk, from paper; typed in by Ruth Okafor)" in words, "who closed it"
    assert "(Ruth Okafor)" not in words


def test_the_control_a_finding_of_a_tablet_names_who_signed(judged, version, technician, day, signed_in):
    made = rows.survey(judged, version, technician, day)
    found = Finding.objects.create(
        hood=judged, survey=made, kind="note", check_code="light-works", at=made.signed_at, by=technician
    )
    words = said(signed_in(technician).get(f"/findings/{found.pk}/"))
    assert f"record {made.record_id}, Ruth Okafor" in words
    assert "(Ruth Okafor)" in words


def test_the_history_of_a_hood_has_no_initials_of_a_typist(typed_in, judged, version, technician, day, signed_in):
    typed_in(on=day - timedelta(days=9))
    client = signed_in(technician)
    history = said(client.get(f"/hoods/{judged.pk}/"))
    assert "measured by Lena Orth" in history
    assert "typed in by Ruth Okafor" in history
    assert f", {technician.initials}" not in history
    rows.survey(judged, version, technician, day)
    assert f", {technician.initials}" in said(client.get(f"/hoods/{judged.pk}/")), "the control: measured by a tablet"


@pytest.mark.parametrize(("on_paper", "times"), [(True, 1), (False, 0)])
def test_the_averages_over_the_years_mark_what_is_from_paper(
    typed_in, judged, version, technician, day, signed_in, on_paper, times
):
    """In the drawing, in the table under it, and in both of the print."""
    if on_paper:
        typed_in(on=day - timedelta(days=9))
    rows.survey(judged, version, technician, day)
    client, mark = signed_in(technician), MARK.lower()
    assert said(client.get(f"/hoods/{judged.pk}/")).split("Over the years")[1].count(mark) == times
    drawing = client.get(reverse("reports:trend_drawing", args=[judged.pk])).content.decode()
    assert drawing.partition("</desc>")[2].count(mark) == times
    printed = reading.quick_text(client.get(reverse("reports:trend_print", args=[judged.pk])).content)
    assert printed.count(mark) == 2 * times


def test_a_survey_that_is_being_typed_in_is_said_to_be_one(judged, version, technician, day, signed_in):
    start_transcription(hood=judged, measured_on=day, measured_by="Lena Orth", by=technician, at=timezone.now())
    words = said(signed_in(technician).get(f"/hoods/{judged.pk}/"))
    assert "measured by Lena Orth" in words
    assert "It is not signed." in words
    assert "A survey was started" not in words
