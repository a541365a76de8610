"""The first page where there are many: as many rows as a page holds, how many there are, and where the others stand."""

from __future__ import annotations

import re

import pytest

from hoods.models import Role
from hoods.models.people import LAB_MANAGER
from surveys.models import Stop
from tests import making
from tests.surveys.conftest import NOW, TODAY
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")


def test_of_hoods_that_must_not_be_used_the_first_are_told_and_all_are_counted(
    signed_in, auditor, make_hood, technician
):
    hoods = [make_hood() for _ in range(26)]
    Stop.objects.bulk_create(
        Stop(hood=hood, reason="no-flow", words="damper shut", at=NOW, by=technician) for hood in hoods
    )
    client = signed_in(auditor)
    page = client.get("/")
    assert len(re.findall("no air is drawn in", page.content.decode())) == 24
    assert first_line(page).endswith("26 must not be used.")
    assert 'href="/hoods/?show=stopped">All 26 that must not be used</a>' in page.content.decode()
    Stop.objects.all()[0].changes.create(kind="withdrawn", why="The wrong hood.", at=NOW, by=technician)
    Stop.objects.all()[1].changes.create(kind="withdrawn", why="The wrong hood.", at=NOW, by=technician)
    assert "that must not be used</a>" not in client.get("/").content.decode(), "they all stand here"


def test_buildings_come_a_hundred_on_a_page_and_are_summed_whole(signed_in, auditor, site, make_hood):
    for number in range(101):
        make_hood(room=making.make_room(making.make_building(site, f"Range {number:03}"), "1"))
    client = signed_in(auditor)
    pages = [said(client.get("/", {"buildings": number})) for number in ("1", "2", "9", "x", "-1")]
    assert [len(set(re.findall(r"Range \d{3} 1 – 1", page))) for page in pages] == [100, 1, 1, 100, 1]
    assert all("Skua Institute 101 – 101" in page for page in pages), "the sum is of all"
    assert "Page 1 of 2: buildings 1 to 100 of 101" in pages[0]
    assert "Page 2 of 2: buildings 101 to 101 of 101" in pages[1]


def test_a_lab_managers_rooms_come_a_hundred_hoods_on_a_page(signed_in, lab_manager, site, building, make_hood):
    for number in range(11):
        room = making.make_room(building, f"3.{number:02}")
        Role.objects.create(person=lab_manager, site=site, role=LAB_MANAGER, room=room, from_on=TODAY)
        for _ in range(10):
            make_hood(room=room)
    client = signed_in(lab_manager)
    first, second = client.get("/"), client.get("/", {"rooms": "2"})
    assert [
        len(set(re.findall(r"Hoods of North Range (3\.\d\d)", page.content.decode()))) for page in (first, second)
    ] == [10, 1]
    assert "Page 1 of 2: hoods 1 to 100 of 110" in said(first)
    assert 'rel="next" href="?rooms=2"' in first.content.decode()
    assert first_line(second) == "0 of 110 hoods of your rooms may be used today.", "the first line is of all rooms"
