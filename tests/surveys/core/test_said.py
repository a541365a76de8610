"""What is written beside the answer to a check: which filter it is, and the day on which it was fitted."""

from __future__ import annotations

from datetime import date

import pytest

from surveys.core.checks import CHECKS, DAY, WORDS
from surveys.core.document import WrongShape, check, merged, parse, parse_merged
from surveys.core.facts import Facts, HoodFacts
from surveys.core.said import day_or_none, said_by
from tests.surveys.core.surveyed import read, survey_dict

DONE_ON = date(2026, 3, 12)
FILTERED = Facts(hood=HoodFacts(kind="filtered"), done_on=DONE_ON)


def said(code, text, **more):
    return {"check": code, "answer": "yes", "said": text} | more


DAYS = [
    # written        day measured  refused             why
    ("2026-03-11",   DONE_ON,      None,               "the day before"),
    ("2026-03-12",   DONE_ON,      None,               "fitted on the day itself"),
    ("2026-03-13",   DONE_ON,      "day-after-survey", "a day after it was seen"),
    ("2026-03-13",   None,         None,               "calc knows no day to hold it against"),
    ("1950-01-01",   DONE_ON,      None,               "the first year that can be meant"),
    ("1949-12-31",   DONE_ON,      "day-long-ago",     "a year too early"),
    ("0202-03-12",   DONE_ON,      "day-long-ago",     "a year half typed"),
    ("2026-02-30",   DONE_ON,      "day-plain",        "February has no such day"),
    ("12.03.2026",   DONE_ON,      "day-plain",        "another order"),
    ("20260312",     DONE_ON,      "day-plain",        "without dashes"),
    ("2026-W11-4",   DONE_ON,      "day-plain",        "a week"),
    ("２026-03-12",  DONE_ON,      "day-plain",        "a digit of another script"),
    ("soon",         DONE_ON,      "day-plain",        "words"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "done_on", "refused", "why"), DAYS, ids=[row[-1] for row in DAYS])
def test_the_day_of_a_filter_is_refused_where_it_cannot_have_been(text, done_on, refused, why):
    document = parse({"answers": [said("filter-in-date", text)]})
    found = check(document, Facts(hood=HoodFacts(kind="filtered"), done_on=done_on))
    assert [problem.message.code for problem in found] == ([refused] if refused else []), why
    assert [problem.path for problem in found] == (["answers.0.said"] if refused else [])


def test_a_day_is_refused_though_nothing_is_answered_yet():
    document = parse({"answers": [said("filter-in-date", "2027-01-01", answer=None)]})
    assert [problem.message.code for problem in check(document, FILTERED)] == ["day-after-survey"]


def test_words_are_kept_as_they_are_and_are_no_day():
    document = parse({"answers": [said("filter-type-fits", "carbon 12.03.2026")]})
    assert check(document, FILTERED) == ()
    assert document.answers[0].said == "carbon 12.03.2026"


def test_only_checks_that_ask_for_it_have_something_beside_their_answer():
    for one in CHECKS:
        content = {"answers": [said(one.code, "2026-01-05")]}
        if one.says:
            assert parse(content).answers[0].said == "2026-01-05"
            assert one.says in (WORDS, DAY)
            assert one.said
        else:
            with pytest.raises(WrongShape, match=r"key-unknown"):
                parse(content)


def test_the_key_is_there_only_where_something_is_written():
    document = parse({"answers": [said("filter-type-fits", "carbon"), {"check": "light-works", "answer": "yes"}]})
    assert [sorted(one) for one in document.as_dict()["answers"]] == [
        ["answer", "check", "opening", "said", "state"], ["answer", "check", "opening", "state"],
    ]  # fmt: skip
    assert parse(document.as_dict()) == document


def test_a_document_with_its_facts_holds_the_day_and_gives_it_back():
    given = survey_dict(read("working", "100")) | {"done_on": "2026-03-12"}
    document, facts = parse_merged(given)
    assert facts.done_on == DONE_ON
    assert merged(document, facts)["done_on"] == "2026-03-12"
    assert parse_merged(merged(document, facts)) == (document, facts)
    assert "done_on" not in merged(document, parse_merged(survey_dict(read("working", "100")))[1])
    for wrong in ("12 March", "2026-13-01", 20260312):
        with pytest.raises(WrongShape):
            parse_merged(given | {"done_on": wrong})


def test_what_was_said_is_found_by_check_and_opening():
    entered = {
        "answers": [said("filter-type-fits", "carbon", opening="working"), {"check": "light-works", "answer": "yes"}]
    }
    assert said_by(entered) == {("filter-type-fits", "working"): "carbon"}
    assert said_by({}) == {}


def test_a_day_or_none():
    assert day_or_none("2028-02-29") == date(2028, 2, 29)
    assert day_or_none("2027-02-29") is None
