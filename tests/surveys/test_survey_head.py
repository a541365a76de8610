"""What stands over a survey: the status of its hood today, and what that means for the survey."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from hoods.actions.hood import hibernate_hood, take_out_of_service
from surveys.actions.stops import post_stop
from tests.filling import Surveyor
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db


def head(surveyor) -> str:
    surveyor.open()
    drawn = surveyor.page.partition('<header class="head">')[2].partition("</header>")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", drawn).split())


def test_a_hood_out_of_service_says_so_and_that_a_survey_does_not_bring_it_back(
    begin, instrument, programme_manager  # noqa: F811
) -> None:  # noqa: F811
    surveyor = begin()
    hood, today, now = surveyor.draft.hood, surveyor.draft.hood.site.today(), timezone.now()
    assert "Out of service" not in head(surveyor)
    take_out_of_service(hood=hood, on=today, why="the duct is open", by=programme_manager, at=now)
    said = head(surveyor)
    assert "Today: Out of service Out of service since" in said
    assert "It may be surveyed and the survey signed; that does not bring it back." in said
    fill_in(surveyor, instrument)
    sign(surveyor)
    assert "Out of service" in surveyor.client.get(f"/hoods/{hood.pk}/").content.decode(), "as the head said"


def test_a_hood_not_yet_surveyed_and_one_surveyed_say_what_holds_meanwhile(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    assert "Today: Not yet surveyed No survey has had a verdict yet." in head(surveyor)
    assert "Nobody works at it until a survey ends pass or restrict." in head(surveyor)
    fill_in(surveyor, instrument)
    sign(surveyor)
    again = Surveyor(surveyor.client, surveyor.draft.hood)
    assert "Today: Met criteria" in head(again)
    assert "That holds until this survey is signed." in head(again)


def test_a_posted_stop_says_how_it_is_lifted(begin, instrument, technician) -> None:  # noqa: F811
    surveyor = begin()
    post_stop(hood=surveyor.draft.hood, reason="no-flow", by=technician, at=timezone.now() - timedelta(hours=1))
    said = head(surveyor)
    assert "Today: Do not use" in said
    assert "What is posted is lifted by a survey that ends pass or restrict, once its sign is down." in said


def test_a_hood_hibernated_meanwhile_says_so_above_the_survey(begin, programme_manager) -> None:  # noqa: F811
    surveyor = begin()
    hood = surveyor.draft.hood
    hibernate_hood(hood=hood, on=hood.site.today(), why="the laboratory moved", by=programme_manager, at=timezone.now())
    assert "Today: Hibernated The hood has been hibernated since" in head(surveyor)
    assert "It makes the hood no more usable, and no label is printed." in surveyor.page
