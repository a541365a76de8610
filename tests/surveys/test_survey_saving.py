"""What is kept of a survey when: receipts, two tabs, undo, and what a page never had."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.filling import Form, Surveyor
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db


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
    assert [json_of(row)["notes"] for row in surveyor.draft.revisions.order_by("number")] == [
        "first",
        "second",
        "first",
    ]


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
