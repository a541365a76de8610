"""The first page: what next, for each role."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Building, Hood, Person, Role
from surveys import queries
from surveys.models import CriteriaVersion
from tests import making, surveying
from tests.surveys import rows
from tests.surveys.conftest import NOW, TODAY
from tests.surveys.words import first_line, plain, said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def home(signed_in):
    return lambda person: signed_in(person).get("/")


@pytest.fixture
def hoods(hood_of):
    return [
        hood_of(status, f"FH-0{number}")
        for number, status in enumerate(("met-criteria", "restricted", "do-not-use", "overdue", "retired"), start=142)
    ]


def test_a_technician_is_told_what_is_next_and_what_is_not_signed(home, technician, hoods, in_force):
    rows.draft(hoods[0], in_force, technician, TODAY)
    answer = first_line(home(technician))
    assert answer == (
        "Next: FH-0145 in North Range, room 214, overdue: it was due by 20 MAR 2026. One survey of yours is not signed."
    )
    assert "FH-0142, started on 30 MAR 2026, 11:00, nothing kept yet" in said(home(technician))


def test_a_technician_sees_only_own_drafts(home, technician, hoods, in_force, programme_manager):
    rows.draft(hoods[0], in_force, programme_manager, TODAY)
    assert "not signed" not in said(home(technician))


def test_first_comes_what_was_never_surveyed(home, technician, hoods, hood_of):
    hood_of("not-surveyed", "FH-0150")
    assert first_line(home(technician)) == "Next: FH-0150 in North Range, room 214, not yet surveyed."


@pytest.mark.parametrize(("on", "answer"), [(date(2025, 3, 30), "due today."), (date(2025, 4, 1), "due 1 APR 2026.")])
def test_what_is_due_today_or_soon(home, technician, make_hood, in_force, on, answer):
    rows.survey(make_hood(tag="FH-0151"), in_force, technician, on, approved=("working",))
    assert first_line(home(technician)) == f"Next: FH-0151 in North Range, room 214, {answer}"


def test_those_who_watch_are_told_how_it_stands(home, auditor, programme_manager, hoods):
    expected = "3 of 4 hoods may be used today, each within what its label says. One is overdue. One must not be used."
    assert [first_line(home(person)) for person in (auditor, programme_manager)] == [expected, expected]


def test_a8_a_lab_manager_is_told_of_own_rooms_alone(home, lab_manager, hoods, hood_of, other_room):
    hood_of("failed", "FH-0190", room=other_room)
    page = home(lab_manager)
    assert first_line(page) == "3 of 4 hoods of your rooms may be used today. One must not be used."
    assert "FH-0190" not in said(page)
    assert "North Range 4 " in said(page), "counts are of own rooms"
    assert "FH-0142 and FH-0145 with the sash at or below 18 in (457 mm); FH-0143" in said(page)


def test_whoever_has_no_role_is_told_whom_to_ask(home, stranger):
    assert first_line(home(stranger)) == "You have no role at any site today, so there is nothing here for you yet."


def test_hoods_that_must_not_be_used_are_told_with_their_reason(home, auditor, hoods):
    assert "FH-0144, North Range 214. Do not use, posted on 30 MAR 2026: no air is drawn in." in said(home(auditor))


def test_the_first_line_counts_as_the_lists_of_hoods_and_rooms_do(signed_in, auditor, hoods, hood_of):
    hood_of("hibernated", "FH-0147")
    hood_of("out-of-service", "FH-0148")
    client = signed_in(auditor)
    counted = "3 of 6 hoods may be used today, each within what its label says."
    for address in ("/", "/hoods/", "/rooms/"):
        assert first_line(client.get(address)).startswith(counted), address
    assert "lists also the two that wait for their repair" in said(client.get("/"))


def test_a_stopped_hood_can_be_surveyed_again_from_here(home, technician, auditor, hoods):
    again = "/surveys/start/?hood=FH-0144"
    assert again in home(technician).content.decode()
    assert again not in home(auditor).content.decode()


def part(response, name: str) -> str:
    """The words of one part of the page, by its heading; empty where the page has no such part."""
    sections = response.content.decode().split("<section ")
    found = [section for section in sections if f">{name}</h2>" in section]
    return plain("<section " + found[0].partition("</section>")[0]) if found else ""


def test_what_is_due_soon_is_told_by_building_in_walking_order(home, technician, site, hood_of, make_hood, in_force):
    """Two buildings; within each by room and place. What is due later than in 30 days is counted, not listed."""
    mill = Building.objects.create(site=site, name="Mill House", order=0)
    Building.objects.filter(name="North Range").update(order=1)
    dry = making.make_room(mill, "0.03")
    for tag, room, on in (
        ("FH-0160", None, date(2025, 4, 20)), ("FH-0161", None, date(2025, 3, 20)),
        ("FH-0162", dry, date(2025, 4, 29)), ("FH-0163", dry, date(2025, 4, 30)),
    ):  # fmt: skip
        hood = make_hood(tag=tag, **({"room": room} if room else {}))
        rows.survey(hood, in_force, technician, on, approved=("working",))
    page = home(technician)
    assert first_line(page).startswith("Next: FH-0161 in North Range"), "the most pressing one"
    told = part(page, "Due and overdue")
    assert "Until 29 APR 2026, in walking order:" in told
    assert list(dict.fromkeys(re.findall(r"Mill House(?= FH)|North Range(?= FH)|FH-\d+", told))) == [
        "Mill House", "FH-0162", "North Range", "FH-0160", "FH-0161",
    ]  # fmt: skip


def test_a_lab_manager_has_what_fails_since_when_and_the_paper_at_hand(home, lab_manager, hood_of, room):
    passed, failed, restricted = (
        hood_of(status, tag)
        for status, tag in (("met-criteria", "FH-0142"), ("failed", "FH-0143"), ("restricted", "FH-0144"))
    )
    hood_of("not-surveyed", "FH-0145")
    page = home(lab_manager)
    told = part(page, "Your rooms")
    assert "FH-0142 Met criteria 12 MAR 2026 – Certificate (PDF)" in told
    assert (
        "FH-0143 Do not use 12 MAR 2026 The survey of 12 MAR 2026 found that the criteria are not met. Report (PDF)"
        in told
    )
    assert (
        "FH-0144 Restricted 12 MAR 2026 Restricted to 12 in (304 mm). Not for highly toxic materials Certificate"
        in told
    )
    assert "FH-0145 Not yet surveyed" in told
    for hood in (passed, failed, restricted):
        assert f"/surveys/{hood.surveys.get().pk}/certificate.pdf" in page.content.decode()


def test_an_auditor_is_led_to_no_year_before_the_first_survey(home, auditor, technician, make_hood, in_force):
    assert re.findall(r"The year \d{4}", part(home(auditor), "To check")) == ["The year 2026"]
    rows.survey(make_hood(), in_force, technician, date(2024, 10, 21))
    assert re.findall(r"The year \d{4}", part(home(auditor), "To check")) == [
        "The year 2026", "The year 2025", "The year 2024",
    ]  # fmt: skip


def test_an_auditor_has_the_years_and_certificates_by_search(home, auditor, hoods, technician, make_hood, in_force):
    rows.survey(make_hood(tag="FH-0160"), in_force, technician, date(2020, 3, 2))
    page = home(auditor)
    told = part(page, "To check")
    for words in ("The year 2026", "The year 2023", "Criteria and their sources", "Find certificates"):
        assert words in told
    assert 'action="/certificates/"' in page.content.decode()
    assert not part(page, "Waits for a decision")
    assert not part(page, "Your rooms")


def test_a_programme_manager_has_what_waits_for_a_decision(
    home, programme_manager, technician, hood_of, site, in_force
):
    assert part(home(programme_manager), "Waits for a decision") == "Waits for a decision Nothing."
    stopped = hood_of(
        "do-not-use", "FH-0142"
    )  # its sign not said to hang; judged by no criteria as it was never assigned
    surveying.assign(hood_of("met-criteria", "FH-0143"), in_force, programme_manager)
    CriteriaVersion.objects.create(set=in_force.set, number=2, content="{}")
    Person.objects.filter(pk=technician.pk).update(password="!never set")
    told = part(home(programme_manager), "Waits for a decision")
    for words in (
        "On 1 hood ‘Do not use’ is posted and nobody has said that the sign hangs. Look",
        "1 hood is judged by no criteria: choose a set for it.",
        "1 draft of criteria is not adopted.",
        "The calibration of 1 instrument is over or ends within 30 days.",
        "1 person who was invited has set no password yet.",
    ):
        assert words in told
    stopped.stops.get().changes.create(kind="hung", at=NOW, by=technician)
    assert "sign hangs" not in part(home(programme_manager), "Waits for a decision")
    assert "People and roles" in part(home(programme_manager), "People and settings")


def test_roles_add_up(home, lab_manager, site, hoods, room, other_room, hood_of):
    """A lab manager who also surveys and audits has the parts of all three; the rooms stay the own ones."""
    hood_of("failed", "FH-0190", room=other_room)
    for role in ("technician", "auditor", "programme-manager"):
        Role.objects.create(person=lab_manager, site=site, role=role, from_on=making.ON)
    page = home(lab_manager)
    for name in ("Your rooms", "To check", "Due and overdue", "Waits for a decision", "People and settings"):
        assert part(page, name), name
    assert "FH-0190" not in part(page, "Your rooms")
    assert "FH-0190" in said(page)


@pytest.mark.parametrize("number", [1, 5, 50])
@pytest.mark.parametrize("who", ["technician", "lab_manager", "programme_manager"])
def test_f1_the_same_queries_for_any_number_of_hoods(request, signed_in, hood_of, in_force, number, who):
    person = request.getfixturevalue(who)
    kinds = ("met-criteria", "restricted", "do-not-use", "overdue", "out-of-service")
    for at in range(number):
        hood = hood_of(kinds[at % len(kinds)])
        if at % 2 == 0:
            rows.draft(hood, in_force, person, TODAY)
    client = signed_in(person)
    client.get("/")
    with CaptureQueriesContext(connection) as asked:
        assert client.get("/").status_code == 200
    with CaptureQueriesContext(connection) as judging:
        queries.statuses(Hood.objects.all(), TODAY)
    assert len(asked) - len(judging) == (4 if who == "lab_manager" else 5), [query["sql"][:90] for query in asked]
    assert len(asked) <= 12


def test_whoever_has_roles_at_two_sites_chooses_between_them(signed_in, technician, hoods):
    far = making.make_site("Far Institute")
    Role.objects.create(person=technician, site=far, role="auditor", from_on=making.ON)
    client = signed_in(technician)
    here = said(client.get("/"))
    assert "Another site Far Institute" in here or "Another site Skua Institute" in here
    client.post("/site/choose/", {"site": far.pk})
    assert first_line(client.get("/")) == "No hood is in the register yet."
