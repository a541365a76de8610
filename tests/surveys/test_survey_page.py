"""The survey page without script: from start to signature, with every button, refusal and return."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse

from hoods.models import Hood, Person, Site
from surveys.models import CriteriaVersion, Draft, Instrument, Survey
from tests.filling import Form, Surveyor
from tests.making import PASSWORD
from tests.surveying import GOOD, LOWER, SLOW, assign, make_instrument, make_version
from tests.surveys.words import said

pytestmark = pytest.mark.django_db


BEGIN = {
    "right_hood": "yes", "fit": "yes", "reason": "annual", "mode": "normal", "doors": "closed",
    "room_pressure": "into-the-room", "other_hoods": "closed", "temperature": "21.5", "pressure": "1008",
    "found_sash": "18", "found_monitor": "98", "found_somebody": "no", "found_alarm": "no",
}  # fmt: skip
LAST = {f"last_{what}": "yes" for what in ("controls", "alarm", "stop", "sash", "told")}


@pytest.fixture
def version(site: Site, programme_manager: Person) -> CriteriaVersion:
    return make_version(site, programme_manager)


@pytest.fixture
def instrument(site: Site, programme_manager: Person) -> Instrument:
    return make_instrument(site, programme_manager, name="A-07")


@pytest.fixture
def begin(hood, version, instrument, technician, programme_manager, signed_in):
    """A survey that was started, at the given hood or the usual one."""

    def begin(at: Hood = hood) -> Surveyor:
        assign(at, version, programme_manager)
        return Surveyor(signed_in(technician), at)

    return begin


def fill_in(surveyor: Surveyor, instrument: Instrument, readings: Any = GOOD) -> None:
    """Everything that the page asks, up to the review."""
    surveyor.fill(
        **BEGIN, instrument=str(instrument.pk), **{"ahn-sash-moves-and-stays": "yes", "ahn-light-works": "yes"}
    )
    surveyor.fill(o0_height="18", o0_width="62")
    surveyor.press("draw:0")
    surveyor.fill_grid("0f", readings)
    surveyor.fill(t0f_monitor="99", **{"a0f-smoke-at-opening": "yes"}, adjusted="no", **LAST)


def sign(surveyor: Surveyor, expect: int = 302, **more: str) -> Any:
    surveyor.press("review")
    page = surveyor.client.get(surveyor.landed).content.decode()
    seen = dict(re.findall(r'name="(revision|version)" value="(\d+)"', page))
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    answer = surveyor.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD} | more)
    assert answer.status_code == expect, said(answer)
    return answer


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
    ("size", "said"), [("0", "not above zero"), ("1e1", "plain number"), ("9999999", "not above zero"), ("18 in", "plain number")]
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
    answer = surveyor.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD, "missing_confirmed": "on"})
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
    assert "It cannot be signed yet" in surveyor.client.get(reverse("surveys:review", args=[surveyor.draft.pk])).content.decode()
    tenth = [value for value in asked if value.endswith("|9")]
    for value in [value for value in tenth if value.startswith("stays")]:
        surveyor.press(value)
    assert "about a tenth" not in surveyor.page
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


# --- saving -----------------------------------------------------------------------------------------------------------


def receipt(surveyor: Surveyor, boxes: dict[str, str], expect: int = 200) -> dict[str, Any]:
    answer = surveyor.client.post(surveyor.address, boxes, headers={"Accept": "application/json"})
    assert answer.status_code == expect, answer.content.decode()
    return answer.json()


def test_a_receipt_says_what_was_kept_and_the_same_again_gets_the_same(begin) -> None:
    surveyor = begin()
    boxes = surveyor.form.boxes | {"notes": "first"}
    first = receipt(surveyor, boxes)
    assert set(first) == {"id", "revision", "sha256", "at"}
    assert receipt(surveyor, boxes) == first  # E18: a double tap
    assert surveyor.draft.revisions.count() == 1


def test_e18_an_answer_that_was_lost_is_followed_by_what_was_typed_since(begin) -> None:
    surveyor = begin()
    receipt(surveyor, surveyor.form.boxes | {"notes": "first"})  # its answer never arrived: the form still says 0
    second = receipt(surveyor, surveyor.form.boxes | {"notes": "first, and more"})
    assert second["revision"] == 2
    assert surveyor.content()["notes"] == "first, and more"


def test_two_tabs_lose_nothing_and_can_go_on_from_either(begin) -> None:
    surveyor = begin()
    mine = dict(surveyor.form.boxes) | {"notes": "mine", "mode": "normal"}
    other = Form(surveyor.client.get(surveyor.address).content.decode()).boxes
    assert other["form_id"] != mine["form_id"]
    receipt(surveyor, other | {"notes": "theirs"})
    refused = receipt(surveyor, mine, expect=409)
    page = surveyor.client.get(refused["address"]).content.decode()
    assert "theirs" in page
    assert "mine" in page
    answer = surveyor.client.post(surveyor.address, mine | {"do": "keep"})  # without script: the same page at once
    assert answer.status_code == 409
    assert "Go on from mine" in answer.content.decode()
    assert surveyor.content()["notes"] == "theirs"
    made_from = re.search(r'name="made_from" value="(\d+)"', page)
    assert made_from is not None
    surveyor.client.post(refused["address"], {"made_from": made_from[1]})
    assert surveyor.content()["notes"] == "mine"
    assert [json_of(row)["notes"] for row in surveyor.draft.revisions.order_by("number")] == ["theirs", "mine"]


def json_of(row: Any) -> dict[str, Any]:
    import json

    return json.loads(row.content)


def test_what_came_after_signing_is_kept_beside_the_record(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    sign(surveyor)
    late = receipt(surveyor, surveyor.form.boxes | {"notes": "late"}, expect=409)
    assert "signed" in late["error"]
    assert surveyor.draft.set_aside.count() == 1
    assert "its record stands" in surveyor.client.get(late["address"]).content.decode()


def test_undo_takes_back_the_last_kept_change_and_loses_none(begin) -> None:
    surveyor = begin()
    surveyor.fill(notes="first")
    surveyor.press("keep")
    surveyor.fill(notes="second")
    surveyor.press("undo")
    assert surveyor.form.boxes["notes"] == "first"
    assert [json_of(row)["notes"] for row in surveyor.draft.revisions.order_by("number")] == ["first", "second", "first"]


def test_each_undo_goes_one_change_further_back(begin) -> None:
    surveyor = begin()
    for words in ("first", "second", "third"):
        surveyor.fill(notes=words)
        surveyor.press("keep")
    for words in ("second", "first"):
        surveyor.press("undo")
        assert surveyor.form.boxes["notes"] == words
    surveyor.press("undo")
    assert "There is nothing to take back" in surveyor.page
    assert surveyor.form.boxes["notes"] == "first"
    surveyor.fill(notes="fourth")
    surveyor.press("keep")
    surveyor.press("undo")
    assert surveyor.form.boxes["notes"] == "first"


def test_e18_an_undo_sent_twice_takes_back_one_change(begin) -> None:
    surveyor = begin()
    for words in ("first", "second", "third"):
        surveyor.fill(notes=words)
        surveyor.press("keep")
    sent = surveyor.form.boxes | {"notes": "fourth", "do": "undo"}
    for _time in range(2):
        assert surveyor.client.post(surveyor.address, sent).status_code == 302
        assert surveyor.content()["notes"] == "third"
    assert not surveyor.draft.set_aside.exists()


FORGED = [
    "also:²", "also:٣", "also:" + "9" * 100, "again:t²f", "strike:t٣f", "strike-all:t0x", "stays:four-alike|traverses.²|1",
    "doubted:x|traverses.0.readings.².0|1", "doubted:x|traverses.0.readings.-1.0|1", "stays:x|traverses.0.readings.0.0|\x01",
]  # fmt: skip


@pytest.mark.parametrize("do", FORGED)
def test_a_button_that_the_page_never_had_changes_nothing(begin, instrument, do: str) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("keep")
    surveyor.press(do)
    assert "not on the page any more" in surveyor.page
    assert surveyor.draft.revisions.count() == 2  # as drawn and as kept


@pytest.mark.parametrize("place", ["0.1", "1.0", "²", "².1", "1.٣", "1." + "9" * 5000])
def test_a_point_that_the_grid_never_had_strikes_nothing(begin, instrument, place: str) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(t0f_place=place, t0f_why="typed wrongly")
    surveyor.press("strike:t0f", expect=422)
    assert "Choose the point first." in surveyor.page


def test_a_reason_that_cannot_be_kept_is_told_and_strikes_nothing(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.fill(t0f_place="1.2", t0f_why="x" * 500)
    surveyor.press("strike:t0f")
    assert "at most 400 are kept" in surveyor.page


def test_only_stop_ends_a_survey(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.form.boxes["carried"] = '{"ended_early":{"reason":"no-flow"}}'
    surveyor.press("keep")
    assert surveyor.content()["ended_early"] is None
    surveyor.fill(leave_reason="called-away")
    surveyor.press("leave")
    surveyor.open()
    surveyor.form.boxes["carried"] = ""  # nor does what a form leaves out take the end back
    surveyor.fill(notes="more")
    surveyor.press("keep")
    assert (surveyor.content()["ended_early"]["reason"], surveyor.content()["notes"]) == ("called-away", "more")


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
    assert re.findall(r">(not met: [^<]*)<", limits) == ["not met: fail", "not met: restrict, not for highly toxic materials"]


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
    assert (opening.use, opening.width, opening.height, opening.tested_every_survey) == ("lower", "62 in", "12 in", False)
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
    assert surveyor.client.post(reverse("surveys:start"), sent | {"another": str(other.pk)})["Location"] == answer["Location"]
    assert Draft.objects.get(hood=other).pk != surveyor.draft.pk


# --- ends -------------------------------------------------------------------------------------------------------------


def test_stopping_needs_a_reason_and_then_ends_and_posts_at_once(begin) -> None:
    surveyor = begin()
    surveyor.fill(notes="not kept before", stop_words="cracked across")
    surveyor.press("stop", expect=422)
    assert "Choose the reason first" in surveyor.page
    assert surveyor.form.boxes["stop_words"] == "cracked across"
    assert not surveyor.draft.hood.stops.exists()
    surveyor.fill(stop_reason="glass-broken")
    surveyor.press("stop")
    stop = surveyor.draft.hood.stops.get()
    assert (stop.reason, stop.words, stop.draft) == ("glass-broken", "cracked across", surveyor.draft)
    assert (surveyor.content()["ended_early"]["reason"], surveyor.content()["notes"]) == ("glass-broken", "not kept before")
    surveyor.open()
    sign(surveyor)
    assert Survey.objects.get().verdict == "fail"


def test_what_cannot_be_kept_never_hinders_a_stop(begin) -> None:
    surveyor = begin()
    surveyor.fill(notes="x" * 100_000, stop_reason="no-flow")
    surveyor.press("stop")
    assert surveyor.draft.hood.stops.get().reason == "no-flow"
    stale = surveyor.form.boxes | {"notes": "stale", "made_from": "0", "form_id": "other", "stop_reason": "smoke-came-out"}
    answer = surveyor.client.post(surveyor.address, stale | {"do": "stop"})
    assert answer.status_code == 302
    assert set(surveyor.draft.hood.stops.values_list("reason", flat=True)) == {"no-flow", "smoke-came-out"}
    assert surveyor.draft.set_aside.count() == 1


def test_who_cannot_go_on_ends_without_a_verdict_and_posts_nothing(begin, instrument) -> None:
    surveyor = begin()
    surveyor.fill(reason="annual", instrument=str(instrument.pk), leave_reason="called-away")
    surveyor.press("leave")
    assert not surveyor.draft.hood.stops.exists()
    sign(surveyor, missing_confirmed="on")
    assert Survey.objects.get().verdict == "no-verdict"


def test_an_earlier_stop_asks_whether_its_sign_is_down(begin, instrument, technician) -> None:
    from django.utils import timezone

    from surveys.actions.stops import post_stop

    surveyor = begin()
    post_stop(hood=surveyor.draft.hood, reason="no-flow", by=technician, at=surveyor.draft.started_at - timezone.timedelta(hours=1))
    assert "is posted on this hood" in surveyor.open()
    fill_in(surveyor, instrument)
    surveyor.press("review")
    assert "sign is taken down" in surveyor.client.get(surveyor.landed).content.decode()
    sign(surveyor, sign_taken_down="on")
    assert not surveyor.draft.hood.stops.up().exists()


def test_a_sign_left_up_is_said_after_signing_and_can_be_confirmed_as_taken_down(begin, instrument, technician) -> None:
    from django.utils import timezone

    from surveys.actions.stops import post_stop

    surveyor = begin()
    post_stop(hood=surveyor.draft.hood, reason="no-flow", by=technician, at=surveyor.draft.started_at - timezone.timedelta(hours=1))
    fill_in(surveyor, instrument)
    sign(surveyor)
    page = surveyor.open()
    assert "Still posted" in page
    assert "The label is on the hood" not in page, "no label holds while it is posted"
    taken_down = reverse("surveys:sign_taken_down", args=[surveyor.draft.pk])
    assert surveyor.client.get(taken_down).status_code == 405
    assert surveyor.client.post(taken_down).status_code == 302
    page = surveyor.open()
    assert "Still posted" not in page
    assert "The label is on the hood" in page


# --- signing ----------------------------------------------------------------------------------------------------------


def test_e18_signing_twice_makes_one_record(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("review")
    seen = {"revision": surveyor.draft.revisions.count(), "version": surveyor.draft.version_id}
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    for _time in range(2):
        answer = surveyor.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD})
        assert answer.status_code == 302
    assert Survey.objects.count() == 1


REFUSED = [
    ({"password": "wrong"}, 422, "This is not your password"),
    ({"password": ""}, 422, "Your password stands for your signature"),
    ({"measured_myself": ""}, 422, "only who measured can sign"),
    ({"revision": "1"}, 409, "changed since you saw it"),
    ({"version": "0"}, 409, "changed since you saw it"),
]


@pytest.mark.parametrize(("sent", "status", "said"), REFUSED, ids=[str(sent) for sent, _, _ in REFUSED])
def test_nothing_is_signed_unseen_or_by_another_hand(begin, instrument, sent: Any, status: int, said: str) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    answer = sign(surveyor, expect=status, **sent)
    assert said in answer.content.decode()
    assert not Survey.objects.exists()


# --- starting, and who may ---------------------------------------------------------------------------------------------


def test_a_hood_is_found_by_tag_or_code_and_a_begun_survey_is_shown_first(begin, hood, signed_in, technician) -> None:
    surveyor = begin()
    start = reverse("surveys:start")
    answer = surveyor.client.post(start, {"name": hood.code.lower()})
    assert answer.status_code == 200
    assert surveyor.address in answer.content.decode()
    assert surveyor.client.post(start, {"name": hood.code, "another": str(hood.pk)}).status_code == 302
    refused = surveyor.client.post(start, {"name": "FH-9999"})
    assert refused.status_code == 422
    assert "FH-9999" in refused.content.decode()
    empty = surveyor.client.post(start, {"name": " "}).content.decode()
    assert "Nothing is written here: write the tag or the code that is on the hood." in empty
    assert "has 99 characters, and at most 60" in surveyor.client.post(start, {"name": "T" * 99}).content.decode()
    assert 'value="FH-0142"' in surveyor.client.get(f"{start}?hood=FH-0142").content.decode()


def test_another_survey_is_started_only_of_the_hood_that_was_shown(begin, make_hood, version, programme_manager) -> None:
    surveyor = begin()
    start, shown = reverse("surveys:start"), surveyor.draft.hood
    other = make_hood(tag="FH-0203")
    assign(other, version, programme_manager)
    first = surveyor.client.post(start, {"name": other.tag})
    page = surveyor.client.post(start, {"name": shown.tag}).content.decode()
    assert f'name="another" value="{shown.pk}"' in page
    typed_over = surveyor.client.post(start, {"name": other.tag, "another": str(shown.pk)})
    assert typed_over.status_code == 200
    assert first["Location"] in typed_over.content.decode()
    assert Draft.objects.count() == 2


def test_the_start_and_the_label_are_asked_for_in_words_of_our_own(begin, instrument) -> None:
    surveyor = begin()
    start = surveyor.client.post(reverse("surveys:start"), {"name": ""}).content.decode()
    fill_in(surveyor, instrument)
    sign(surveyor)
    put_on = reverse("surveys:label_put_on", args=[surveyor.draft.pk])
    for typed in ("", "three", "0", "9" * 20):
        page = surveyor.client.post(put_on, {"issue": typed})
        assert page.status_code == 422
        assert "Type the issue number that is printed on the label" in page.content.decode()
    assert "This field is required" not in start


def test_an_address_read_again_after_a_refusal_leads_back(begin, instrument) -> None:
    surveyor = begin()
    draft = surveyor.draft
    fill_in(surveyor, instrument)
    sign(surveyor, expect=422, password="wrong")  # noqa: S106
    sent_back = surveyor.client.get(reverse("surveys:sign", args=[draft.pk]))
    assert sent_back["Location"] == reverse("surveys:review", args=[draft.pk])
    sign(surveyor)
    for view, key, to, at in (
        ("label_put_on", draft.pk, "detail", draft.pk), ("sign", draft.pk, "detail", draft.pk),
        ("post_stop", draft.hood_id, "hood", draft.hood_id),
    ):  # fmt: skip
        answer = surveyor.client.get(reverse(f"surveys:{view}", args=[key]))
        assert (answer.status_code, answer["Location"]) == (302, reverse(f"surveys:{to}", args=[at]))


def test_a_survey_sent_twice_is_started_once(begin) -> None:
    surveyor = begin()
    page = surveyor.client.get(reverse("surveys:start")).content.decode()
    given = re.search(r'name="draft" value="([^"]+)"', page)
    assert given is not None
    for _time in range(2):
        answer = surveyor.client.post(
            reverse("surveys:start"), {"name": "FH-0142", "draft": given[1], "another": str(surveyor.draft.hood_id)}
        )
        assert answer["Location"] == reverse("surveys:detail", args=[given[1]])
    assert Draft.objects.count() == 2


def test_a_hood_without_criteria_cannot_be_surveyed_and_the_page_says_why(hood, technician, signed_in) -> None:
    answer = signed_in(technician).post(reverse("surveys:start"), {"name": hood.tag})
    assert answer.status_code == 422
    assert "No criteria are chosen" in answer.content.decode()


def test_who_only_reads_sees_the_review_and_may_not_write(begin, auditor, lab_manager, programme_manager, signed_in) -> None:
    surveyor = begin()
    for person in (auditor, lab_manager, programme_manager):
        client = signed_in(person)
        assert client.get(surveyor.address, follow=True).redirect_chain[-1][0].endswith("/review/")
        assert "Your password" not in client.get(surveyor.address, follow=True).content.decode()
        assert client.post(surveyor.address, surveyor.form.boxes).status_code == 403
        assert client.post(reverse("surveys:sign", args=[surveyor.draft.pk])).status_code == 403


def test_a_lab_manager_sees_no_survey_of_another_room(begin, make_hood, other_room, lab_manager, signed_in) -> None:
    surveyor = begin(make_hood(tag="FH-0300", room=other_room))
    for address in (surveyor.address, reverse("surveys:review", args=[surveyor.draft.pk])):
        assert signed_in(lab_manager).get(address).status_code == 404
