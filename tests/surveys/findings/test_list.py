"""The list of findings: what waits, and for whom."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.actions.hood import retire_hood
from surveys.actions import findings as actions
from surveys.models import Finding
from tests import making
from tests.surveying import SURVEYED
from tests.surveys.findings.looked_at import LIST, NOW, address
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db


# --- the list ---------------------------------------------------------------------------------------------------------


def test_the_first_line_says_what_waits_and_for_whom(see, failed, note, surveyed, technician):
    assert first_line(see(LIST)) == "Two findings wait: two for nobody yet."
    arranged = {"owner": "Building Services", "promised_on": SURVEYED.date() + timedelta(days=3)}
    actions.arrange_finding(finding=failed, by=technician, at=SURVEYED, **arranged)
    assert (
        first_line(see(LIST))
        == "Two findings wait: one for nobody yet and one for Building Services. One promised day is past."
    )
    assert (
        "FH-0142 North Range 214 Average face velocity 72 ft/min fail; wanted from 80 ft/min to 120 ft/min; opening ‘working’"
        in said(see(LIST))
    )


def test_without_any_nothing_waits(see, site):
    assert first_line(see(LIST)) == "Nothing waits to be mended."


def test_plain_links_narrow_it_by_owner_and_by_building(see, failed, note, surveyed, site, technician):
    far = making.make_room(making.make_building(site, "Mill House"), "7")
    surveyed("FH-0900", room=far)
    actions.arrange_finding(finding=note, by=technician, at=NOW, owner="Electricians")

    def tags(query):
        page = said(see(f"{LIST}?{query}"))
        return [tag for tag in ("FH-0142", "FH-0143", "FH-0900") if tag in page]

    assert tags("") == ["FH-0142", "FH-0143", "FH-0900"]
    assert tags("owner=Electricians") == ["FH-0143"]
    assert tags("owner=-") == ["FH-0142", "FH-0900"]
    assert tags(f"building={far.building_id}") == ["FH-0900"]
    assert tags(f"building={far.building_id}&owner=Electricians") == []
    assert first_line(see(f"{LIST}?building={far.building_id}")) == "One finding waits: one for nobody yet."
    page = see(f"{LIST}?building={far.building_id}").content.decode()
    assert f'href="?owner=-&amp;building={far.building_id}"' in page  # a link keeps what the list is narrowed to


@pytest.mark.parametrize("query", ["building=", "owner=%00", "page=99", "page=x", "closed=1&page=-1"])
def test_p6_whatever_the_address_asks_there_is_a_list(see, failed, query):
    assert see(f"{LIST}?{query}").status_code == 200


@pytest.mark.parametrize("asked", ["x", "987654", "²", "-1"])
def test_p9_a_building_that_is_not_there_is_said_to_be_none(see, failed, asked):
    assert see(f"{LIST}?building={asked}").status_code == 404


def test_closed_ones_are_shown_on_request(see, note, technician):
    assert "FH-0143" not in said(see(f"{LIST}?closed=yes"))
    actions.close_finding(finding=note, words="a new lamp", by=technician, at=NOW)
    assert "FH-0143" not in said(see(LIST))
    assert "FH-0143 North Range 214 Light: not as it should be note 12 MAR 2026 20 days – 1 APR 2026" in said(
        see(f"{LIST}?closed=yes")
    )


def test_what_is_open_at_a_hood_that_is_retired_waits_for_nobody_and_is_shown_apart(
    see, failed, note, programme_manager, signed_in
):  # fmt: skip
    assert "retired" not in said(see(LIST))
    retire_hood(hood=failed.hood, on=NOW.date(), why="scrapped", by=programme_manager, at=NOW)
    assert first_line(see(LIST)) == "One finding waits: one for nobody yet."
    assert "FH-0142" not in said(see(LIST))
    assert "open at hoods that are retired (1)" in said(see(LIST))
    assert "FH-0142" in said(see(f"{LIST}?closed=retired"))
    assert "FH-0143" not in said(see(f"{LIST}?closed=retired"))
    assert "FH-0142" not in said(see(f"{LIST}?closed=yes"))
    decisions = said(signed_in(programme_manager).get("/"))
    assert "1 open finding has nobody who sees to it." in decisions


def test_the_one_that_waits_longest_comes_first(see, failed, surveyed, instrument, technician):
    old = surveyed("FH-0100")
    with time_machine.travel(SURVEYED - timedelta(days=60), tick=False):
        older = surveyed("FH-0999")
    page = said(see(LIST))
    assert old.tag in page
    assert page.count("FH-0999") == 1
    assert older.tag in page


@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_the_same_queries_for_any_number_of_findings(see, surveyed, number):
    hood = surveyed("FH-0001")
    survey = hood.surveys.get()
    Finding.objects.bulk_create(
        Finding(
            hood=hood,
            survey=survey,
            kind="note",
            check_code="light-works",
            opening_name=str(at),
            at=NOW,
            by=survey.signed_by,
        )
        for at in range(number)
    )
    see(LIST)
    with CaptureQueriesContext(connection) as asked:
        assert see(LIST).status_code == 200
    assert len(asked) <= 9, [query["sql"][:90] for query in asked]


def test_a8_a_lab_manager_reads_those_of_the_own_rooms_alone(failed, surveyed, other_room, lab_manager, signed_in):
    next_door = Finding.objects.get(hood=surveyed("FH-0800", room=other_room))
    client = signed_in(lab_manager)
    assert first_line(client.get(LIST)) == "One finding waits: one for nobody yet."
    assert "FH-0800" not in said(client.get(LIST))
    assert client.get(address("finding", next_door)).status_code == 404
    page = client.get(address("finding", failed))
    assert (page.status_code, "Keep what is arranged" in said(page)) == (200, False)
