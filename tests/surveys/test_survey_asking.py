"""What the survey page refuses, asks about and shows of what was typed, without script."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from surveys.models import Instrument, Survey
from tests.making import PASSWORD
from tests.surveying import GOOD, SLOW, make_instrument
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db


# --- bad input --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["1,5", "0.5.1", "1e2", "٣٤", "½", "98.5", "601", "-5"])
def test_e1_e2_e5_e9_a_reading_that_cannot_stand_is_kept_told_and_stops_signing(begin, instrument, typed: str) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(**{"r0f-0-1-0": typed})
    surveyor.press("next")
    assert surveyor.form.boxes["r0f-0-1-0"] == typed
    told = re.search(r'id="grid-0f-problems".*?</ul>', surveyor.page, re.DOTALL)
    assert told is not None
    assert "Row 1, column 2" in told[0]
    assert "One entry has an error." in surveyor.page
    surveyor.press("review")
    assert "It cannot be signed yet" in surveyor.client.get(surveyor.landed).content.decode()
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    seen = {"revision": surveyor.draft.revisions.count(), "version": surveyor.draft.version_id}
    answer = surveyor.client.post(
        address, seen | {"measured_myself": "on", "password": PASSWORD, "missing_confirmed": "on"}
    )
    assert answer.status_code == 422
    assert not Survey.objects.exists()


def test_e3_no_box_of_the_page_is_of_the_type_number(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("next")
    assert 'type="number"' not in surveyor.page.lower()
    assert surveyor.page.count('inputmode="decimal"') >= 20


def test_e11_a_blank_point_is_named_confirmed_and_signed_without_a_verdict(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(**{"r0f-1-2-0": ""})
    surveyor.press("review")
    page = surveyor.client.get(surveyor.landed).content.decode()
    assert "row 2, column 3" in page
    answer = sign(surveyor, expect=422)
    assert "Confirm that these stay missing" in answer.content.decode()
    sign(surveyor, missing_confirmed="on")
    assert Survey.objects.get().verdict == "no-verdict"


def test_e11_a_zero_is_no_blank(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(**{"r0f-1-2-0": "0"})
    surveyor.press("next")
    assert "10 of 10 points are read" in surveyor.page


def test_e12_e6_soft_questions_are_asked_in_one_list_and_their_answers_kept(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument, [["98", "101", "95", "97", "590"], ["103", "99", "103", "98", "9"]])
    surveyor.press("next")
    asked = re.findall(r'name="do" value="((?:stays|doubted):[^"]+)"', surveyor.page)
    assert {value.split("|")[0] for value in asked} >= {"stays:reading-a-tenth", "doubted:reading-a-tenth"}
    assert (
        "It cannot be signed yet"
        in surveyor.client.get(reverse("surveys:review", args=[surveyor.draft.pk])).content.decode()
    )
    tenth = [value for value in asked if value.endswith("|9")]
    for value in [value for value in tenth if value.startswith("stays")]:
        surveyor.press(value)
    assert "a fifth of the other" not in surveyor.page
    struck = next(value for value in asked if value.startswith("doubted:") and value.endswith("|590"))
    surveyor.press(struck)
    assert surveyor.landed.endswith("#r0f-0-4-1")
    cell = surveyor.content()["traverses"][0]["readings"][0][4]
    assert cell["struck"]
    answers = {(one["value"], one["answer"]) for one in surveyor.content()["questions"]}
    assert answers >= {("9", "stays"), ("590", "struck")}


def test_e12_all_zero_is_asked_about_and_can_be_begun_anew(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument, [["0"] * 5] * 2)
    surveyor.press("next")
    assert "All readings are zero." in surveyor.page
    surveyor.press("doubted:all-zero|traverses.0.readings|0")
    assert surveyor.content()["traverses"] == []  # what the monitor showed during it goes with it
    assert surveyor.content()["struck_traverses"][0]["monitor"] == "99 ft/min"


def test_e12_four_alike_can_be_struck_together(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument, [["98", "100", "100", "100", "100"], ["103", "99", "103", "98", "95"]])
    surveyor.press("next")
    value = re.search(r'value="(doubted:four-alike[^"]+)"', surveyor.page)
    assert value is not None
    surveyor.press(value[1])
    row = surveyor.content()["traverses"][0]["readings"][0]
    assert [bool(cell["struck"]) for cell in row] == [False, True, True, True, True]


CALIBRATIONS = [  # E22: until when the calibration lasts, what the page says, the verdict
    ("2030-03-31", "", "pass"),
    ("2025-12-31", "was due for calibration", "no-verdict"),
    (None, "has no calibration on record", "no-verdict"),
]


@pytest.mark.parametrize(("due", "said", "verdict"), CALIBRATIONS)
def test_e22_a_calibration_that_does_not_cover_the_day_is_said_now_and_meets_nothing(
    begin, site, programme_manager, due, said, verdict
) -> None:
    from datetime import date

    from surveys.models import Calibration

    meter = make_instrument(site, programme_manager, due_on=date.fromisoformat(due or "2030-03-31"))
    if due is None:
        meter = Instrument.objects.create(
            site=site, name="A-99", serial="S", resolution="1 ft/min", lowest="20 ft/min", highest="600 ft/min"
        )
        assert not Calibration.objects.filter(instrument=meter).exists()
    surveyor = begin()
    surveyor.fill(instrument=str(meter.pk))
    surveyor.press("keep")
    assert (said in surveyor.page) if said else ("does not cover today" not in surveyor.page)
    fill_in(surveyor, meter)
    sign(surveyor)
    assert Survey.objects.get().verdict == verdict


def test_e25_notes_are_shown_escaped_and_refused_ones_stay_on_the_page(begin) -> None:
    surveyor = begin()
    surveyor.fill(notes="<script>alert(1)</script> 💨")
    surveyor.press("keep")
    assert "<script>alert" not in surveyor.page
    assert surveyor.form.boxes["notes"] == "<script>alert(1)</script> 💨"
    surveyor.fill(notes="x" * 100_000, found_sash="24")
    surveyor.press("keep", expect=422)
    assert surveyor.form.boxes["notes"] == "x" * 100_000
    assert surveyor.form.boxes["found_sash"] == "24"
    assert "at most 10000 are kept" in surveyor.page
    assert "Not kept:" in surveyor.page
    assert surveyor.draft.revisions.count() == 1
    surveyor.fill(notes="shorter")
    surveyor.press("keep")
    assert surveyor.content()["found"]["sash"] == "24 in"


def test_e28_the_provisional_verdict_is_a_word_and_a_shape(begin, instrument) -> None:
    surveyor = begin()
    shapes = set()
    for readings, word in ((GOOD, "Provisional: pass"), (SLOW, "Provisional: fail")):
        fill_in(surveyor, instrument, readings)
        surveyor.press("next")
        status = re.search(r'<p class="status big.*?</p>', surveyor.page, re.DOTALL)
        assert status is not None
        assert word in status[0]
        shapes.add(re.search(r"#([a-z-]+)", status[0])[1])  # type: ignore[index]
    assert shapes == {"met", "do-not-use"}
