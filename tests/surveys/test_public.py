"""The page behind a label: what a stranger may know, and no more."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hoods.actions.hood import replace_code
from surveys.views import public
from tests.surveys import rows
from tests.surveys.conftest import NOW, STATUSES
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")

ANSWERS = {
    "met-criteria": "Met its criteria on 12 MAR 2026 with the sash at or below 18 in (457 mm).",
    "overdue": "Met its criteria on 20 MAR 2025 with the sash at or below 18 in (457 mm).",
    "restricted": "Restricted: sash at or below 12 in (304 mm), and not for highly toxic materials.",
    "do-not-use": "Do not use this hood.",
    "failed": "Do not use this hood.",
    "out-of-service": "Out of service: do not use.",
    "hibernated": "Hibernated: do not use.",
    "not-surveyed": "Not yet surveyed: do not use until commissioned.",
    "retired": "Retired: do not use.",
}


@pytest.fixture
def scan():
    return lambda hood, issue="": Client().get(f"/H/{hood.code}{issue and f'/{issue}'}")


def test_a_hood_without_a_valid_label_says_so_first(scan, hood_of):
    response = scan(hood_of("unlabelled"))
    answer = "Do not use this hood yet."
    assert first_line(response) == answer
    told = (
        "It has no valid label: the stop and its mark were not confirmed at 12 in (304 mm). Take the old label off. "
        "Do not use it until it is labelled; ask the safety office."
    )
    assert f"{answer} {told}" in said(response)
    assert told not in said(scan(hood_of("restricted")))


def test_an_instrument_in_doubt_is_explained(scan, hood_of, technician):
    hood = hood_of("met-criteria")
    assert "out of tolerance" not in said(scan(hood))
    rows.out_of_tolerance(hood.surveys.get().instrument, technician, date(2026, 3, 20))
    assert (
        "Instrument in doubt The instrument of the test on 12 MAR 2026 was found out of tolerance on 20 MAR 2026: its "
        "readings may be wrong, and the hood is to be surveyed again."
    ) in said(scan(hood))


@pytest.mark.parametrize("status", STATUSES)
def test_todays_status_comes_first(scan, hood_of, status):
    assert first_line(scan(hood_of(status))) == ANSWERS[status]


def test_it_says_the_last_test_whom_to_call_and_what_to_do(scan, hood_of):
    words = said(scan(hood_of("failed")))
    for told in (
        "Last test 12 MAR 2026: not met",
        "Questions Safety office, 4100",
        "stop; lower the sash if you need not reach in; step away; call 4100.",
        "Step away, close the door, call 4444.",
        "Meeting criteria does not guarantee containment.",
        "Shown on 30 MAR 2026, 10:12 (Europe/London).",
    ):
        assert told in words
    assert "Last test 12 MAR 2026: met" in said(scan(hood_of("met-criteria")))
    assert "Next survey due 12 MAR 2027" in said(scan(hood_of("met-criteria")))
    assert "Overdue since 21 MAR 2026" in said(scan(hood_of("overdue")))


@pytest.mark.parametrize("status", STATUSES)
def test_l14_no_persons_name_or_words_are_on_it(scan, hood_of, room, status):
    """L14: a stranger sees the state of the hood and nothing about people; free words may hold names."""
    room.responsible = "Asel Brandt"
    room.save()
    page = scan(hood_of(status)).content.decode()
    for private in ("Ruth", "Okafor", "Henrik", "Asel", "Brandt", "@skua", "RO", "damper shut"):
        assert private not in page.replace("<meta", "").replace("ROOM", "")


def test_l14_control_a_signed_in_page_does_name_them(signed_in, technician, hood_of):
    page = signed_in(technician).get(f"/hoods/{hood_of('do-not-use').pk}/").content.decode()
    assert "Ruth Okafor" in page
    assert "damper shut" in page


@pytest.mark.parametrize("code", ["7KQM4T2R", "AAAAAAAA", "no-such", "12", "%00", "FH-0142", "..", "' OR 1=1"])
def test_l14_an_unknown_code_is_a_plain_404(db, code):
    response = Client().get(f"/H/{code}")
    assert response.status_code == 404
    assert "Nothing at this address" in said(response)


def test_a_code_is_read_in_any_case_with_spaces_and_dashes(hood_of):
    code = hood_of("met-criteria").code
    for typed in (code.lower(), f"{code[:4]} {code[4:]}", f"{code[:4]}-{code[4:].lower()}", f"{code}/"):
        for start in ("/H/", "/h/"):
            assert Client().get(start + typed).status_code == 200


def test_an_outdated_label_is_told_to_be_removed(scan, hood_of, in_force, technician):
    hood = hood_of("met-criteria")
    assert "no longer valid" not in said(scan(hood, 1))
    rows.survey(hood, in_force, technician, date(2026, 3, 20), approved=("working",))
    assert "This label is no longer valid: remove it." in said(scan(hood, 1))
    assert "no longer valid" not in said(scan(hood, 2))
    assert "No label with this issue number was given to this hood." in said(scan(hood, 3))
    assert "no longer valid" not in said(scan(hood))


def test_a_label_that_a_stop_suspends_is_not_to_be_gone_by(scan, hood_of):
    assert "The label that you scanned does not hold now." in said(scan(hood_of("do-not-use"), 1))


def test_a_replaced_code_leads_to_the_present_hood(hood_of, programme_manager):
    hood = hood_of("met-criteria")
    before = hood.code
    hood = replace_code(hood=hood, by=programme_manager, at=NOW, why="label lost")
    words = said(Client().get(f"/H/{before}/1"))
    assert f"The code {before} was replaced. It leads to hood {hood.tag}, whose code is now {hood.code}." in words


def test_l15_guessing_codes_is_slowed_down_and_gives_no_right(hood_of, signed_in, lab_manager, other_room):
    """L15: codes that lead nowhere soon end in refusals; a known code opens no other page."""
    hood = hood_of("met-criteria", room=other_room)
    assert signed_in(lab_manager).get(f"/hoods/{hood.pk}/").status_code == 404
    answers = [Client().get(f"/H/AAAAAAA{last}").status_code for last in "23456789ABCDEFGH"]
    assert answers == [404] * 12 + [429] * 4
    blocked = Client().get(f"/H/{hood.code}")
    assert (blocked.status_code, blocked["Retry-After"]) == (429, "60")
    assert "Until then go by the label or sign on the hood" in said(blocked)
    assert Client().get(f"/H/{hood.code}", REMOTE_ADDR="192.0.2.7").status_code == 200
    with time_machine.travel(NOW + timedelta(minutes=1), tick=False):
        assert Client().get(f"/H/{hood.code}").status_code == 200


def test_l15_control_without_the_limit_guessing_goes_on(db, monkeypatch):
    monkeypatch.setattr(public, "ALLOWED", 10**6)
    assert {Client().get(f"/H/AAAAAAA{last}").status_code for last in "23456789ABCDEFGHJKMN"} == {404}


def test_l15_a_round_of_scans_is_not_held_up(hood_of):
    hood = hood_of("met-criteria")
    assert {Client().get(f"/H/{hood.code}").status_code for _ in range(60)} == {200}


def test_it_reads_without_writing_or_opening_a_transaction(scan, hood_of):
    hood = hood_of("met-criteria")
    with CaptureQueriesContext(connection) as asked:
        scan(hood)
    assert {query["sql"].split()[0] for query in asked} == {"SELECT"}
    assert len(asked) <= 12


def test_only_reading_is_answered(hood):
    assert Client().post(f"/H/{hood.code}").status_code == 405


def test_t1_days_are_those_of_the_site(scan, make_hood, in_force, technician, site):
    """T1: signed at 23:30 on 31 DEC where the hood stands, which is 1 JAN in UTC: the survey is of the old year."""
    site.time_zone = "America/New_York"
    site.save()
    hood = make_hood()
    at = datetime(2026, 1, 1, 4, 30, tzinfo=UTC)
    rows.survey(hood, in_force, technician, date(2025, 12, 31), measured_from=at, measured_until=at, signed_at=at)
    assert first_line(scan(hood)).startswith("Met its criteria on 31 DEC 2025")
