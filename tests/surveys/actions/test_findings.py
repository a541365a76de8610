"""Findings as surveys are signed: opened, found again, closed; arranged and closed by hand; never changed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from hoods.actions import change_opening, retire_hood
from hoods.models import Entry
from surveys.actions import findings as actions
from surveys.actions.assignment import assign_criteria
from surveys.actions.drafts import end_draft, start_draft
from surveys.models import Finding, FindingChange
from tests import surveying
from tests.surveying import GOOD, SLOW, SURVEYED, entered, grid, with_lower

pytestmark = pytest.mark.django_db
LATER = SURVEYED + timedelta(days=20)
# under 80 on the average, no point under 70
LOW = grid(["72", "73", "71", "72", "74", "71", "73", "72", "71", "71"])
LOWER_STILL = grid(["71", "72", "70", "71", "73", "70", "72", "71", "70", "70"])
LATEST = SURVEYED + timedelta(days=40)


def answered(instrument, check, answer, readings=None):
    made = entered(instrument, readings)
    next(one for one in made["answers"] if one["check"] == check)["answer"] = answer
    return made


def things(hood):
    rows = Finding.objects.filter(hood=hood).open().order_by("kind", "figure", "check_code")
    return [(row.kind, row.figure or row.check_code or row.ended, row.opening_name) for row in rows]


def changes(finding):
    return list(finding.changes.order_by("at", "pk").values_list("kind", flat=True))


FAILED = [("fail", "average", "working")]


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


def test_d6_a_signature_that_breaks_off_leaves_no_finding(draft, technician, instrument, monkeypatch):
    surveying.save(draft, entered(instrument, SLOW), technician)
    monkeypatch.setattr(Entry, "of", lambda **what: 1 / 0)  # the log cannot be written
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        surveying.sign(draft, technician)
    assert Finding.objects.count() == 0


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


# --- by hand ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def failed(ready, technician, instrument):
    surveying.survey(ready, entered(instrument, LOW), technician)
    return Finding.objects.get(hood=ready)


@pytest.fixture
def note(ready, technician, instrument):
    surveying.survey(ready, answered(instrument, "light-works", "no"), technician)
    return Finding.objects.get(hood=ready)


def test_what_is_arranged_last_holds(failed, technician, programme_manager):
    first = {"owner": "Building Services", "order_number": "W-7", "promised_on": date(2026, 4, 2)}
    actions.arrange_finding(finding=failed, by=technician, at=LATER, words="a part is ordered", **first)
    actions.arrange_finding(finding=failed, by=programme_manager, at=LATEST, owner="Fell Mechanics", order_number="W-7")
    holds = Finding.objects.with_what_holds().get(pk=failed.pk)
    assert (holds.owner, holds.order_number, holds.promised_on, holds.closed_at) == (
        "Fell Mechanics",
        "W-7",
        None,
        None,
    )
    assert Entry.objects.filter(action="finding-arranged").count() == 2
    assert changes(failed) == ["arranged", "arranged"]


REFUSED = [
    ({}, actions.NothingArranged, "nothing is said"),
    ({"owner": "Building Services"}, actions.NothingArranged, "the same as holds"),
    ({"owner": "Building Services", "promised_on": date(2026, 3, 31)}, actions.PromisedDayOver, "yesterday"),
]


@pytest.mark.parametrize(("said", "refusal", "why"), REFUSED, ids=[row[-1] for row in REFUSED])
def test_what_cannot_be_arranged(failed, technician, said, refusal, why):
    if said:
        actions.arrange_finding(finding=failed, by=technician, at=SURVEYED, owner="Building Services")
    with pytest.raises(refusal):
        actions.arrange_finding(finding=failed, by=technician, at=LATER, **said)
    assert len(changes(failed)) == bool(said)


def test_a_promised_day_that_is_past_may_stand_while_something_else_is_said(failed, technician):
    promised = {"owner": "Building Services", "promised_on": date(2026, 3, 20)}
    actions.arrange_finding(finding=failed, by=technician, at=SURVEYED, **promised)
    actions.arrange_finding(finding=failed, by=technician, at=LATER, words="reminded them", **promised)
    assert len(changes(failed)) == 2


def test_words_alone_are_kept_too(failed, technician):
    actions.arrange_finding(finding=failed, by=technician, at=LATER, words="they were told")
    assert failed.changes.get().words == "they were told"


def test_a_note_is_closed_by_hand_once_and_only_with_a_reason(note, technician, programme_manager):
    with pytest.raises(actions.NoWords):
        actions.close_finding(finding=note, words=" ", by=technician, at=LATER)
    actions.close_finding(finding=note, words="a new lamp", by=technician, at=LATER)
    with pytest.raises(actions.FindingClosed):
        actions.close_finding(finding=note, words="a new lamp", by=programme_manager, at=LATER)
    with pytest.raises(actions.FindingClosed):
        actions.arrange_finding(finding=note, owner="Electricians", by=programme_manager, at=LATER)
    assert changes(note) == ["closed"]


def test_what_failed_is_closed_by_a_survey_and_by_nobodys_hand(failed, technician, programme_manager):
    for person in (technician, programme_manager):
        with pytest.raises(actions.ASurveyCloses, match="A survey closes this finding"):
            actions.close_finding(finding=failed, words="mended", by=person, at=LATER)
    assert changes(failed) == []


def no_longer_judged(hood, site, by):
    limits = [surveying.CRITERIA["limits"][1]]
    version = surveying.make_version(site, by, surveying.CRITERIA | {"limits": limits})
    assign_criteria(hoods=[hood], set=version.set, from_on=LATER.date(), why="agreed", by=by, at=LATER)


def renamed(hood, site, by):
    change_opening(opening=hood.openings.get(), name="work", by=by, at=LATER)


def retired(hood, site, by):
    retire_hood(hood=hood, on=LATER.date(), why="replaced", by=by, at=LATER)


@pytest.mark.parametrize("happened", [no_longer_judged, renamed, retired], ids=lambda one: one.__name__)
def test_what_nothing_asks_any_more_stays_open_until_the_programme_manager_closes_it(
    failed, ready, site, technician, programme_manager, happened
):
    happened(ready, site, programme_manager)
    assert things(ready) == FAILED
    with pytest.raises(actions.ManagerCloses):
        actions.close_finding(finding=failed, words="not judged any more", by=technician, at=LATEST)
    actions.close_finding(finding=failed, words="not judged any more", by=programme_manager, at=LATEST)
    assert things(ready) == []


def test_a_check_that_the_last_survey_found_not_to_apply_is_asked_no_more(
    make_hood, site, technician, programme_manager, instrument
):
    checks = [*surveying.CRITERIA["checks"][:2], {"check": "light-works", "applies_to": "hood", "consequence": "fail"}]
    version = surveying.make_version(site, programme_manager, surveying.CRITERIA | {"checks": checks})
    hood = make_hood(tag="FH-0199")
    surveying.assign(hood, version, programme_manager)
    surveying.survey(hood, answered(instrument, "light-works", "no"), technician)
    finding = Finding.objects.get(hood=hood)
    with pytest.raises(actions.ASurveyCloses):
        actions.close_finding(finding=finding, words="the lamp is taken out", by=programme_manager, at=LATER)
    surveying.survey(hood, answered(instrument, "light-works", "not-applicable"), technician, LATER)
    actions.close_finding(finding=finding, words="the lamp is taken out", by=programme_manager, at=LATEST)
    assert things(hood) == []


# --- permanence -------------------------------------------------------------------------------------------------------


def test_g3_a_finding_and_its_changes_are_never_changed_or_removed(failed, technician):
    change = actions.arrange_finding(finding=failed, owner="Building Services", by=technician, at=LATER)
    for act in (
        lambda: Finding.objects.filter(pk=failed.pk).update(kind="note"),
        lambda: FindingChange.objects.filter(pk=change.pk).update(owner="nobody"),
        lambda: FindingChange.objects.filter(pk=change.pk)._raw_delete("default"),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            act()


def test_the_database_refuses_a_second_closing_and_one_without_survey_or_reason(note, technician):
    closed = {"finding": note, "kind": "closed", "at": LATER, "by": technician}
    with pytest.raises(IntegrityError), transaction.atomic():
        FindingChange.objects.create(**closed)
    FindingChange.objects.create(**closed, words="a new lamp")
    with pytest.raises(IntegrityError), transaction.atomic():
        FindingChange.objects.create(**closed, words="again")
