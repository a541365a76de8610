"""What is wrong in a survey is said at its place, and what is missing is no problem."""

from __future__ import annotations

import pytest

from surveys.core.content import why_not_reading
from surveys.core.document import Facts, check, incomplete, parse, parse_merged
from surveys.core.units import quantity
from tests.surveys.core.surveyed import FULL, answer, opening, read, survey_dict

# --- content ----------------------------------------------------------------------------------------------------------

CONTENT = [  # survey, path, code, why
    (survey_dict(read("working", "98", "1,5")), "traverses.0.readings.0.1", "number-comma", "E1"),
    (survey_dict(read("working", "98", ["97", "½"])), "traverses.0.readings.0.1.1", "number-digits", "E2, in a repeat"),
    (survey_dict(read("working", "-5", "98")), "traverses.0.readings.0.0", "number-negative", "E5"),
    (survey_dict(read("working", "98", "4001")), "traverses.0.readings.0.1", "number-above-instrument", "E5"),
    (survey_dict(read("working", "98.5", "98")), "traverses.0.readings.0.0", "number-decimals", "E9"),
    (survey_dict(read("working", "98", {"value": "9", "struck": " "})), "traverses.0.readings.0.1",
     "struck-without-reason", "a struck reading needs a reason"),
    (survey_dict(read("working", "98", "99") | {"unit": None}), "traverses.0.unit", "traverse-unit-missing", "no unit"),
    (survey_dict(read("elsewhere", "98", "99")), "traverses.0.opening", "opening-unknown", "no such opening"),
    (survey_dict(read("working", "98", "99"), read("working", "98", "99")), "traverses.1", "traverse-twice", "twice"),
    (survey_dict(read("working", "98", "99", state="as-left")), "adjusted", "left-without-adjusted",
     "nothing was adjusted"),
    (survey_dict(read("working", "98", "99", monitor="98")), "traverses.0.monitor", "unit-missing", "no unit"),
    (survey_dict(read("working", "98", "99", monitor="-98 ft/min")), "traverses.0.monitor", "number-negative", "E5"),
    (survey_dict(read("working", "98", "99"), openings=[opening(height="")]), "openings.0.height",
     "opening-size-missing", "measured without a size"),
    (survey_dict(openings=[opening(height="0 in")]), "openings.0.height", "number-not-positive", "no height"),
    (survey_dict(openings=[opening(height="18")]), "openings.0.height", "unit-missing", "no unit"),
    (survey_dict(openings=[opening(height="18 ft/min")]), "openings.0.height", "unit-wrong-kind", "no length"),
    (survey_dict(openings=[opening(), opening()]), "openings.1", "opening-twice", "twice"),
    (survey_dict(answers=[answer("light-works", "yes")] * 2), "answers.1", "answer-twice", "twice"),
    (survey_dict(answers=[answer("light-works", "yes", "elsewhere")]), "answers.0.opening", "opening-unknown",
     "no such opening"),
    (survey_dict(answers=[answer("light-works", "yes", None, "as-left")]), "adjusted", "left-without-adjusted",
     "nothing was adjusted"),
    (survey_dict(read("working", "98", "99", state="as-left"), answers=[
        answer("light-works", "yes", None, "as-left"), answer("smoke-at-opening", "yes", "working", "as-left")]),
     "adjusted", "left-without-adjusted", "said once, however much it is"),
    (survey_dict(conditions={"right_hood": "no"}), "conditions.right_hood", "other-hood", "another hood"),
    (survey_dict(conditions={"fit": "no"}), "conditions.fit", "not-fit", "not cleared"),
    (survey_dict(conditions={"temperature": "215 °C"}), "conditions.temperature", "temperature-out-of-range",
     "the point is missing"),
    (survey_dict(conditions={"temperature": "21,5 °C"}), "conditions.temperature", "number-comma", "E1"),
    (survey_dict(conditions={"pressure": "101 hPa"}), "conditions.pressure", "pressure-out-of-range", "kPa meant"),
    (survey_dict(found={"sash": "24"}), "found.sash", "unit-missing", "no unit"),
    (survey_dict(found={"monitor": "98"}), "found.monitor", "unit-missing", "no unit"),
    (survey_dict(found={"monitor": "-98 ft/min"}), "found.monitor", "number-negative", "E5"),
    (survey_dict(found={"monitor": "60 Pa"}), "found.monitor", "unit-wrong-kind", "its monitor shows velocity"),
    (survey_dict(found={"monitor": "18 in"}), "found.monitor", "unit-wrong-kind", "a length"),
]  # fmt: skip


@pytest.mark.parametrize(("survey", "path", "code", "why"), CONTENT, ids=[f"{r[1]} {r[2]}" for r in CONTENT])
def test_what_is_wrong_is_said_at_its_place(survey, path, code, why):
    document, facts = parse_merged(survey)
    measured_by = Facts(
        hood=facts.hood,
        openings=facts.openings,
        resolution=quantity("1 ft/min"),
        highest=quantity("4000 ft/min"),
    )
    assert [(p.path, p.message.code) for p in check(document, measured_by)] == [(path, code)], why


ENDED = [("no-flow", "cannot be used"), ("not-cleared", "cannot go on")]


@pytest.mark.parametrize(("reason", "why"), ENDED)
def test_a_survey_that_was_ended_needs_no_hood_that_is_fit(reason, why):
    no = {"right_hood": "no", "fit": "no"}
    document, facts = parse_merged(survey_dict(conditions=no, ended_early={"reason": reason}))
    assert check(document, facts) == (), why
    document, facts = parse_merged(survey_dict(conditions=no))
    assert len(check(document, facts)) == 2


@pytest.mark.parametrize("adjusted", [None, False, True])
def test_adjusted_is_unanswered_no_or_yes(adjusted):
    document = parse({"adjusted": adjusted})
    assert document.adjusted is adjusted
    assert document.as_dict()["adjusted"] is adjusted
    assert parse({}).adjusted is None


def test_missing_points_and_answers_are_no_problems():
    document, facts = parse_merged(survey_dict(read("working", "98", "")))
    assert check(document, facts) == ()


def test_a_struck_reading_may_be_anything():
    struck = {"value": "1,5", "struck": "mistyped"}
    document, facts = parse_merged(survey_dict(read("working", ["98", struck], "99")))
    assert check(document, facts) == ()


def test_reason_and_instrument_are_asked_before_signing():
    document, _ = parse_merged(survey_dict(read("working", "98", "99")))
    assert [p.message.code for p in incomplete(document)] == ["reason-missing", "instrument-missing"]
    assert incomplete(parse(FULL)) == ()


EXAMPLES = [  # what was typed, the instrument, the unit, the example in the sentence
    ("98,5", "1 ft/min", "ft/min", "98"),
    ("9 8", "1 ft/min", "ft/min", "98"),
    ("98.", "0.1 ft/min", "ft/min", "98.5"),
    ("0,45", "0.01 m/s", "m/s", "0.45"),
    ("0.4.5", "0.1 m/s", "m/s", "0.5"),
    ("1e0", "1 m/s", "m/s", "1"),
    ("x", None, "ft/min", "98"),
    ("x", "1 ft/min", "m/s", "0.45"),
]


@pytest.mark.parametrize(("typed", "resolution", "unit", "example"), EXAMPLES)
def test_the_example_beside_a_refused_reading_would_itself_be_kept(typed, resolution, unit, example):
    shows = quantity(resolution) if resolution else None
    assert why_not_reading(typed, unit, shows).values["example"] == example
    assert why_not_reading(example, unit, shows) is None


FOUND = [
    # the monitor shows, as found, units that are right, why
    ("velocity", "0.5 m/s", None, "a velocity"),
    ("velocity", "420 ft**3/min", "ft/min", "a flow"),
    ("flow", "420 ft**3/min", None, "a flow"),
    ("flow", "98 ft/min", "ft³/min", "a velocity"),
    ("pressure", "0.25 inH2O", None, "a pressure"),
    ("pressure", "98 ft/min", "inH2O", "a velocity"),
    ("alarm-only", "98 ft/min", None, "an alarm may be set by any of the three"),
    ("alarm-only", "0.25 inH2O", None, "an alarm may be set by any of the three"),
    ("alarm-only", "18 in", "ft/min", "a length"),
    ("none", "98 ft/min", None, "what was entered before the monitor was taken out"),
    ("none", "20 °C", "ft/min", "a temperature"),
]


@pytest.mark.parametrize(("monitor", "found", "units", "why"), FOUND, ids=[f"{r[0]} {r[1]}" for r in FOUND])
def test_a_monitor_as_found_shows_what_monitors_of_its_kind_show(monitor, found, units, why):
    hood = {"kind": "general", "control": "constant-volume", "sash": "vertical", "monitor": monitor}
    problems = check(*parse_merged(survey_dict(hood=hood, found={"monitor": found})))
    assert [(problem.path, problem.message.code) for problem in problems] == (
        [("found.monitor", "unit-wrong-kind")] if units else []
    ), why
    assert not units or units in problems[0].message.values["units"]
