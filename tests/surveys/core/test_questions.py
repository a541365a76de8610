"""Soft questions: which readings are asked about, and that asking changes no figure."""

from __future__ import annotations

import pytest

from surveys.core.document import Facts, parse_merged
from surveys.core.messages import SENTENCES
from surveys.core.questions import kept, questions, unanswered
from surveys.core.sizes import SIDES
from surveys.core.units import quantity
from surveys.wording import sentence
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

ASKED = [  # readings, questions as (code, column), why
    (("98", "101", "95", "97"), [], "nothing unusual"),
    (("98", "101", "950", "97"), [("reading-ten-times", 2)], "E6: ten times the rest"),
    (("98", "101", "9.5", "97"), [("reading-a-tenth", 2)], "E6: a tenth of the rest"),
    (("0.50", "0.48", "5.1", "0.49"), [("reading-ten-times", 2)], "E6: a slipped point"),
    (("98", "101", "0", "97"), [("reading-zero", 2)], "a zero among readings: not a tenth of anything"),
    (("98", "101", "19", "97"), [("reading-a-tenth", 2)], "just under a fifth"),
    (("98", "101", "250", "97"), [("reading-off-the-rest", 2)], "fast, but not ten times"),
    (("98", "101", "69", "97"), [("reading-off-the-rest", 2)], "E6: two digits in the wrong order, 96 typed as 69"),
    (("100", "100", "125", "101"), [], "exactly a quarter above the middle of the rest: within"),
    (("100", "100", "125.1", "101"), [("reading-off-the-rest", 2)], "a tenth more: asked"),
    (("100", "100", "75", "101"), [], "exactly a quarter below it: within"),
    (("100", "100", "74.9", "101"), [("reading-off-the-rest", 2)], "a tenth less: asked"),
    (("100", "101", "140"), [("reading-off-the-rest", 2)], "a quarter off, where the two others agree"),
    (("100", "140", "180"), [], "of three that all differ none is the odd one"),
    (("60", "600", "60"), [("reading-ten-times", 1)], "a narrow opening of three points: ten times the two others"),
    (("3", "92", "94"), [("reading-a-tenth", 0)], "a tenth of the two others"),
    (("98", "980"), [], "of two nothing says which is wrong"),
    (("98", "101", "490", "97"), [("reading-ten-times", 2)], "five times the middle of the rest: asked"),
    (("98", "98", "489", "98"), [("reading-off-the-rest", 2)], "just under five times: off, not ten times"),
    (("98", "1000", "97"), [("reading-ten-times", 1)], "two others that agree are enough"),
    (("98", "98", "98", "98"), [("four-alike", 0)], "E12: all equal"),
    (("98.0", "98", "98.00", "98"), [("four-alike", 0)], "alike by value"),
    (("98", "98", "98", "99"), [], "three alike"),
    (("99", "98", "98", "98", "98"), [("four-alike", 1)], "four in a row"),
    (("98", "98", "98"), [("four-alike", 0)], "a whole traverse of three, alike"),
    (("98", "98"), [], "two alike"),
    (("0", "0", "0", "0"), [("all-zero", None)], "E12: all zeros"),
    (("0", "0", "0"), [("all-zero", None)], "E12: all zeros"),
    (("98", "1,5", "97", "99"), [], "a text that is no number is a problem, not a question"),
    (("98", "101", "-5", "97", "99"), [], "so is a negative one"),
    (("98", "98", "1,5", "98", "98"), [], "one that is refused parts a run"),
    (("98", "-5", "98", "98"), [], "and makes a traverse no longer alike as a whole"),
    ((), [], "nothing read"),
]


def survey_of(readings, **given):
    return survey_dict(
        read("working", *readings), openings=[opening() | {"width": f"{12 * len(readings) or 12} in"}], **given
    )


@pytest.mark.parametrize(("readings", "found", "why"), ASKED)
def test_e6_e12_what_is_asked(readings, found, why):
    document, facts = parse_merged(survey_of(readings))
    where = [(code, "traverses.0.readings" + (f".0.{column}" if column is not None else "")) for code, column in found]
    assert [(q.code, q.path) for q in questions(document, facts)] == where, why


RANGE = [("10", [], "at the lowest"), ("9", ["below-instrument"], "below it"), ("0", ["below-instrument"], "zero")]


@pytest.mark.parametrize(("text", "codes", "why"), RANGE)
def test_readings_below_the_range_of_the_instrument_are_asked_about(text, codes, why):
    document, _ = parse_merged(survey_of((text, "12")))
    assert [q.code for q in questions(document, Facts(lowest=quantity("10 ft/min")))] == codes, why
    metric = Facts(lowest=quantity("0.0508 m/s"))  # 10 ft/min
    assert [q.code for q in questions(document, metric)] == codes


REFUSED = [  # what the instrument is, what was read last, why
    ({"resolution": "1 ft/min"}, "6.3", "more decimals than it shows"),
    ({"highest": "600 ft/min"}, "980", "above its highest"),
    ({"lowest": "20 ft/min"}, "-5", "negative, and below its lowest"),
]


@pytest.mark.parametrize(("instrument", "text", "why"), REFUSED)
def test_a_reading_that_is_refused_is_no_question_and_no_other_reading(instrument, text, why):
    document, _ = parse_merged(survey_of(("98", "101", "95", "97", text)))
    facts = Facts(**{key: quantity(value) for key, value in instrument.items()})
    assert questions(document, facts) == (), why
    few, _ = parse_merged(survey_of(("98", "1", text)))  # two that count, of which nothing is asked
    assert [q.code for q in questions(few, Facts(resolution=quantity("1 ft/min"), highest=quantity("600 ft/min")))] == []
    plain = "63" if text != "980" else "600"
    document, _ = parse_merged(survey_of(("5", "6", "4", "5", plain)))
    assert [q.code for q in questions(document, facts) if q.value == plain] == ["reading-ten-times"], "the control"


def test_what_is_asked_of_a_zero_says_that_it_is_zero():
    document, facts = parse_merged(survey_of(("98", "101", "0", "97")))
    (asked,) = questions(document, facts)
    assert sentence(asked.message) == "A reading of zero is far below the other readings (98 ft/min). Is it right?"


KEPT = [  # question, how it is told, its answer, where it stood
    ({"code": "reading-ten-times", "path": "traverses.0.readings.0.2", "value": "950", "answer": "struck"},
     "950 is five times the other readings or more", "wrong, struck and read again", ("working", "as-found", 1, 3)),
    ({"code": "four-alike", "path": "traverses.0.readings.0.0", "value": "98", "answer": "stays"},
     "readings in a row are alike (98)", "each was read anew, they stay", ("working", "as-found", 1, 1)),
    ({"code": "all-zero", "path": "traverses.0.readings", "value": "0", "answer": "stays"},
     "all readings are zero", "there is no flow, they stay", None),
    ({"code": "reading-a-tenth", "path": "traverses.0.readings.0.1", "value": "9", "answer": "right"},
     "9 is a fifth of the other readings or less", "right", None),
    ({"code": "height-off-register", "path": "openings.0.height", "value": "28 in", "answer": "stays"},
     "the height of ‘working’, 28 in, was far from the register", "it was measured so", None),
    ({"code": "width-off-register", "path": "openings.7.width", "value": "6 in", "answer": "stays"},
     "the width of ‘–’, 6 in, was far from the register", "it was measured so", None),
    ({"code": "odd-thing", "path": "nowhere", "value": "9", "answer": "x"}, "question odd thing text: 9", "x", None),
]  # fmt: skip


@pytest.mark.parametrize(("question", "asked", "answer", "place"), KEPT)
def test_a_question_that_was_kept_is_told_in_words_with_its_place(question, asked, answer, place):
    """Its place is told only where the reading stands there still: 9 was never read at row 1, column 2."""
    struck = {"value": "950", "struck": "slipped"}
    entered = survey_of(("98", "101", [struck, "95"], "97"), questions=[question])
    (one,) = kept(entered)
    assert (sentence(one.asked), one.answer if isinstance(one.answer, str) else sentence(one.answer)) == (asked, answer)
    assert one.place == place


def test_every_code_of_a_question_and_of_its_answer_has_words():
    codes = {code for _, found, _ in ASKED for code, _ in found} | {"below-instrument"}
    codes |= {f"{side}-off-{what}" for side in SIDES for what in ("register", "others")}
    assert codes == {code.removeprefix("question-") for code in SENTENCES if code.startswith("question-")}
    assert {"answered-stays", "answered-struck"} <= set(SENTENCES)


def test_a_zero_below_the_range_is_asked_about_once():
    document, _ = parse_merged(survey_of(("98", "101", "0", "97")))
    assert [q.code for q in questions(document, Facts(lowest=quantity("20 ft/min")))] == ["reading-zero"]
    document, _ = parse_merged(survey_of(("98", "101", "9", "97")))
    assert [q.code for q in questions(document, Facts(lowest=quantity("20 ft/min")))] == ["reading-a-tenth", "below-instrument"]


def test_a_struck_reading_is_not_asked_about():
    struck = {"value": "950", "struck": "slipped"}
    document, facts = parse_merged(survey_of(("98", "101", ["95", struck], "97")))
    assert questions(document, facts) == ()


def test_e6_an_answer_is_kept_and_asked_again_when_the_reading_changes():
    kept = {"code": "reading-ten-times", "path": "traverses.0.readings.0.2", "value": "950", "answer": "right"}
    for text, left in (("950", []), ("951", ["reading-ten-times"])):
        document, facts = parse_merged(survey_of(("98", "101", text, "97"), questions=[kept]))
        assert [q.code for q in unanswered(document, facts)] == left
    document, facts = parse_merged(survey_of(("98", "101", "950", "97"), questions=[kept | {"answer": None}]))
    assert [q.code for q in unanswered(document, facts)] == ["reading-ten-times"]


def test_asking_changes_no_figure_and_no_verdict():
    criteria = criteria_dict(limit("average", "80 ft/min"))
    kept = {"code": "reading-ten-times", "path": "traverses.0.readings.0.2", "value": "950", "answer": "right"}
    asked, answered = (judged(survey_of(("98", "101", "950", "97"), questions=q), criteria) for q in ([], [kept]))
    assert asked.as_dict() == answered.as_dict()
    assert asked.as_found.openings[0].figures["average"].shown == "311.5"
