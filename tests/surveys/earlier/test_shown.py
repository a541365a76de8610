"""Where results from earlier records are shown: marked everywhere, and never as surveyed, labelled or certified."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from surveys.models import EarlierBatch
from tests import surveying
from tests.pages import body
from tests.reports.pdf import reading
from tests.surveys import rows
from tests.surveys.earlier.counting import MARK, MEASURED, NOW, a_row, registered_as
from tests.surveys.words import first_line, said


@pytest.fixture(autouse=True)
def on_that_day():
    import time_machine

    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def see(signed_in, programme_manager) -> Client:
    return signed_in(programme_manager)


def test_the_hoods_page_says_what_was_not_signed_here(judged, accepted, see):
    accepted(a_row(judged, points="98 101 95 / 103 99 92 ft/min"), a_row(judged, date(2025, 2, 1), "fail", average="61 ft/min"))
    page = see.get(f"/hoods/{judged.pk}/")
    assert first_line(page).startswith("Met its criteria by earlier records, not signed here: sash at or below 18 in (457 mm)")
    words = said(page)
    assert "This ledger has printed no label for it. Go by the label on the hood; where it has none, do not use it" in words
    assert "was accepted as counting on 20 APR 2026 by Henrik Sole: compared with three reports" in words
    assert "No label and no certificate is printed: the result is from earlier records, not signed here." in words
    assert words.count(MARK) >= 2, "beside the status and above the results"
    assert "98 101 95 / 103 99 92 ft/min" in words
    assert f"/earlier/{EarlierBatch.objects.get().pk}/" in page.content.decode(), "the list is a link for who may read it"
    assert "certificate.pdf" not in page.content.decode()
    assert "print-label" not in page.content.decode()


def test_every_list_marks_it(judged, accepted, see, room, signed_in, lab_manager):
    accepted(a_row(judged))
    for path in ("/hoods/", "/rooms/", f"/rooms/{room.pk}/", "/due/"):
        assert MARK in said(see.get(path)), path
    home = signed_in(lab_manager).get("/")
    assert MARK in said(home)
    assert first_line(home) == "1 of 1 hood of your rooms may be used today. One of them by earlier records, not signed here."
    assert "FH-0142: from earlier records, not signed here; the label on it decides." in said(home)
    assert "/earlier/" not in signed_in(lab_manager).get(f"/hoods/{judged.pk}/").content.decode(), "and none for others"
    assert "FH-0142: from earlier records, not signed here; the label on it decides." in said(see.get(f"/rooms/{room.pk}/"))
    year = said(see.get("/year/"))
    assert MARK in year[year.index("One line a hood") :]
    printed = reading.quick_text(body(see.get("/year/report.pdf")))
    assert "from earlier records, not signed here" in printed[printed.index("One line a hood") :]


def test_the_control_no_list_marks_a_hood_whose_survey_was_signed_here(judged, see, room, version, technician, signed_in, lab_manager):
    rows.survey(judged, version, technician, MEASURED)
    for path in ("/hoods/", "/rooms/", f"/rooms/{room.pk}/", "/due/", "/year/"):
        assert MARK not in said(see.get(path)), path
    assert "earlier records" not in said(signed_in(lab_manager).get("/"))
    assert "earlier records" not in reading.quick_text(body(see.get("/year/report.pdf")))


def test_a_fail_by_earlier_records_says_so_in_the_first_line(judged, accepted, see):
    accepted(a_row(judged, verdict="fail"))
    since = "Do not use since 15 JAN 2026,"
    assert first_line(see.get(f"/hoods/{judged.pk}/")) == f"{since} by earlier records, not signed here, until a survey lifts it."


def test_a_fail_that_was_signed_here_says_nothing_of_earlier_records(judged, see, version, technician):
    rows.survey(judged, version, technician, MEASURED, "fail")
    assert first_line(see.get(f"/hoods/{judged.pk}/")) == "Do not use since 15 JAN 2026, until a survey lifts it."


@pytest.mark.parametrize(
    ("height", "why"),
    [
        ("", "the record says no height, so no opening stands approved by it."),
        ("30 in", "the record approves no opening as this hood has it."),
    ],
)
def test_a_pass_that_approves_nothing_says_why_and_of_no_survey(judged, accepted, see, height, why):
    accepted(a_row(judged, height=height))
    words = said(see.get(f"/hoods/{judged.pk}/"))
    assert f"From earlier records, not signed here: {why}" in words
    assert "by the last survey" not in words
    assert f"From earlier records, not signed here: {why}" in said(Client().get(f"/H/{judged.code}")), "by the lists' loading too"


def test_a_filtered_hood_is_told_why_no_earlier_record_lets_it_be_used(judged, accepted, see):
    registered_as(judged, kind="filtered")
    batch = accepted(a_row(judged))
    why = "From earlier records, not signed here: they say nothing of its filter (type, date, approved materials, breakthrough)"
    words = said(see.get(f"/hoods/{judged.pk}/"))
    assert first_line(see.get(f"/hoods/{judged.pk}/")) == "Not yet surveyed: do not use until commissioned."
    assert why in words
    assert why in said(Client().get(f"/H/{judged.code}"))
    row = "lets nobody use the hood: it says nothing of its filter"
    assert row in words
    assert row in said(see.get(f"/earlier/{batch.pk}/"))


def test_a_two_state_hood_is_told_which_state_was_tested(judged, accepted, see):
    registered_as(judged, control="two-state")
    batch = accepted(a_row(judged, date(2026, 1, 14)), a_row(judged, flow_state="higher"))
    words = said(see.get(f"/hoods/{judged.pk}/"))
    assert words.count("tested at its higher flow") == 2, "where it says up to where it may be used, and beside the record"
    listed = said(see.get(f"/earlier/{batch.pk}/"))
    assert "pass tested at its higher flow" in listed
    assert "pass lets nobody use the hood: it does not say which state was tested" in listed


def test_the_public_page_marks_it_and_names_nobody(judged, accepted):
    accepted(a_row(judged, measured_by="Lena Orth", judged_by="rules of 2021"))
    words = said(Client().get(f"/H/{judged.code}"))
    assert "Met its criteria on 15 JAN 2026 by earlier records, not signed here, with the sash at or below 18 in" in words
    assert "15 JAN 2026: met (from earlier records, not signed here)" in words
    assert "Judged by rules of 2021" in words
    assert "Lena Orth" not in words


def test_no_label_and_no_certificate_comes_of_it(judged, accepted, see, technician, signed_in, make_hood):
    """Neither alone nor among many; the control: a hood whose survey was signed has its label."""
    accepted(a_row(judged))
    refused = signed_in(technician).post(f"/hoods/{judged.pk}/label.pdf")
    assert refused.status_code == 403
    assert "No label and no certificate is printed: the result is from earlier records, not signed here." in said(refused)
    front = reading.quick_text(body(see.get("/certificates.pdf")))
    assert "FH-0142" in front
    assert "from earlier records, not signed here" in front
    signed, keeper = make_hood(tag="FH-0150"), judged.events.get().by
    surveying.assign(signed, surveying.make_version(judged.site, keeper), keeper)
    surveying.survey(signed, surveying.entered(surveying.make_instrument(judged.site, keeper)), technician)
    labels = see.get("/labels/")
    assert [one.hood.tag for one in labels.context["found"]] == ["FH-0150"]
    assert [(one.hood.tag, one.why.code) for one in labels.context["without"]] == [
        ("FH-0142", "no-label-not-signed-here")
    ]


def test_the_years_trend_and_files_never_count_it_as_surveyed(judged, accepted, see, version, technician, make_hood, programme_manager):
    signed = make_hood(tag="FH-0150")
    rows.assign(signed, version, programme_manager)
    rows.survey(signed, version, technician, MEASURED)
    accepted(a_row(judged))
    page = see.get("/year/")
    assert first_line(page).startswith("1 of 2 hoods in service are surveyed within their interval today (50.0 %).")
    assert "One more is in date by earlier records, not signed here, and not counted as surveyed." in first_line(page)
    assert page.context["year"].counts.service.by_earlier == 1
    assert len(page.context["year"].counts.surveys) == 1
    hoods = body(see.get("/year/table.csv?table=hoods")).decode("utf-8-sig")
    (line,) = [one for one in hoods.splitlines() if "FH-0142" in one]
    assert "by-earlier-records" in line
    assert "not-signed-here" in line
    surveys = body(see.get("/year/table.csv?table=surveys")).decode("utf-8-sig")
    assert ("FH-0150" in surveys, "FH-0142" in surveys) == (True, False)
    printed = reading.quick_text(body(see.get("/year/report.pdf")))
    assert "1 of 2 hoods in service were within their survey interval" in printed
    assert "1 more was in date by earlier records, not signed here: it is not counted as surveyed." in printed
    assert "in date by earlier records, not signed here" in printed


def test_the_averages_over_the_years_mark_it(judged, accepted, see, version, technician):
    accepted(a_row(judged, date(2025, 2, 1), average="0.5 m/s"))
    rows.survey(judged, version, technician, date(2026, 2, 1), average="97")
    page = said(see.get(f"/hoods/{judged.pk}/"))
    assert "from earlier records, not signed here" in page[page.index("Over the years") :]
    drawing = see.get(f"/hoods/{judged.pk}/trend.svg").content.decode()
    assert "earlier records, not signed here" in drawing
    assert "0.5 m/s" in drawing
    printed = reading.quick_text(body(see.get(f"/hoods/{judged.pk}/trend.pdf")))
    assert "from earlier records, not signed here" in printed
