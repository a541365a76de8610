"""Findings arranged and closed by hand, and that they are permanent."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from hoods.actions import change_opening, retire_hood
from hoods.models import Entry
from surveys.actions import findings as actions
from surveys.actions.assignment import assign_criteria
from surveys.models import Finding, FindingChange
from tests import surveying
from tests.surveying import SURVEYED, entered
from tests.surveys.actions.found import FAILED, LATER, LATEST, LOW, answered, changes, things

pytestmark = pytest.mark.django_db


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
