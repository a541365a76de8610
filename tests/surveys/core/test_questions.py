"""Soft questions: which readings are asked about, and that asking changes no figure."""

from __future__ import annotations

import pytest

from surveys.core.document import Facts, parse_merged
from surveys.core.questions import questions, unanswered
from surveys.core.units import quantity
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

ASKED = [  # readings, questions as (code, column), why
    (("98", "101", "95", "97"), [], "nothing unusual"),
    (("98", "101", "950", "97"), [("reading-ten-times", 2)], "E6: ten times the rest"),
    (("98", "101", "9.5", "97"), [("reading-a-tenth", 2)], "E6: a tenth of the rest"),
    (("0.50", "0.48", "5.1", "0.49"), [("reading-ten-times", 2)], "E6: a slipped point"),
    (("98", "101", "0", "97"), [("reading-a-tenth", 2)], "a zero among readings"),
    (("98", "101", "250", "97"), [], "fast, but not ten times"),
    (("98", "101", "490", "97"), [("reading-ten-times", 2)], "five times the middle of the rest: asked"),
    (("98", "98", "489", "98"), [], "just under five times"),
    (("98", "1000", "97"), [], "too few others to compare with"),
    (("98", "98", "98", "98"), [("four-alike", 0)], "E12: all equal"),
    (("98.0", "98", "98.00", "98"), [("four-alike", 0)], "alike by value"),
    (("98", "98", "98", "99"), [], "three alike"),
    (("99", "98", "98", "98", "98"), [("four-alike", 1)], "four in a row"),
    (("98", "98", "98"), [("four-alike", 0)], "a whole traverse of three, alike"),
    (("98", "98"), [], "two alike"),
    (("0", "0", "0", "0"), [("all-zero", None)], "E12: all zeros"),
    (("0", "0", "0"), [("all-zero", None)], "E12: all zeros"),
    (("98", "1,5", "97", "99"), [], "a text that is no number is a problem, not a question"),
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
