"""A canopy: never for hazardous vapours, never labelled, and said so on each page, print and mail."""

from __future__ import annotations

import pytest
import time_machine
from django.urls import reverse

from hoods.models import Hood
from surveys import queries
from surveys.actions.letters import stands
from tests import surveying
from tests.reports.downloaded import NOW, text
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db
WORDS = "Not for hazardous vapours: a canopy, for heat and steam alone."


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def canopy(ready, technician, instrument):
    """A canopy whose air meets every limit."""
    hood = ready("FH-0152", kind="canopy", sash="none")
    content = surveying.entered(instrument)
    content["answers"] = [one for one in content["answers"] if one["check"] != "sash-moves-and-stays"]
    survey = surveying.survey(hood, content, technician)
    assert (survey.verdict, survey.label_issue) == ("restrict", None)
    return hood


def today(hood: Hood):
    return queries.status_of(hood, hood.site.today())


def test_its_page_says_first_what_it_is_not_for(canopy, technicians):
    page = technicians.get(reverse("surveys:hood", args=[canopy.pk]))
    assert first_line(page).startswith(WORDS)
    assert "A canopy gets no label: it draws off heat and steam alone, never hazardous vapours." in said(page)
    assert "may be open" not in said(page)
    assert "Do not use it until it is labelled" not in said(page), "it never will be"


def test_what_the_public_sees_says_it_first(canopy, client):
    page = client.get(reverse("public_hood", args=[canopy.code]))
    assert first_line(page) == WORDS
    assert "no sash: opening" not in said(page)
    for words in ("Take any label off", "hang its sign", "Keep the sash low", "Close it when you leave", "lower the sash"):
        assert words not in said(page), words
    assert "Ask Safety office, 4100, about anything else." in said(page)
    assert "Its front is open and cannot be closed" in said(page)


def test_a_hood_with_a_sash_still_tells_the_public_to_keep_it_low(passed, client):
    page = said(client.get(reverse("public_hood", args=[passed.hood.code])))
    assert "Keep the sash low" in page
    assert "Its front is open" not in page


def test_its_signed_page_leads_to_its_sign_and_no_other_does(canopy, passed, technicians):
    for survey, leads in ((canopy.surveys.get(), True), (passed, False)):
        page = technicians.get(reverse("surveys:detail", args=[survey.pk])).content.decode()
        assert (reverse("reports:canopy_sign", args=[survey.hood_id]) in page) is leads


def test_its_room_tells_it_apart_from_hoods_that_may_be_used_and_that_stay_closed(canopy, passed, technicians):
    page = technicians.get(reverse("surveys:room", args=[canopy.placement().room_id]))
    assert first_line(page).startswith("Use one of two hoods today: ")
    assert "FH-0152: not for hazardous vapours. A canopy is for heat and steam alone, and has no label." in said(page)
    usable, _, rest = said(page).partition("Not for hazardous vapours FH-0152")
    assert rest, "a group of its own"
    assert "no sash: heat and steam alone" in rest
    assert "Leave closed" not in said(page)


def test_a_room_of_canopies_alone_has_no_hood_for_hazardous_vapours(canopy, technicians):
    page = technicians.get(reverse("surveys:room", args=[canopy.placement().room_id]))
    assert first_line(page) == "No hood of this room is for hazardous vapours."


def test_its_sign_says_it_and_no_other_hood_has_one(canopy, passed, technicians):
    sign = reverse("reports:canopy_sign", args=[canopy.pk])
    assert sign in technicians.get(reverse("surveys:hood", args=[canopy.pk])).content.decode()
    printed = text(technicians.get(sign))
    for words in (
        "NOT FOR HAZARDOUS",
        "VAPOURS",
        "FH-0152",
        "Heat and steam alone.",
        "A canopy has none.",
        canopy.code,
    ):
        assert words in printed, words
    refused = technicians.get(reverse("reports:canopy_sign", args=[passed.hood.pk]))
    assert refused.status_code == 403
    assert "This is no canopy that may be used today" in said(refused)


def test_no_label_is_printed_and_the_page_leads_to_its_sign(canopy, technicians):
    page = technicians.post(reverse("reports:label", args=[canopy.pk]))
    assert page.status_code == 403
    assert "No label is printed for a canopy: it is for heat and steam alone. Its sign says so." in said(page)
    assert reverse("reports:canopy_sign", args=[canopy.pk]) in page.content.decode()


def test_a_mail_says_it_too(canopy):
    assert stands(today(canopy), canopy.site, canopy.sash).startswith("A canopy gets no label")


def test_one_whose_air_failed_is_a_hood_not_to_be_used(ready, technician, instrument, technicians):
    hood = ready("FH-0153", kind="canopy", sash="none")
    surveying.survey(hood, surveying.entered(instrument, surveying.SLOW), technician)
    assert not today(hood).is_canopy
    assert first_line(technicians.get(reverse("surveys:hood", args=[hood.pk]))).startswith("Do not use")
    assert technicians.get(reverse("reports:canopy_sign", args=[hood.pk])).status_code == 403
