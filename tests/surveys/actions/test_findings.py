"""Findings as surveys are signed: opened, found again, closed; arranged and closed by hand; never changed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Entry
from surveys.actions import findings as actions
from surveys.actions.drafts import end_draft, start_draft
from surveys.models import Finding, FindingChange
from tests import surveying
from tests.breaking import broken_at_each_statement
from tests.surveying import GOOD, SLOW, SURVEYED, entered, with_lower
from tests.surveys.actions.found import FAILED, LATER, LATEST, LOW, LOWER_STILL, answered, changes, things

pytestmark = pytest.mark.django_db


# --- by signed surveys ------------------------------------------------------------------------------------------------


def test_a_failing_survey_opens_a_finding_and_a_later_one_that_met_it_closes_it(ready, technician, instrument):
    failed = surveying.survey(ready, entered(instrument, LOW), technician)
    assert things(ready) == FAILED
    finding = Finding.objects.get(hood=ready)
    assert (finding.survey, finding.value, finding.unit, finding.limit) == (failed, "72", "ft/min", 0)
    assert (finding.at, finding.by) == (failed.signed_at, technician)
    passed = surveying.survey(ready, entered(instrument), technician, LATER)
    closing = finding.changes.get()
    assert (closing.kind, closing.survey, closing.by, closing.at) == ("closed", passed, technician, passed.signed_at)
    assert things(ready) == []
    assert Entry.objects.of(failed).get().after["findings"] == {"opened": 1}
    assert Entry.objects.of(passed).get().after["findings"] == {"closed": 1}


def test_the_same_thing_found_again_is_one_finding_with_a_change(ready, technician, instrument):
    surveying.survey(ready, entered(instrument, LOW), technician)
    again = surveying.survey(ready, entered(instrument, LOWER_STILL), technician, LATER)
    finding = Finding.objects.get(hood=ready)
    assert (changes(finding), finding.changes.get().survey) == (["found-again"], again)
    surveying.survey(ready, entered(instrument), technician, LATEST)
    assert changes(finding) == ["found-again", "closed"]


def test_found_once_more_after_it_was_closed_it_is_another_finding(ready, technician, instrument):
    surveying.survey(ready, entered(instrument, LOW), technician)
    surveying.survey(ready, entered(instrument), technician, LATER)
    surveying.survey(ready, entered(instrument, LOW), technician, LATEST)
    assert things(ready) == [*FAILED, ("label-not-held", "", "")]
    assert Finding.objects.filter(hood=ready, kind="fail").count() == 2


def test_a_survey_without_a_verdict_closes_nothing_that_it_did_not_meet(ready, technician, instrument):
    surveying.survey(ready, entered(instrument, LOW), technician)
    surveying.survey(ready, entered(instrument, [[*GOOD[0]], [*GOOD[1][:4], None]]), technician, LATER)
    assert things(ready) == FAILED


def test_a_note_stays_open_through_a_survey_that_met_it(ready, technician, instrument):
    surveying.survey(ready, answered(instrument, "light-works", "no"), technician)
    surveying.survey(ready, entered(instrument), technician, LATER)
    assert things(ready) == [("note", "light-works", "")]


def test_what_failed_at_the_working_opening_is_not_closed_at_the_lower_one(ready_with_lower, technician, instrument):
    """The restriction to a lower height is no mending: a survey at the working opening closes it."""
    surveying.survey(ready_with_lower, with_lower(instrument), technician, stop_moved=True)
    failed = [one for one in things(ready_with_lower) if one[0] == "fail"]
    assert failed == FAILED
    surveying.survey(ready_with_lower, with_lower(instrument), technician, LATER, stop_moved=True)
    assert things(ready_with_lower)[: len(failed)] == FAILED
    surveying.survey(ready_with_lower, with_lower(instrument, working=GOOD), technician, LATEST)
    assert [one for one in things(ready_with_lower) if one[0] in ("fail", "restrict")] == []


def test_a_label_that_did_not_hold_opens_one(ready, technician, instrument):
    surveying.survey(ready, entered(instrument), technician)
    surveying.survey(ready, entered(instrument, LOW), technician, LATER)
    assert things(ready) == [*FAILED, ("label-not-held", "", "")]


def test_what_was_mended_on_the_visit_opens_one_that_is_closed_by_hand(ready, technician, instrument):
    content = entered(instrument, LOW, adjusted=True)
    content["traverses"].append(dict(content["traverses"][0], state="as-left", readings=GOOD))
    content["answers"].append({"check": "smoke-at-opening", "opening": "working", "state": "as-left", "answer": "yes"})
    surveying.survey(ready, content, technician)
    assert things(ready) == [("mended-on-visit", "average", "working")]
    surveying.survey(ready, entered(instrument), technician, LATER)
    assert things(ready) == [("mended-on-visit", "average", "working")]
    finding = Finding.objects.get(hood=ready)
    actions.close_finding(finding=finding, words="the belt was replaced", by=technician, at=LATEST)
    assert things(ready) == []


def test_a_survey_ended_because_the_hood_must_not_be_used_opens_one_until_a_survey_grants(
    ready, technician, instrument
):
    draft = start_draft(hood=ready, by=technician, at=SURVEYED)
    end_draft(draft=draft, reason="no-flow", by=technician, at=SURVEYED + timedelta(minutes=2))
    surveying.sign(draft, technician)
    assert things(ready) == [("fail", "no-flow", "")]
    surveying.survey(ready, entered(instrument, LOW), technician, LATER)
    assert things(ready) == [("fail", "no-flow", ""), *FAILED]
    surveying.survey(ready, entered(instrument), technician, LATEST)
    assert things(ready) == []


def test_a_survey_signed_late_closes_nothing_that_was_seen_after_it_measured(ready, technician, instrument):
    """Measured on the 12th and signed in April: what a survey of the 20th found is not mended by it."""
    early = start_draft(hood=ready, by=technician, at=SURVEYED)
    surveying.save(early, entered(instrument), technician, SURVEYED + timedelta(minutes=10))
    surveying.survey(ready, entered(instrument, LOW), technician, SURVEYED + timedelta(days=8))
    surveying.sign(early, technician, LATER)
    assert things(ready) == FAILED


def test_what_is_opened_late_and_was_met_since_is_closed_by_the_survey_that_met_it(ready, technician, instrument):
    early = start_draft(hood=ready, by=technician, at=SURVEYED)
    surveying.save(early, entered(instrument, LOW), technician, SURVEYED + timedelta(minutes=10))
    met = surveying.survey(ready, entered(instrument), technician, SURVEYED + timedelta(days=8))
    surveying.sign(early, technician, LATER)
    assert things(ready) == []
    assert Finding.objects.get(hood=ready).changes.get().survey == met


def asked(draft, technician):
    with CaptureQueriesContext(connection) as queries:
        surveying.sign(draft, technician)
    return [
        query["sql"] for query in queries if "surveys_finding" in query["sql"] and "leaves_open" not in query["sql"]
    ]


def test_signing_asks_nothing_more_where_nothing_was_found_and_nothing_is_open(draft, technician, instrument):
    surveying.save(draft, entered(instrument), technician)
    assert asked(draft, technician) == []


def test_control_it_asks_at_most_two_statements_where_something_was_found(draft, technician, instrument):
    surveying.save(draft, entered(instrument, SLOW), technician)
    found = asked(draft, technician)
    assert [sql.split()[0] for sql in found] == ["INSERT"]
    assert Finding.objects.count() == 2


def test_d6_a_signature_that_breaks_off_leaves_no_finding(draft, technician, instrument):
    surveying.save(draft, entered(instrument, SLOW), technician)
    assert broken_at_each_statement(lambda: surveying.sign(draft, technician), Finding.objects.count) > 15
    assert Finding.objects.count() == 2


# --- an amendment -----------------------------------------------------------------------------------------------------


def amended(hood, content, technician, wrong, at=LATER):
    return surveying.survey(hood, content, technician, at, amends=wrong, why="another hood was read")


def test_an_amendment_closes_what_the_amended_survey_alone_had_found(ready, technician, instrument):
    wrong = surveying.survey(ready, answered(instrument, "light-works", "no", LOW), technician)
    assert len(things(ready)) == 2
    right = amended(ready, entered(instrument), technician, wrong)
    assert things(ready) == []
    assert set(FindingChange.objects.values_list("kind", "survey")) == {("closed", right.pk)}


def test_an_amendment_leaves_what_a_later_survey_found_too(ready, technician, instrument):
    wrong = surveying.survey(ready, entered(instrument, LOW), technician)
    surveying.survey(ready, entered(instrument, LOWER_STILL), technician, LATER)
    amended(ready, entered(instrument), technician, wrong, LATEST)
    assert things(ready) == FAILED


def test_an_amendment_that_did_not_look_closes_nothing(ready, technician, instrument):
    wrong = surveying.survey(ready, entered(instrument, LOW), technician)
    amended(ready, entered(instrument, [[None] * 5, [None] * 5]), technician, wrong)
    assert things(ready) == FAILED


def test_an_amendment_that_finds_what_a_later_survey_met_opens_nothing_that_waits(ready, technician, instrument):
    wrong = surveying.survey(ready, entered(instrument), technician)
    met = surveying.survey(ready, entered(instrument), technician, LATER)
    amended(ready, entered(instrument, LOW), technician, wrong, LATEST)
    assert [one for one in things(ready) if one[0] == "fail"] == []
    assert Finding.objects.get(kind="fail").changes.get().survey == met
