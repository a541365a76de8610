"""The size of an opening as the survey page asks about it, refuses it, and keeps the answer: without script."""

from __future__ import annotations

import html
import re

import pytest
from django.urls import reverse

from hoods.models import Opening
from surveys.models import Survey
from tests.making import PASSWORD
from tests.surveys.measuring import fill_in, sign
from tests.surveys.words import plain, said

pytestmark = pytest.mark.django_db

ASKED = "The register says 18 in (457 mm), and 28 in is written as the height. Was it measured so?"
STAYS = "stays:height-off-register|openings.0.height|28 in"
WRONG = "doubted:height-off-register|openings.0.height|28 in"


def measured(surveyor, height: str, width: str = "62") -> None:
    surveyor.fill(o0_height=height, o0_width=width)
    surveyor.press("draw:0")


def test_e6_a_height_far_from_the_register_is_asked_once_stops_signing_and_is_kept_with_its_answer(begin, instrument):
    surveyor = begin()
    fill_in(surveyor, instrument)
    measured(surveyor, "28")
    part = re.search(r'(?s)id="o0-questions".*?</section>', surveyor.page)[0]
    assert ASKED in plain(part)
    assert 'class="question"' in part
    assert "One question waits for your answer." in plain(surveyor.page)
    surveyor.press("review")
    review = said(surveyor.client.get(surveyor.landed))
    assert ASKED in review
    answer = sign(surveyor, expect=422, missing_confirmed="on")
    assert ASKED in said(answer)
    assert not Survey.objects.exists()
    surveyor.open()
    surveyor.press(STAYS)
    assert ASKED not in plain(surveyor.page)
    sign(surveyor, missing_confirmed="on")
    entered = Survey.objects.get().record.attested["entered"]
    (kept,) = entered["questions"]
    assert (kept["code"], kept["path"], kept["value"], kept["answer"]) == (
        "height-off-register", "openings.0.height", "28 in", "stays",
    )  # fmt: skip
    told = "The height of ‘working’, 28 in, was far from the register"
    page = said(surveyor.client.get(surveyor.address))
    assert (told in page, "it was measured so" in page) == (True, True)


def test_a_size_that_was_wrong_is_measured_again_and_no_reading_is_lost(begin, instrument):
    surveyor = begin()
    fill_in(surveyor, instrument)
    measured(surveyor, "28")
    surveyor.press(WRONG)
    assert surveyor.landed.endswith("#o0_height")
    assert surveyor.content()["questions"] == []
    assert ASKED in plain(surveyor.page), "asked until it is written anew"
    measured(surveyor, "18")
    assert "Was it measured so?" not in plain(surveyor.page)
    sign(surveyor)
    assert Survey.objects.get().record.attested["entered"]["openings"][0]["height"] == "18 in"


def test_what_was_asked_about_and_changed_meanwhile_is_not_answered_for(begin, instrument):
    surveyor = begin()
    measured(surveyor, "28")
    surveyor.fill(o0_height="29")
    surveyor.press(STAYS)
    assert "What was asked about was changed meanwhile" in plain(surveyor.page)
    assert surveyor.content()["questions"] == []
    assert "29 in is written as the height" in plain(surveyor.page)


@pytest.mark.parametrize(
    "sent", ["stays:height-off-register|openings.7.height|28 in", "stays:x|openings.0.name|working"]
)
def test_what_the_page_never_asked_is_not_answered(begin, sent):
    surveyor = begin()
    measured(surveyor, "28")
    surveyor.press(sent)
    assert surveyor.content()["questions"] == []


@pytest.mark.parametrize(("typed", "most"), [("4000", "360 in"), ("10001 mm", "10000 mm"), ("45.7 m", "10 m")])
def test_e6_a_size_above_the_inventorys_largest_is_refused_at_its_box(begin, instrument, typed, most):
    surveyor = begin()
    fill_in(surveyor, instrument)
    measured(surveyor, typed)
    place = surveyor.page.index('id="o0_height-e"')
    assert f"is more than {most}: check the number and its unit." in html.unescape(surveyor.page[place : place + 400])
    assert "Was it measured so?" not in plain(surveyor.page)
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    seen = {"revision": surveyor.draft.revisions.count(), "version": surveyor.draft.version_id}
    sent = seen | {"measured_myself": "on", "password": PASSWORD, "missing_confirmed": "on"}
    assert surveyor.client.post(address, sent).status_code == 422
    assert not Survey.objects.exists()


METRIC = [  # the register's height, how the page tells it beside a box in inches
    ("457 mm", "18 in (457 mm)"), ("45.7 cm", "18 in (45.7 cm)"), ("18 in", "18 in (457 mm)"), ("0.3 m", "11.8 in (0.3 m)"),
]  # fmt: skip


@pytest.mark.parametrize(("register", "told"), METRIC)
def test_the_register_is_told_first_in_the_unit_of_the_box(begin, make_hood, register, told):
    surveyor = begin(make_hood(tag="FH-0210", openings=(("working", "working", "62 in", register),)))
    place = surveyor.page.index('id="o0_height-h"')
    assert f"The register says {told}." in html.unescape(surveyor.page[place : place + 200])
    assert f"set the sash to {told}." in plain(surveyor.page)


def test_an_opening_that_is_added_far_above_all_others_is_asked_about_before_it_is_there(begin, instrument):
    surveyor = begin()
    boxes = {"name": "wide open", "use": "working", "height": "46", "width": "26"}
    surveyor.fill(**{f"another_{name}": text for name, text in boxes.items()})
    surveyor.press("another", expect=422)
    page = plain(surveyor.page)
    assert "The highest such opening of this hood is 18 in (457 mm). Is this one 46 in high?" in page
    assert "The other openings of this hood are 62 in (1574 mm) wide. Is this one 26 in wide?" in page
    assert surveyor.form.boxes["another_height"] == "46", "the entry is kept"
    assert Opening.objects.count() == 1
    surveyor.fill(another_height="47")
    surveyor.press("another:26 in|46 in", expect=422)
    assert Opening.objects.count() == 1, "what was confirmed is what was asked about"
    surveyor.press("another:26 in|47 in")
    assert Opening.objects.get(name="wide open").height == "47 in"
    kept = [(one["code"], one["path"], one["value"], one["answer"]) for one in surveyor.content()["questions"]]
    assert kept == [
        ("width-off-others", "openings.1.width", "26 in", "stays"),
        ("height-off-others", "openings.1.height", "47 in", "stays"),
    ]


def test_the_control_one_that_fits_the_others_is_added_at_once(begin):
    surveyor = begin()
    boxes = {"name": "lower", "use": "lower", "height": "12", "width": "62"}
    surveyor.fill(**{f"another_{name}": text for name, text in boxes.items()})
    surveyor.press("another")
    assert (Opening.objects.count(), surveyor.content()["questions"]) == (2, [])
