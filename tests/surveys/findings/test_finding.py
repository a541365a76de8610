"""The page of a finding, and where else it is told."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from hoods.actions import retire_hood
from surveys.actions import findings as actions
from surveys.models import FindingChange, Survey
from tests import surveying
from tests.surveying import CRITERIA, SLOW, SURVEYED, entered
from tests.surveys.findings.looked_at import LOW, NINETY, NOW, address
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db


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
    assert (
        "Closed by a survey that met the criteria that judge it now: 72 ft/min, from 60 ft/min to 120 ft/min " in life
    )
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
    for words, did in zip(
        told, ("opened, closed on 18 MAR 2026", "found again, closed on 18", "closed by this survey"), strict=True
    ):
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
