"""The pages of a survey from paper: begun on the start page, marked wherever it is shown."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from surveys.models import Draft, Revision
from tests import surveying
from tests.making import PASSWORD
from tests.reports.pdf import reading
from tests.surveying import GOOD, entered

pytestmark = pytest.mark.django_db


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager, name="A-07")


@pytest.fixture
def ready(hood, site, instrument, programme_manager):
    surveying.assign(hood, surveying.make_version(site, programme_manager, name="Laboratory hoods"), programme_manager)
    return hood


@pytest.fixture
def day(site):
    return site.today() - timedelta(days=3)


def send(client: Client, hood, **boxes):
    return client.post(reverse("surveys:start"), {"name": hood.tag, "how": "paper"} | boxes)


def words(answer) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def shown(on) -> str:
    return f"{on.day} {on:%b} {on.year}".replace(f"{on:%b}", f"{on:%b}".upper())


def test_i12_from_the_start_page_to_the_certificate_every_page_says_who_measured_and_who_typed_it_in(
    client, ready, instrument, technician, day, site
):
    client.force_login(technician)
    begun = send(client, ready, measured_on=day.isoformat(), measured_by="Lena Orth")
    assert begun.status_code == 302
    said = f"Transcribed from paper, measured by Lena Orth on {shown(day)}, typed in by Ruth Okafor on {shown(site.today())}."
    draft = Draft.objects.get()
    assert said in words(client.get(begun["Location"]))
    surveying.save(draft, entered(instrument), technician, timezone.now())
    review = client.get(reverse("surveys:review", args=[draft.pk]))
    assert said in words(review)
    assert "I made these measurements" not in words(review)
    signed = client.post(reverse("surveys:sign", args=[draft.pk]), {
        "revision": Revision.objects.last().number, "version": draft.version_id, "measured_myself": "on",
        "missing_confirmed": "on", "password": PASSWORD,
    })  # fmt: skip
    assert signed.status_code == 302, words(signed)
    page = words(client.get(reverse("surveys:detail", args=[draft.pk])))
    assert said in page
    assert "‘I typed in what stands on the paper, as it stands there’" in page
    assert "without times: paper kept none" in page
    hood = words(client.get(reverse("surveys:hood", args=[ready.pk])))
    assert hood.count(said) == 2, "why it stands as it does, and among its surveys"
    assert "as surveyed by" not in hood
    paper = reading.text(client.get(reverse("reports:certificate", args=[draft.pk])).content)
    assert said in paper
    assert "transcribed from paper" in paper
    assert "Who measured: no qualification on record for this day" in paper
    assert "I made these measurements" not in paper


def test_the_control_a_survey_with_a_tablet_says_nothing_of_paper(client, ready, instrument, technician):
    survey = surveying.survey(ready, entered(instrument), technician, timezone.now() - timedelta(hours=1))
    client.force_login(technician)
    for view, pk in (("surveys:detail", survey.pk), ("surveys:hood", ready.pk)):
        assert "ranscribed from paper" not in words(client.get(reverse(view, args=[pk])))
    assert "ranscribed" not in reading.text(client.get(reverse("reports:certificate", args=[survey.pk])).content)


def test_i12_moments_that_the_page_sends_are_not_kept(client, ready, instrument, technician, day):
    client.force_login(technician)
    address = send(client, ready, measured_on=day.isoformat(), measured_by="Lena Orth")["Location"]
    boxes = {
        "form_id": "f", "made_from": "0", "carried": "", "o0_name": "working", "o0_height": "18", "o0_width": "62",
        "t0f_unit": "ft/min", "t0f_rows": "2", "t0f_columns": "5", "r0f-0-0-0": GOOD[0][0],
        "r0f-0-0-0-at": "2026-11-25T10:00:00Z",
    }  # fmt: skip
    answer = client.post(address, boxes)
    assert answer.status_code in (200, 302), words(answer)
    kept = Revision.objects.order_by("-number").first().content
    assert GOOD[0][0] in kept
    assert "2026-11-25T10:00:00Z" not in kept


REFUSED = [  # what is sent, days from today, at which box, what is said
    ({"measured_by": "Lena Orth"}, 1, "measured_on", "has not come yet here"),
    ({"measured_by": "Lena Orth"}, -4000, "measured_on", "Compare the day with the paper"),
    ({}, -1, "measured_by", "Say who measured"),
    ({"measured_by": "   "}, -1, "measured_by", "Say who measured"),
]


@pytest.mark.parametrize(("boxes", "days", "box", "said"), REFUSED)
def test_t7_a_refusal_stands_at_its_box_and_keeps_the_entry(client, ready, technician, site, boxes, days, box, said):
    client.force_login(technician)
    on = (site.today() + timedelta(days=days)).isoformat()
    answer = send(client, ready, measured_on=on, **boxes)
    assert answer.status_code == 422
    page = answer.content.decode()
    error = re.search(rf'id="id_{box}_error"><svg.*?</svg><span>(.*?)</span>', page, re.DOTALL)
    assert error is not None
    assert said in unescape(error[1])
    assert f'value="{on}"' in page
    assert f'value="{ready.tag}"' in page
    assert '<details class="again" open>' in page
    assert not Draft.objects.exists()


WAYS = [{}, {"another": "1"}, {"how": ""}]  # Enter, the button above the boxes, the one of another survey


@pytest.mark.parametrize("way", WAYS)
def test_i12_what_is_filled_in_of_a_paper_is_a_survey_from_paper_whichever_button_sends_it(client, ready, technician, day, way):
    client.force_login(technician)
    boxes = {"name": ready.tag, "measured_on": day.isoformat(), "measured_by": "Lena Orth", "person": ""} | way
    assert client.post(reverse("surveys:start"), boxes).status_code == 302
    draft = Draft.objects.get()
    assert draft.done_on == day
    assert draft.transcription.measured_by == "Lena Orth"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("boxes", "days", "box", "said"), [
    *REFUSED[:3], ({"measured_by": "Lena Orth"}, None, "measured_on", ""),
])  # fmt: skip
def test_t7_what_is_wrong_of_a_paper_is_refused_at_its_box_whichever_button_sends_it(
    client, ready, technician, site, way, boxes, days, box, said
):
    client.force_login(technician)
    on = "" if days is None else (site.today() + timedelta(days=days)).isoformat()
    answer = client.post(reverse("surveys:start"), {"name": ready.tag, "measured_on": on, "measured_by": ""} | boxes | way)
    assert answer.status_code == 422
    page = answer.content.decode()
    error = re.search(rf'id="id_{box}_error"><svg.*?</svg><span>(.*?)</span>', page, re.DOTALL)
    assert error is not None
    assert said in unescape(error[1])
    assert '<details class="again" open>' in page
    assert all(f'value="{text}"' in page for text in (ready.tag, on, *boxes.values()) if text)
    assert not Draft.objects.exists()


def test_the_control_boxes_of_paper_that_are_empty_start_the_survey_of_today(client, ready, technician, site):
    client.force_login(technician)
    boxes = {"name": ready.tag, "measured_on": "", "measured_by": " ", "person": ""}
    assert client.post(reverse("surveys:start"), boxes).status_code == 302
    draft = Draft.objects.get()
    assert draft.done_on == site.today()
    assert not hasattr(draft, "transcription")


def test_two_people_are_one_too_many_and_only_people_of_the_site_are_offered(
    client, ready, technician, programme_manager, day
):
    from tests import making

    stranger = making.make_person("Odd Stranger", making.make_site("Elsewhere"), "technician")
    client.force_login(technician)
    both = send(client, ready, measured_on=day.isoformat(), measured_by="Lena Orth", person=programme_manager.pk)
    assert both.status_code == 422
    assert "Two people are named" in words(both)
    assert send(client, ready, measured_on=day.isoformat(), person=stranger.pk).status_code == 422
    assert send(client, ready, measured_on=day.isoformat(), person=programme_manager.pk).status_code == 302


def test_a_hood_that_is_not_there_is_named_at_its_own_box(client, ready, technician, day):
    client.force_login(technician)
    answer = client.post(reverse("surveys:start"), {
        "name": "FH-9999", "how": "paper", "measured_on": day.isoformat(), "measured_by": "Lena Orth",
    })  # fmt: skip
    assert answer.status_code == 422
    assert "No hood here has the tag or code" in words(answer)
