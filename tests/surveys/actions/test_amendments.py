"""G4: a survey that was wrong is amended by another that names it, with the reason and the person; both stay."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from hoods.actions import change_opening, hibernate_hood
from hoods.models import Entry
from surveys import queries
from surveys.actions import amendments
from surveys.actions.amendments import start_amendment, why_not_amend
from surveys.actions.assignment import assign_criteria
from surveys.actions.drafts import NotToBeSurveyed, start_draft
from surveys.actions.signing import CannotAmend
from surveys.models import Draft, Survey
from tests import making, surveying
from tests.surveying import GOOD, SURVEYED, entered

pytestmark = pytest.mark.django_db
LATER = SURVEYED + timedelta(days=20)
WHY = "the grid of another hood was typed"


def with_moments(readings=GOOD):
    """Readings a minute apart, by a device whose clock is three minutes fast."""
    begun = SURVEYED + timedelta(minutes=4)
    cells = []
    for row, values in enumerate(readings):
        at = [begun + timedelta(seconds=40 * (5 * row + column)) for column in range(len(values))]
        cells.append([
            {"value": value, "at": moment.strftime("%Y-%m-%dT%H:%M:%SZ"), "struck": None}
            for value, moment in zip(values, at, strict=True)
        ])  # fmt: skip
    return cells


@pytest.fixture
def wrong(draft, technician, instrument) -> Survey:
    device_at = SURVEYED + timedelta(minutes=18)  # the save came when the server's clock said 13:45
    surveying.save(
        draft, entered(instrument, with_moments()), technician, SURVEYED + timedelta(minutes=15), device_at=device_at
    )
    return surveying.sign(draft, technician)


def amend(wrong, by, begins="copy", at=LATER, **how):
    return start_amendment(survey=wrong, why=WHY, begins=begins, by=by, at=at, **how)


def test_g4_a_copy_keeps_the_day_the_criteria_the_facts_and_the_moments(wrong, ready, technician, instrument):
    made = amend(wrong, technician)
    assert (made.done_on, made.version, made.amends, made.why, made.corrects) == (
        wrong.done_on,
        wrong.version,
        wrong,
        WHY,
        True,
    )
    content = entered(instrument, with_moments(), notes="typed again from the sheet")
    surveying.save(made, amendments.with_moments_as_corrected(wrong) | {"notes": content["notes"]}, technician, LATER)
    right = surveying.sign(made, technician, LATER + timedelta(minutes=5))
    assert (right.measured_from, right.measured_until) == (wrong.measured_from, wrong.measured_until)
    assert (right.done_on, right.due_on, right.amends, right.why) == (wrong.done_on, wrong.due_on, wrong, WHY)
    old, new = wrong.record.attested, right.record.attested
    assert new["facts"] == old["facts"]
    assert new["criteria"] == old["criteria"]
    assert new["judged"] == old["judged"]
    assert new["survey"]["amends"] == str(wrong.pk)
    assert (new["survey"]["amends_record"], new["survey"]["why"]) == (wrong.record_id, WHY)
    assert new["signed"]["by"]["name"] == technician.name
    assert Survey.objects.get(pk=wrong.pk).record.attested == old  # the old one stays as it was
    assert list(Entry.objects.filter(action="amendment-started").values_list("why", "after__amends")) == [
        (WHY, wrong.record_id)
    ]


def test_control_the_moments_of_a_copy_are_those_that_signing_corrected(wrong, technician):
    """The device's clock was three minutes fast: the copy, which knows no device, holds the corrected moments."""
    first = with_moments()[0][0]["at"]
    copied = amendments.with_moments_as_corrected(wrong)["traverses"][0]["readings"][0][0]["at"]
    assert datetime.fromisoformat(copied) == datetime.fromisoformat(first) - timedelta(minutes=3)
    assert datetime.fromisoformat(copied).astimezone(UTC) == wrong.measured_from


def test_a_copy_is_judged_by_the_facts_of_then_whatever_has_changed_since(
    wrong, ready, site, technician, programme_manager
):
    change_opening(opening=ready.openings.get(), name="front", by=programme_manager, at=LATER)
    other = surveying.make_version(site, programme_manager, surveying.CRITERIA | {"least_height": "20 in"})
    assign_criteria(hoods=[ready], set=other.set, from_on=LATER.date(), why="agreed", by=programme_manager, at=LATER)
    right = surveying.sign(amend(wrong, technician), technician, LATER + timedelta(minutes=5))
    assert (right.verdict, right.version) == ("pass", wrong.version)
    assert right.approvals.get().opening_name == "working"


def test_a_copy_of_a_hood_that_is_hibernated_since_can_be_signed_and_an_empty_one_not_begun(
    wrong, ready, technician, programme_manager
):
    hibernate_hood(hood=ready, on=LATER.date(), why="not needed", by=programme_manager, at=LATER)
    with pytest.raises(NotToBeSurveyed):
        amend(wrong, technician, begins="empty")
    surveying.sign(amend(wrong, technician), technician, LATER + timedelta(minutes=5))


def test_an_empty_one_measures_again_today_and_takes_the_place_of_what_it_amends(wrong, ready, technician, instrument):
    made = amend(wrong, technician, begins="empty")
    assert (made.done_on, made.corrects, made.revisions.count()) == (LATER.date(), False, 0)
    surveying.save(made, entered(instrument, surveying.SLOW), technician, LATER + timedelta(minutes=10))
    right = surveying.sign(made, technician, LATER + timedelta(minutes=15))
    status = queries.status_of(ready, LATER.date())
    assert (status.code, status.survey, status.since) == ("do-not-use", right.pk, wrong.done_on)


def test_g4_whatever_is_amended_the_status_rests_on_what_stands(wrong, ready, technician, instrument):
    later = surveying.survey(ready, entered(instrument), technician, SURVEYED + timedelta(days=3))
    made = amend(wrong, technician, begins="empty")
    surveying.save(made, entered(instrument, surveying.SLOW), technician, LATER + timedelta(minutes=10))
    surveying.sign(made, technician, LATER + timedelta(minutes=15))
    assert queries.status_of(ready, LATER.date()).survey == later.pk, (
        "what came after the amended one still comes after"
    )


# --- who, and what is refused -----------------------------------------------------------------------------------------


def test_another_technicians_survey_is_amended_once_the_programme_manager_starts_it(wrong, site, programme_manager):
    other = making.make_person("Mads Lien", site, "technician")
    with pytest.raises(amendments.AnothersSurvey):
        amend(wrong, other, begins="empty")
    made = amend(wrong, programme_manager, begins="empty")
    assert (made.amends, made.started_by) == (wrong, programme_manager)


def test_nobody_copies_what_somebody_else_measured(wrong, programme_manager):
    with pytest.raises(amendments.AnothersReadings):
        amend(wrong, programme_manager)
    assert not Draft.objects.filter(amends=wrong).exists()


def test_an_amendment_without_a_reason_is_refused(wrong, technician):
    with pytest.raises(amendments.NoReasonToAmend):
        start_amendment(survey=wrong, why="  ", begins="copy", by=technician, at=LATER)


def test_what_is_amended_is_amended_once_and_then_the_one_that_took_its_place(wrong, technician):
    first, second = amend(wrong, technician), amend(wrong, technician)
    right = surveying.sign(first, technician, LATER + timedelta(minutes=5))
    assert isinstance(why_not_amend(wrong, technician), amendments.AmendedAlready)
    with pytest.raises(amendments.AmendedAlready):
        amend(wrong, technician)
    with pytest.raises(CannotAmend, match="amended already"):
        surveying.sign(second, technician, LATER + timedelta(minutes=6))
    third = surveying.sign(amend(right, technician), technician, LATER + timedelta(minutes=9))
    assert (third.amends, Survey.objects.filter(amends=wrong).count()) == (right, 1)


def test_c8_a_form_sent_twice_starts_one_amendment(wrong, technician):
    id = uuid.uuid4()
    assert amend(wrong, technician, draft=id) == amend(wrong, technician, draft=id)
    assert Draft.objects.filter(amends=wrong).count() == 1


def test_the_id_of_another_survey_cannot_be_taken(wrong, make_hood, version, technician, programme_manager):
    hood = make_hood(tag="FH-0777")
    surveying.assign(hood, version, programme_manager)
    other = start_draft(hood=hood, by=technician, at=LATER)
    made = amend(wrong, technician, draft=other.pk)
    assert (made.pk != other.pk, made.hood) == (True, wrong.hood)


def test_the_database_refuses_a_draft_that_amends_without_a_reason(draft, wrong, technician):
    with pytest.raises(IntegrityError), transaction.atomic():
        Draft.objects.create(
            hood=wrong.hood, version=wrong.version, done_on=wrong.done_on, started_at=LATER, started_by=technician,
            amends=wrong,
        )  # fmt: skip
