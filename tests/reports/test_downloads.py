"""What is printed: the same certificate for ever, a label only by today's status, the sign where there is none."""

from __future__ import annotations

import io
from datetime import timedelta

import pypdf
import pytest
import time_machine
from django.urls import reverse

from hoods.actions import hood as hoods
from surveys.actions.drafts import end_draft, start_draft
from surveys.actions.stops import post_stop
from surveys.models import LabelCopy
from tests import pages, surveying
from tests.reports.downloaded import NOW, text
from tests.surveying import GOOD, SLOW, SURVEYED, entered, with_lower

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


def label_of(hood) -> str:
    return reverse("reports:label", args=[hood.pk])


# --- labels ---


def test_a_label_by_todays_status_and_its_copy(passed, technician, technicians):
    response = technicians.post(label_of(passed.hood))
    said = text(response)
    for words in (
        "MET CRITERIA", "18 in", "FH-0142", "North Range 214", "2026 MAR 12, RO", "2027 MAR 12", "99.6 ft/min",
        "Average and lowest, version 1", "no. 1", passed.hood.code, "does not guarantee containment", "4100",
    ):  # fmt: skip
        assert words in said
    assert "no-store" in response["Cache-Control"]
    copy = LabelCopy.objects.get()
    assert (copy.survey, copy.sheet, copy.by) == (passed, "100x50", technician)


def test_a_label_printed_again_keeps_number_and_due_day(passed, technician, technicians, signed_in):
    first = text(technicians.post(label_of(passed.hood)))
    with time_machine.travel(NOW + timedelta(days=200), tick=False):
        assert text(signed_in(technician).post(label_of(passed.hood))) == first
    assert LabelCopy.objects.count() == 2


def test_a_restricted_label_says_its_height_and_use(ready, technician, instrument, technicians):
    hood = ready("FH-0153", openings=surveying.LOWER)
    lower = [["69", "92", "91", "92", "96", "95"]]
    surveying.survey(hood, with_lower(instrument, lower=lower), technician, stop_moved=True)
    said = text(technicians.post(label_of(hood)))
    assert "RESTRICTED" in said
    assert "12 in" in said
    assert "not for highly toxic materials" in said
    assert "MET CRITERIA" not in said


def _unsurveyed(hood, **_):
    return hood


def _surveyed(readings):
    def make(hood, *, technician, instrument, **_):
        surveying.survey(hood, entered(instrument, readings), technician)

    return make


def _drafted(hood, *, technician, instrument, **_):
    surveying.save(start_draft(hood=hood, by=technician, at=SURVEYED), entered(instrument), technician)


def _then(act):
    def make(hood, *, technician, instrument, manager):
        surveying.survey(hood, entered(instrument), technician)
        act(hood, technician, manager)

    return make


DAY = NOW.date()
WITHOUT_LABEL = {
    "never surveyed": _unsurveyed,
    "only drafted": _drafted,
    "failed": _surveyed(SLOW),
    "no verdict": _surveyed([GOOD[0], [*GOOD[1][:4], None]]),
    "failed after it passed": _then(
        lambda hood, by, _m: end_draft(
            draft=start_draft(hood=hood, by=by, at=NOW), reason="no-flow", by=by, at=NOW
        )
    ),
    "stopped": _then(lambda hood, by, _m: post_stop(hood=hood, reason="glass-broken", by=by, at=NOW)),
    "out of service": _then(
        lambda hood, _t, m: hoods.take_out_of_service(hood=hood, on=DAY, until_on=None, why="fan", by=m, at=NOW)
    ),
    "hibernated": _then(lambda hood, _t, m: hoods.hibernate_hood(hood=hood, on=DAY, why="unused", by=m, at=NOW)),
    "retired": _then(lambda hood, _t, m: hoods.retire_hood(hood=hood, on=DAY, why="old", by=m, at=NOW)),
}  # fmt: skip


@pytest.mark.parametrize("state", WITHOUT_LABEL)
def test_l3_no_label_by_any_address_where_todays_status_grants_none(
    ready, technician, instrument, programme_manager, technicians, state
):
    hood = ready("FH-0160")
    WITHOUT_LABEL[state](hood, technician=technician, instrument=instrument, manager=programme_manager)
    alone = technicians.post(label_of(hood))
    chosen = {"hoods": [hood.pk], "sheet": "a4-2x5", "start": "1"}
    sheet = technicians.post(reverse("reports:labels"), chosen)
    for response in (alone, sheet):
        assert response.status_code == 403
        assert "No label" in response.content.decode()
        assert reverse("reports:stop_sign", args=[hood.pk]) in response.content.decode()
    page = pages.page(technicians.get(reverse("reports:labels")))
    assert str(hood.pk) not in str([form.choices for form in page.forms])
    assert not LabelCopy.objects.exists()
    sign = text(technicians.get(reverse("reports:stop_sign", args=[hood.pk])))
    assert "DO NOT USE" in sign
    assert "FH-0160" in sign


def test_l3_control_the_same_hood_passed_has_its_label_and_no_sign(passed, technicians):
    assert technicians.post(label_of(passed.hood)).status_code == 200
    sign = technicians.get(reverse("reports:stop_sign", args=[passed.hood.pk]))
    assert sign.status_code == 403
    assert "may be used today" in sign.content.decode()


def test_no_label_for_a_lower_height_whose_stop_was_not_moved(ready, technician, instrument, technicians):
    hood = ready("FH-0153", openings=surveying.LOWER)
    surveying.survey(hood, with_lower(instrument), technician)
    response = technicians.post(label_of(hood))
    assert response.status_code == 403
    assert not LabelCopy.objects.exists()


def test_labels_on_a_sheet_from_a_chosen_place(passed, ready, technician, instrument, technicians):
    other = surveying.survey(ready("FH-0143"), entered(instrument), technician)
    page = technicians.get(reverse("reports:labels")).content.decode()
    assert "FH-0142" in page
    assert "FH-0143" in page
    chosen = {"hoods": [passed.hood_id, other.hood_id], "sheet": "a4-2x5", "start": "10"}
    response = technicians.post(reverse("reports:labels"), chosen)
    assert "FH-0142" in text(response)
    assert len(pypdf.PdfReader(io.BytesIO(response.content)).pages) == 2
    assert set(LabelCopy.objects.values_list("survey", "sheet")) == {(passed.pk, "a4-2x5"), (other.pk, "a4-2x5")}


@pytest.mark.parametrize(
    ("changed", "said"),
    [({"start": "11"}, "places 1 to 10"), ({"start": "0"}, "places 1 to 10"), ({"start": "one"}, "whole number"),
     ({"hoods": []}, "at least one hood"), ({"sheet": "napkin"}, "“napkin” is not in the list"), ({"start": "٣"}, "whole number"),
     ({"start": ""}, "write the place as digits"), ({"start": "12345"}, "at most 4 are kept"),
     ({"hoods": [77810]}, "Something chosen is not in the list")],
)  # fmt: skip
def test_a_wrong_sheet_is_refused_with_a_sentence_and_the_entry_kept(passed, technicians, changed, said):
    chosen = {"hoods": [passed.hood_id], "sheet": "a4-2x5", "start": "1"} | changed
    response = technicians.post(reverse("reports:labels"), chosen)
    assert response.status_code == 422
    assert said in response.content.decode()
    assert not LabelCopy.objects.exists()


@pytest.mark.parametrize("method", ["get", "head"])
def test_looking_at_the_address_of_a_label_records_no_copy_and_leads_to_the_hood(passed, technicians, method):
    answer = getattr(technicians, method)(label_of(passed.hood))
    assert (answer.status_code, answer.url) == (302, reverse("surveys:hood", args=[passed.hood.pk]))
    assert not LabelCopy.objects.exists()


def test_the_button_on_the_pages_prints_it(passed, technicians):
    for page in (reverse("surveys:hood", args=[passed.hood.pk]), reverse("surveys:detail", args=[passed.pk])):
        forms = pages.Page(technicians.get(page).content.decode(), page).forms
        (form,) = [form for form in forms if form.action == label_of(passed.hood)]
        assert (form.method, technicians.post(form.action, form.values).status_code) == ("POST", 200)
    assert LabelCopy.objects.count() == 2


# --- the sign ---


def test_the_sign_says_why_since_when_and_whom_to_call(passed, technician, technicians):
    post_stop(hood=passed.hood, reason="smoke-came-out", words="at the lower left", by=technician, at=NOW)
    said = text(technicians.get(reverse("reports:stop_sign", args=[passed.hood.pk])))
    for words in ("DO NOT USE", "FH-0142", "room 214", "Smoke came out: at the lower left.", "12 MAR 2026, 15:30", "Ruth Okafor", "4100",
                  passed.hood.code, "Step away, close the door, call 4444."):  # fmt: skip
        assert words in said


def test_the_sign_of_a_hood_never_surveyed_says_until_when(ready, technicians):
    said = text(technicians.get(reverse("reports:stop_sign", args=[ready("FH-0171").pk])))
    assert "Not yet surveyed: do not use until commissioned." in said


@pytest.mark.parametrize(("paper", "width"), [("A4", 595), ("Letter", 612), ("", 595), ("napkin", 595)])
def test_the_sign_on_the_paper_asked_for(ready, technicians, paper, width):
    hood = ready("FH-0170")
    response = technicians.get(reverse("reports:stop_sign", args=[hood.pk]), {"paper": paper} if paper else {})
    page = pypdf.PdfReader(io.BytesIO(response.content)).pages[0]
    assert round(float(page.mediabox.width)) == width


# --- who ---


def test_only_who_sees_the_hood_prints(
    passed, signed_in, stranger, auditor, lab_manager, client, make_hood, other_room
):
    certificate = reverse("reports:certificate", args=[passed.pk])
    assert client.get(certificate).status_code == 302
    assert signed_in(stranger).get(certificate).status_code == 403
    assert signed_in(auditor).get(certificate).status_code == 200
    assert signed_in(auditor).post(label_of(passed.hood)).status_code == 403
    assert signed_in(lab_manager).get(certificate).status_code == 200
    elsewhere = make_hood(tag="FH-0180", room=other_room)
    sign = reverse("reports:stop_sign", args=[elsewhere.pk])
    assert signed_in(lab_manager).get(sign).status_code == 404
    assert not LabelCopy.objects.exists()
