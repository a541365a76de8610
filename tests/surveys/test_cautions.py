"""Cautions on pages, paper and in mails, by the kind of sash of the hood that they are about."""

from __future__ import annotations

import pytest
from django.core import mail
from django.template.loader import render_to_string
from django.urls import reverse

from surveys.actions.stops import post_stop
from surveys.core.cautions import CAUTIONS
from tests import surveying
from tests.filling import Surveyor
from tests.making import make_hood
from tests.reports.pdf import reading
from tests.surveying import SURVEYED
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

KINDS = ("vertical", "horizontal", "combination", "none")


@pytest.fixture
def of(room, programme_manager):
    def make(sash, **fields):
        return make_hood(room=room, by=programme_manager, sash=sash, **fields)

    return make


def without_gaps(words: str) -> str:
    return "".join(words.split()).lower()


def told(words: str, what: str) -> set[str]:
    """The kinds of sash whose caution of this sort stands in a text; not one that is the end of another's."""
    said = {sash: without_gaps(CAUTIONS[what][sash]) for sash in KINDS}
    there = {sash for sash in KINDS if said[sash] in without_gaps(words)}
    return {sash for sash in there if not any(said[sash] in said[other] for other in there - {sash})}


@pytest.mark.parametrize("sash", KINDS)
def test_the_page_of_a_hood_and_the_public_one_word_it_by_the_sash(of, technician, signed_in, client, sash):
    hood = of(sash)
    assert told(said(signed_in(technician).get(reverse("surveys:hood", args=[hood.pk]))), "kept") == {sash}
    public = said(client.get(reverse("public_hood", args=[hood.code])))
    for what in ("working", "behind", "leaving", "alarming"):
        assert told(public, what) == {sash}, what


@pytest.mark.parametrize("sash", KINDS)
def test_a_sign_and_the_mail_about_it_word_it_by_the_sash(
    of, technician, programme_manager, signed_in, sash, django_capture_on_commit_callbacks
):
    hood = of(sash)
    with django_capture_on_commit_callbacks(execute=True):
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    sign = reading.quick_text(signed_in(technician).get(reverse("reports:stop_sign", args=[hood.pk])).content)
    assert told(sign, "shut") == {sash}
    assert mail.outbox, "somebody is told"
    assert {frozenset(told(one.body, "left-shut")) for one in mail.outbox} == {frozenset({sash})}


@pytest.mark.parametrize("sash", KINDS)
def test_a_certificate_words_it_by_the_sash_that_its_record_attests(of, technician, programme_manager, signed_in, sash):
    hood = of(sash)
    hood.openings.update(way={"horizontal": "left panel", "combination": "frame"}.get(sash, ""))
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager), programme_manager)
    content = surveying.entered(surveying.make_instrument(hood.site, programme_manager))
    survey = surveying.survey(hood, content, technician)
    hood.sash = "none" if sash != "none" else "vertical"
    hood.save()
    printed = reading.quick_text(signed_in(technician).get(reverse("reports:certificate", args=[survey.pk])).content)
    assert told(printed, "printed") == {sash}


def test_of_a_room_the_general_one_is_said(of, technician, signed_in):
    hood = of("none")
    page = said(signed_in(technician).get(reverse("surveys:room", args=[hood.placements.get().room_id])))
    assert CAUTIONS["kept"]["many"] in page
    assert CAUTIONS["kept"]["many"] in render_to_string("components/caution.html", {"site": hood.site})


STATES = [
    # control             use          chosen     said
    ("two-state",         "other",     "",        "Measure it in the state that is tested: choose which, higher or lower, under Conditions."),
    ("two-state",         "other",     "lower",   "Measure it in the state tested: lower flow."),
    ("two-state",         "full-open", "higher",  "Measure it in the state tested: higher flow."),
    ("two-state",         "set-back",  "lower",   "Put the hood in its other state"),
    ("two-state",         "lower",     "higher",  ""),
    ("constant-volume",   "other",     "",        ""),
    ("variable-volume",   "other",     "maximum", ""),
]  # fmt: skip


@pytest.mark.parametrize(("control", "use", "chosen", "words"), STATES)
def test_an_opening_of_a_two_state_hood_says_in_which_state_it_is_measured(
    room, technician, programme_manager, signed_in, control, use, chosen, words
):
    hood = make_hood(
        room=room, by=programme_manager, control=control,
        openings=(("working", "working", "62 in", "18 in"), ("second", use, "62 in", "12 in")),
    )  # fmt: skip
    surveying.make_instrument(hood.site, programme_manager)
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager), programme_manager)
    surveyor = Surveyor(signed_in(technician), hood)
    if chosen:
        surveyor.fill(flow_state=chosen)
        surveyor.press("keep")
    page = surveyor.open()
    part = page.partition('id="part-opening-1"')[2].partition("</section>")[0]
    assert ("Measure it in the state" in part or "Put the hood in its other state" in part) is bool(words)
    assert words in part
