"""What a surveyor is qualified for: written down, and part of the record of what was measured on a day it covers."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction

from hoods.models import Entry
from surveys.actions import qualifications as actions
from surveys.models import Qualification
from tests import making, surveying
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db
ON = SURVEYED.date()  # the day measured


def record(person, site, by, method="face velocity by traverse", from_on=ON - timedelta(days=30), **how):
    how = {"qualified_by": "Skuaness Air Laboratory", "at": SURVEYED} | how
    return actions.record_qualification(person=person, site=site, method=method, from_on=from_on, by=by, **how)


COVERS = [
    # from, until, covers, why
    (ON, None, True, "its first day"),
    (ON - timedelta(days=1), ON, True, "its last day, inclusive"),
    (ON - timedelta(days=9), ON - timedelta(days=1), False, "lapsed the day before"),
    (ON - timedelta(days=9), ON + timedelta(days=9), True, "in between"),
]


@pytest.mark.parametrize(("first", "last", "covers", "why"), COVERS, ids=[row[-1] for row in COVERS])
def test_the_record_says_what_covers_the_day_measured(
    draft, site, technician, programme_manager, instrument, first, last, covers, why
):
    record(technician, site, programme_manager, from_on=first, until_on=last)
    surveying.save(draft, entered(instrument), technician)
    attested = surveying.sign(draft, technician).record.attested["signed"]["qualifications"]
    said = {
        "method": "face velocity by traverse", "by": "Skuaness Air Laboratory", "from": first.isoformat(),
        "until": last.isoformat() if last else None,
    }  # fmt: skip
    assert attested == ([said] if covers else [])


def test_signing_without_one_is_allowed_and_said(draft, technician, instrument):
    surveying.save(draft, entered(instrument), technician)
    assert surveying.sign(draft, technician).record.attested["signed"]["qualifications"] == []


def test_one_of_another_site_says_nothing_here(draft, technician, programme_manager, instrument):
    record(technician, making.make_site("Fell Institute"), programme_manager)
    surveying.save(draft, entered(instrument), technician)
    assert surveying.sign(draft, technician).record.attested["signed"]["qualifications"] == []


def test_a_record_keeps_what_it_says_whatever_is_written_down_later(
    draft, site, technician, programme_manager, instrument
):
    surveying.save(draft, entered(instrument), technician)
    survey = surveying.sign(draft, technician)
    record(technician, site, programme_manager)
    survey.record.refresh_from_db()
    assert survey.record.attested["signed"]["qualifications"] == []


REFUSED = [
    ({"until_on": date(2026, 1, 1)}, actions.EndsBefore, "it ends before it begins"),
    ({"from_on": ON + timedelta(days=1)}, actions.StillToCome, "found on a day to come"),
    ({}, actions.WrittenDown, "written down already"),
]


@pytest.mark.parametrize(("said", "refusal", "why"), REFUSED, ids=[row[-1] for row in REFUSED])
def test_what_is_refused(site, technician, programme_manager, said, refusal, why):
    record(technician, site, programme_manager)
    with pytest.raises(refusal):
        record(technician, site, programme_manager, **said)
    assert (Qualification.objects.count(), Entry.objects.filter(action="qualification-recorded").count()) == (1, 1)


def test_g3_a_qualification_is_never_changed_and_the_database_knows_its_days(site, technician, programme_manager):
    made = record(technician, site, programme_manager)
    with pytest.raises(IntegrityError), transaction.atomic():
        Qualification.objects.filter(pk=made.pk).update(method="everything")
    days = {"from_on": ON, "until_on": ON - timedelta(days=1)}
    with pytest.raises(IntegrityError), transaction.atomic():
        Qualification.objects.create(
            person=technician, site=site, method="smoke", qualified_by="x", at=SURVEYED, by=programme_manager, **days
        )
