"""Certificates as they are asked for by address."""

from __future__ import annotations

import hashlib
from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from hoods.actions.site import HeightsMeasured, change_site
from surveys.actions.drafts import start_draft
from tests import surveying
from tests.reports.downloaded import NOW, text
from tests.surveying import GOOD, SLOW, SURVEYED, entered, with_lower

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


def test_l1_a_certificate_is_the_same_bytes_whenever_it_is_asked_for(passed, technicians, signed_in, auditor, room):
    address = reverse("reports:certificate", args=[passed.pk])
    first = technicians.get(address).content
    room.name, room.number = "Renamed since", "999"
    room.save()
    site = room.building.site
    site.paper, site.telephone = "Letter", "4999"
    site.save()
    with time_machine.travel(NOW + timedelta(days=400), tick=False):
        again = signed_in(auditor).get(address).content
    assert hashlib.sha256(again).digest() == hashlib.sha256(first).digest()


def test_sash_heights_mean_what_they_meant_when_they_were_signed(passed, site, programme_manager, technicians):
    """A label printed again bears the same number: it must not say another height under it."""
    with pytest.raises(HeightsMeasured, match="above the airfoil"):
        change_site(site=site, height_from="work-surface", by=programme_manager, at=NOW)
    site.refresh_from_db()
    assert site.height_from == "airfoil"
    change_site(site=site, telephone="4200", by=programme_manager, at=NOW)


def test_control_before_the_first_survey_a_site_may_still_choose(site, programme_manager):
    assert (
        change_site(site=site, height_from="work-surface", by=programme_manager, at=NOW).height_from == "work-surface"
    )


def test_l1_control_another_record_gives_other_bytes(passed, ready, technician, instrument, technicians):
    other = surveying.survey(ready("FH-0143"), entered(instrument), technician)
    addresses = [reverse("reports:certificate", args=[survey.pk]) for survey in (passed, other)]
    assert len({technicians.get(address).content for address in addresses}) == 2


def test_a_certificate_says_what_the_record_says(passed, technicians):
    said = text(technicians.get(reverse("reports:certificate", args=[passed.pk])))
    for words in ("Certificate of survey", "FH-0142", "Ruth Okafor", "99.6", passed.record.sha256[:8], "containment"):
        assert words in said


TITLES = {
    "pass": (GOOD, "Certificate of survey"),
    "restrict": (surveying.UNEVEN, "Certificate of survey, restricted: not for highly toxic materials"),
    "fail": (SLOW, "Survey report: criteria not met"),
    "no-verdict": ([GOOD[0], [*GOOD[1][:4], None]], "Survey report: no verdict"),
}


@pytest.mark.parametrize("verdict", TITLES)
def test_l3_only_a_granting_survey_is_called_a_certificate(ready, technician, instrument, technicians, verdict):
    readings, title = TITLES[verdict]
    survey = surveying.survey(ready("FH-0151"), entered(instrument, readings), technician)
    assert survey.verdict == verdict
    said = text(technicians.get(reverse("reports:certificate", args=[survey.pk])))
    assert title in said
    assert ("Certificate of survey" in said) == (verdict in ("pass", "restrict"))


def test_l3_what_is_not_signed_has_no_certificate(ready, technician, instrument, technicians):
    draft = start_draft(hood=ready("FH-0152"), by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician)
    assert technicians.get(reverse("reports:certificate", args=[draft.pk])).status_code == 404


def test_the_record_of_a_moved_stop_is_printed(ready, technician, instrument, technicians):
    hood = ready("FH-0153", openings=surveying.LOWER)
    survey = surveying.survey(hood, with_lower(instrument), technician, stop_moved=True)
    said = text(technicians.get(reverse("reports:certificate", args=[survey.pk])))
    assert "restricted: sash no higher than 12 in" in said
    assert "stop and mark moved" in said
