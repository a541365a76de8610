"""The room page: which hoods may I use today, and how high may the sash be?"""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import agreement, making
from tests.surveys import rows
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def page(signed_in, technician, room):
    client = signed_in(technician)
    return lambda query="": client.get(f"/rooms/{room.pk}/{query}")


def test_the_first_line_says_which_hoods_and_how_high_the_sash(page, hood_of):
    hood_of("met-criteria", "FH-0142")
    hood_of("restricted", "FH-0143")
    hood_of("do-not-use", "FH-0144")
    hood_of("overdue", "FH-0145")
    assert first_line(page()) == (
        "Use three of four hoods today: FH-0142 and FH-0145 with the sash at or below 18 in (457 mm) and "
        "FH-0143 with the sash at or below 12 in (304 mm), not for highly toxic materials."
    )
    assert "Leave the other one closed. FH-0145 is overdue: its survey was due by 20 MAR 2026." in said(page())
    assert "Sash heights are above the airfoil." in said(page())
    assert "The criteria let it be used until 19 APR 2026, then not." in said(page())


@pytest.mark.parametrize(
    ("statuses", "answer"),
    [
        ((), "No hood stands in this room."),
        (("met-criteria",), "Use the hood of this room today: FH-0142 with the sash at or below 18 in (457 mm)."),
        (("failed",), "Do not use the hood of this room today."),
        (("failed", "hibernated"), "Use none of the hoods of this room today."),
        (("met-criteria", "met-criteria"), "Use both hoods today: FH-0142 and FH-0143 with the sash at or below 18 in (457 mm)."),
    ],
)  # fmt: skip
def test_the_first_line_of_other_rooms(page, hood_of, statuses, answer):
    for number, status in enumerate(statuses, start=142):
        hood_of(status, f"FH-0{number}")
    assert first_line(page()) == answer


def test_a_hood_without_a_valid_label_is_left_closed_and_says_why(page, hood_of):
    hood_of("met-criteria", "FH-0142")
    hood_of("unlabelled", "FH-0143")
    response = page()
    assert first_line(response) == "Use one of two hoods today: FH-0142 with the sash at or below 18 in (457 mm)."
    closed = said(response).partition("Leave closed")[2]
    assert "FH-0142" not in closed
    assert "the stop and its mark were not confirmed at 12 in (304 mm). Take the old label off." in closed
    assert agreement.in_a_list(response, "FH-0143") == ("Restricted", None, ())


def test_a_hood_without_a_sash_is_never_told_to_be_closed(page, hood_of):
    hood_of("met-criteria", "FH-0142")
    hood_of("failed", "FH-0143", sash="none")
    response = page()
    assert "Keep away from FH-0143: it has no sash to close." in said(response)
    assert "closed" not in said(response).partition("FH-0142 with the sash")[2].partition("For the door")[0]
    _, group, rest = said(response).partition("Keep away: no sash to close FH-0143")
    assert group, "a group of its own"
    assert "no sash: keep away" in rest
    hood_of("failed", "FH-0144")
    response = page()
    assert "Leave the other one closed. Keep away from FH-0143: it has no sash to close." in said(response)
    closed = said(response).partition("Leave closed FH-0144")[2]
    assert "closed" in closed.partition("Keep away: no sash to close")[0], "the same with a sash"


def test_the_heading_of_how_far_a_hood_may_be_open_holds_for_each_kind_of_sash(page, hood_of):
    hood_of("met-criteria", "FH-0142")
    hood_of("met-criteria", "FH-0143", sash="none")
    heading, rows_told = "Hood Status How far open Since Survey due", said(page())
    assert heading in rows_told
    assert "no sash: opening ‘working’, 18 in (457 mm) high" in rows_told


def test_retired_hoods_are_not_told(page, hood_of):
    hood_of("retired", "FH-0139")
    assert "FH-0139" not in said(page())


def test_its_print_carries_date_and_time_and_what_decides(page, hood_of):
    hood_of("met-criteria")
    assert (
        "Printed 30 MAR 2026, 10:12 (Europe/London). The label or sign on the hood decides. "
        "Replace this list after 7 days: by 6 APR 2026."
    ) in said(page())


def test_a_past_day_says_what_stood_then(page, hood_of, in_force, technician):
    hood = hood_of("failed", "FH-0144")
    rows.survey(hood, in_force, technician, date(2025, 3, 1), approved=("working",))
    answer = first_line(page("?on=2026-03-11"))
    assert answer == "As it stood on 11 MAR 2026, one of one could be used: FH-0144 with the sash at or below 18 in (457 mm)."
    assert "for the door" not in said(page("?on=2026-03-11")).replace("not for the door", "")
    assert "Print this list for the door" in said(page()), "today's list is for it"


@pytest.mark.parametrize(
    ("asked", "refusal"),
    [
        ("soon", "“soon” is not a day. Write year, month, day, such as 2026-03-30."),
        ("2026-02-30", "“2026-02-30” is not a day. Write year, month, day, such as 2026-03-30."),
        ("2026-04-01", "2026-04-01 is still to come. Ask for today or a day that has been."),
    ],
)
def test_a_day_that_cannot_be_asked_for_is_refused_in_words_and_kept(page, hood, asked, refusal):
    response = page(f"?on={asked}")
    assert response.status_code == 422
    assert refusal in said(response)
    assert f'value="{asked}"' in response.content.decode()


def test_t10_the_day_changes_at_midnight_of_the_site(signed_in, technician, room, hood_of):
    """Due on 20 MAR, used until 19 APR: in London, an hour ahead of UTC by then, the day ends at 23:00 UTC."""
    hood_of("overdue", "FH-0145")
    answers = []
    for moment in (datetime(2026, 4, 19, 22, 59, 59, tzinfo=UTC), datetime(2026, 4, 19, 23, 0, 1, tzinfo=UTC)):
        with time_machine.travel(moment, tick=False):
            answers.append(first_line(signed_in(technician).get(f"/rooms/{room.pk}/")))
    assert answers == [
        "Use the hood of this room today: FH-0145 with the sash at or below 18 in (457 mm).",
        "Do not use the hood of this room today.",
    ]


def test_t11_the_zone_of_the_site_is_named(db, signed_in):
    """A site that is neither where the server nor where the reader is."""
    site = making.make_site("Far Institute", time_zone="Pacific/Auckland")
    room = making.make_room(making.make_building(site, "Shore House"))
    reader = making.make_person("Tova Berg", site, "technician")
    assert "Printed 30 MAR 2026, 22:12 (Pacific/Auckland)" in said(signed_in(reader).get(f"/rooms/{room.pk}/"))


def test_a2_a8_a_lab_manager_sees_own_rooms_alone(signed_in, lab_manager, room, other_room, make_hood):
    make_hood(tag="FH-0142")
    make_hood(tag="FH-0190", room=other_room)
    client = signed_in(lab_manager)
    assert client.get(f"/rooms/{room.pk}/").status_code == 200
    assert client.get(f"/rooms/{other_room.pk}/").status_code == 404


def test_a2_another_sites_room_is_not_found(signed_in, technician):
    room = making.make_room(making.make_building(making.make_site("Far Institute"), "Shore House"))
    assert signed_in(technician).get(f"/rooms/{room.pk}/").status_code == 404


@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_the_same_queries_for_any_number_of_hoods(page, hood_of, number):
    kinds = ("met-criteria", "restricted", "do-not-use", "overdue", "out-of-service")
    for at in range(number):
        hood_of(kinds[at % len(kinds)])
    page()
    with CaptureQueriesContext(connection) as asked:
        assert page().status_code == 200
    assert len(asked) == 11, [query["sql"][:90] for query in asked]
