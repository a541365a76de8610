"""Sizes and units on the page of a hood: how high a sash rises, and what its monitor is set to."""

from __future__ import annotations

import pytest
from django.urls import reverse

from surveys.core.history import Approved
from surveys.history import Told, history_of
from surveys.templatetags.ledger import measured
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

PANEL = Approved("left panel open", "28 in", "working", "left panel", width="30 in")
FRAME = Approved("frame up", "18 in", "working", "frame")
RISES = [
    # kind of sash, approved, how high it rises, why
    ("combination", (PANEL, FRAME), "18 in", "the frame, and no panel"),
    ("combination", (PANEL,), "", "panels alone"),
    ("horizontal", (PANEL, FRAME), "", "nothing rises"),
    ("vertical", (PANEL, FRAME), "28 in", "whatever its openings are called"),
    ("vertical", (), "", "nothing is approved"),
]


@pytest.mark.parametrize(("sash", "approved", "height", "why"), RISES, ids=[row[3] for row in RISES])
def test_the_height_of_a_survey_in_its_table_is_that_of_what_rises(sash, approved, height, why):
    assert Told(None, approved, {}, {}, sash=sash).height == height, why


def test_what_a_monitor_is_set_to_is_told_in_the_words_of_its_unit(make_hood, signed_in, programme_manager):
    hood = make_hood(monitor="flow", set_point="800 ft**3/min", alarm_point="700 ft**3/min")
    page = said(signed_in(programme_manager).get(reverse("surveys:hood", args=[hood.pk])))
    assert "set to 800 ft³/min; alarm at 700 ft³/min" in page
    assert "ft**3" not in page
    assert (measured(""), measured("much")) == ("", "much")


def test_the_history_of_a_hood_knows_the_kind_of_its_sash(hood_of):
    assert history_of(hood_of("met-criteria", sash="combination")).surveys[0].sash == "combination"
