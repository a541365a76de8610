"""Pages beside surveys: what a person is qualified for, and why a hood is overdue."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from surveys.models import Qualification
from tests import surveying
from tests.surveying import SURVEYED, entered
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
NOW = SURVEYED + timedelta(days=375)


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def surveyed(hood, site, technician, programme_manager):
    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager)
    surveying.survey(hood, entered(surveying.make_instrument(site, programme_manager)), technician)
    return hood


@pytest.fixture
def manager(signed_in, programme_manager):
    return signed_in(programme_manager)


# --- qualified --------------------------------------------------------------------------------------------------------

GIVEN = {
    "method": "Face velocity by traverse",
    "qualified_by": "Skuaness Air Laboratory",
    "from_on": "2026-01-06",
    "until_on": "2027-01-05",
}


def test_a_qualification_is_written_down_and_listed_on_the_persons_page(manager, technician):
    page = reverse("hoods:person", args=[technician.pk])
    assert "No qualification is written down." in said(manager.get(page))
    address = reverse("surveys:add_qualification", args=[technician.pk])
    assert f'href="{address}"' in manager.get(page).content.decode()
    assert manager.post(address, GIVEN)["Location"] == page
    manager.post(address, GIVEN | {"method": "Smoke at the opening", "until_on": ""})
    words = said(manager.get(page))
    assert "Face velocity by traverse Skuaness Air Laboratory 6 JAN 2026 5 JAN 2027 lapsed" in words
    assert "Smoke at the opening Skuaness Air Laboratory 6 JAN 2026 without end" in words


WRONG = [
    ({"method": ""}, "Nothing is written here"),
    ({"from_on": "2027-04-01", "until_on": ""}, "This day is still to come"),
    ({"until_on": "2025-12-31"}, "The last day is before the first"),
]


@pytest.mark.parametrize(("wrong", "words"), WRONG)
def test_p9_what_is_wrong_is_an_error_at_its_box(manager, technician, wrong, words):
    answer = manager.post(reverse("surveys:add_qualification", args=[technician.pk]), GIVEN | wrong)
    assert (answer.status_code, words in said(answer), Qualification.objects.count()) == (422, True, 0)


def test_the_signed_page_says_what_covered_the_day_or_that_nothing_did(manager, surveyed):
    page = manager.get(reverse("surveys:detail", args=[surveyed.surveys.get().pk]))
    assert "Qualified no qualification on record for this day" in said(page)


# --- overdue ----------------------------------------------------------------------------------------------------------


def test_why_a_hood_is_overdue_is_said_on_its_page_and_in_the_list_of_what_is_due(manager, surveyed):
    page, address = reverse("surveys:hood", args=[surveyed.pk]), reverse("surveys:explain_overdue", args=[surveyed.pk])
    assert "Nobody has said yet why it was not surveyed in time." in said(manager.get(page))
    assert "It is overdue since 13 MAR 2027." in said(manager.get(address))
    assert manager.post(address, {"why": "The room was locked."})["Location"] == page
    assert "Henrik Sole on 22 MAR 2027: The room was locked." in said(manager.get(page))
    assert "Why it is overdue: The room was locked. (Henrik Sole, 22 MAR 2027)" in said(
        manager.get(reverse("surveys:due_list"))
    )


def test_what_was_said_of_an_earlier_delay_is_not_told_of_this_one(manager, surveyed, programme_manager, signed_in):
    with time_machine.travel(SURVEYED + timedelta(days=366), tick=False):
        manager.post(reverse("surveys:explain_overdue", args=[surveyed.pk]), {"why": "The room was locked."})
    with time_machine.travel(SURVEYED + timedelta(days=367), tick=False):
        surveying.survey(
            surveyed, entered(surveyed.surveys.get().instrument), programme_manager, SURVEYED + timedelta(days=367)
        )
    with time_machine.travel(SURVEYED + timedelta(days=367 + 375), tick=False):
        manager = signed_in(programme_manager)  # the session of last year is over
        assert "The room was locked." not in said(manager.get(reverse("surveys:due_list")))
        assert "Nobody has said yet" in said(manager.get(reverse("surveys:hood", args=[surveyed.pk])))


def test_p9_without_a_reason_or_where_it_is_not_overdue_it_is_an_error(manager, surveyed):
    address = reverse("surveys:explain_overdue", args=[surveyed.pk])
    assert manager.post(address, {"why": ""}).status_code == 422
    with time_machine.travel(SURVEYED + timedelta(days=300), tick=False):
        answer = manager.post(address, {"why": "The room was locked."})
        assert (answer.status_code, "is not overdue: there is nothing to explain" in said(answer)) == (422, True)
    assert not surveyed.events.filter(kind="overdue-explained").exists()
