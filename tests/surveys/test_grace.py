"""Days of grace are shown beside 'overdue' on every page that says it, and never in its place; a moved hood waits."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest

from hoods.models import HoodEvent
from surveys.core.due import next_due
from surveys.templatetags.ledger import plain_day
from tests.surveys import rows
from tests.surveys.conftest import TODAY
from tests.surveys.words import plain, said

pytestmark = pytest.mark.usefixtures("now")

DONE = TODAY - timedelta(days=375)  # due some days ago


@pytest.fixture
def graced(site, programme_manager, technician, make_hood):
    """An overdue hood of a site that allows so many days of grace."""

    def make(days: str, **fields):
        hood = make_hood(**fields)
        version = rows.criteria(site, programme_manager, name=f"Grace {days}", due={"grace_days": days})
        rows.assign(hood, version, programme_manager)
        rows.survey(hood, version, technician, DONE)
        return hood

    return make


def addresses(hood) -> dict[str, str]:
    room = hood.placements.get().room
    return {
        "hood": f"/hoods/{hood.pk}/", "room": f"/rooms/{room.pk}/", "building": f"/buildings/{room.building_id}/",
        "public": f"/H/{hood.code}", "due": "/due/", "home": "/", "list": "/hoods/", "year": "/year/",
    }  # fmt: skip


PAGES = ("hood", "room", "building", "public", "due", "home", "list", "year")


@pytest.mark.parametrize("page", PAGES)
def test_grace_is_said_beside_overdue_on_every_page(signed_in, technician, programme_manager, graced, page):
    hood = graced("30")
    words = said(signed_in(programme_manager).get(addresses(hood)[page], follow=True))
    until = next_due(DONE, {"months": "12", "grace_days": "30"}).grace_until
    assert f"in grace until {plain_day(until)}" in words
    assert re.search("[Oo]verdue|was due", words)


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("days", ["0", "3"], ids=["none", "over"])
def test_no_grace_is_said_where_there_is_none_or_it_is_over(signed_in, programme_manager, graced, page, days):
    words = said(signed_in(programme_manager).get(addresses(graced(days))[page], follow=True))
    assert re.search("[Oo]verdue|was due", words)
    assert "in grace until" not in words


def test_the_first_line_of_a_technician_says_grace_too(signed_in, technician, graced):
    graced("30")
    assert re.search(r"overdue: it was due by [^.]*, in grace until", said(signed_in(technician).get("/")))


def moved(hood, by, on: date, kind: str = "moved") -> None:
    HoodEvent.objects.create(hood=hood, kind=kind, on=on, at=datetime(on.year, on.month, on.day, 12, tzinfo=UTC), by=by)


@pytest.mark.parametrize("kind", ["moved", "woken"])
def test_a_hood_not_surveyed_since_it_was_moved_or_woken_waits_and_is_not_overdue(
    signed_in, programme_manager, graced, kind
):
    late, hood = graced("0"), graced("1")
    moved(hood, programme_manager, DONE + timedelta(days=30), kind)
    client = signed_in(programme_manager)
    words = said(client.get("/due/"))
    assert "One survey is overdue. One hood waits for a survey before use." in words
    assert f"{hood.tag}" in words
    assert f"{late.tag}" in words
    assert "was due by" not in said(client.get(f"/hoods/{hood.pk}/"))
    home = plain(client.get("/").content.decode())
    assert "One is overdue." in home
