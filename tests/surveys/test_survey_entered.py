"""The review and the signed survey show everything that was entered, in the words in which it was asked."""

from __future__ import annotations

import html
import re

import pytest
from django.urls import reverse

from surveys.models import Survey
from surveys.views.survey_entered import PARTS, Entered
from surveys.views.survey_labels import LABELS
from tests.surveying import GOOD
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db

SHOWN = {  # what was asked -> what was entered
    "Is this the hood in front of you?": "Yes", "Is it fit to work at here?": "Yes", "Reason for the survey": "Annual",
    "The hood is in": "Normal", "Doors of the room": "Closed", "At the door of the room": "Air flows into the room",
    "Other hoods on the fan": "Closed", "Room temperature": "21.5 °C", "Air pressure": "1008 hPa",
    "Sash found at": "18 in", "Is anybody working at it?": "No", "Is the alarm sounding or lit?": "No",
    "Does the light work?": "Not looked at", "Smoke along the edges of the opening: does all of it stay in?": "Yes",
    "Does the sash move freely and stay where it is put?": "Yes", "Monitor shows": "99 ft/min", "Height measured": "18 in", "Width measured": "62 in",
    "Was anything adjusted or put right?": "No", "Are the controls back to automatic?": "Yes",
    "Is the alarm armed?": "Does not apply", "Is the sash stop engaged?": "Yes", "Is the sash closed?": "Yes",
    "Has the lab been told what was found?": "Yes", "Notes": "The door stuck.<br>Told the lab.",
    "working, as found, row 1, column 2": "99 ft/min: probe touched the sash",
    "working, as found, row 2, column 1": "590 ft/min: said to be wrong when asked",
    "working, as found, row 2, column 1: 590 is five times the other readings or more": "wrong, struck and read again",
    "working, as found, row 2, column 2: 9 is a fifth of the other readings or less": "right, it stays",
}  # fmt: skip


def rows(page: str) -> dict[str, str]:
    """What stands in the lists of what was entered."""
    pairs = re.findall(
        r"<dt>(.*?)</dt><dd>(.*?)</dd>", page.partition('id="h-entered"')[2].partition("</section>")[0], re.DOTALL
    )
    return {html.unescape(name): html.unescape(value) for name, value in pairs}


def surveyed(surveyor, instrument) -> None:  # noqa: F811
    """A survey with something of every kind in it."""
    fill_in(surveyor, instrument, [[GOOD[0][0], "99", *GOOD[0][2:]], ["590", "9", *GOOD[1][2:]]])
    surveyor.fill(
        notes="The door stuck.\nTold the lab.", last_alarm="not-applicable", **{"ahn-light-works": "not-tested"}
    )
    surveyor.fill(t0f_place="1.2", t0f_why="probe touched the sash")
    surveyor.press("strike:t0f")
    surveyor.fill(**{"r0f-0-1-1": "101"})
    surveyor.press("next")
    for answer, value in (("doubted", "590"), ("stays", "9")):
        for button in re.findall(rf'value="({answer}:[^"]+\|{value})"', surveyor.page):
            surveyor.press(html.unescape(button))
    surveyor.fill(**{"r0f-1-0-1": "103"})
    surveyor.press("next")


def test_the_review_and_the_signed_survey_show_everything_that_was_entered(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    surveyed(surveyor, instrument)
    review = surveyor.client.get(reverse("surveys:review", args=[surveyor.draft.pk])).content.decode()
    before = rows(review)
    assert {name: before.get(name) for name in SHOWN} == SHOWN
    assert before["Instrument"].startswith("A-07")
    sign(surveyor, missing_confirmed="on")
    after = rows(surveyor.open())
    assert {name: after.get(name) for name in SHOWN} == SHOWN
    assert after["Instrument"].startswith("A-07, ")
    assert before.keys() == after.keys(), "one component: nothing is on one page and not on the other"


def test_what_the_signed_survey_shows_comes_from_its_record(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    surveyed(surveyor, instrument)
    sign(surveyor, missing_confirmed="on")
    instrument.name = "Renamed"
    instrument.save()
    assert rows(surveyor.open())["Instrument"].startswith("A-07, ")


def test_a_check_that_nobody_answered_is_told_from_one_not_looked_at(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    surveyed(surveyor, instrument)
    surveyor.form.boxes.pop("ahn-sash-moves-and-stays")
    surveyor.press("keep")
    sign(surveyor, missing_confirmed="on")
    page = surveyor.open()
    cells = re.findall(r'<th scope="row">([^<]+)</th><td class="n">([^<]*)</td>', page)
    told = {html.unescape(name): value for name, value in cells}
    assert (told["Sash moves and stays"], told["Light"]) == ("No answer", "Not looked at")
    assert Survey.objects.get().verdict == "no-verdict"


def test_a_struck_traverse_and_an_early_end_are_shown_with_their_reasons(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(t0f_why="the probe stood askew")
    surveyor.press("strike-all:t0f")
    surveyor.fill(stop_reason="glass-broken", stop_words="a crack at the left")
    surveyor.press("stop")
    shown = rows(surveyor.client.get(surveyor.landed).content.decode())
    assert shown["working, as found: a whole traverse"] == (
        "98, 101, 95, 97, 100 / 103, 99, 103, 98, 102 ft/min: the probe stood askew"
    )
    assert shown["Glass broken"] == "a crack at the left"
    surveyor.open()
    sign(surveyor)
    assert rows(surveyor.open()).items() >= {"Glass broken": "a crack at the left"}.items()


def test_every_box_has_one_label_and_one_part() -> None:
    boxes = [box for part in PARTS.values() for box in part]
    assert sorted([*boxes, "adjusted", "notes"]) == sorted(LABELS)


@pytest.mark.parametrize(
    ("sash", "asked"),
    [
        ("vertical", "Is the sash closed?"), ("none", "Is the sash closed?"), ("horizontal", "Is every panel closed?"),
        ("combination", "Is the frame down and every panel closed?"),
    ],
)  # fmt: skip
def test_the_last_question_is_told_in_the_words_of_the_kind_of_sash(sash, asked) -> None:
    (last,) = Entered({"last": {"sash": "yes"}}, sash=sash).parts
    assert last.rows == [(asked, "Yes")]


def test_where_two_sets_were_made_each_answer_says_whose_it_is() -> None:
    document = {
        "adjusted": True,
        "openings": [{"name": "working", "width": "62 in", "height": "18 in"}],
        "answers": [
            {"check": "smoke-at-opening", "opening": "working", "state": state, "answer": "yes"}
            for state in ("as-found", "as-left")
        ],
        "traverses": [
            {"opening": "working", "state": "as-left", "unit": "ft/min", "monitor": "99 ft/min", "readings": []}
        ],
    }
    (opening,) = [part for part in Entered(document).parts if part.target == "part-opening-0"]
    names = [name for name, _ in opening.rows]
    assert [name for name in names if "(as left)" in name and "Monitor" in name]
    assert sum("(as found)" in name for name in names) == 1


def test_the_elevation_of_the_site_stands_for_a_pressure_that_nobody_read_and_is_recorded(begin, instrument, site):
    site.elevation = "120 m"
    site.save()
    surveyor = begin()
    assert surveyor.form.boxes["elevation"] == "120"
    fill_in(surveyor, instrument)
    surveyor.fill(pressure="")
    sign(surveyor)
    assert Survey.objects.get().record.attested["entered"]["conditions"]["elevation"] == "120 m"


def test_control_without_an_elevation_a_pressure_is_asked_for(begin, instrument):
    surveyor = begin()
    assert surveyor.form.boxes["elevation"] == ""
    fill_in(surveyor, instrument)
    surveyor.fill(pressure="")
    surveyor.press("review")
    assert "pressure or elevation" in surveyor.client.get(surveyor.landed).content.decode()
