"""What the pages of a survey say once something later overtook it: a stop, a failure, a change of the hood, another survey."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from hoods import actions
from surveys import queries
from surveys.actions.drafts import start_draft
from surveys.actions.stops import post_stop
from surveys.actions.transcribing import start_transcription
from tests import surveying
from tests.surveying import SLOW, entered
from tests.surveys.conftest import NOW, TODAY
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")
DAY = timedelta(days=1)
ASKED = "The ‘Do not use’ sign is taken down"
LIFTS_NOTHING = "This survey was measured before what bars the hood: it lifts nothing of that."
ONCE_DOWN = "once its sign is down"


@pytest.fixture
def ready(hood, version, programme_manager):
    surveying.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def paper(ready, instrument, technician):
    """A survey from paper of so many days ago, typed in and not signed."""

    def make(days, readings=None):
        draft = start_transcription(
            hood=ready,
            measured_on=TODAY - days * DAY,
            measured_by="Lena Orth",
            by=technician,
            at=NOW - timedelta(hours=1),
        )
        surveying.save(draft, entered(instrument, readings), technician, NOW - timedelta(minutes=30))
        return draft

    return make


@pytest.fixture
def reader(signed_in, technician):
    client = signed_in(technician)
    return lambda name, draft: client.get(reverse(f"surveys:{name}", args=[draft.pk]))


def stopped(hood, technician, days):
    return post_stop(hood=hood, reason="glass-broken", by=technician, at=NOW - days * DAY)


def failed(hood, instrument, technician, days):
    return surveying.survey(hood, entered(instrument, SLOW), technician, NOW - days * DAY)


# --- before it is signed --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("posted", "asks"), [(2, False), (3, False), (4, True)], ids=["later", "that day", "before"])
def test_paper_from_before_a_stop_asks_for_no_sign_and_says_that_it_lifts_nothing(
    ready, paper, technician, reader, posted, asks
):
    stopped(ready, technician, posted)
    draft = paper(3)
    page, review = said(reader("detail", draft)), said(reader("review", draft))
    assert (ASKED in review) is (ONCE_DOWN in page) is asks
    assert (LIFTS_NOTHING in page) is (LIFTS_NOTHING in review) is not asks
    surveying.sign(draft, technician, NOW, sign_taken_down=True)
    assert ready.stops.up().exists() is not asks, "and so it is"


def test_paper_between_two_stops_asks_for_the_older_and_lifts_nothing_of_the_newer(ready, paper, technician, reader):
    stopped(ready, technician, 5)
    stopped(ready, technician, 1)
    review = said(reader("review", paper(3)))
    assert ASKED in review
    assert LIFTS_NOTHING in review


@pytest.mark.parametrize(("on", "says"), [(2, True), (4, False)], ids=["later", "before"])
def test_paper_from_before_a_failure_says_that_it_lifts_nothing(ready, paper, instrument, technician, reader, on, says):
    failed(ready, instrument, technician, on)
    draft = paper(3)
    assert (LIFTS_NOTHING in said(reader("review", draft))) is says
    surveying.sign(draft, technician, NOW)
    assert (queries.status_of(ready, TODAY).code == "do-not-use") is says


@pytest.mark.parametrize(("on", "says"), [(2, True), (4, False)], ids=["later", "before"])
def test_paper_from_before_the_survey_that_holds_says_that_it_changes_nothing(
    ready, paper, instrument, technician, reader, on, says
):
    surveying.survey(ready, entered(instrument), technician, NOW - on * DAY)
    draft = paper(3)
    page = said(reader("detail", draft))
    assert ("measured before what holds today, and changes nothing of it" in page) is says
    assert ("That holds until this survey is signed." in page) is not says


def test_a_survey_of_today_asks_for_the_sign_as_ever(ready, instrument, technician, reader):
    stopped(ready, technician, 1)
    draft = start_draft(hood=ready, by=technician, at=NOW - timedelta(hours=1))
    surveying.save(draft, entered(instrument), technician, NOW - timedelta(minutes=30))
    assert ASKED in said(reader("review", draft))
    page = said(reader("detail", draft))
    assert ONCE_DOWN in page
    assert LIFTS_NOTHING not in page


# --- after it is signed ---------------------------------------------------------------------------------------------------

UNFINISHED = [["98", None, "95", "97", "100"], ["103", "99", "103", "98", "102"]]
OFFERS = ("Label (PDF)", "Label put on", "The label is on the hood")


def changed(hood, instrument, by):
    actions.change_hood(hood=hood, kind="high-performance", by=by, at=NOW - 2 * DAY)


LATER = {  # what came after the paper of three days ago: what is done, what holds of the hood today
    "a stop": (lambda hood, instrument, by: stopped(hood, by, 2), "Do not use Do not use, posted on 28 MAR 2026: the glass is broken."),
    "a failure": (
        lambda hood, instrument, by: failed(hood, instrument, by, 2),
        "Do not use The survey of 28 MAR 2026 found that the criteria are not met.",
    ),
    "a change": (
        changed,
        "Not yet surveyed The kind of this hood was changed since it was measured, which ended every approval.",
    ),
    "another survey": (
        lambda hood, instrument, by: surveying.survey(hood, entered(instrument), by, NOW - 2 * DAY),
        "Met criteria The survey of 28 MAR 2026 found the criteria met.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("later", LATER)
def test_a_signed_survey_that_was_overtaken_says_first_what_holds_today_and_offers_no_label(
    ready, paper, instrument, technician, reader, later
):
    happens, stands = LATER[later]
    happens(ready, instrument, technician)
    survey = surveying.sign(paper(3), technician, NOW)
    page = reader("detail", survey)
    assert first_line(page) == (
        f"The hood today: {stands} The survey of 27 MAR 2026: Certificate of survey. "
        "Approved then: working, 18 in (457 mm) above the airfoil."
    )
    assert not [one for one in OFFERS if one in said(page)]
    assert f"number {survey.label_issue}, which does not hold today" in said(page)


def test_a_signed_survey_that_holds_says_what_it_found_and_offers_its_label(ready, paper, technician, reader):
    page = reader("detail", surveying.sign(paper(3), technician, NOW))
    assert first_line(page) == "Certificate of survey. Approved: working, 18 in (457 mm) above the airfoil."
    assert all(one in said(page) for one in OFFERS)
    assert "does not hold" not in said(page)


def test_a_failure_is_told_first_of_its_own_survey_and_a_later_pass_first_of_it(ready, instrument, technician, reader):
    survey = failed(ready, instrument, technician, 5)
    assert first_line(reader("detail", survey)) == "Survey report: criteria not met."
    surveying.survey(ready, entered(instrument), technician, NOW - 2 * DAY)
    assert first_line(reader("detail", survey)).startswith("The hood today: Met criteria The survey of 28 MAR 2026")


def test_a_survey_without_a_verdict_says_nothing_of_the_hood_and_an_amended_one_who_took_its_place(
    ready, instrument, technician, reader
):
    none = surveying.survey(ready, entered(instrument, UNFINISHED), technician, NOW - 2 * DAY)
    assert first_line(reader("detail", none)) == "Survey report: no verdict."
    wrong = surveying.survey(ready, entered(instrument), technician, NOW - DAY)
    right = start_draft(hood=ready, by=technician, at=NOW - timedelta(hours=1))
    surveying.save(right, entered(instrument), technician, NOW - timedelta(minutes=30))
    surveying.sign(right, technician, NOW, amends=wrong, why="of another hood")
    assert first_line(reader("detail", wrong)).startswith("Superseded: Certificate of survey.")
