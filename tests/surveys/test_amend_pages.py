"""'This survey was wrong': from its page to the one that takes its place; both shown, the old one marked wherever it is met."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from surveys.models import Draft, Survey
from tests import making, surveying
from tests.making import PASSWORD
from tests.reports.pdf import reading
from tests.surveying import SLOW, SURVEYED, entered
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db
NOW = SURVEYED + timedelta(days=2)


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def wrong(hood, site, technician, programme_manager) -> Survey:
    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager)
    return surveying.survey(hood, entered(surveying.make_instrument(site, programme_manager)), technician)


@pytest.fixture
def client(signed_in, technician):
    return signed_in(technician)


def amend(survey):
    return reverse("surveys:amend", args=[survey.pk])


def detail(survey):
    return reverse("surveys:detail", args=[survey.pk])


def begun(client, wrong, begins="copy", **sent) -> Draft:
    answer = client.post(amend(wrong), {"why": "typed from another sheet", "begins": begins} | sent)
    assert answer.status_code == 302, said(answer)
    return Draft.objects.get(amends=wrong)


def signed(client, draft) -> Survey:
    page = client.get(reverse("surveys:review", args=[draft.pk])).content.decode()
    seen = dict(re.findall(r'name="(revision|version)" value="(\d+)"', page))
    sent = seen | {"measured_myself": "on", "missing_confirmed": "on", "password": PASSWORD}
    answer = client.post(reverse("surveys:sign", args=[draft.pk]), sent)
    assert answer.status_code == 302, said(answer)
    return Survey.objects.get(pk=draft.pk)


@pytest.fixture
def right(client, wrong) -> Survey:
    return signed(client, begun(client, wrong))


def certificate(client, survey) -> bytes:
    return client.get(reverse("reports:certificate", args=[survey.pk])).content


def test_g4_from_the_page_of_the_wrong_one_to_the_one_that_takes_its_place(client, wrong):
    assert f'href="{amend(wrong)}"' in client.get(detail(wrong)).content.decode()
    assert (
        first_line(client.get(amend(wrong)))
        == f"What was wrong in the survey of 12 MAR 2026, record {wrong.record_id}?"
    )
    draft = begun(client, wrong)
    told = f"It amends record {wrong.record_id}, the survey of 12 MAR 2026. Why: typed from another sheet"
    for address in (detail(draft), reverse("surveys:review", args=[draft.pk])):
        assert told in said(client.get(address))
    assert "An amendment was started on 14 MAR 2026, 13:30 by Ruth Okafor, and is not signed." in said(
        client.get(detail(wrong))
    )
    right = signed(client, draft)
    attested = right.record.attested
    assert (attested["survey"]["amends_record"], attested["survey"]["why"]) == (
        wrong.record_id,
        "typed from another sheet",
    )
    old, new = client.get(detail(wrong)), client.get(detail(right))
    assert first_line(old) == "Superseded: Certificate of survey. Another survey stands in its place."
    assert (
        f"Superseded by record {right.record_id} on 14 MAR 2026. It was wrong: typed from another sheet (Ruth Okafor)"
        in said(old)
    )
    assert f'href="{detail(right)}"' in old.content.decode()
    assert f"It amends record {wrong.record_id}, the survey of 12 MAR 2026." in said(new)
    assert amend(wrong) not in old.content.decode(), "it is amended already"
    assert said(client.get(reverse("surveys:hood", args=[wrong.hood_id]))).count("superseded by an amendment") == 1


def test_l4_the_old_certificate_is_marked_superseded_and_the_new_one_names_the_old(client, wrong, right):
    old, new = reading.text(certificate(client, wrong)), reading.text(certificate(client, right))
    assert old.startswith(f"Superseded by record {right.record_id} on 14 MAR 2026: do not go by this page")
    assert "Superseded: Certificate of survey" in old
    assert "It had said: Met" in old
    assert f"record {wrong.record_id}: typed from another sheet" in new
    assert "Superseded" not in new


def test_l1_the_same_bytes_until_it_is_amended_and_the_same_again_after(client, wrong):
    before = certificate(client, wrong)
    assert certificate(client, wrong) == before
    signed(client, begun(client, wrong))
    after = certificate(client, wrong)
    assert (after != before, certificate(client, wrong)) == (True, after)


def test_the_old_label_says_that_its_survey_is_superseded(client, hood, wrong):
    assert "superseded" not in said(Client().get(f"/H/{hood.code}/{wrong.label_issue}"))
    right = signed(client, begun(client, wrong))
    page = said(Client().get(f"/H/{hood.code}/{wrong.label_issue}"))
    assert "This label is no longer valid: remove it." in page
    assert f"Its survey was wrong: it is superseded by record {right.record_id} on 14 MAR 2026." in page
    assert "superseded" not in said(Client().get(f"/H/{hood.code}/{right.label_issue}"))


def test_a_failure_is_not_taken_away_by_an_amendment_without_a_verdict(
    client, make_hood, site, technician, programme_manager
):
    hood = make_hood(tag="FH-0700")
    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager)
    instrument = surveying.make_instrument(site, programme_manager)
    failed = surveying.survey(hood, entered(instrument, SLOW), technician)
    draft = begun(client, failed, "empty")
    surveying.save(draft, entered(instrument, [[None] * 5] * 2), technician, NOW)
    right = signed(client, draft)
    assert right.verdict == "no-verdict"
    assert "its failure stands" in said(client.get(detail(failed)))
    assert first_line(client.get(detail(failed))).startswith("Survey report: criteria not met.")
    words = reading.text(certificate(client, failed))
    assert f"Amended by record {right.record_id} on 14 MAR 2026, which has no verdict: this failure stands" in words
    assert "Do not use this hood" in words


def test_an_empty_one_is_begun_by_the_programme_manager_for_a_technician(
    wrong, signed_in, programme_manager, site, technician
):
    manager = signed_in(programme_manager)
    assert "As a copy" not in said(manager.get(amend(wrong)))
    draft = begun(manager, wrong, "empty")
    assert (draft.corrects, draft.done_on) == (False, NOW.date())
    assert (
        f'href="{detail(draft)}"'
        in signed_in(technician).get(reverse("surveys:hood", args=[wrong.hood_id])).content.decode()
    )


@pytest.mark.parametrize(("sent", "words"), [
    ({"why": "", "begins": "copy"}, "Nothing is written here"),
    ({"why": "wrong", "begins": ""}, "Nothing is chosen here"),
    ({"why": "wrong", "begins": "elsewhere"}, "is not in the list"),
])  # fmt: skip
def test_p9_what_is_refused_is_an_error_and_starts_nothing(client, wrong, sent, words):
    answer = client.post(amend(wrong), sent)
    assert (answer.status_code, words in said(answer)) == (422, True)
    assert not Draft.objects.filter(amends=wrong).exists()


def test_p9_another_technicians_survey_and_one_amended_already_are_refused(client, wrong, signed_in, site):
    other = making.make_person("Mads Lien", site, "technician")
    answer = signed_in(other).post(amend(wrong), {"why": "wrong", "begins": "empty"})
    assert (answer.status_code, "You amend what you signed yourself" in said(answer)) == (422, True)
    signed(client, begun(client, wrong))
    answer = client.post(amend(wrong), {"why": "wrong", "begins": "copy"})
    assert (answer.status_code, "This survey is amended already" in said(answer)) == (422, True)


def test_a_survey_that_is_not_signed_is_gone_on_with(client, hood, wrong):
    draft = begun(client, wrong)
    assert client.get(amend(draft))["Location"] == detail(draft)
