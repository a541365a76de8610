"""Why an overdue hood was not surveyed: written down while it is overdue, and changing nothing of its status."""

from __future__ import annotations

from datetime import timedelta

import pytest

from hoods.models import Entry
from surveys import queries
from surveys.actions.overdue import NotOverdue, NoWhy, explain_overdue
from tests import surveying
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db
DUE = SURVEYED + timedelta(days=365)


@pytest.fixture
def surveyed(ready, technician, instrument):
    surveying.survey(ready, entered(instrument), technician)
    return ready


def test_a_reason_is_an_event_that_changes_no_status(surveyed, programme_manager):
    late = DUE + timedelta(days=8)
    before = queries.status_of(surveyed, late.date())
    event = explain_overdue(hood=surveyed, why="the room was locked", by=programme_manager, at=late)
    assert (event.kind, event.on, event.why, event.by) == (
        "overdue-explained",
        late.date(),
        "the room was locked",
        programme_manager,
    )
    assert queries.status_of(surveyed, late.date()) == before
    assert Entry.objects.filter(action="overdue-explained").get().why == "the room was locked"


def test_said_twice_it_is_said_once(surveyed, technician):
    late = DUE + timedelta(days=8)
    first = explain_overdue(hood=surveyed, why="the room was locked", by=technician, at=late)
    assert explain_overdue(hood=surveyed, why="the room was locked", by=technician, at=late) == first
    explain_overdue(hood=surveyed, why="still locked", by=technician, at=late)
    assert surveyed.events.filter(kind="overdue-explained").count() == 2


@pytest.mark.parametrize(
    ("days", "refused"), [(-1, True), (0, True), (1, False)], ids=["before", "on the day due", "the day after"]
)
def test_only_of_a_hood_that_is_overdue(surveyed, technician, days, refused):
    at = DUE + timedelta(days=days)
    if refused:
        with pytest.raises(NotOverdue, match="is not overdue"):
            explain_overdue(hood=surveyed, why="the room was locked", by=technician, at=at)
    else:
        explain_overdue(hood=surveyed, why="the room was locked", by=technician, at=at)
    assert surveyed.events.filter(kind="overdue-explained").count() == (0 if refused else 1)


def test_without_a_reason_nothing_is_kept(surveyed, technician):
    with pytest.raises(NoWhy):
        explain_overdue(hood=surveyed, why=" ", by=technician, at=DUE + timedelta(days=2))
