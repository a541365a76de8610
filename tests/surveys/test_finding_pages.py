"""The pages of findings: what waits to be mended and for whom, each with its life, arranged and closed by hand."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from hoods.actions import retire_hood
from surveys.actions import findings as actions
from surveys.models import Finding, FindingChange, Survey
from tests import making, surveying
from tests.surveying import CRITERIA, SLOW, SURVEYED, entered, grid
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db
NOW = SURVEYED + timedelta(days=20)
LIST = "/findings/"
NINETY = grid(["88", "92", "89", "91", "90", "88", "92", "89", "91", "90"])
LOW = grid(["72", "73", "71", "72", "74", "71", "73", "72", "71", "71"])


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def surveyed(make_hood, version, instrument, technician, programme_manager):
    """Makes a hood and surveys it: too slow unless it is said otherwise."""

    def make(tag, readings=LOW, light="yes", **where):
        hood = make_hood(tag=tag, **where)
        surveying.assign(hood, version, programme_manager)
        content = entered(instrument, readings)
        content["answers"][-1]["answer"] = light
        surveying.survey(hood, content, technician)
        return hood

    return make


@pytest.fixture
def failed(surveyed):
    return Finding.objects.get(hood=surveyed("FH-0142"))


@pytest.fixture
def note(surveyed):
    return Finding.objects.get(hood=surveyed("FH-0143", readings=None, light="no"))


@pytest.fixture
def see(signed_in, technician):
    client = signed_in(technician)
    return client.get


def address(what, finding):
    return reverse(f"surveys:{what}", args=[finding.pk])


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


@pytest.mark.parametrize(
    "query", ["building=", "owner=%00", "page=99", "page=x", "closed=1&page=-1"]
)
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


# --- one finding ------------------------------------------------------------------------------------------------------


def test_its_page_tells_its_life(see, failed, instrument, technician, programme_manager):
    promised = {"owner": "Building Services", "order_number": "W-7", "promised_on": NOW.date() + timedelta(days=9)}
    actions.arrange_finding(
        finding=failed, by=programme_manager, at=SURVEYED + timedelta(days=1), words="a belt", **promised
    )
    assert first_line(see(address("finding", failed))) == (
        "Average face velocity 72 ft/min. Waits for Building Services, promised for 10 APR 2026."
    )
    surveying.survey(failed.hood, entered(instrument, SLOW), technician, SURVEYED + timedelta(days=2))
    surveying.survey(failed.hood, entered(instrument), technician, SURVEYED + timedelta(days=6))
    page = see(address("finding", failed))
    assert first_line(page) == "Average face velocity 72 ft/min. Closed on 18 MAR 2026, after 6 days."
    life = said(page).partition("Its life")[2]
    told = (
        "Opened by a signed survey: Average face velocity 72 ft/min (Ruth Okafor)",
        "Arranged: Building Services, order W-7, promised for 10 APR 2026 (Henrik Sole) a belt",
        f"Found again by a survey: 72 ft/min, from 80 ft/min to 120 ft/min by {failed.survey.version} (Ruth Okafor)",
        f"Closed by a survey that met it: 99.6 ft/min, from 80 ft/min to 120 ft/min by {failed.survey.version} (Ruth Okafor)",
    )
    places = [life.index(words) for words in told]
    assert places == sorted(places)


@pytest.fixture
def judged_by(site, programme_manager):
    """Judges a hood from a day on by another set, whose average is to be at least what is said."""

    def make(hood, least, name="Low velocity"):
        limits = [CRITERIA["limits"][0] | {"at_least": least}, *CRITERIA["limits"][1:]]
        version = surveying.make_version(site, programme_manager, name=name, document=CRITERIA | {"limits": limits})
        surveying.assign(hood, version, programme_manager)
        return version

    return make


def test_a_finding_closed_by_other_criteria_never_says_that_the_old_limit_was_met(
    see, failed, judged_by, instrument, technician
):
    judged_by(failed.hood, "60 ft/min")
    surveying.survey(failed.hood, entered(instrument, LOW), technician, SURVEYED + timedelta(days=2))
    life = said(see(address("finding", failed))).partition("Its life")[2]
    assert "Closed by a survey that met the criteria that judge it now: 72 ft/min, from 60 ft/min to 120 ft/min " in life
    assert "by Low velocity, version 1" in life
    assert "met it" not in life


def test_a_finding_found_again_by_a_stricter_limit_says_which(see, failed, judged_by, instrument, technician):
    judged_by(failed.hood, "98.5 ft/min", name="High velocity")
    surveying.survey(failed.hood, entered(instrument, NINETY), technician, SURVEYED + timedelta(days=2))
    life = said(see(address("finding", failed))).partition("Its life")[2]
    assert "Found again by a survey: 90 ft/min, from 98.5 ft/min to 120 ft/min " in life
    assert "by High velocity, version 1" in life


def test_the_page_of_a_survey_says_what_it_opened_found_again_and_closed(see, failed, instrument, technician):
    surveying.survey(failed.hood, entered(instrument, LOW), technician, SURVEYED + timedelta(days=2))
    surveying.survey(failed.hood, entered(instrument), technician, SURVEYED + timedelta(days=6))
    last = Survey.objects.order_by("record")
    told = [said(see(reverse("surveys:detail", args=[one.pk]))).partition("Findings")[2] for one in last]
    for words, did in zip(told, ("opened, closed on 18 MAR 2026", "found again, closed on 18", "closed by this survey"), strict=True):
        assert "Average face velocity 72 ft/min" in words
        assert did in words


def test_a_promised_day_that_is_past_is_said_in_the_first_line(see, failed, technician):
    actions.arrange_finding(
        finding=failed, by=technician, at=SURVEYED, owner="Building Services", promised_on=SURVEYED.date()
    )
    assert first_line(see(address("finding", failed))).endswith(
        "Waits for Building Services: promised for 12 MAR 2026, which is past."
    )


def test_it_is_arranged_from_its_page_and_the_boxes_begin_with_what_holds(see, failed, signed_in, technician):
    client = signed_in(technician)
    sent = {
        "arrange-owner": "Building Services",
        "arrange-order_number": "W-7",
        "arrange-promised_on": "2026-04-09",
        "arrange-words": "ordered",
    }
    answer = client.post(address("arrange_finding", failed), sent)
    assert (answer.status_code, answer["Location"]) == (302, address("finding", failed))
    page = see(address("finding", failed)).content.decode()
    for value in ("Building Services", "W-7", "2026-04-09"):
        assert f'value="{value}"' in page


REFUSED = [
    ("arrange_finding", {}, 422, "Nothing is said anew here"),
    ("arrange_finding", {"arrange-owner": "x" * 200}, 422, "shorten it"),
    ("arrange_finding", {"arrange-promised_on": "2026-02-31"}, 422, "This is no day"),
    ("arrange_finding", {"arrange-promised_on": "2026-03-31", "arrange-owner": "Fell"}, 422, "This day is over"),
    ("close_finding", {}, 422, "Nothing is written here"),
]


@pytest.mark.parametrize(("what", "sent", "status", "words"), REFUSED)
def test_p9_a_refusal_is_an_error_with_its_sentence_and_keeps_what_was_entered(
    note, signed_in, technician, what, sent, status, words
):
    answer = signed_in(technician).post(address(what, note), sent)
    assert (answer.status_code, words in said(answer)) == (status, True)
    assert not FindingChange.objects.exists()
    for value in sent.values():
        assert f'value="{value}"' in answer.content.decode()


def test_p9_what_is_closed_is_not_closed_again(note, signed_in, technician):
    client = signed_in(technician)
    assert client.post(address("close_finding", note), {"close-words": "a new lamp"}).status_code == 302
    answer = client.post(address("close_finding", note), {"close-words": "a new lamp"})
    assert (answer.status_code, "This finding is closed already" in said(answer)) == (409, True)
    assert FindingChange.objects.count() == 1


def test_what_failed_offers_no_closing_but_says_that_a_survey_does(see, failed, signed_in, programme_manager):
    page = signed_in(programme_manager).get(address("finding", failed))
    assert "A survey closes this finding" in said(page)
    assert "Close with this reason" not in said(page)
    answer = signed_in(programme_manager).post(address("close_finding", failed), {"close-words": "mended"})
    assert (answer.status_code, "A survey closes this finding" in said(answer)) == (422, True)


def test_what_nothing_asks_any_more_is_closed_by_the_programme_manager_from_its_page(
    failed, signed_in, technician, programme_manager
):
    retire_hood(hood=failed.hood, on=NOW.date(), why="replaced", by=programme_manager, at=NOW)
    assert "the programme manager closes it" in said(signed_in(technician).get(address("finding", failed)))
    manager = signed_in(programme_manager)
    assert "Nothing asks for this any more, so no survey will close it" in said(manager.get(address("finding", failed)))
    assert manager.post(address("close_finding", failed), {"close-words": "the hood is gone"}).status_code == 302


@pytest.mark.parametrize("what", ["arrange_finding", "close_finding"])
def test_read_again_after_a_refusal_it_is_the_page_of_the_finding(see, failed, what):
    assert see(address(what, failed))["Location"] == address("finding", failed)


# --- on other pages ---------------------------------------------------------------------------------------------------


def test_hood_room_and_survey_tell_of_them(see, failed, room):
    link = f'href="{address("finding", failed)}"'
    for page in (
        see(reverse("surveys:hood", args=[failed.hood_id])),
        see(reverse("surveys:room", args=[room.pk])),
        see(reverse("surveys:detail", args=[failed.survey_id])),
    ):
        assert link in page.content.decode()


def test_control_where_nothing_is_open_neither_hood_nor_room_tell_of_any(see, surveyed, room):
    hood = surveyed("FH-0150", readings=None)
    for page in (see(reverse("surveys:hood", args=[hood.pk])), see(reverse("surveys:room", args=[room.pk]))):
        assert "Open findings" not in said(page)


def test_of_a_past_day_no_findings_are_told_since_they_are_those_of_today(see, failed):
    page = see(f"{reverse('surveys:hood', args=[failed.hood_id])}?on=2026-03-13")
    assert (page.status_code, "Open findings" in said(page)) == (200, False)
