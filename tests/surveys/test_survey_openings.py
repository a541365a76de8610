"""Openings that a survey adds: never under the least useful height, and one begun by mistake is taken back."""

from __future__ import annotations

import pytest

from surveys.core.document import parse
from surveys.forms.survey_document import to_boxes, to_document
from surveys.models import Survey
from surveys.views import survey_changes as changes
from tests.surveying import GOOD, LOWER
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db

LEAST = "A lower or working opening is at least 6 in (152 mm) high by these criteria"


def add(surveyor, expect: int = 302, **changed: str):
    boxes = {"name": "very low", "use": "lower", "height": "5", "width": "60"} | changed
    surveyor.fill(**{f"another_{name}": text for name, text in boxes.items()})
    return surveyor.press("another", expect=expect)


@pytest.mark.parametrize(("use", "height"), [("lower", "5"), ("lower", "5.99"), ("working", "5")])
def test_an_opening_under_the_least_useful_height_is_refused_at_its_box_and_the_entry_kept(begin, use, height) -> None:  # noqa: F811
    surveyor = begin()
    add(surveyor, expect=422, use=use, height=height)
    place = surveyor.page.index('id="another_height-e"')
    assert LEAST in surveyor.page[place : place + 400]
    assert "or choose ‘Other’ to record it only" in surveyor.page
    held = {name: surveyor.form.boxes[f"another_{name}"] for name in ("name", "use", "height", "width")}
    assert held == {"name": "very low", "use": use, "height": height, "width": "60"}
    assert [opening.name for opening in surveyor.draft.hood.openings.all()] == ["working"]
    assert [one["name"] for one in surveyor.content()["openings"]] == ["working"]


@pytest.mark.parametrize(("use", "height"), [("other", "5"), ("lower", "6")])
def test_one_of_another_use_or_of_the_least_height_itself_is_measured(begin, use, height) -> None:  # noqa: F811
    surveyor = begin()
    add(surveyor, use=use, height=height)
    opening = surveyor.draft.hood.openings.get(name="very low")
    assert (opening.use, opening.height) == (use, f"{height} in")
    assert LEAST not in surveyor.page


def test_a_lower_opening_that_the_hood_has_under_the_least_height_says_that_it_is_never_approved(
    begin, make_hood  # noqa: F811
) -> None:  # noqa: F811
    surveyor = begin(make_hood(tag="FH-0210", openings=LOWER))
    assert "the least useful height of these criteria: it is measured and recorded" not in surveyor.page
    surveyor.fill(o1_height="5", o1_width="62")
    surveyor.press("draw:1")
    assert (
        "It is under 6 in (152 mm), the least useful height of these criteria: it is measured and recorded"
        in surveyor.page
    )


def test_an_opening_begun_by_mistake_is_taken_back_and_asked_for_no_more(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument)
    add(surveyor, height="12")
    surveyor.fill(**{"a1f-smoke-at-opening": "yes"})
    surveyor.press("next")
    assert "very low: row 1, column 1" in surveyor.page
    assert 'value="leave-out:1"' in surveyor.page
    assert 'value="leave-out:0"' not in surveyor.page, "the working opening is to be tested"
    surveyor.press("leave-out:1")
    assert surveyor.landed.endswith("#part-another")
    assert 'id="part-opening-1"' not in surveyor.page
    assert "Measure ‘very low’, 12 in (304 mm)" in surveyor.page, "the hood keeps it"
    assert [one["name"] for one in surveyor.content()["openings"]] == ["working"]
    assert all(one["opening"] in (None, "working") for one in surveyor.content()["answers"])
    surveyor.press("next")
    assert "Everything is answered." in surveyor.page
    sign(surveyor)
    assert Survey.objects.get().verdict == "pass"


BEGUN = [  # what stands at the opening, why it is not taken back
    ({"r1f-0-0-0": "98"}, "a reading"),
    ({"t1f_monitor": "99"}, "what the monitor showed"),
    ({"a1f-smoke-at-opening": "no"}, "smoke came out there"),
]


@pytest.mark.parametrize(("boxes", "why"), BEGUN, ids=[row[1] for row in BEGUN])
def test_an_opening_that_was_begun_is_to_be_tested(begin, instrument, boxes, why) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument)
    add(surveyor, height="12")
    surveyor.fill(**boxes)
    surveyor.press("leave-out:1")
    assert "‘very low’ stays: it is to be tested, or something was read there." in surveyor.page
    assert 'value="leave-out:1"' not in surveyor.page
    assert [one["name"] for one in surveyor.content()["openings"]] == ["working", "very low"]


@pytest.mark.parametrize("do", ["leave-out:0", "leave-out:7", "leave-out:²", "leave-out:"])
def test_no_other_opening_is_left_out(begin, instrument, do) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument, GOOD)
    surveyor.press("keep")
    before = surveyor.content()
    surveyor.press(do)
    assert surveyor.content() == before


def test_a_struck_reading_or_traverse_was_begun_too() -> None:
    struck = {"value": "98", "at": None, "struck": "slip"}
    read = {"opening": "low", "state": "as-found", "unit": "ft/min", "monitor": None, "readings": [[struck]]}
    assert changes.is_begun({"traverses": [read]}, "low")
    assert changes.is_begun({"struck_traverses": [read | {"struck": "askew"}]}, "low")
    assert not changes.is_begun({"traverses": [read]}, "working")


def test_leaving_out_moves_no_answer_and_no_reading_to_another_opening() -> None:
    content = {
        "openings": [{"name": name, "width": "62 in", "height": "12 in"} for name in ("left", "low", "right")],
        "traverses": [
            {"opening": "right", "state": "as-found", "unit": "ft/min", "monitor": None, "readings": [["98"]]}
        ],
        "answers": [
            {"check": "smoke-at-opening", "opening": name, "state": "as-found", "answer": "yes"}
            for name in ("low", "right")
        ],
    }
    changes.leave_out_opening(content, "low")
    assert [one["opening"] for one in content["answers"]] == ["right"]
    again = to_document(to_boxes(content))
    assert again["traverses"][0]["opening"] == "right"
    assert [one["name"] for one in again["openings"]] == ["left", "right"]
    parse(again)


def test_a_new_opening_of_a_combination_sash_says_which_part_is_open(begin, make_hood) -> None:  # noqa: F811
    surveyor = begin(make_hood(tag="FH-0211", sash="combination", way="frame"))
    add(surveyor, expect=422, height="12")
    assert "Choose the part: the frame with its panels closed, or a panel with the frame down." in surveyor.page
    add(surveyor, height="12", way="frame")
    assert surveyor.draft.hood.openings.get(name="very low").way == "frame"
    assert "frame raised to 12 in (304 mm), panels closed" in surveyor.page
    assert "Front of the hood: where opening ‘very low’ stands" in surveyor.page


def test_no_part_is_asked_of_a_vertical_sash(begin) -> None:  # noqa: F811
    assert "another_way" not in begin().form.names
