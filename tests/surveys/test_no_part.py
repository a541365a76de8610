"""No survey of a sash with parts begins or is signed while nothing says which part an opening is."""

from __future__ import annotations

import uuid

import pytest
import time_machine
from django.urls import reverse

from hoods.actions.hood import change_hood
from hoods.actions.opening import change_opening
from surveys import queries
from surveys.actions.amendments import start_amendment
from surveys.actions.drafts import start_draft, start_drafts
from surveys.actions.signing import NotReady
from surveys.actions.surveyable import NoPart
from surveys.models import Draft, Survey
from tests import surveying
from tests.making import make_hood
from tests.surveying import SURVEYED, entered
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
WHY = "Nobody has said which part of its sash the opening “working” of hood FH-0117 is."


@pytest.fixture(autouse=True)
def _that_day():
    with time_machine.travel(SURVEYED):
        yield


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def made(room, programme_manager, site):
    """A hood of some sash whose one opening is called 'working'."""
    version = surveying.make_version(site, programme_manager)

    def make(sash):
        hood = make_hood(room=room, by=programme_manager, tag="FH-0117", sash=sash)
        surveying.assign(hood, version, programme_manager)
        return hood

    return make


def say(hood, by, way="left panel"):
    change_opening(opening=hood.openings.get(), way=way, by=by, at=SURVEYED)


@pytest.mark.parametrize("sash", ["horizontal", "combination"])
@pytest.mark.parametrize("how", [{}, {"how": "paper", "measured_on": "2026-03-10", "measured_by": "Lena Orth"}])
def test_neither_on_the_tablet_nor_from_paper_and_the_page_leads_to_the_openings(
    made, signed_in, technician, programme_manager, sash, how
):
    hood, client = made(sash), signed_in(technician)
    refused = client.post(reverse("surveys:start"), {"name": "FH-0117", "draft": str(uuid.uuid4())} | how)
    assert refused.status_code == 422
    assert WHY in said(refused)
    assert f'href="{reverse("hoods:hood_inventory", args=[hood.pk])}"' in refused.content.decode()
    assert client.get(reverse("hoods:hood_inventory", args=[hood.pk])).status_code == 200
    assert not Draft.objects.exists()
    say(hood, programme_manager)
    assert (
        client.post(reverse("surveys:start"), {"name": "FH-0117", "draft": str(uuid.uuid4())} | how).status_code == 302
    )


@pytest.mark.parametrize("sash", ["vertical", "none"])
def test_the_control_a_sash_that_opens_in_one_way_needs_no_part(made, signed_in, technician, sash):
    made(sash)
    assert signed_in(technician).post(reverse("surveys:start"), {"name": "FH-0117"}).status_code == 302


@pytest.mark.parametrize(("sash", "right"), [("vertical", ""), ("none", ""), ("horizontal", "panels")])
def test_an_opening_that_is_a_part_of_the_sash_before_is_not_surveyed(
    made, signed_in, technician, programme_manager, sash, right
):
    """Its height says nothing of the sash of today, and a label would grant it."""
    hood, client = made("combination"), signed_in(technician)
    say(hood, programme_manager, "frame")
    change_hood(hood=hood, sash=sash, by=programme_manager, at=SURVEYED, why="another sash was fitted")
    refused = client.post(reverse("surveys:start"), {"name": "FH-0117", "draft": str(uuid.uuid4())})
    why = "The opening “working” of hood FH-0117 is a part of a sash that the hood no longer has."
    assert (refused.status_code, why in said(refused)) == (422, True)
    say(hood, programme_manager, right)
    assert client.post(reverse("surveys:start"), {"name": "FH-0117", "draft": str(uuid.uuid4())}).status_code == 302


def test_one_whose_sash_was_changed_while_it_was_surveyed_is_not_signed(
    made, instrument, technician, programme_manager
):
    hood = made("combination")
    say(hood, programme_manager, "frame")
    draft = start_draft(hood=hood, by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician)
    change_hood(hood=hood, sash="vertical", by=programme_manager, at=SURVEYED, why="another sash was fitted")
    with pytest.raises(NotReady) as refused:
        surveying.sign(Draft.objects.get(), technician)
    assert [one.message.code for one in refused.value.problems] == ["opening-of-another-sash"]


def test_a_round_is_begun_of_all_its_hoods_or_of_none(made, room, technician, programme_manager):
    other = make_hood(room=room, by=programme_manager, tag="FH-0116")
    hood = made("horizontal")
    surveying.assign(other, hood.assignments.get().set.versions.get(), programme_manager)
    with pytest.raises(NoPart):
        start_drafts(hoods=[other, hood], by=technician, at=SURVEYED)
    assert not Draft.objects.exists()


def test_no_blank_form_of_it_is_printed(made, signed_in, technician, programme_manager):
    hood, client = made("horizontal"), signed_in(technician)
    address = reverse("reports:hood_blank", args=[hood.pk])
    refused = client.get(address)
    assert (refused.status_code, WHY in said(refused)) == (403, True)
    say(hood, programme_manager)
    assert client.get(address)["Content-Type"] == "application/pdf"


def test_one_that_became_so_while_it_was_surveyed_is_not_signed_before_it_is_said(
    made, instrument, technician, programme_manager, signed_in
):
    hood = made("vertical")
    draft = start_draft(hood=hood, by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician)
    change_hood(hood=hood, sash="combination", by=programme_manager, at=SURVEYED, why="another sash was fitted")
    draft = Draft.objects.get()
    with pytest.raises(NotReady) as refused:
        surveying.sign(draft, technician)
    assert [(one.path, one.message.code) for one in refused.value.problems] == [("openings.0", "opening-of-no-part")]
    review = said(signed_in(technician).get(reverse("surveys:review", args=[draft.pk])))
    assert "Nobody has said which part of its sash “working” is." in review
    say(hood, programme_manager, "frame")
    assert surveying.sign(Draft.objects.get(), technician).verdict == "pass"


@pytest.fixture
def before(made, instrument, technician, programme_manager, monkeypatch):
    """A survey that was signed before this was asked."""
    monkeypatch.setattr("surveys.actions.drafts.refuse_if_no_part", lambda hoods: None)
    monkeypatch.setattr("surveys.actions.signing.of_no_part", lambda document, facts: ())
    survey = surveying.survey(made("horizontal"), entered(instrument), technician)
    monkeypatch.undo()
    return survey


def test_a_record_from_before_reads_as_it_did_and_may_be_corrected_but_not_measured_anew(before, signed_in, technician):
    client = signed_in(technician)
    assert client.get(reverse("surveys:detail", args=[before.pk])).status_code == 200
    assert client.get(reverse("reports:certificate", args=[before.pk])).status_code == 200
    assert queries.status_of(before.hood, SURVEYED.date()).code == "met-criteria"
    with pytest.raises(NoPart):
        start_amendment(survey=before, why="misread", begins="empty", by=technician, at=SURVEYED)
    copy = start_amendment(survey=before, why="misread", begins="copy", by=technician, at=SURVEYED)
    assert surveying.sign(copy, technician).amends == before
    assert Survey.objects.count() == 2
