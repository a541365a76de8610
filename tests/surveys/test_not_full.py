"""A survey that left a note untested: record, pages, certificate and label say no more than was done."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from reports.queries.prints import labels_today
from surveys import queries
from tests import surveying
from tests.reports.downloaded import text
from tests.surveying import CRITERIA, SURVEYED, entered
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
LEFT = ("Light on the work surface: not measured.", "Not a full survey: not all that the criteria ask was tested.")
ALL = "All that the criteria ask was tested and met."
LIGHT = {"figure": "light", "at_least": "400 lx", "applies_to": "hood", "consequence": "note"}


@pytest.fixture
def asked(hood, site, programme_manager):
    version = surveying.make_version(site, programme_manager, CRITERIA | {"limits": [*CRITERIA["limits"], LIGHT]})
    surveying.assign(hood, version, programme_manager)
    return surveying.make_instrument(site, programme_manager)


def made(hood, instrument, by, light=None, at=SURVEYED):
    of_hood = {"of_hood": [{"figure": "light", "state": None, "value": light}]} if light else {}
    return surveying.survey(hood, entered(instrument, **of_hood), by, at)


def test_the_record_names_what_was_left_and_no_label_is_given_without_a_day(hood, asked, technician, signed_in):
    with time_machine.travel(SURVEYED + timedelta(hours=1)):
        survey, client = made(hood, asked, technician), signed_in(technician)
        attested = survey.record.attested
        assert (survey.verdict, survey.full, survey.due_on, survey.label_issue) == ("pass", False, None, None)
        assert (attested["survey"]["full"], attested["survey"]["label_issue"]) == (False, None)
        page = said(client.get(reverse("surveys:detail", args=[survey.pk])))
        assert all(sentence in page for sentence in LEFT)
        assert ALL not in page
        assert "Due again no day: it is no full survey, and none came before it" in page
        printed = text(client.get(reverse("reports:certificate", args=[survey.pk])))
        assert all(sentence in printed for sentence in LEFT)
        assert "no day: not a full survey" in printed
        shown = said(client.get(reverse("surveys:hood", args=[hood.pk])))
        assert "not all that the criteria ask was tested, so there is no day by which it is due" in shown
        assert "Do not use it yet. It has no valid label: not all that the criteria ask was tested" in shown
        assert "No work at all" in shown
        stranger = said(client.get(reverse("public_hood", args=[hood.code])))
        assert "Do not use this hood yet. It has no valid label: not all that the criteria ask was tested" in stranger
        assert "at or below" not in shown + stranger, "no page that forbids it tells a height"
        assert not queries.status_of(hood, SURVEYED.date()).in_use


def test_the_control_a_full_survey_gives_a_label_and_one_after_it_keeps_its_day(hood, asked, technician):
    with time_machine.travel(SURVEYED + timedelta(days=31)):
        full = made(hood, asked, technician, "500 lx")
        assert [one["code"] for one in full.record.attested["judged"]["reasons"]] == ["all-met"]
        assert (full.full, full.label_issue) == (True, 1)
        part = made(hood, asked, technician, at=SURVEYED + timedelta(days=30))
        assert (part.full, part.due_on, part.label_issue) == (False, full.due_on, 2)
        (printed,) = labels_today([hood], part.done_on)
        assert printed.label.due == full.due_on
