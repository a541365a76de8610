"""Which filter a filtered hood has and when it was fitted: entered, refused, signed, and told by page and paper."""

from __future__ import annotations

import json

import pytest
import time_machine
from django.urls import reverse

from tests import surveying
from tests.filling import Surveyor
from tests.making import make_hood
from tests.reports.pdf import reading
from tests.surveying import SURVEYED
from tests.surveys.said import SAID, yes
from tests.surveys.test_kinds_on_pages import asking
from tests.surveys.words import plain, said

pytestmark = pytest.mark.django_db

FILTER = ("filter-type-fits", "filter-in-date", "materials-approved", "no-breakthrough")
TYPE, DATE = "ahn-filter-type-fits_said", "ahn-filter-in-date_said"
TODAY_IN_WORDS = "12 MAR 2026"


@pytest.fixture
def that_day():
    with time_machine.travel(SURVEYED, tick=False):
        yield


@pytest.fixture
def filtered(room, programme_manager, technician):
    hood = make_hood(room=room, by=programme_manager, kind="filtered", monitor="none")
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager, asking(*FILTER)), programme_manager)
    return hood


@pytest.fixture
def measured(filtered, programme_manager, technician, signed_in, that_day):
    """The survey page of a filtered hood, all answered but for what is written beside."""
    instrument = surveying.make_instrument(filtered.site, programme_manager)
    surveyor = Surveyor(signed_in(technician), filtered)
    content = surveying.entered(instrument)
    content["answers"] += [{"check": code, "answer": "yes"} for code in FILTER]
    surveying.save(surveyor.draft, content, technician, SURVEYED)
    surveyor.open()
    return surveyor


def test_the_page_waits_for_both_and_says_that_without_them_nothing_is_tested(measured):
    assert 'data-needed="which filter, as it is marked"' in measured.page
    assert 'data-needed="day on which the filter was fitted"' in measured.page
    assert 'type="date" max="2026-03-12"' in measured.page
    page = said(measured.client.get(measured.address))
    assert "Type of the filter: answered yes, but what belongs beside the answer is not written: not tested." in page
    assert "Date of the filter: answered yes, but what belongs beside the answer is not written: not tested." in page


def printed(client, survey):
    """The words of the certificate, without gaps: lines may break anywhere."""
    return "".join(reading.quick_text(client.get(reverse("reports:certificate", args=[survey.pk])).content).split())


REFUSED = [
    ("2026-03-13", "13 MAR 2026 is after the day of the survey, 12 MAR 2026: it cannot have been fitted by then."),
    ("5/1/26", "“5/1/26” is no day. Write year, month and day, such as 2027-03-12."),
    ("0026-01-05", "The year of “0026-01-05” cannot be meant."),
]


@pytest.mark.parametrize(("text", "sentence"), REFUSED, ids=[text for text, _ in REFUSED])
def test_i1_a_day_that_cannot_have_been_is_refused_at_its_box_and_kept_as_typed(measured, text, sentence):
    measured.fill(**{TYPE: SAID["filter-type-fits"], DATE: text})
    measured.press("keep")
    box = measured.page.partition(f'id="{DATE}-e"')[2].partition("</div>")[0]
    assert sentence in plain(box)
    assert measured.form.boxes[DATE] == text
    shown = measured.page.partition(f'id="{DATE}"')[0].rpartition("<input")[2]
    assert ('type="date"' in shown) == (text[:2] in ("20", "00")), "a browser's calendar shows no text that is no day"
    answer = measured.sign(expect=422)
    assert "Day on which the filter was fitted" in said(answer)


def test_both_are_signed_and_told_by_record_certificate_and_the_page_of_the_hood(measured):
    measured.fill(**{TYPE: SAID["filter-type-fits"], DATE: SAID["filter-in-date"]})
    measured.press("keep")
    measured.sign(missing_confirmed="on")
    survey = measured.survey
    assert survey.verdict == "pass"
    told = {one["check"]: one.get("said") for one in survey.record.attested["entered"]["answers"]}
    assert {code: told[code] for code in SAID} == SAID
    certificate = printed(measured.client, survey)
    assert f"Typeofthefilter:Yes,{SAID['filter-type-fits']}".replace(" ", "") in certificate
    assert "Dateofthefilter:Yes,fitted5JAN2026" in certificate
    for page in (measured.review, said(measured.client.get(reverse("surveys:detail", args=[survey.pk])))):
        assert SAID["filter-type-fits"] in page
        assert "5 JAN 2026" in page
    hood = said(measured.client.get(reverse("surveys:hood", args=[survey.hood_id])))
    assert f"Which filter, as it is marked: {SAID['filter-type-fits']}, as seen on {TODAY_IN_WORDS}." in hood
    assert f"Day on which the filter was fitted: 5 JAN 2026, as seen on {TODAY_IN_WORDS}." in hood


@pytest.mark.parametrize("lacking", SAID)
def test_without_one_of_them_there_is_no_verdict(filtered, programme_manager, technician, lacking):
    content = surveying.entered(surveying.make_instrument(filtered.site, programme_manager))
    content["answers"] += [yes(code) for code in FILTER]
    whole = surveying.survey(filtered, content, technician)
    assert whole.verdict == "pass", "the control"
    for one in content["answers"]:
        if one["check"] == lacking:
            del one["said"]
    assert surveying.survey(filtered, content, technician, at=SURVEYED.replace(day=13)).verdict == "no-verdict"


def test_a_hood_stopped_with_a_day_that_is_none_is_printed_all_the_same(
    filtered, programme_manager, technician, signed_in
):
    """A survey ended because the hood must not be used is signed as it stands."""
    content = surveying.entered(surveying.make_instrument(filtered.site, programme_manager))
    content["answers"] += [yes("filter-type-fits"), yes("filter-in-date") | {"said": "in May"}]
    content["ended_early"] = {"reason": "no-flow"}
    survey = surveying.survey(filtered, content, technician)
    assert survey.verdict == "fail"
    assert "Dateofthefilter:Yes,inMay" in printed(signed_in(technician), survey)


def test_a_record_without_them_has_no_such_key_and_shows_the_answers_alone(
    filtered, programme_manager, technician, signed_in
):
    """As every record from before: pages and print say yes and no more."""
    content = surveying.entered(surveying.make_instrument(filtered.site, programme_manager))
    content["answers"] += [{"check": code, "answer": "yes"} for code in FILTER]
    survey = surveying.survey(filtered, content, technician)
    assert "said" not in json.dumps(survey.record.attested["entered"])
    client = signed_in(technician)
    assert "Typeofthefilter:Yes" in printed(client, survey)
    assert "Yes," not in printed(client, survey)
    assert "as seen on" not in said(client.get(reverse("surveys:hood", args=[survey.hood_id])))
