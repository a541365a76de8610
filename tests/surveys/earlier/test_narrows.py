"""An accepted earlier result that is newer than the last signed survey: a restriction narrows what may be used, a pass changes nothing."""

from __future__ import annotations

from datetime import date

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from surveys.core import status as core
from surveys.history import history_of
from tests.surveys import rows
from tests.surveys.earlier.counting import NOW, TODAY, a_row, status_of
from tests.surveys.words import first_line, said

CHANGES_NOTHING = (
    "The record of 20 FEB 2026 says that the criteria were met: from earlier records, "
    "so it changes nothing of what was signed here."
)


@pytest.fixture(autouse=True)
def on_that_day():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def pages(judged, programme_manager):
    def ask():
        signed_in = Client()
        signed_in.force_login(programme_manager)
        return signed_in.get(reverse("surveys:hood", args=[judged.pk])), Client().get(f"/H/{judged.code}")

    return ask


@pytest.fixture
def signed(judged, version, technician):
    return rows.survey(judged, version, technician, date(2026, 2, 1))


def test_a_later_restriction_narrows_what_was_signed_on_every_page(judged, signed, accepted, pages):
    assert status_of(judged).in_use, "the control: before it was accepted"
    accepted(a_row(judged, date(2026, 2, 20), "restrict", height="14 in", restriction="only water"))
    found = status_of(judged)
    assert (found.code, found.in_use, found.since) == ("restricted", False, date(2026, 2, 20))
    assert found.restriction == {"largest_opening": "14 in", "use": "only water"}
    assert core.label_standing(history_of(judged, TODAY).facts, 1, TODAY) == core.OUTDATED
    hood, public = pages()
    assert first_line(hood) == "Do not use it yet."
    assert first_line(public) == "Do not use this hood yet."
    assert "Sash above 14 in" in said(hood).replace("\u00a0", " ")
    assert "Only water" in said(hood)
    for page in (hood, public):
        assert "Take the old label off. Do not use it until it is surveyed and labelled" in said(page)
        assert "the average was" not in said(page), "nobody measured it here at that height"
    assert "The record of 20 FEB 2026 says that the criteria were met with a restriction" in said(hood)


def test_a_later_pass_changes_nothing_of_what_was_signed_and_the_page_says_so(judged, signed, accepted, pages):
    before = status_of(judged)
    accepted(a_row(judged, date(2026, 2, 20)))
    assert status_of(judged) == before
    assert CHANGES_NOTHING in said(pages()[0])
    assert "the average was" in said(pages()[0]), "the control: at the height that was measured"


@pytest.mark.parametrize("given", [
    [(date(2026, 1, 20), "pass")], [(date(2026, 2, 20), "pass"), (date(2026, 2, 21), "fail")],
], ids=["before it", "before a failure"])  # fmt: skip
def test_a_pass_that_is_not_the_newest_is_not_told_so(judged, signed, accepted, pages, given):
    accepted(*(a_row(judged, on, verdict) for on, verdict in given))
    assert "so it changes nothing of what was signed here" not in said(pages()[0])


def test_a_pass_of_a_hood_that_nobody_surveyed_here_is_told_as_what_holds(judged, accepted, pages):
    accepted(a_row(judged, date(2026, 2, 20)))
    assert "changes nothing" not in said(pages()[0])
