"""The survey page without script: from start to signature, with every button, refusal and return."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from surveys.models import Survey
from tests.making import PASSWORD
from tests.surveying import SLOW
from tests.surveys.measuring import fill_in, sign
from tests.surveys.words import plain

pytestmark = pytest.mark.django_db


def test_from_start_to_signature_and_label_without_script(begin, instrument) -> None:
    surveyor = begin()
    assert "Is this the hood in front of you?" in surveyor.page
    fill_in(surveyor, instrument)
    surveyor.press("next")
    assert "Everything is answered." in surveyor.page
    assert "Provisional: pass" in surveyor.page
    sign(surveyor)
    survey = Survey.objects.get()
    assert (survey.verdict, survey.label_issue) == ("pass", 1)
    page = surveyor.open()
    assert "Certificate of survey" in page
    assert survey.record.sha256 in page
    put_on = reverse("surveys:label_put_on", args=[survey.pk])
    assert surveyor.client.post(put_on, {"issue": "2"}).status_code == 422
    assert surveyor.client.post(put_on, {"issue": "1", "old_removed": "on"}).status_code == 302
    assert "Label number 1 put on" in surveyor.open()


# --- what is asked, and in which order --------------------------------------------------------------------------------


def test_the_parts_stand_in_the_order_of_the_work(begin) -> None:
    surveyor = begin()
    ids = re.findall(r'<section class="part" id="part-([a-z-]+?)(?:-0)?"', surveyor.page)
    assert ids == [
        "hood", "conditions", "found", "checks", "opening", "traverse", "monitor", "smoke", "verdict", "left", "last",
        "sign",
    ]  # fmt: skip
    assert "Wait until the flow has settled" in surveyor.page
    for words in ("Probe on a stand", "Stand clear of the opening", "20 seconds"):
        assert words not in surveyor.page  # said beside the grid, which is not drawn before the opening is measured


def test_the_grid_is_drawn_from_the_measured_size_by_the_rule_of_the_version(begin) -> None:
    surveyor = begin()
    surveyor.fill(o0_height="18", o0_width="62")
    surveyor.press("draw:0")
    assert surveyor.landed.endswith("#r0f-0-0-0")
    assert "5 columns, 2 rows" in surveyor.page
    points = [name for name in surveyor.form.names if re.fullmatch(r"r0f-\d-\d-0", name)]
    assert points == [f"r0f-{r}-{c}-0" for r in range(2) for c in range(5)]
    for words in ("Probe on a stand", "Stand clear of the opening", "20 seconds"):
        assert words in surveyor.page
    assert surveyor.page.count("Face velocity, ft/min.") == 2  # as found and as left: the unit once each


@pytest.mark.parametrize(
    ("size", "said"),
    [("0", "not above zero"), ("1e1", "plain number"), ("9999999", "more than 50 points on a side"), ("18 x in", "plain number")],
)
def test_a_size_that_no_grid_can_be_drawn_of_says_so(begin, size: str, said: str) -> None:
    surveyor = begin()
    surveyor.fill(o0_height=size, o0_width="62")
    surveyor.press("draw:0")
    assert surveyor.landed.endswith("#part-opening-0")
    assert surveyor.form.boxes["o0_height"] == size


def test_e14_an_opening_measured_again_moves_no_reading(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(o0_height="30")
    surveyor.press("draw:0")
    assert "The opening was measured again." in surveyor.page
    assert surveyor.form.boxes["r0f-1-4-0"] == "102"
    surveyor.press("strike-all:t0f", expect=422)
    assert "needs a reason" in surveyor.page
    surveyor.fill(t0f_why="measured again")
    surveyor.press("strike-all:t0f")
    assert surveyor.form.boxes["r0f-2-4-0"] == ""
    assert "A traverse of 10 readings was struck: measured again." in surveyor.page
    assert surveyor.content()["struck_traverses"][0]["readings"][1][4]["value"] == "102"


def test_e14_first_line_and_verdict_agree_where_readings_stand_on_another_grid(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("keep")
    assert "10 of 10 points are read." in surveyor.page
    surveyor.fill(o0_height="40", o0_width="24")
    surveyor.press("draw:0")
    page = plain(surveyor.page)
    told = "‘working’ was measured again: its readings stand on another grid."
    assert (told in page, "10 of 10 points are read." in page) == (True, False)
    assert "“working”: 10 points were read as found in 5 by 2, and the size measured asks for 2 by 4." in page
    assert "points have no reading" not in page
    surveyor.fill(o0_height="30", o0_width="62")
    surveyor.press("draw:0")
    page = plain(surveyor.page)
    assert (told in page, "5 of 15 points have no reading as found" in page) == (True, True)


def test_a_step_is_ticked_when_wholly_answered(begin) -> None:
    surveyor = begin()
    surveyor.fill(right_hood="yes")
    surveyor.press("keep")
    assert done(surveyor.page, "part-hood") is False
    surveyor.fill(fit="yes")
    surveyor.press("keep")
    assert done(surveyor.page, "part-hood") is True
    assert surveyor.landed.endswith("#reason")


def done(page: str, part: str) -> bool:
    link = re.search(rf'<a href="#{part}" data-step.*?</a>', page, re.DOTALL)
    assert link is not None
    return ">done<" in link[0]


def test_plain_facts_carry_no_tick_or_cross(begin) -> None:
    page = begin().page
    band = re.search(r'id="found_somebody-q".*?</fieldset>', page, re.DOTALL)
    check = re.search(r'id="ahn-light-works-q".*?</fieldset>', page, re.DOTALL)
    assert band is not None
    assert check is not None
    assert ("<svg" in band[0], "<svg" in check[0]) == (False, True)


SAID_NO = [
    ("right_hood", "The hood in front of you is another"),
    ("fit", "Not fit to work at: end the survey by Stop (not cleared)."),
]


@pytest.mark.parametrize(("name", "words"), SAID_NO)
def test_another_hood_or_one_not_fit_to_work_at_is_never_signed(begin, instrument, name: str, words: str) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(**{name: "no"})
    surveyor.press("keep")
    told = re.search(rf'id="{name}-q-e".*?</p>', surveyor.page, re.DOTALL)
    assert told is not None
    assert words in told[0]
    surveyor.press("review")
    page = surveyor.client.get(surveyor.landed).content.decode()
    assert f'#{name}-q">' in page
    assert words in page
    seen = {"revision": surveyor.draft.revisions.count(), "version": surveyor.draft.version_id}
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    sent = seen | {"measured_myself": "on", "password": PASSWORD, "missing_confirmed": "on"}
    assert surveyor.client.post(address, sent).status_code == 422
    assert not Survey.objects.exists()
    surveyor.open()
    surveyor.fill(leave_reason="not-cleared")
    surveyor.press("leave")
    surveyor.open()
    sign(surveyor, missing_confirmed="on")
    assert Survey.objects.get().verdict == "no-verdict"


def test_whether_anything_was_adjusted_is_asked_and_missed(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.form.boxes["adjusted"] = ""
    surveyor.press("next")
    assert done(surveyor.page, "part-left") is False
    assert surveyor.landed.endswith("#adjusted-q")
    surveyor.press("review")
    assert "As left: adjusted or not" in surveyor.client.get(surveyor.landed).content.decode()
    surveyor.open()
    surveyor.fill(adjusted="no")
    surveyor.press("next")
    assert done(surveyor.page, "part-left") is True
    assert surveyor.content()["adjusted"] is False


def test_the_stop_sheet_asks_what_was_seen_before_its_buttons_and_says_what_an_end_does(begin) -> None:
    page = begin().page
    assert page.index('id="stop-words"') < page.index('value="stop" data-always')
    assert "unless a reading or check has already failed: then it is judged as failed when signed" in page


def test_the_review_of_an_early_end_tells_what_was_not_answered_in_one_line(begin) -> None:
    surveyor = begin()
    surveyor.fill(right_hood="yes", stop_reason="no-flow")
    surveyor.press("stop")
    page = surveyor.client.get(surveyor.landed).content.decode()
    entered = page.partition('id="h-entered"')[2].partition("</section>")[0]
    assert re.findall(r"<dt>(.*?)</dt>", entered) == ["Is this the hood in front of you?", "No flow"]
    assert "–" not in entered
    line = re.search(r"Not answered:</b>(.*?)</p>", entered, re.DOTALL)
    assert line is not None
    assert "reason for the survey; instrument" in line[1]
    assert "which hood it is" not in line[1]


def test_the_readings_of_the_review_stand_under_numbered_columns(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("review")
    page = surveyor.client.get(surveyor.landed).content.decode()
    table = page.partition('<table class="table readings">')[2].partition("</thead>")[0]
    assert re.findall(r'<th scope="col" class="n">(\d+)</th>', table) == ["1", "2", "3", "4", "5"]


def test_each_limit_beside_the_grid_says_what_it_costs(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("next")
    limits = surveyor.page.partition('class="flow live"')[2].partition("</table>")[0]
    assert re.findall(r">(not met: [^<]*)<", limits) == [
        "not met: fail",
        "not met: restrict, not for highly toxic materials",
    ]


def test_an_end_after_a_failure_is_judged_as_failed(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument, SLOW)
    surveyor.fill(leave_reason="called-away")
    surveyor.press("leave")
    surveyor.open()
    sign(surveyor)
    assert Survey.objects.get().verdict == "fail"


def test_a_reading_above_the_instrument_counts_in_no_figure(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(**{"r0f-0-1-0": "7000"})
    surveyor.press("next")
    assert "So far, from 9 of 10 points" in surveyor.page


def test_a_refused_reading_is_in_no_figure_and_no_limit_is_met(begin, instrument) -> None:
    """98 and 9.8 at a point of which the instrument reads to 1: the page kept it, and what it says is of the other nine."""
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("next")
    assert "provisional: met" in surveyor.page
    surveyor.fill(**{"r0f-0-1-0": "9.8"})
    surveyor.press("next")
    assert "So far, from 9 of 10 points" in surveyor.page
    assert "Points missing: 1. No limit is met yet." in surveyor.page
    live = surveyor.page.partition('class="flow live"')[2].partition("</table>")[0]
    assert "9.8" not in live
    assert "provisional: met" not in live
    assert "Provisional: pass" not in surveyor.page
