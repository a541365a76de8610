"""Certificates of a room, a building or a year as one file: which, in which order, what is missing, and for whom."""

from __future__ import annotations

import io
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pypdf
import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from hoods.actions import hood as hoods
from surveys.actions.drafts import start_draft
from surveys.actions.stops import post_stop
from tests import making, surveying
from tests.reports.gathered import documents, first_page, names, reader, words
from tests.surveying import GOOD, SLOW, SURVEYED, entered

pytestmark = pytest.mark.django_db
NOW = SURVEYED + timedelta(hours=2)
ADDRESS = "/certificates.pdf"


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def surveyed(ready, technician, instrument):
    """Makes a hood and surveys it once."""

    def make(tag, readings=None, at=SURVEYED, **fields):
        return surveying.survey(ready(tag, **fields), entered(instrument, readings), technician, at)

    return make


@pytest.fixture
def get(signed_in, auditor):
    client = signed_in(auditor)

    def asked(expect=200, **asked_for):
        response = client.get(ADDRESS, asked_for)
        assert response.status_code == expect
        return response

    return asked


def test_the_certificates_of_a_room_in_walking_order(get, surveyed, room, other_room, programme_manager):
    for tag, order in (("FH-0143", 1), ("FH-0142", 2)):
        hoods.shift_hood(hood=surveyed(tag).hood, order=order, by=programme_manager, at=NOW)
    surveyed("FH-0190", room=other_room)
    response = get(room=room.pk)
    assert names(response) == ["FH-0143, North Range 214", "FH-0142, North Range 214"]
    said = first_page(get(room=room.pk))
    assert "Certificates of North Range, room 214" in said
    assert "2 certificates of 2 hoods in this file" in said
    assert "Every hood of this list has its certificate." in said
    assert response["Content-Disposition"] == 'inline; filename="certificates North Range, room 214 2026-03-12.pdf"'


def test_each_page_is_the_one_that_is_printed_alone(get, surveyed, room, signed_in, auditor):
    survey = surveyed("FH-0142")
    alone = signed_in(auditor).get(reverse("reports:certificate", args=[survey.pk])).content
    (page,) = pypdf.PdfReader(io.BytesIO(alone)).pages
    assert [words(one) for one in reader(get(room=room.pk)).pages[1:]] == [words(page)]


def test_of_a_building_and_of_the_whole_site(get, surveyed, site, building, other_room):
    surveyed("FH-0142")
    surveyed("FH-0190", room=other_room)
    far = making.make_room(making.make_building(site, "Mill House"), "7")
    surveyed("FH-0300", room=far)
    assert names(get(building=building.pk)) == ["FH-0190, North Range 118", "FH-0142, North Range 214"]
    assert names(get(building=far.building_id)) == ["FH-0300, Mill House 7"]
    assert len(names(get())) == 3


def test_a_hood_without_a_certificate_is_named_with_the_reason(
    get, ready, surveyed, technician, programme_manager, instrument
):
    surveyed("FH-0142")
    ready("FH-0143")
    surveyed("FH-0144", SLOW)
    surveying.survey(ready("FH-0145"), entered(instrument, [GOOD[0], [*GOOD[1][:4], None]]), technician)
    moved = surveyed("FH-0146").hood
    room = moved.placement().room
    by = {"by": programme_manager, "at": NOW}
    hoods.move_hood(hood=moved, room=room, position="at the window", on=NOW.date(), why="nearer it", **by)
    old = surveyed("FH-0147").hood
    hoods.retire_hood(hood=old, on=NOW.date(), why="old", **by)
    response = get(room=room.pk)
    said = first_page(response)
    assert "1 certificate of 1 hood in this file and 1 report" in said
    assert "4 of 5 hoods without a certificate: listed here with the reason" in said
    assert "FH-0143 North Range 214 No survey has had a verdict yet." in said
    assert (
        "FH-0144 North Range 214 The survey of 12 MAR 2026 found that the criteria are not met. What was found stands in this file"
        in said
    )
    assert "FH-0145 North Range 214 No survey has had a verdict yet." in said
    assert "FH-0146 North Range 214 Moved on 12 MAR 2026 and not surveyed since." in said
    assert "FH-0147" not in said
    assert names(get(room=room.pk)) == ["FH-0142, North Range 214", "FH-0144, North Range 214"]


def test_a_hood_that_is_not_to_be_used_today_is_named_first_beside_its_certificate(get, surveyed, room, technician):
    surveyed("FH-0142")
    barred = surveyed("FH-0143").hood
    post_stop(hood=barred, reason="no-flow", by=technician, at=NOW)
    for asked in ({"room": room.pk}, {"from": "2026-01"}, {"from": "2025-04"}):
        said = first_page(get(**asked))
        assert "2 certificates of 2 hoods in this file" in said
        assert "1 hood of this list is not to be used today, 12 MAR 2026: named here with the reason" in said
        named = said.index("FH-0143 North Range 214 Do not use.")
        assert named < said.index("Every hood of this list has its certificate.")
        assert "FH-0142" not in said


def test_a_canopy_is_named_for_what_it_is_for_and_never_among_those_not_to_be_used(get, surveyed, ready, instrument, room, technician):
    surveyed("FH-0142")
    canopy = ready("FH-0152", kind="canopy", sash="none")
    content = surveying.entered(instrument)
    content["answers"] = [one for one in content["answers"] if one["check"] != "sash-moves-and-stays"]
    surveying.survey(canopy, content, technician)
    said = first_page(get(room=room.pk))
    assert "2 certificates of 2 hoods in this file" in said
    assert "1 canopy of this list is for heat and steam alone: named here" in said
    assert "FH-0152 North Range 214 A canopy gets no label: it draws off heat and steam alone, never hazardous vapours." in said
    assert "not to be used today" not in said
    assert "Not to be used" not in said
    post_stop(hood=canopy, reason="no-flow", by=technician, at=NOW)
    said = first_page(get(room=room.pk))
    assert "1 hood of this list is not to be used today" in said
    assert "FH-0152 North Range 214 Do not use." in said, "so it is where it must not be used at all"
    assert "canopy of this list" not in said


def test_what_bars_a_hood_today_is_said_of_a_file_of_past_months_too(get, surveyed, technician):
    barred = surveyed("FH-0143", at=datetime(2025, 5, 12, 13, tzinfo=SURVEYED.tzinfo)).hood
    post_stop(hood=barred, reason="no-flow", by=technician, at=NOW)
    said = first_page(get(**{"from": "2025-01"}))
    assert "1 certificate of 1 hood in this file" in said
    assert "FH-0143 North Range 214 Do not use." in said


def test_a_file_without_any_certificate_still_says_why(get, ready, room):
    ready("FH-0143")
    response = get(room=room.pk)
    assert "0 certificates of 0 hoods in this file" in first_page(response)
    assert names(get(room=room.pk)) == []


# --- a year ---


def test_every_document_of_twelve_months_is_in_the_file_of_those_months_alone(get, surveyed, technician, instrument):
    first = surveyed("FH-0142", at=datetime(2025, 5, 12, 13, tzinfo=SURVEYED.tzinfo))
    surveying.survey(
        first.hood, entered(instrument, SLOW), technician, datetime(2025, 12, 31, 23, 20, tzinfo=SURVEYED.tzinfo)
    )
    surveying.survey(first.hood, entered(instrument), technician, SURVEYED)
    assert [name.split(" (")[0] for name in documents(get(**{"from": "2025-01"}))] == [
        "12 MAY 2025: Certificate of survey", "31 DEC 2025: Survey report: criteria not met",
    ]  # fmt: skip
    assert len(documents(get(**{"from": "2026-01"}))) == 1
    assert len(documents(get(**{"from": "2025-06"}))) == 2
    said = first_page(get(**{"from": "2025-01"}))
    assert "Certificates of Skua Institute, 1 JAN 2025 to 31 DEC 2025" in said
    assert "1 certificate of 1 hood in this file and 1 report" in said


def test_t1_a_survey_belongs_to_the_year_of_the_sites_own_midnight(get, surveyed, site):
    site.time_zone = "Pacific/Auckland"
    site.save()
    surveyed("FH-0142", at=datetime(2026, 1, 1, 0, 10, tzinfo=ZoneInfo("Pacific/Auckland")))  # still December in UTC
    assert documents(get(**{"from": "2025-01"})) == []
    assert len(documents(get(**{"from": "2026-01"}))) == 1


def test_what_is_missing_in_a_year_is_said_of_the_hoods_that_were_there(get, ready, surveyed, programme_manager):
    surveyed("FH-0142")
    ready("FH-0143", on=date(2026, 3, 1))
    gone = ready("FH-0144")
    hoods.retire_hood(hood=gone, on=date(2026, 3, 2), by=programme_manager, at=NOW, why="old")
    long_gone = ready("FH-0145")
    hoods.retire_hood(hood=long_gone, on=date(2025, 3, 2), by=programme_manager, at=NOW, why="old")
    said = first_page(get(**{"from": "2026-01"}))
    assert "2 of 3 hoods without a certificate" in said
    assert "FH-0143 North Range 214 No survey was signed in these months. No survey has had a verdict yet." in said
    assert "FH-0144 North Range 214 No survey was signed in these months. The hood was retired on 2 MAR 2026." in said
    assert "FH-0145" not in said
    assert "FH-0143" not in first_page(get(**{"from": "2025-01"}))


def test_m5_the_year_of_a_retired_hood_keeps_its_certificates(get, surveyed, programme_manager):
    survey = surveyed("FH-0142")
    hoods.retire_hood(hood=survey.hood, on=NOW.date(), by=programme_manager, at=NOW, why="old")
    assert names(get()) == []
    assert names(get(**{"from": "2026-01"})) == ["FH-0142, North Range 214"]


@pytest.mark.parametrize(
    ("written", "said"),
    [("2026-13", "“2026-13” is no month. Write year and month, such as 2026-03."), ("March", "“March” is no month"),
     ("2026-04", "2026-04 is still to come."), ("1" * 90, "is no month")],
)  # fmt: skip
def test_p9_months_that_cannot_be_are_refused_in_a_sentence(get, written, said):
    response = get(422, **{"from": written})
    assert said in response.content.decode()


@pytest.mark.parametrize(
    "asked", [{"room": "987654"}, {"room": "x"}, {"building": "987654"}, {"building": "-1"}, {"room": "٣"}]
)
def test_p9_a_room_or_building_that_is_not_there(get, asked):
    get(404, **asked)


def test_l16_no_half_file_is_handed_out(surveyed, room, signed_in, auditor, monkeypatch):
    """A record that cannot be read fails the whole answer, whose first byte has not been sent by then."""
    surveyed("FH-0142")
    monkeypatch.setattr("surveys.models.Record.attested", property(lambda record: {}["broken"]))
    client = signed_in(auditor)
    client.raise_request_exception = False
    assert client.get(ADDRESS, {"room": room.pk}).status_code == 500


def test_g4_an_amended_certificate_is_in_the_year_marked_and_counts_as_none(get, surveyed, technician, instrument):
    first = surveyed("FH-0142")
    draft = start_draft(hood=first.hood, by=technician, at=SURVEYED + timedelta(hours=1))
    surveying.save(draft, entered(instrument, SLOW), technician, SURVEYED + timedelta(hours=1, minutes=15))
    surveying.sign(draft, technician, SURVEYED + timedelta(hours=1, minutes=20), amends=first, why="wrong grid")
    response = get(**{"from": "2026-01"})
    said = first_page(response)
    assert "0 certificates of 0 hoods in this file and 1 report" in said
    assert "and 1 document that a later survey amends, marked so 1 of 1 hood without a certificate" in said
    assert "The survey of 12 MAR 2026 was amended by another. The survey of 12 MAR 2026 found that the criteria" in said
    assert len(documents(get(**{"from": "2026-01"}))) == 2
    assert documents(get()) == ["12 MAR 2026: Survey report: criteria not met (record 3)"]


# --- for whom, and at what cost ---


def test_a2_a8_a_lab_manager_has_the_certificates_of_own_rooms_alone(
    signed_in, lab_manager, surveyed, room, other_room, building
):
    surveyed("FH-0142")
    surveyed("FH-0190", room=other_room)
    client = signed_in(lab_manager)
    for asked in ({}, {"building": building.pk}, {"room": room.pk}, {"from": "2026-01"}):
        file = client.get(ADDRESS, asked)
        assert names(file) == ["FH-0142, North Range 214"], asked
        assert "FH-0190" not in first_page(client.get(ADDRESS, asked))
    assert client.get(ADDRESS, {"room": other_room.pk}).status_code == 404


def test_a2_nothing_of_another_site(get, db):
    theirs = making.make_room(making.make_building(making.make_site("Far Institute"), "Shore House"))
    get(404, room=theirs.pk)
    get(404, building=theirs.building_id)


def test_only_who_has_a_role_has_the_file(client, signed_in, stranger, room):
    assert client.get(ADDRESS, {"room": room.pk}).status_code == 302
    assert signed_in(stranger).get(ADDRESS, {"room": room.pk}).status_code == 403


@pytest.mark.parametrize("number", [1, 5])
def test_f1_the_same_queries_for_any_number_of_certificates(get, surveyed, room, number):
    for at in range(number):
        surveyed(f"FH-{at}")
    get(room=room.pk)
    with CaptureQueriesContext(connection) as asked:
        assert len(reader(get(room=room.pk)).pages) == number + 1
    assert len(asked) == 13


def test_the_pages_of_room_and_building_lead_to_it(signed_in, technician, auditor, surveyed, room):
    surveyed("FH-0142")
    for page, asked in (
        (f"/rooms/{room.pk}/", f"room={room.pk}"),
        (f"/buildings/{room.building_id}/", f"building={room.building_id}"),
    ):
        said = signed_in(technician).get(page).content.decode()
        assert f"{ADDRESS}?{asked}" in said
        assert f"/labels/?{asked}" in said
        assert f"/labels/?{asked}" not in signed_in(auditor).get(page).content.decode()
