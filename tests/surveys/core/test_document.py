"""The survey document: its shape, what is wrong with its content, and that what was typed comes back as it was."""

from __future__ import annotations

import copy
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveys.core.document import Facts, WrongShape, merged, parse, parse_merged
from tests.stories import STORIES
from tests.surveys.core.surveyed import FULL, read, survey_dict


def test_e10_a_document_comes_back_as_it_was_typed():
    document = parse(FULL)
    assert document.as_dict() == FULL
    assert parse(json.dumps(FULL)) == document
    assert document.traverses[0].readings[0][0][0].value == "0.50"


def test_an_empty_document_has_every_key():
    assert set(parse("{}").as_dict()) == set(FULL)


def test_half_typed_texts_are_kept_and_a_blank_is_no_reading():
    document = parse({"traverses": [read("working", "1,", "--5", "")]})
    assert document.traverses[0].as_dict()["readings"] == [["1,", "--5", None]]


WRONG = [  # change of the document, path, code, why
    (lambda d: d.update(colour="red"), "colour", "key-unknown", "an unknown key"),
    (lambda d: d.update(hood={"kind": "general"}), "hood", "key-unknown", "facts never come from a form"),
    (lambda d: d.update(calibration_covers=True), "calibration_covers", "key-unknown", "facts never come from a form"),
    (lambda d: d.update(labelled=["working"]), "labelled", "key-unknown", "facts never come from a form"),
    (lambda d: d["openings"][0].update(use="lower"), "openings.0.use", "key-unknown", "use is a fact"),
    (lambda d: d.update(openings={}), "openings", "shape-wrong", "a group where a list belongs"),
    (lambda d: d.update(adjusted="yes"), "adjusted", "shape-wrong", "text where true or false belongs"),
    (lambda d: d["openings"][0].update(height=18), "openings.0.height", "number-as-text", "a number that is not text"),
    (lambda d: d["openings"][0].pop("name"), "openings.0.name", "key-missing", "an opening without a name"),
    (lambda d: d["traverses"][0].update(state="later"), "traverses.0.state", "code-unknown", "no such state"),
    (lambda d: d["traverses"][0].update(unit="knot"), "traverses.0.unit", "code-unknown", "no unit of velocity here"),
    (lambda d: d["traverses"][0].update(readings=[["1"], ["1", "2"]]), "traverses.0.readings.1", "rows-unequal",
     "rows of unequal length"),
    (lambda d: d["traverses"][0].update(readings=[[98.5]]), "traverses.0.readings.0.0", "number-as-text", "a float"),
    (lambda d: d["traverses"][0].update(readings=[["9" * 41]]), "traverses.0.readings.0.0", "text-too-long", "41 digits"),
    (lambda d: d["traverses"][0].update(readings=[["1"]] * 51), "traverses.0.readings", "too-many", "51 rows"),
    (lambda d: d["traverses"][0].update(struck="why"), "traverses.0.struck", "key-unknown", "struck ones stand apart"),
    (lambda d: d["struck_traverses"][0].pop("struck"), "struck_traverses.0.struck", "key-missing", "no reason"),
    (lambda d: d["answers"][0].update(check="is-nice"), "answers.0.check", "code-unknown", "no such check"),
    (lambda d: d["answers"][0].update(answer="maybe"), "answers.0.answer", "code-unknown", "no such answer"),
    (lambda d: d["answers"][0].pop("check"), "answers.0", "key-missing", "an answer to nothing"),
    (lambda d: d.update(ended_early={"reason": "bored"}), "ended_early.reason", "code-unknown", "no such reason"),
    (lambda d: d.update(ended_early={}), "ended_early.reason", "key-missing", "ended without a reason"),
    (lambda d: d.update(reason="because"), "reason", "code-unknown", "no such reason"),
    (lambda d: d["conditions"].update(weather="fine"), "conditions.weather", "key-unknown", "an unknown condition"),
    (lambda d: d.update(notes="a\x00b"), "notes", "text-control", "E25: NUL"),
    (lambda d: d.update(notes="a\ud800b"), "notes", "text-control", "E25: half of a surrogate pair"),
    (lambda d: d.update(notes="x" * 100_000), "notes", "text-too-long", "E25: 100 kB"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "path", "code", "why"), WRONG, ids=[row[3] + " " + row[1] for row in WRONG])
def test_a_wrong_shape_is_refused_at_its_place(change, path, code, why):
    document = copy.deepcopy(FULL)
    parse(document)  # the control: without the change it has the right shape
    change(document)
    with pytest.raises(WrongShape) as refused:
        parse(document)
    assert (path, code) in {(p.path, p.message.code) for p in refused.value.problems}, why


JSON = [
    ("", "json-broken"),
    ("{", "json-broken"),
    ('{"notes": "a", "notes": "b"}', "key-twice"),
    ('{"found": {"sash": "a", "sash": "b"}}', "key-twice"),
    ('{"notes": 1.5}', "number-as-text"),
    ('{"notes": 1}', "number-as-text"),
    ('{"notes": NaN}', "number-as-text"),
    ('{"notes": -Infinity}', "number-as-text"),
    ("[]", "shape-wrong"),
    ('"text"', "shape-wrong"),
    ("null", "shape-wrong"),
    ("[" * 100_000, "json-broken"),
]


@pytest.mark.parametrize(("text", "code"), JSON, ids=[row[0][:30] for row in JSON])
def test_json_is_read_strictly(text, code):
    with pytest.raises(WrongShape) as refused:
        parse(text)
    assert refused.value.problems[0].message.code == code


@given(st.text(max_size=60))
def test_e25_any_note_is_kept_as_it_is_or_refused_cleanly(text):
    unstorable = any((c < " " and c not in "\t\n\r") or c == "\x7f" or "\ud800" <= c <= "\udfff" for c in text)
    if unstorable:
        with pytest.raises(WrongShape):
            parse({"notes": text})
        return
    document = parse({"notes": text})
    assert document.notes == text
    assert json.loads(json.dumps(document.as_dict()))["notes"] == text


SOME_JSON = st.recursive(
    st.none() | st.booleans() | st.text(max_size=5) | st.integers() | st.floats(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from([*FULL, "x"]), inner, max_size=4),
    max_leaves=12,
)


@given(SOME_JSON)
def test_nothing_but_a_wrong_shape_is_ever_raised(given_json):
    try:
        document = parse(given_json)
    except WrongShape:
        return
    assert parse(document.as_dict()) == document


# --- facts ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("story", STORIES.values(), ids=STORIES)
def test_a_document_and_its_facts_merge_to_what_calc_takes(story):
    document, facts = parse_merged(story["input"]["survey"])
    assert parse_merged(merged(document, facts)) == (document, facts)


def test_facts_are_read_from_the_facts_of_a_record():
    facts = Facts.from_dict(
        {
            "site": {"name": "Skua Institute"},
            "hood": {"tag": "FH-0142", "kind": "general", "control": "bypass", "sash": "vertical", "monitor": "none"},
            "openings": [{"name": "working", "use": "working", "way": None, "tested_every_survey": False}],
            "benchmarks": [{"opening": "working", "value": "0.50 m/s"}],
            "instrument": {"name": "A-07", "resolution": "0.01 m/s", "lowest": None, "highest": "30 m/s"},
            "calibration_covers": True,
            "labelled": [],
        }
    )
    assert facts.hood.monitor == "none"
    assert not facts.openings[0].every_survey
    assert (str(facts.resolution), facts.lowest, str(facts.highest)) == ("0.01 m/s", None, "30 m/s")
    assert str(facts.benchmarks["working"]) == "0.50 m/s"


FACTS = [
    (lambda s: s["hood"].pop("kind"), "hood", "key-missing"),
    (lambda s: s["hood"].update(kind="biological-cabinet"), "hood.kind", "code-unknown"),
    (lambda s: s["openings"][0].pop("use"), "openings.0", "key-missing"),
    (lambda s: s["openings"][0].update(use="upper"), "openings.0.use", "code-unknown"),
    (lambda s: s.update(benchmarks=[{"opening": "working", "value": "100"}]), "benchmarks.0.value", "unit-missing"),
    (lambda s: s.update(calibration_covers="yes"), "calibration_covers", "shape-wrong"),
    (lambda s: s.pop("hood"), "hood", "shape-wrong"),
]


@pytest.mark.parametrize(("change", "path", "code"), FACTS, ids=[f"{row[1]} {row[2]}" for row in FACTS])
def test_merged_facts_are_held_to_their_shape(change, path, code):
    survey = survey_dict(read("working", "98", "99"))
    change(survey)
    with pytest.raises(WrongShape) as refused:
        parse_merged(survey)
    assert (path, code) in {(p.path, p.message.code) for p in refused.value.problems}
