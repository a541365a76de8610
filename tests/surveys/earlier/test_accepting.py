"""What the page that accepts a list says would hold then, by the rules by which it counts afterwards."""

from __future__ import annotations

from datetime import date

import pytest
import time_machine
from django.urls import reverse

from surveys import accepting, queries
from surveys.actions import earlier
from tests.surveys import rows
from tests.surveys.earlier.counting import NOW, TODAY, a_row, brought
from tests.surveys.words import said

pytestmark = pytest.mark.django_db


@pytest.fixture
def hoods(make_hood, version, programme_manager, technician):
    """A hood for each thing that would hold; the last was surveyed here since, and passed."""
    made = {tag: make_hood(tag=tag) for tag in ("BARRED", "RESTRICTED", "APPROVED", "NOWHERE", "SIGNED")}
    for hood in made.values():
        rows.assign(hood, version, programme_manager)
    rows.survey(made["SIGNED"], version, technician, date(2026, 2, 10), "pass")
    return made


@pytest.fixture
def batch(hoods, programme_manager):
    return brought(
        programme_manager,
        a_row(hoods["BARRED"], verdict="fail"),
        a_row(hoods["RESTRICTED"], verdict="restrict", restriction="only water"),
        a_row(hoods["APPROVED"]),
        a_row(hoods["NOWHERE"], height=""),
        a_row(hoods["SIGNED"]),
    )


def test_what_would_hold_is_what_holds_once_it_is_accepted(hoods, batch, programme_manager):
    would = accepting.would(batch, TODAY)
    named = {"do-not-use": would.barred, "restricted": would.restricted, "met-criteria": would.approved}
    told = {hood.pk: code for code, those in named.items() for hood in those.hoods}
    assert ([hood.tag for hood in would.barred.hoods], would.other.number, would.same) == (["BARRED"], 0, 2)
    before = queries.statuses(list(hoods.values()), TODAY)
    earlier.accept_results(batch=batch, why="agreed", by=programme_manager, at=NOW)
    after = queries.statuses(list(hoods.values()), TODAY)
    changed = {pk: status.code for pk, status in after.items() if accepting.lets(status) != accepting.lets(before[pk])}
    assert changed == told


def test_the_page_counts_and_names_them(hoods, batch, signed_in, programme_manager):
    with time_machine.travel(NOW, tick=False):
        page = said(signed_in(programme_manager).get(reverse("surveys:accept_results", args=[batch.pk])))
    assert "Must not be used 1 hood: BARRED" in page
    assert "Restricted 1 hood: RESTRICTED" in page
    assert "Met its criteria 1 hood: APPROVED" in page
    assert "As it is now 2 hoods" in page


def test_the_first_hundred_are_named_and_the_rest_counted(batch, hoods, monkeypatch):
    monkeypatch.setattr(accepting, "MOST_NAMED", 0)
    named = accepting.would(batch, TODAY).barred
    assert (named.number, named.hoods, named.more) == (1, (), 1)


def test_a_hood_that_no_criteria_judge_or_that_is_retired_is_no_hindrance_to_look(make_hood, programme_manager):
    batch = brought(programme_manager, a_row(make_hood(tag="ALONE"), verdict="fail"))
    assert [hood.tag for hood in accepting.would(batch, TODAY).barred.hoods] == ["ALONE"]


@pytest.mark.parametrize(
    ("acts", "view", "why"),
    [
        (("accept_results",), "accept_results", "This list counts already."),
        ((), "withdraw_results", "This list does not count: there is nothing to withdraw."),
        (("strike_results",), "accept_results", "This list is struck, and nothing is done with it any more"),
        (("strike_results",), "withdraw_results", "This list is struck, and nothing is done with it any more"),
        (("strike_results",), "strike_results", "This list is struck, and nothing is done with it any more"),
    ],
)
def test_what_is_not_to_be_asked_of_a_list_any_more_is_said_on_its_page(
    batch, signed_in, programme_manager, acts, view, why
):
    for act in acts:
        getattr(earlier, act)(batch=batch, why="agreed", by=programme_manager, at=NOW)
    with time_machine.travel(NOW, tick=False):
        page = signed_in(programme_manager).get(reverse(f"surveys:{view}", args=[batch.pk]), follow=True)
    assert page.redirect_chain == [(reverse("surveys:earlier", args=[batch.pk]), 302)]
    assert why in said(page)
