"""How a survey is judged: outcomes of openings, what is to be tested, label, and what an adjustment changes."""

from __future__ import annotations

import pytest

from surveys.core import judging
from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from tests.surveys.core.surveyed import (
    BANDS,
    GOOD,
    HALF,
    SLOW,
    WEAK,
    answer,
    asked,
    criteria_dict,
    judged,
    limit,
    opening,
    read,
    survey_dict,
    vertical,
)

# --- the outcome of an opening ----------------------------------------------------------------------------------------

OPENING = [  # readings, smoke, outcome, why
    (GOOD, "yes", "pass", "all met"),
    (SLOW, "yes", "fail", "a fail-limit not met"),
    (WEAK, "yes", "restrict", "a restrict-limit not met"),
    (GOOD, "no", "fail", "a fail-check not met"),
    (GOOD, None, "no-verdict", "a fail-check not answered"),
    (GOOD, "not-tested", "no-verdict", "a fail-check not tested"),
    (GOOD, "not-applicable", "no-verdict", "this check always applies: not tested"),
    (("100", ""), "yes", "no-verdict", "a point without a reading"),
    (SLOW, None, "fail", "not met comes before not tested"),
    (WEAK, None, "no-verdict", "not tested comes before restrict"),
    (WEAK, "no", "fail", "fail comes before restrict"),
]


@pytest.mark.parametrize(("readings", "smoke", "outcome", "why"), OPENING)
def test_the_first_line_that_holds_is_the_outcome_of_an_opening(readings, smoke, outcome, why):
    answers = [answer("smoke-at-opening", smoke, "working")] if smoke else []
    survey = survey_dict(read("working", *readings), answers=answers)
    made = judged(survey, criteria_dict(*BANDS, checks=(asked("smoke-at-opening", "fail", "each"),)))
    assert made.as_found.openings[0].outcome == outcome, why


def test_an_opening_to_which_nothing_applies_is_recorded_and_costs_nothing():
    made = judged(vertical(working=GOOD, full=SLOW), criteria_dict(*BANDS))
    assert [o.outcome for o in made.as_found.openings] == ["pass", "recorded"]
    assert made.verdict == "pass"


def test_a_note_is_judged_and_changes_nothing():
    note = limit("spread-percent", None, "1 %", consequence="note")
    made = judged(survey_dict(read("working", "90", "110")), criteria_dict(*BANDS, note))
    assert made.verdict == "pass"
    assert made.as_found.openings[0].judgements[2].outcome == "not-met"


def test_a_note_that_is_not_tested_changes_nothing():
    note = limit("benchmark-ratio", "0.90", consequence="note")
    assert judged(survey_dict(read("working", *GOOD)), criteria_dict(*BANDS, note)).verdict == "pass"


# --- what is to be tested ---------------------------------------------------------------------------------------------


def test_an_opening_tested_every_survey_and_not_measured_gives_no_verdict():
    made = judged(vertical(working=GOOD, lower=None), criteria_dict(*BANDS))
    assert made.verdict == "no-verdict"
    assert made.reasons[0].code == "no-traverse"


def test_an_opening_of_the_inventory_that_is_not_asked_for_is_not_tested():
    survey = vertical(working=GOOD, lower=None)
    survey["openings"][1]["tested_every_survey"] = False
    made = judged(survey, criteria_dict(*BANDS))
    assert (made.verdict, [o.opening for o in made.as_found.openings]) == ("pass", ["working"])


def test_an_opening_whose_use_is_named_is_to_be_tested():
    survey = vertical(working=GOOD, full=None)
    survey["openings"][1]["tested_every_survey"] = False
    named = limit("average", "40 ft/min", applies_to="full-open")
    assert judged(survey, criteria_dict(*BANDS, named)).verdict == "no-verdict"
    assert judged(survey, criteria_dict(*BANDS, named | {"consequence": "note"})).verdict == "pass"


def test_a_no_at_an_opening_that_was_not_to_be_tested_is_not_lost():
    survey = vertical(working=GOOD, lower=None)
    survey["openings"][1]["tested_every_survey"] = False
    smoke = asked("smoke-at-opening", "fail", "each")
    survey["answers"] = [answer("smoke-at-opening", "yes", "working"), answer("smoke-at-opening", "no", "lower")]
    assert judged(survey, criteria_dict(*BANDS, checks=(smoke,))).verdict == "fail"
    survey["answers"][1]["answer"] = "yes"
    assert judged(survey, criteria_dict(*BANDS, checks=(smoke,))).verdict == "pass"  # the control


# --- checks, and what of them applies ---------------------------------------------------------------------------------

APPLIES = [  # check, hood, verdict with 'does not apply', why
    ("glazing-whole", {}, "no-verdict", "glass there is"),
    ("monitor-works", {"monitor": "velocity"}, "no-verdict", "this hood has a monitor"),
    ("monitor-works", {"monitor": "none"}, "pass", "this hood has none"),
    ("alarm-works", {"monitor": "alarm-only"}, "no-verdict", "this hood has an alarm"),
    ("alarm-works", {"monitor": "none"}, "pass", "this hood need not have one"),
    ("sash-one-hand", {}, "pass", "a powered sash"),
    ("wash-down-works", {"kind": "perchloric-acid"}, "no-verdict", "this hood has a wash-down"),
]


@pytest.mark.parametrize(("check", "hood", "verdict", "why"), APPLIES)
def test_does_not_apply_is_taken_only_where_it_may_be(check, hood, verdict, why):
    survey = survey_dict(read("working", *GOOD), answers=[answer(check, "not-applicable")])
    survey["hood"] |= hood
    assert judged(survey, criteria_dict(*BANDS, checks=(asked(check),))).verdict == verdict, why


def test_a_check_that_is_not_for_this_hood_is_not_asked():
    survey = survey_dict(read("working", *GOOD))
    criteria = criteria_dict(*BANDS, checks=(asked("wash-down-works"), asked("wash-down-works", "undecided", "each")))
    assert judged(survey, criteria).verdict == "pass"
    survey["hood"]["kind"] = "perchloric-acid"
    assert judged(survey, criteria).verdict == "no-verdict"


def test_an_answer_without_an_opening_answers_for_the_hood_only():
    checks = (asked("smoke-at-opening", "fail", "each"),)
    survey = survey_dict(read("working", *GOOD), answers=[answer("smoke-at-opening", "yes")])
    assert judged(survey, criteria_dict(*BANDS, checks=checks)).verdict == "no-verdict"


def test_of_two_answers_the_worse_one_counts():
    answers = [answer("light-works", "yes"), answer("light-works", "no", None, "as-found")]
    made = judged(
        survey_dict(read("working", *GOOD), answers=answers), criteria_dict(*BANDS, checks=(asked("light-works"),))
    )
    assert made.verdict == "fail"


def test_a_limit_on_the_monitor_is_taken_away_where_it_shows_no_velocity():
    criteria = criteria_dict(*BANDS, limit("monitor-error-percent", "-10 %", "10 %"))
    survey = survey_dict(read("working", *GOOD, monitor=None))
    assert judged(survey, criteria).verdict == "no-verdict"
    for monitor in ("none", "flow", "pressure", "alarm-only"):
        survey["hood"]["monitor"] = monitor
        assert judged(survey, criteria).verdict == "pass"


# --- as found and as left ---------------------------------------------------------------------------------------------

ADJUSTED = [  # as found, as left -> verdict of as found, verdict, label (working was labelled), why
    (SLOW, GOOD, "fail", "pass", "not-held", "as left decides; the label had not held"),
    (GOOD, SLOW, "pass", "fail", "held", "an adjustment can make it worse"),
    (WEAK, GOOD, "restrict", "pass", "held", "restricted as found is still approved"),
    (GOOD, ("100", ""), "pass", "no-verdict", "held", "as left is unfinished"),
    (SLOW, ("100", ""), "fail", "fail", "not-held", "what was found counts until the mending is shown whole"),
    (WEAK, ("100", ""), "restrict", "fail", "held", "as found ends in restrict, as left unfinished"),
    (WEAK, None, "restrict", "fail", "held", "as left was not begun"),
    (GOOD, None, "pass", "no-verdict", "held", "as left was not begun"),
    (("100", ""), GOOD, "no-verdict", "pass", "not-tested", "as found has no verdict"),
]


@pytest.mark.parametrize(("found", "left", "verdict_found", "verdict", "label", "why"), ADJUSTED)
def test_both_sets_are_judged_and_as_left_decides(found, left, verdict_found, verdict, label, why):
    traverses = [read("working", *found)] + ([read("working", *left, state="as-left")] if left else [])
    made = judged(survey_dict(*traverses, adjusted=True, labelled=["working"]), criteria_dict(*BANDS))
    assert (made.as_found.verdict, made.verdict, made.label) == (verdict_found, verdict, label), why


def test_a_failed_hood_check_as_found_counts_while_as_left_is_unfinished():
    survey = survey_dict(
        read("working", *GOOD),
        adjusted=True,
        answers=[answer("alarm-works", "no", None, "as-found")],
    )
    checks = (asked("alarm-works"),)
    assert judged(survey, criteria_dict(*BANDS, checks=checks)).verdict == "fail"


ANSWERS = [  # check, state of its answer, as-left outcome, why
    ("smoke-at-opening", "as-found", "not-tested", "an airflow check counts in its own state"),
    ("smoke-at-opening", "as-left", "met", "its own state"),
    ("smoke-at-opening", None, "not-tested", "an airflow check without a state, after an adjustment"),
    ("storage-clear", None, "met", "other checks without a state count in both"),
]


@pytest.mark.parametrize(("check", "state", "outcome", "why"), ANSWERS)
def test_answers_after_an_adjustment(check, state, outcome, why):
    survey = survey_dict(
        read("working", *GOOD),
        read("working", *GOOD, state="as-left"),
        adjusted=True,
        answers=[answer(check, "yes", "working", state)],
    )
    made = judged(survey, criteria_dict(*BANDS, checks=(asked(check, "fail", "each"),)))
    assert made.as_left.openings[0].judgements[-1].outcome == outcome, why


def test_an_opening_begun_as_found_is_measured_again_as_left():
    """As left is a complete second set: a lower opening that failed as found is not forgotten."""
    survey = survey_dict(
        read("working", *GOOD),
        read("lower", *SLOW),
        read("working", *GOOD, state="as-left"),
        openings=[opening(), opening("lower", "lower", "10 in", tested_every_survey=False)],
        adjusted=True,
    )
    assert judged(survey, criteria_dict(*BANDS)).verdict == "fail"
    survey["traverses"].append(read("lower", *GOOD, state="as-left"))
    assert judged(survey, criteria_dict(*BANDS)).verdict == "pass"


def test_without_an_adjustment_the_one_set_is_both():
    made = judged(survey_dict(read("working", *GOOD)), criteria_dict(*BANDS))
    assert made.as_found is made.as_left


LABEL = [  # what the label allowed, readings by opening -> did it hold, why
    (None, {"working": GOOD}, "no-label", "there was none"),
    (["working"], {"working": GOOD, "lower": SLOW, "lowest": GOOD}, "not-held", "barred by a lower one that failed"),
    (["working"], {"working": GOOD}, "held", "it is approved as found"),
    (["working"], {"working": SLOW}, "not-held", "it was measured and is not approved"),
    (["working"], {"working": ("100", "")}, "not-tested", "as found has no verdict"),
    (["lower"], {"working": GOOD, "lower": ()}, "not-tested", "what it allowed was not measured, and nothing was found wrong"),
    (["lower"], {"working": GOOD, "lower": SLOW}, "not-held", "what it allowed was measured and fails, though more passes"),
    (["lower"], {"working": SLOW, "lower": ()}, "not-held", "nothing is approved as found"),
    (["working", "lower"], {"working": GOOD, "lower": ()}, "not-tested", "one of two was not measured"),
    (["working", "lower"], {"working": SLOW, "lower": GOOD}, "not-held", "one of two does not hold"),
    (["working", "gone"], {"working": GOOD}, "not-tested", "the hood has no such opening any more"),
]


@pytest.mark.parametrize(("labelled", "readings", "held", "why"), LABEL)
def test_did_the_label_hold(labelled, readings, held, why):
    assert judged(vertical(**readings) | {"labelled": labelled}, criteria_dict(*BANDS)).label == held, why


# --- what cannot be judged --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "survey",
    [
        survey_dict(),
        survey_dict(openings=[]),
        survey_dict(read("working", *GOOD), openings=[]),
        survey_dict(read("working", *GOOD), openings=[opening(height="")]),
        survey_dict(read("working", *GOOD), openings=[opening(height="12")]),
        survey_dict(read("working", *GOOD), openings=[opening(height="-12 in")]),
        survey_dict(read("working", *GOOD), openings=[opening(height="99999999 in")]),
        survey_dict(read("working", *GOOD) | {"unit": None}),
        survey_dict(read("elsewhere", *GOOD)),
    ],
    ids=["nothing", "no opening", "unknown opening", "no height", "no unit", "negative", "endless", "no unit of readings",
         "elsewhere"],
)  # fmt: skip
def test_nothing_is_ever_passed_in_doubt(survey):
    made = judged(survey, criteria_dict(*BANDS))
    assert (made.verdict, made.approved) == ("no-verdict", ())
    assert made.reasons


def test_criteria_that_ask_nothing_approve_nothing():
    assert judged(survey_dict(read("working", *GOOD)), criteria_dict()).verdict == "no-verdict"


def test_an_exception_inside_judging_is_no_verdict():
    """Damaged values raise, and what stands in for the verdict is no verdict with nothing approved."""
    document = parse({"traverses": [read("working", *GOOD)], "openings": [{"name": "working", **HALF}]})
    facts = Facts.from_dict(survey_dict())
    criteria = Criteria.from_dict(criteria_dict(*BANDS))
    assert judging.judge(document, facts, criteria).verdict == "pass"  # the control: undamaged
    object.__setattr__(document.traverses[0], "readings", ((None, None),))
    with pytest.raises(TypeError):
        judging.judge(document, facts, criteria)
    made = judging.could_not_be_judged()
    assert (made.verdict, made.approved, made.restriction) == ("no-verdict", (), None)
    assert made.as_dict()["reasons"] == [{"code": "could-not-be-judged", "values": {}}]


def test_what_judging_gives_holds_only_text_and_whole_numbers():
    def kinds(value):
        if isinstance(value, dict):
            return {str} | {kind for item in value.values() for kind in kinds(item)}
        if isinstance(value, list):
            return {kind for item in value for kind in kinds(item)}
        return {type(value)}

    made = judged(vertical(working=WEAK, lower=GOOD), criteria_dict(*BANDS, compare="rounded"))
    assert kinds(made.as_dict()) <= {str, int, bool, type(None)}
