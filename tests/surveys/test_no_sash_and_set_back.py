"""Words for an open front that cannot be closed, and for openings that are measured in another state of the hood."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.urls import reverse

from surveys.core.front import OPEN_FRONT, where
from surveys.views.drawing import place
from tests import surveying
from tests.filling import Surveyor
from tests.making import make_hood
from tests.reports.pdf import reading
from tests.surveys.words import plain, said

pytestmark = pytest.mark.django_db
SET = "set the sash to 72 in"
ALARMED = surveying.CRITERIA | {
    "checks": [*surveying.CRITERIA["checks"], {"check": "alarm-works", "applies_to": "hood", "consequence": "fail"}]
}
#: What is said and asked of a sash alone.
OF_A_SASH = (
    "Leave the sash there", "Sash found at", "Is the sash stop engaged?", "Is the sash closed?", "raise the sash", "sash raised",
    "while the sash stands", "none sash",
)  # fmt: skip
OPEN = "the front is open and cannot be closed"


@pytest.fixture
def ready(room, technician, programme_manager, signed_in):
    """A hood that can be surveyed, its survey page opened, and its blank form."""

    def make(openings=(("working", "working", "72 in", "72 in"),), **what):
        hood = make_hood(room=room, by=programme_manager, openings=openings, **what)
        surveying.make_instrument(hood.site, programme_manager)
        surveying.assign(hood, surveying.make_version(hood.site, programme_manager, ALARMED), programme_manager)
        client = signed_in(technician)
        blank = reading.quick_text(client.get(reverse("reports:hood_blank", args=[hood.pk])).content)
        return Surveyor(client, hood), blank

    return make


@pytest.mark.parametrize("kind", ["general", "canopy", "floor-mounted"])
def test_nothing_is_asked_of_a_sash_that_is_not_there(ready, kind):
    surveyor, blank = ready(sash="none", kind=kind)
    page = plain(surveyor.page)
    for words in (*OF_A_SASH, SET):
        assert words not in page, words
        assert words not in blank, words
    assert OPEN in page
    assert OPEN in blank
    assert "found_sash" not in surveyor.form.names
    assert "Are the controls back to automatic?" in page


def test_of_a_vertical_sash_all_of_it_is_asked(ready):
    surveyor, blank = ready()
    page = plain(surveyor.page)
    for words in (*OF_A_SASH[:5], SET):
        assert words.lower() in page.lower(), words
    assert SET in blank
    assert "Is the sash closed?" in blank
    assert OPEN not in page


OF_PANELS = {
    "horizontal": ("Is every panel closed?", "open a panel further or cover the sensor"),
    "combination": ("Is the frame down and every panel closed?", "raise the frame with the panels closed, open a panel further with the frame down"),
}  # fmt: skip


@pytest.mark.parametrize("sash", OF_PANELS)
def test_of_panels_the_page_asks_which_part_was_found_open_and_for_no_height(ready, technician, sash):
    surveyor, blank = ready(sash=sash, openings=(("left", "working", "20 in", "30 in"),), way="left panel")
    page = plain(surveyor.page)
    for words in (*OF_PANELS[sash], "Found open", "Which part, and how far: left panel, 15 in."):
        assert words in page, words
        assert words in blank or words in OF_PANELS[sash][1], words
    for words in ("Sash found at", "Is the sash closed?", "raise the sash", "Is the sash at the height of the test?"):
        assert words not in page, words
        assert words not in blank, words
    ways = re.findall(r'<option value="([a-z-]+)"', surveyor.page.partition('id="alarmf_forced"')[2].partition("</select>")[0])
    assert "sash-raised" not in ways
    assert "panel-opened" in ways
    assert ("frame-raised" in ways) is (sash == "combination")
    surveyor.fill(found_open="left panel, 15 in")
    surveyor.press("save")
    assert surveyor.content()["found"]["open"] == "left panel, 15 in"
    assert surveyor.form.boxes["found_open"] == "left panel, 15 in"


def test_what_was_entered_of_a_sash_before_stays_to_be_seen(ready, technician):
    surveyor, _blank = ready(sash="none")
    surveying.save(surveyor.draft, {"found": {"sash": "12 in"}, "last": {"sash": "yes"}}, technician)
    surveyor.open()
    assert surveyor.form.boxes["found_sash"] == "12"
    assert "Is the sash closed?" in plain(surveyor.page)
    assert "Is the sash stop engaged?" not in plain(surveyor.page)


@pytest.mark.parametrize("sash", ["vertical", "none"])
def test_what_is_posted_hangs_at_the_open_front_and_its_sign_closes_no_sash(ready, sash):
    surveyor, _blank = ready(sash=sash)
    hood = surveyor.draft.hood
    answer = surveyor.client.post(
        reverse("surveys:post_stop", args=[hood.pk]), {"stop-reason": "no-flow", "stop-sure": "on"}, follow=True
    )
    sign = reading.quick_text(surveyor.client.get(reverse("reports:stop_sign", args=[hood.pk])).content)
    assert ("Hang the sign at its open front" in said(answer)) is (sash == "none")
    assert ("Hang the sign on the sash" in said(answer)) is (sash == "vertical")
    assert ("Keep the sash closed." in sign) is (sash == "vertical")
    assert ("Its front cannot be closed: keep away." in sign) is (sash == "none")


def test_the_whole_of_an_open_front_is_open():
    drawn = place("working", "", "none")
    assert drawn is not None
    assert (drawn.left, drawn.top, drawn.wide, drawn.high) == OPEN_FRONT
    assert where("horizontal", "left panel") != OPEN_FRONT


OTHER = (("working", "working", "62 in", "18 in"), ("at night", "set-back", "62 in", "18 in"))
SAID = [  # volume control, what is said at the opening
    (
        "variable-volume",
        "Put the hood in set-back, wait until the flow is steady, measure, put it back in normal mode.",
    ),
    (
        "two-state",
        "Put the hood in its other state, wait until the flow is steady, measure, put it back in the state tested.",
    ),
]


@pytest.mark.parametrize(("control", "words"), SAID)
def test_at_an_opening_of_another_state_it_is_said_how_to_get_there_and_back(ready, control, words):
    surveyor, blank = ready(OTHER, control=control)
    parts = unescape(surveyor.page).split('<section class="part" id="')
    of = {part.partition('"')[0]: plain(part) for part in parts}
    assert words in of["part-opening-1"]
    assert words in of["part-traverse-1"]
    assert words not in of["part-opening-0"]
    assert words in blank
    assert "While its occupied traverses are read." in of["part-conditions"]
    assert "The hood is in (while its occupied traverses are read)" in blank


def test_no_state_is_changed_where_all_openings_are_of_use(ready):
    surveyor, blank = ready()
    assert "wait until the flow is steady" not in plain(surveyor.page)
    assert "wait until the flow is steady" not in blank


def test_the_review_asks_in_the_words_of_the_page_and_says_where_heights_are_from(ready):
    surveyor, _blank = ready(sash="combination", openings=(("left", "working", "20 in", "30 in"),), way="left panel")
    surveyor.fill(last_sash="yes")
    surveyor.press("review")
    page = plain(surveyor.client.get(surveyor.landed).content.decode())
    assert OF_PANELS["combination"][0] in page
    assert "Is the sash closed?" not in page
