"""A past day on the pages of hood, room and building: as it stood then, said first, and nothing that acts today."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.urls import reverse

from hoods.actions.hood import move_hood
from surveys.actions.stops import post_stop, withdraw_stop
from surveys.models import Stop
from tests import making, pages
from tests.surveys import rows
from tests.surveys.conftest import NOW
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def see(signed_in, technician):
    return signed_in(technician).get


def addresses(hood, room) -> dict[str, str]:
    return {
        "hood": f"/hoods/{hood.pk}/",
        "room": f"/rooms/{room.pk}/",
        "building": f"/buildings/{room.building_id}/",
    }


def test_each_page_says_first_that_it_is_as_it_stood(see, hood_of, in_force, technician, room):
    """Met its criteria a year ago; failed on 12 MAR 2026."""
    hood = hood_of("failed", "FH-0144")
    rows.survey(hood, in_force, technician, date(2025, 3, 1), approved=("working",))
    answers = {name: first_line(see(f"{path}?on=2026-03-01")) for name, path in addresses(hood, room).items()}
    assert answers == {
        "hood": "As it stood on 1 MAR 2026: Met its criteria: sash at or below 18 in (457 mm) above the airfoil. "
        "Next survey due 1 MAR 2026.",
        "room": "As it stood on 1 MAR 2026, one of one could be used: FH-0144 with the sash at or below 18 in (457 mm).",
        "building": "As it stood on 1 MAR 2026, 1 of 1 hood could be used, within what its label said.",
    }
    assert first_line(see(f"/hoods/{hood.pk}/?on=2026-03-12")).startswith("As it stood on 12 MAR 2026: Do not use")
    assert first_line(see(f"/rooms/{room.pk}/?on=2026-03-12")) == (
        "As it stood on 12 MAR 2026, no hood of this room was to be used."
    )


@pytest.mark.parametrize("who", ["technician", "lab_manager", "auditor", "programme_manager"])
@pytest.mark.parametrize("status", ["met-criteria", "do-not-use", "failed", "restricted"])
def test_nothing_on_a_past_day_acts_today(request, signed_in, hood_of, room, who, status, in_force, technician):
    """No form but the one that asks for a day, no start, no label, no sign; today's page of the same reader has them."""
    hood = hood_of(status, "FH-0144")
    rows.draft(hood, in_force, technician, date(2026, 3, 30))
    client = signed_in(request.getfixturevalue(who))
    for name, path in addresses(hood, room).items():
        past = pages.page(client.get(f"{path}?on=2026-03-29"))
        assert [form for form in past.forms if form.method == "POST"] == [], name
        acting = ("/surveys/start/", "label", "do-not-use.pdf", "stops", "sign", "data-print")
        body = client.get(f"{path}?on=2026-03-29").content.decode().partition("<main")[2]
        assert [word for word in acting if re.search(rf'(href|action)="[^"]*{word}', body)] == [], name
        assert "data-print" not in body
    if who == "technician":
        today = client.get(f"/hoods/{hood.pk}/")
        assert "/surveys/start/" in today.content.decode(), "the control: today's page does act"
        assert [form for form in pages.page(today).forms if form.method == "POST"]


@pytest.mark.parametrize(
    ("asked", "refusal"),
    [
        ("soon", "“soon” is not a day. Write year, month, day, such as 2026-03-30."),
        ("2026-02-30", "“2026-02-30” is not a day."),
        ("20260301", "“20260301” is not a day."),
        ("2026-W10-1", "“2026-W10-1” is not a day."),
        ("٢٠٢٦-٠٣-٠١", "“٢٠٢٦-٠٣-٠١” is not a day."),
        ("2026-03-31", "2026-03-31 is still to come. Ask for today or a day that has been."),
        ("9999-12-31", "9999-12-31 is still to come."),
        ("<b>1</b>", "“<b>1</b>” is not a day."),
    ],
)
@pytest.mark.parametrize("page", ["hood", "room", "building"])
def test_p9_a_day_that_cannot_be_asked_for_is_no_success_and_said_so_twice(see, hood_of, room, page, asked, refusal):
    """Below the first line, since that is today's; and at its box, with what was typed."""
    response = see(addresses(hood_of("met-criteria"), room)[page], {"on": asked})
    assert response.status_code == 422
    assert f"This is today’s page. {refusal}"[:60] in said(response)
    assert said(response).count(refusal) == 2
    assert "As it stood" not in said(response)


def test_today_asked_for_is_todays_page(see, hood_of, room):
    for path in addresses(hood_of("met-criteria"), room).values():
        response = see(path, {"on": "2026-03-30"})
        assert response.status_code == 200
        assert "As it stood" not in said(response)


def test_links_keep_the_day(see, hood_of, room):
    hood = hood_of("met-criteria")
    paths = addresses(hood, room)
    for here, there in (("building", "room"), ("building", "hood"), ("room", "hood"), ("hood", "room")):
        body = see(f"{paths[here]}?on=2026-03-20").content.decode()
        assert f'href="{paths[there]}?on=2026-03-20"' in body, (here, there)
        assert f'href="{paths[there]}"' in see(paths[here]).content.decode(), "today's links carry none"
        assert 'href="?"' in body, "the way back to today"


# --- edges of days ------------------------------------------------------------------------------------------------------


LAST = datetime(2026, 7, 1, 22, 59, 59, tzinfo=UTC)  # 23:59:59 in London, an hour ahead of UTC in summer
FIRST = datetime(2026, 7, 1, 23, 0, 1, tzinfo=UTC)  # 00:00:01 on 2 JUL there, still 1 JUL by UTC


@pytest.mark.parametrize(
    ("at", "first_day"), [(LAST, date(2026, 7, 1)), (FIRST, date(2026, 7, 2))], ids=["23:59:59", "00:00:01"]
)
def test_t9_a_stop_stands_from_the_sites_own_day_on(signed_in, hood_of, room, technician, at, first_day):
    """Posted a second before or after the site's midnight: it is up on that day, as lists, hood and building tell it."""
    hood = hood_of("met-criteria", "FH-0142")
    post_stop(hood=hood, reason="no-flow", by=technician, at=at)
    with time_machine.travel(datetime(2026, 7, 9, 12, tzinfo=UTC), tick=False):
        see = signed_in(technician).get
        for page, path in addresses(hood, room).items():
            up = [
                "Do not use" in said(see(f"{path}?on={day.isoformat()}")).replace("‘Do not use’", "")
                for day in (first_day - timedelta(days=1), first_day)
            ]
            assert up == [False, True], page


@pytest.mark.parametrize(("at", "status"), [(LAST, 422), (FIRST, 200)], ids=["23:59:59", "00:00:01"])
def test_t10_tomorrow_can_be_asked_for_from_the_sites_midnight_on(signed_in, hood_of, room, technician, at, status):
    hood = hood_of("met-criteria", "FH-0142")
    with time_machine.travel(at, tick=False):
        see = signed_in(technician).get
        for path in addresses(hood, room).values():
            assert see(f"{path}?on=2026-07-02").status_code == status


def test_t11_days_are_the_sites_wherever_the_reader_is(db, signed_in):
    """At 12:00 UTC on 30 MAR it is 01:00 on 31 MAR in Auckland, so that 31 MAR is today there and 30 MAR has been."""
    site = making.make_site("Far Institute", time_zone="Pacific/Auckland")
    room = making.make_room(making.make_building(site, "Shore House"))
    reader = making.make_person("Tova Berg", site, "technician")
    with time_machine.travel(datetime(2026, 3, 30, 12, tzinfo=UTC), tick=False):
        see = signed_in(reader).get
        assert first_line(see(f"/rooms/{room.pk}/?on=2026-03-31")) == "No hood stands in this room."
        assert first_line(see(f"/rooms/{room.pk}/?on=2026-03-30")) == (
            "As it stood on 30 MAR 2026, no hood stood in this room."
        )


def test_what_came_later_is_not_told(see, signed_in, hood_of, technician, programme_manager):
    """A stop posted on 25 MAR, its sign hung on 26, withdrawn on 28: on 25 and 27 it is up, and nothing later is known."""
    hood = hood_of("met-criteria", "FH-0142")
    stop = post_stop(
        hood=hood, reason="no-flow", words="damper shut", by=technician, at=datetime(2026, 3, 25, 9, tzinfo=UTC)
    )
    stop.changes.create(kind="hung", at=datetime(2026, 3, 26, 9, tzinfo=UTC), by=technician)
    withdraw_stop(stop=stop, why="The next hood.", by=programme_manager, at=datetime(2026, 3, 28, 9, tzinfo=UTC))
    told = {day: said(see(f"/hoods/{hood.pk}/?on=2026-03-{day}")) for day in (24, 25, 27, 28)}
    assert "damper shut" not in told[24]
    assert "Nobody had said by then that the sign hangs." in told[25]
    assert "The sign hangs, as said on 26 MAR 2026" in told[27]
    assert "Still posted." in told[27]
    assert "Withdrawn as posted by mistake" not in told[27]
    assert "Withdrawn as posted by mistake on 28 MAR 2026" in told[28]
    assert first_line(see(f"/hoods/{hood.pk}/?on=2026-03-28")).startswith(
        "As it stood on 28 MAR 2026: Met its criteria"
    )


def test_a_hood_that_was_not_here_yet_says_so(see, hood):
    response = see(f"/hoods/{hood.pk}/?on=2024-12-31")
    assert response.status_code == 200
    assert first_line(response) == (
        "As it stood on 31 DEC 2024: this hood was not here yet. It was first placed on 6 JAN 2025."
    )


def test_a8_a_hood_that_has_moved_away_is_told_of_its_old_room_but_not_linked(
    signed_in, lab_manager, programme_manager, technician, hood_of, room, other_room
):
    hood = hood_of("met-criteria", "FH-0142")
    move_hood(hood=hood, room=other_room, on=date(2026, 3, 25), by=programme_manager, at=NOW, why="bench moved")
    past = signed_in(lab_manager).get(f"/rooms/{room.pk}/?on=2026-03-20")
    assert "FH-0142" in said(past)
    assert reverse("surveys:hood", args=[hood.pk]) not in past.content.decode()
    assert "FH-0142" not in said(signed_in(lab_manager).get(f"/rooms/{room.pk}/"))
    assert (
        reverse("surveys:hood", args=[hood.pk])
        in signed_in(technician).get(f"/rooms/{room.pk}/?on=2026-03-20").content.decode()
    )


def test_a_stop_cannot_be_posted_by_way_of_a_past_day(signed_in, hood_of, technician):
    """An address with a day is only read: posting goes to an address of its own, which has none."""
    hood = hood_of("met-criteria")
    assert signed_in(technician).post(f"/hoods/{hood.pk}/?on=2026-03-20").status_code == 405
    assert not Stop.objects.exists()
