"""The boxes of the survey page and the survey document: each from the other, text for text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from surveys import forms
from surveys.core.document import Facts, check, parse
from surveys.core.facts import OpeningFacts
from surveys.core.units import quantity
from surveys.forms.survey_document import box_of, readings, to_boxes, to_document
from surveys.views import survey_changes as changes
from tests.surveying import GOOD, entered, with_lower

STORIES = sorted((Path(__file__).parents[1] / "stories").glob("*.json"))
FACTS = ("hood", "benchmarks", "calibration_covers", "labelled")


def kept(document: Any) -> dict[str, Any]:
    """A document as it is kept: parsed, every key present."""
    return parse(document).as_dict()


def there_and_back(document: Any) -> dict[str, Any]:
    return kept(to_document(to_boxes(kept(document))))


def reading(value: str, at: str | None = None, struck: str | None = None) -> dict[str, str | None]:
    return {"value": value, "at": at, "struck": struck}


WHOLE = with_lower(None) | {  # type: ignore[arg-type]
    "adjusted": True, "reason": "after-repair", "instrument": "7", "notes": "carboys against the slot\nleft side",
    "conditions": {"right_hood": "yes", "fit": "yes", "mode": "normal", "doors": "closed", "temperature": "21.5 °C",
                   "pressure": "1008 hPa", "room_pressure": "into-the-room", "other_hoods": "closed"},
    "found": {"sash": "24 in", "somebody": "no", "monitor": "0.46 m/s", "alarm": "yes"},
    "last": {"controls": "yes", "alarm": "no", "stop": "not-applicable", "sash": "yes", "told": "yes"},
    "struck_traverses": [{"opening": "working", "state": "as-found", "unit": "ft/min", "monitor": None,
                          "readings": [["98", None]], "struck": "sash slipped"}],
    "questions": [{"code": "reading-a-tenth", "path": "traverses.0.readings.0.1", "value": "9", "answer": "stays", "at": "x"}],
    "stop_and_mark_moved": None,
}  # fmt: skip

DOCUMENTS = [
    ("empty", {}),
    ("plain", entered()),
    ("whole", WHOLE),
    ("as left", entered(adjusted=True, traverses=[
        {"opening": "working", "state": state, "unit": "m/s", "monitor": "0.5 m/s", "readings": [["0.50", "0.5"]]}
        for state in ("as-found", "as-left")
    ])),
    ("repeats and struck ones", entered(readings=[
        [[reading("98"), reading("102", "2026-03-12T13:31:00Z")], reading("9", None, "typed wrongly")],
        [None, [reading("1", None, "a"), reading("2", None, "b")]],
    ])),
    ("a monitor before any reading", entered(traverses=[
        {"opening": "working", "state": "as-found", "unit": "ft/min", "monitor": "99 ft/min", "readings": []}])),
    ("half typed", entered(readings=[["9.", "1,5"], ["--5", "٣٤"]], openings=[{"name": "working", "width": "62 1/2 in", "height": "in"}])),
    ("ended", entered(ended_early={"reason": "no-flow", "words": "fan off"})),
    ("answers in both states", entered(adjusted=True, answers=[
        {"check": "smoke-at-opening", "opening": "working", "state": "as-found", "answer": "no"},
        {"check": "smoke-at-opening", "opening": "working", "state": "as-left", "answer": "yes"},
        {"check": "light-works", "answer": "not-applicable"}, {"check": "monitor-works", "state": "as-found", "answer": "yes"}])),
]  # fmt: skip


@pytest.mark.parametrize(("why", "document"), DOCUMENTS, ids=[why for why, _ in DOCUMENTS])
def test_a_document_comes_back_from_its_boxes(why: str, document: Any) -> None:
    expected = kept(document)
    for traverse in expected["traverses"]:  # a plain text is a reading without moment
        for row in traverse["readings"]:
            row[:] = [_whole(cell) for cell in row]
    found = there_and_back(document)
    for traverse in found["traverses"]:
        for row in traverse["readings"]:
            row[:] = [_whole(cell) for cell in row]
    found["answers"].sort(key=str)
    expected["answers"].sort(key=str)
    assert found == expected


def _whole(cell: Any) -> Any:
    return [reading(one) if isinstance(one, str) else one for one in (cell if isinstance(cell, list) else [] if cell is None else [cell])]


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.stem)
def test_every_story_comes_back_from_its_boxes(path: Path) -> None:
    survey = json.loads(path.read_text(encoding="utf-8"))["input"]["survey"]
    document = {key: value for key, value in survey.items() if key not in FACTS}
    document["openings"] = [{key: one.get(key) for key in ("name", "width", "height")} for one in survey["openings"]]
    document["traverses"] = [one for one in document["traverses"] if any(any(row) for row in one["readings"])]
    expected, found = kept(document), there_and_back(document)
    assert [t["readings"] for t in found["traverses"]] == [t["readings"] for t in expected["traverses"]]
    assert sorted(map(str, found["answers"])) == sorted(map(str, expected["answers"]))
    assert found["openings"] == expected["openings"]


def test_e10_what_is_typed_is_kept_to_the_last_zero() -> None:
    boxes = to_boxes(kept(entered(readings=[["0.50", "0.500"]])))
    assert (boxes["r0f-0-0-0"], boxes["r0f-0-1-0"]) == ("0.50", "0.500")
    assert there_and_back(entered(readings=[["0.50"]]))["traverses"][0]["readings"] == [["0.50"]]


TYPED = [  # as typed, what the sentence says of it
    ("1,5", "comma"), ("0.5.1", "plain number"), ("--5", "plain number"), ("1e2", "plain number"), ("0x1", "plain number"),
    ("1_0", "plain number"), ("NaN", "plain number"), ("Infinity", "plain number"), ("１５", "other than the digits"),
    ("٣٤", "other than the digits"), ("\u22125", "other than the digits"), ("1\u200b5", "other than the digits"),
    ("½", "other than the digits"), ("5.", "in full"), (".5", "in full"), (" 98", "plain number"), ("-5", "negative"),
    ("98.5", "more decimals"), ("601", "above the highest"),
]  # fmt: skip
METER = Facts(
    openings=(OpeningFacts("working", "working"),), calibration_covers=True, resolution=quantity("1 ft/min"),
    lowest=quantity("20 ft/min"), highest=quantity("600 ft/min"),
)  # fmt: skip


@pytest.mark.parametrize(("typed", "said"), TYPED, ids=[ascii(typed) for typed, _ in TYPED])
def test_e1_e2_e5_e9_what_is_no_reading_is_kept_as_typed_and_refused_in_a_sentence(typed: str, said: str) -> None:
    from surveys.wording import sentence

    boxes = to_boxes(kept(entered())) | {"r0f-0-1-0": typed}
    document = parse(to_document(boxes))
    assert document.traverses[0].readings[0][1][0].value == typed
    problems = [problem for problem in check(document, METER) if problem.path.startswith("traverses.0.readings")]
    assert [box_of(problem.path, document.as_dict()) for problem in problems] == ["r0f-0-1-0"]
    assert said in sentence(problems[0].message)
    assert typed in sentence(problems[0].message)


@pytest.mark.parametrize("typed", ["98", "20", "600", "098"])
def test_e1_e2_a_plain_reading_is_taken(typed: str) -> None:
    boxes = to_boxes(kept(entered())) | {"r0f-0-1-0": typed}
    assert not [p for p in check(parse(to_document(boxes)), METER) if p.path.startswith("traverses")]


def sent(**boxes: str) -> forms.Survey:
    return forms.Survey({"form_id": "f", "made_from": "0"} | to_boxes(kept(entered())) | boxes)


NOTES = [  # E25: notes, and whether they can be kept
    ("smoke 💨 went back", True), ("\u202eright to left\u202c", True), ("<script>alert(1)</script>", True),
    ("a\r\nb", True), ("nul\x00here", False), ("\x1b[31m", False), ("x" * 100_000, False),
]  # fmt: skip


@pytest.mark.parametrize(("notes", "good"), NOTES, ids=[ascii(notes)[:24] for notes, _ in NOTES])
def test_e25_notes_are_kept_as_written_or_refused_in_a_sentence(notes: str, good: bool) -> None:
    form = sent(notes=notes)
    assert form.is_valid() is good
    if good:
        assert form.document is not None
        assert form.document.notes == notes.replace("\r\n", "\n")
    else:
        assert list(form.wrong) == ["notes"]
        assert form.boxes["notes"] == notes


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40))
def test_e25_any_text_in_any_box_is_kept_or_refused_never_changed(text: str) -> None:
    form = sent(**{"r0f-0-0-0": text, "notes": text, "t0f_monitor": text[:20]})
    if form.is_valid():
        assert form.document is not None
        again = to_boxes(form.document.as_dict())
        assert again.get("notes", "") == text.replace("\r\n", "\n")
        assert again.get("r0f-0-0-0", "") == text.replace("\r\n", "\n")
    else:
        assert form.wrong


DAMAGED = [
    ({"carried": "{"}, "damaged"),
    ({"carried": '{"openings": []}'}, "damaged"),
    ({"carried": "[1]"}, "damaged"),
    ({"carried": '{"struck_traverses": 5}'}, "cannot be kept"),
    ({"r0f-0-0-0": "9" * 41}, "cannot be kept"),
    ({"reason": "bored"}, "cannot be kept"),
    ({"ahn-no-such-check": "yes"}, "cannot be kept"),
]


@pytest.mark.parametrize(("boxes", "said"), DAMAGED, ids=[str(boxes)[:40] for boxes, _ in DAMAGED])
def test_what_has_not_the_agreed_shape_is_refused_whole(boxes: dict[str, str], said: str) -> None:
    form = sent(**boxes)
    assert not form.is_valid()
    assert said in " ".join(form.non_field_errors())


def test_a_moment_of_the_device_that_cannot_be_read_is_as_good_as_none() -> None:
    for text in ("", "yesterday", "2026-99-99T00:00:00Z", "2026-03-12T13:30:00"):
        form = sent(device_at=text)
        assert form.is_valid()
        assert form.cleaned_data["device_at"] is None
    form = sent(device_at="2026-03-12T13:30:00Z")
    assert form.is_valid()
    assert form.cleaned_data["device_at"].isoformat() == "2026-03-12T13:30:00+00:00"


def test_e14_a_reading_belongs_to_its_point_whatever_the_grid_becomes() -> None:
    boxes = to_boxes(kept(entered(readings=[["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"]])))
    boxes |= {"t0f_rows": "4", "t0f_columns": "3"}
    grown = parse(to_document(boxes)).traverses[0].readings
    assert [[cell[0].value if cell else None for cell in row] for row in grown] == [
        ["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"], [None, None, None],
    ]  # fmt: skip
    boxes |= {"t0f_rows": "2", "t0f_columns": "2"}  # nothing read is ever cut off
    assert [[cell[0].value for cell in row] for row in parse(to_document(boxes)).traverses[0].readings] == [
        ["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"],
    ]  # fmt: skip


PLACES = [
    ("reason", "reason"), ("conditions.temperature", "temperature"), ("found.sash", "found_sash"),
    ("openings.0.width", "o0_width"), ("openings.1", "o1_height"), ("traverses.0.readings.1.2", "r0f-1-2-0"),
    ("traverses.1.readings.0.3.1", "r1f-0-3-1"), ("traverses.1.monitor", "t1f_monitor"), ("traverses.0.unit", "r0f-0-0-0"),
    ("answers.0", "a0f-smoke-at-opening"), ("answers.1.answer", "ahn-sash-moves-and-stays"), ("somewhere.else", ""), ("traverses.0.state", "adjusted"), ("answers.0.state", "adjusted"), ("adjusted", "adjusted"), ("conditions.right_hood", "right_hood"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "box"), PLACES)
def test_every_place_of_the_document_has_its_box(path: str, box: str) -> None:
    assert box_of(path, kept(with_lower(None))) == box  # type: ignore[arg-type]


# --- what buttons change ----------------------------------------------------------------------------------------------


def whole(document: Any) -> dict[str, Any]:
    return to_document(to_boxes(kept(document)))


def test_a_reading_without_a_moment_gets_that_of_its_save_and_keeps_it() -> None:
    first = changes.with_moments(whole(entered(readings=[["98", "99"]])), None, "at one")
    assert [cell["at"] for cell in first["traverses"][0]["readings"][0]] == ["at one", "at one"]
    second = changes.with_moments(whole(entered(readings=[["98", "97"]])), first, "at two")
    assert [cell["at"] for cell in second["traverses"][0]["readings"][0]] == ["at one", "at two"]
    stale = whole(entered(readings=[[reading("1", "at one"), reading("99", "at one")]]))
    third = changes.with_moments(stale, first, "at three")  # the moment stayed in its box when the value was typed over
    assert [cell["at"] for cell in third["traverses"][0]["readings"][0]] == ["at three", "at one"]


def test_striking_keeps_the_reading_with_its_reason() -> None:
    content = whole(entered(readings=[["9", "99"]]))
    changes.strike(content, 0, 0, 0, "typed wrongly")
    assert kept(content)["traverses"][0]["readings"][0][0] == reading("9", None, "typed wrongly")
    with pytest.raises(changes.NoSuchReading):
        changes.strike(content, 0, 0, 0, "again")
    with pytest.raises(changes.NoSuchReading):
        changes.strike(content, 0, 7, 7, "nowhere")


def test_a_struck_traverse_is_set_aside_with_its_reason() -> None:
    content = whole(entered())
    changes.strike_traverse(content, 0, "sash slipped")
    assert content["traverses"] == []
    assert content["struck_traverses"][0]["struck"] == "sash slipped"
    assert len(readings(to_boxes(kept(content | {"traverses": content["struck_traverses"][:0]})), "0f")) == 0
    assert kept(content)["struck_traverses"][0]["readings"][0][0] == GOOD[0][0]


def test_a_soft_question_is_answered_once() -> None:
    content: dict[str, Any] = {}
    changes.answer_question(content, "all-zero", "traverses.0.readings", "0", "stays", "now")
    changes.answer_question(content, "all-zero", "traverses.0.readings", "0", "struck", "later")
    assert [(one["answer"], one["at"]) for one in content["questions"]] == [("struck", "later")]
