"""Readings taken again or struck, and openings that are measured besides."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from surveys.models import Draft, Survey
from tests.surveying import GOOD, LOWER, SLOW, assign
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db


# --- readings again and struck ----------------------------------------------------------------------------------------


def test_a_point_read_again_is_averaged_and_a_struck_reading_kept_with_its_reason(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(t0f_place="1.2")
    surveyor.press("again:t0f")
    assert surveyor.landed.endswith("?again=0f:1.2#r0f-0-1-1")
    surveyor.fill(**{"r0f-0-1-1": "103"})
    surveyor.press("keep")
    assert [one["value"] for one in surveyor.content()["traverses"][0]["readings"][0][1]] == ["101", "103"]
    assert "2 read" in surveyor.page
    surveyor.press("strike:t0f", expect=422)
    assert "Choose the point first." in surveyor.page
    surveyor.fill(t0f_place="1.2")
    surveyor.press("strike:t0f", expect=422)
    told = re.search(r'id="grid-0f-why-e".*?</p>', surveyor.page, re.DOTALL)
    assert told is not None
    assert "needs a reason" in told[0]
    assert surveyor.form.boxes["t0f_place"] == "1.2"  # the point that was chosen stays chosen
    surveyor.fill(t0f_why="probe touched the sash")
    surveyor.press("strike:t0f")
    held = surveyor.content()["traverses"][0]["readings"][0][1]
    assert [one["struck"] for one in held] == [None, "probe touched the sash"]
    assert surveyor.form.boxes["r0f-0-1-1-struck"] == "probe touched the sash"
    sign(surveyor, missing_confirmed="on")
    assert list(Survey.objects.get().traverses.get().readings.filter(row=1, column=2).values_list("value", "struck")) == [
        ("101", ""), ("103", "probe touched the sash"),
    ]  # fmt: skip


def test_every_reading_keeps_a_moment_of_its_own(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(**{"r0f-0-0-0-at": "2026-03-12T13:31:00Z"})
    surveyor.press("keep")
    moments = [cell["at"] for row in surveyor.content()["traverses"][0]["readings"] for cell in row]
    assert moments[0] == "2026-03-12T13:31:00Z"
    assert all(moments)


# --- openings ---------------------------------------------------------------------------------------------------------


def test_another_opening_is_measured_at_once_and_a_lower_one_can_be_approved(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument, SLOW)
    surveyor.press("next")
    assert "The average is under a lower limit." in surveyor.page
    surveyor.press("another", expect=422)
    assert "Give the opening a name" in surveyor.page
    surveyor.fill(another_name="lower", another_use="lower", another_height="12", another_width="0")
    surveyor.press("another", expect=422)
    assert surveyor.form.boxes["another_name"] == "lower"
    surveyor.fill(another_width="62")
    surveyor.press("another")
    assert surveyor.landed.endswith("#r1f-0-0-0")
    surveyor.fill_grid("1f", [["104", "108", "106", "101", "107", "105"]])
    surveyor.fill(**{"a1f-smoke-at-opening": "yes", "t1f_monitor": "110"})
    surveyor.press("next")
    assert "Provisional: restricted, sash no higher than 12 in" in surveyor.page
    opening = surveyor.draft.hood.openings.get(name="lower")
    assert (opening.use, opening.width, opening.height, opening.tested_every_survey) == (
        "lower",
        "62 in",
        "12 in",
        False,
    )
    surveyor.press("review")
    assert "Stop and mark moved to 12 in (304 mm)" in surveyor.client.get(surveyor.landed).content.decode()
    sign(surveyor, stop_moved="on")
    survey = Survey.objects.get()
    assert (survey.verdict, survey.restriction, survey.label_issue) == ("restrict", {"largest_opening": "12 in"}, 1)


OPENINGS_REFUSED = [
    # what is written, at which box, what is said, why
    ({"another_height": "361"}, "is more than 360 in", "higher than any opening: the bound of the inventory"),
    ({"another_width": "twelve"}, "is no number with a unit", "no number"),
    ({"another_width": "-3"}, "is not above zero", "below zero"),
    ({"another_width": ""}, "Write the size that was measured.", "no width"),
    ({"another_name": "low\u200ber"}, "a character that cannot be seen", "a name with a character that draws nothing"),
    ({"another_name": "low\x07er"}, "a character that cannot be kept", "one that cannot be kept"),
    ({"another_name": "l" * 61}, "at most 60 are kept", "a name too long"),
    ({"another_name": "WORKING"}, "has an opening of this name already", "it looks like the working one"),
    ({"another_use": "sideways"}, "", "a use that is not there"),
]


@pytest.mark.parametrize(("changed", "said", "why"), OPENINGS_REFUSED, ids=[row[2] for row in OPENINGS_REFUSED])
def test_another_opening_is_held_to_what_the_inventory_asks(begin, changed, said, why) -> None:
    surveyor = begin()
    surveyor.fill(another_name="lower", another_use="lower", another_height="12", another_width="62")
    surveyor.form.boxes |= changed
    surveyor.press("another", expect=422)
    assert said in surveyor.page
    assert [opening.name for opening in surveyor.draft.hood.openings.all()] == ["working"]
    assert len(surveyor.content()["openings"]) == 1


def test_without_the_stop_moved_a_lower_height_gives_no_label(begin, instrument, make_hood) -> None:
    surveyor = begin(make_hood(tag="FH-0200", openings=LOWER))
    fill_in(surveyor, instrument, SLOW)
    surveyor.fill(o1_height="12", o1_width="62")
    surveyor.press("draw:1")
    surveyor.fill_grid("1f", [["104", "108", "106", "101", "107", "105"]])
    surveyor.fill(**{"a1f-smoke-at-opening": "yes", "t1f_monitor": "110"})
    sign(surveyor)
    assert (Survey.objects.get().verdict, Survey.objects.get().label_issue) == ("restrict", None)
    assert "the stop and its mark were not confirmed at 12 in (304 mm). Take the old label off." in surveyor.open()


def test_an_opening_that_the_hood_has_is_measured_too_when_asked(begin, make_hood) -> None:
    hood = make_hood(tag="FH-0201", openings=LOWER)
    lower = hood.openings.get(name="lower")
    lower.tested_every_survey = False
    lower.save()
    surveyor = begin(hood)
    assert 'id="part-traverse-1"' not in surveyor.page
    surveyor.press(f"also:{lower.pk}")
    assert surveyor.landed.endswith("#part-opening-1")
    assert 'id="part-traverse-1"' in surveyor.page
    surveyor.press("also:0")
    assert "not on the page any more" in surveyor.page


def test_as_left_is_a_complete_second_set(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument, SLOW)
    surveyor.fill(adjusted="yes")
    surveyor.press("next")
    assert surveyor.landed.endswith("#r0l-0-0-0")
    surveyor.fill_grid("0l", GOOD)
    surveyor.fill(**{"t0l_monitor": "99", "a0l-smoke-at-opening": "yes"})
    surveyor.press("next")
    assert "Provisional: pass" in surveyor.page
    sign(surveyor)
    survey = Survey.objects.get()
    assert (survey.verdict, survey.as_found) == ("pass", "fail")
    page = surveyor.open()
    assert "As found" in page
    assert "As left" in page


def test_a_set_as_left_without_an_adjustment_is_told_at_the_question(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(adjusted="yes", **{"r0l-0-0-0": "98"})
    surveyor.press("keep")
    surveyor.fill(adjusted="no")
    surveyor.press("keep")
    told = re.search(r'id="adjusted-q-e".*?</p>', surveyor.page, re.DOTALL)
    assert told is not None
    assert "nothing was adjusted" in told[0]
    assert 'href="#adjusted-q"' in surveyor.page
    assert "One entry has an error." in surveyor.page


def test_a_form_sent_again_for_another_hood_starts_another_survey(begin, make_hood, version, programme_manager) -> None:
    surveyor = begin()
    other = make_hood(tag="FH-0202")
    assign(other, version, programme_manager)
    sent = {"name": other.tag, "draft": str(surveyor.draft.pk)}
    answer = surveyor.client.post(reverse("surveys:start"), sent)
    assert answer.status_code == 302
    assert (
        surveyor.client.post(reverse("surveys:start"), sent | {"another": str(other.pk)})["Location"]
        == answer["Location"]
    )
    assert Draft.objects.get(hood=other).pk != surveyor.draft.pk
