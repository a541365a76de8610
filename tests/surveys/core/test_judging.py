"""How a survey is judged: outcomes of openings, approval, verdict, restriction, label, and what an adjustment changes."""

from __future__ import annotations

import pytest

from surveys.core import judging
from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from tests.surveys.core.surveyed import answer, asked, criteria_dict, judged, limit, opening, read, survey_dict

GOOD, SLOW, WEAK = ("100", "100"), ("50", "50"), ("75", "75")  # pass, fail, restrict by BANDS
BANDS = (
    limit("average", "80 ft/min", consequence="restrict", restriction="not for volatile poisons"),
    limit("average", "70 ft/min"),
)
HALF = {"width": "24 in", "height": "12 in"}


def vertical(**readings):
    """A vertical sash with openings at 12, 10 and 8 in; readings by name, each opening planned as two points."""
    known = {
        "working": opening("working", "working", "12 in"),
        "lower": opening("lower", "lower", "10 in"),
        "lowest": opening("lowest", "lower", "8 in"),
        "full": opening("full", "full-open", "12 in"),
    }
    traverses = [read(name, *texts) for name, texts in readings.items() if texts]
    return survey_dict(*traverses, openings=[known[name] for name in readings])


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


# --- approval: nobody is approved above a height that failed ----------------------------------------------------------

APPROVAL = [  # working at 12 in, lower at 10 in, lowest at 8 in -> verdict, approved, restriction, why
    (GOOD, GOOD, GOOD, "pass", ("working", "lower", "lowest"), None, "all"),
    (SLOW, GOOD, GOOD, "restrict", ("lower", "lowest"), {"largest_opening": "10 in"}, "the highest that passes"),
    (SLOW, SLOW, GOOD, "restrict", ("lowest",), {"largest_opening": "8 in"}, "two fail above"),
    (GOOD, SLOW, GOOD, "restrict", ("lowest",), {"largest_opening": "8 in"}, "working passes above one that failed"),
    (GOOD, GOOD, SLOW, "fail", (), None, "the lowest fails, so nothing above it can be approved"),
    (SLOW, SLOW, SLOW, "fail", (), None, "none passes"),
    (WEAK, GOOD, GOOD, "restrict", ("working", "lower", "lowest"), {"use": "not for volatile poisons"},
     "a restricted opening is approved with its words"),
    (SLOW, WEAK, GOOD, "restrict", ("lower", "lowest"),
     {"largest_opening": "10 in", "use": "not for volatile poisons"}, "both a lower height and a use"),
    (GOOD, GOOD, ("100", ""), "no-verdict", (), None, "an unfinished lower one bars what is above it"),
    (("100", ""), GOOD, GOOD, "no-verdict", (), None, "an opening to be tested has no verdict"),
    (SLOW, GOOD, ("100", ""), "fail", (), None, "unfinished work does not hide that the working height failed"),
]  # fmt: skip


@pytest.mark.parametrize(("working", "lower", "lowest", "verdict", "approved", "restriction", "why"), APPROVAL)
def test_heights_of_one_way(working, lower, lowest, verdict, approved, restriction, why):
    made = judged(vertical(working=working, lower=lower, lowest=lowest), criteria_dict(*BANDS))
    assert (made.verdict, made.approved, made.restriction) == (verdict, approved, restriction), why
    assert made.reasons


def test_a_recorded_candidate_neither_approves_nor_bars():
    only_working = limit("average", "70 ft/min", applies_to="working")
    made = judged(vertical(working=GOOD, lower=SLOW), criteria_dict(only_working))
    assert (made.verdict, made.approved, made.restriction) == ("pass", ("working",), None)


def test_two_openings_of_one_height_bar_each_other():
    survey = survey_dict(
        read("left hand", *SLOW),
        read("right hand", *GOOD),
        openings=[opening("left hand"), opening("right hand")],
    )
    assert judged(survey, criteria_dict(*BANDS)).verdict == "fail"


def test_heights_in_different_units_are_ordered_by_their_length():
    survey = survey_dict(
        read("a", *SLOW), read("b", *GOOD), openings=[opening("a", height="12 in"), opening("b", height="304 mm")]
    )
    assert judged(survey, criteria_dict(*BANDS)).approved == ("b",)
    survey["openings"][1]["height"] = "305 mm"
    assert judged(survey, criteria_dict(*BANDS)).approved == ()


def test_ways_stand_on_their_own():
    hood = {"kind": "general", "control": "bypass", "sash": "horizontal"}
    survey = survey_dict(
        read("left", *SLOW), read("right", *GOOD), hood=hood, openings=[opening("left"), opening("right")]
    )
    made = judged(survey, criteria_dict(*BANDS))
    assert (made.verdict, made.approved, made.restriction) == ("restrict", ("right",), {"not_openings": ["left"]})
    one_way = survey | {"openings": [opening("left", way="panel"), opening("right", way="panel")]}
    assert judged(one_way, criteria_dict(*BANDS)).verdict == "fail"  # the control: as one way they bar each other


LEAST = [
    ("10 in", "lower", "restrict", "at the least useful height: a candidate"),
    ("10.1 in", "other", "fail", "under it: counts as another opening"),
]


@pytest.mark.parametrize(("least", "use", "verdict", "why"), LEAST)
def test_a_lower_opening_under_the_least_useful_height_is_no_candidate(least, use, verdict, why):
    made = judged(vertical(working=SLOW, lower=GOOD), criteria_dict(*BANDS, least_height=least))
    assert made.as_found.openings[1].use == use, why
    assert made.verdict == verdict, why


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


# --- openings that are no candidates, and must_pass -------------------------------------------------------------------

OTHERS = [  # readings at the full opening, consequence of its limit, verdict, why
    (GOOD, "fail", "pass", "met"),
    (SLOW, "fail", "fail", "counts as the hood itself"),
    (SLOW, "restrict", "restrict", "its words restrict the hood"),
    (SLOW, "note", "pass", "a note"),
    (("100", ""), "fail", "no-verdict", "not tested"),
    (("100", ""), "note", "no-verdict", "a point of its grid has no reading"),
]


@pytest.mark.parametrize(("readings", "consequence", "verdict", "why"), OTHERS)
def test_an_opening_that_is_no_candidate_counts_as_the_hood_itself(readings, consequence, verdict, why):
    full = limit("average", "60 ft/min", applies_to="full-open", consequence=consequence, restriction="keep it low")
    made = judged(vertical(working=GOOD, full=readings), criteria_dict(*BANDS, full))
    assert made.verdict == verdict, why
    if verdict == "restrict":
        assert (made.approved, made.restriction) == (("working",), {"use": "keep it low"})


MUST = [
    (GOOD, GOOD, "pass", "it passes"),
    (SLOW, GOOD, "fail", "a use that must pass fails, though the lower one passes"),
    (None, GOOD, "no-verdict", "no opening of the use is tested"),
]


@pytest.mark.parametrize(("working", "lower", "verdict", "why"), MUST)
def test_a_use_that_must_pass(working, lower, verdict, why):
    survey = vertical(working=working, lower=lower)
    survey["openings"][0]["tested_every_survey"] = False
    assert judged(survey, criteria_dict(*BANDS, must_pass=["working"])).verdict == verdict, why


# --- the hood ---------------------------------------------------------------------------------------------------------

HOOD = [  # consequence, answer, verdict, why
    ("fail", "yes", "pass", "as it should be"),
    ("fail", "no", "fail", "stops the hood"),
    ("fail", None, "no-verdict", "not answered"),
    ("fail", "not-tested", "no-verdict", "not tested"),
    ("fail", "not-applicable", "pass", "taken away where it may not apply"),
    ("restrict", "no", "restrict", "its words restrict the hood"),
    ("restrict", None, "no-verdict", "not answered"),
    ("note", "no", "pass", "a note"),
    ("note", None, "pass", "a note not answered"),
    ("undecided", "yes", "no-verdict", "nobody has said what it costs"),
    ("undecided", "no", "no-verdict", "nobody has said what it costs"),
]


@pytest.mark.parametrize(("consequence", "said", "verdict", "why"), HOOD)
def test_a_check_of_the_hood(consequence, said, verdict, why):
    answers = [answer("light-works", said)] if said else []
    made = judged(
        survey_dict(read("working", *GOOD), answers=answers),
        criteria_dict(*BANDS, checks=(asked("light-works", consequence),)),
    )
    assert made.verdict == verdict, why
    if verdict == "restrict":
        assert made.restriction == {"use": "not with light-works"}


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


# --- ended early ------------------------------------------------------------------------------------------------------

ENDED = [  # reason, readings, verdict, why
    ("no-flow", None, "fail", "stops a hood with nothing measured"),
    ("smoke-came-out", GOOD, "fail", "stops a hood though all is met"),
    ("glass-broken", GOOD, "fail", "stops a hood"),
    ("sash-does-not-stay", GOOD, "fail", "stops a hood"),
    ("other-danger", GOOD, "fail", "stops a hood"),
    ("called-away", GOOD, "no-verdict", "ended before everything was done"),
    ("in-use", None, "no-verdict", "nothing measured"),
    ("instrument-failed", SLOW, "fail", "what failed before still counts"),
    ("access-withdrawn", WEAK, "no-verdict", "a restriction alone is not a failure"),
    ("not-cleared", GOOD, "no-verdict", "ended before everything was done"),
]


@pytest.mark.parametrize(("reason", "readings", "verdict", "why"), ENDED)
def test_ended_early(reason, readings, verdict, why):
    survey = survey_dict(*([read("working", *readings)] if readings else []), ended_early={"reason": reason})
    made = judged(survey, criteria_dict(*BANDS))
    assert (made.verdict, made.approved) == (verdict, ()), why
    assert any(message.values.get("ending") == reason for message in made.reasons) == (readings != SLOW)


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


LABEL = [
    (None, GOOD, "no-label"),
    (["working"], GOOD, "held"),
    (["working"], SLOW, "not-held"),
    (["working"], ("100", ""), "not-tested"),
    (["working", "lower"], GOOD, "not-held"),
]


@pytest.mark.parametrize(("labelled", "readings", "held"), LABEL)
def test_did_the_label_hold(labelled, readings, held):
    made = judged(survey_dict(read("working", *readings), labelled=labelled), criteria_dict(*BANDS))
    assert made.label == held


# --- restriction ------------------------------------------------------------------------------------------------------


def test_words_stand_once_and_in_order():
    checks = (
        asked("storage-clear", "restrict", "each") | {"restriction": "not for volatile poisons"},
        asked("light-works", "restrict"),
    )
    survey = survey_dict(
        read("working", *WEAK),
        answers=[answer("storage-clear", "no", "working"), answer("light-works", "no")],
    )
    made = judged(survey, criteria_dict(*BANDS, checks=checks))
    assert made.restriction == {"use": "not for volatile poisons; not with light-works"}


def test_the_height_printed_is_the_one_measured():
    made = judged(vertical(working=SLOW, lower=GOOD), criteria_dict(*BANDS))
    assert judging.highest_approved(made) == "10 in"
    assert judging.highest_approved(judged(vertical(working=SLOW), criteria_dict(*BANDS))) is None


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
