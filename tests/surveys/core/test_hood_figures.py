"""Figures of the hood as a whole: which state they count in, what is wrong with them, and what they do to a verdict."""

from __future__ import annotations

import pytest

from surveys.core.criteria import Criteria
from surveys.core.document import check, parse, parse_merged
from surveys.core.facts import HoodFacts
from surveys.core.figures import FIGURES
from surveys.core.findings import OpeningNow, Thing, is_asked
from surveys.core.hood_limits import unit_of
from surveys.core.messages import Message, WrongShape
from tests.surveys.core.surveyed import GOOD, answer, asked, criteria_dict, judged, limit, read, survey_dict

NOISE = limit("noise", None, "62 dBA", applies_to="hood", consequence="restrict")
LIGHT = limit("light", "400 lx", applies_to="hood", consequence="restrict")
SECONDS = limit("alarm-seconds", None, "10 s", applies_to="hood", consequence="restrict")
AIR = limit("average", "80 ft/min")


def plain(figure, value, state=None):
    return {"figure": figure, "state": state, "value": value}


def twice(*of_hood, **given):
    """A survey in which something was adjusted: good air as found and as left."""
    both = [read("working", *GOOD, state=state) for state in ("as-found", "as-left")]
    return survey_dict(*both, adjusted=True, of_hood=list(of_hood), **given)


STATES = [
    # what was measured                                                              limit   as found       as left        why
    ([plain("noise", "64 dBA", "as-found"), plain("noise", "60 dBA", "as-left")],      NOISE,  "restrict",    "pass",        "each in its own state"),
    ([plain("noise", "60 dBA", "as-found")],                                           NOISE,  "pass",        "no-verdict",  "as left is a complete second set"),
    ([plain("noise", "60 dBA")],                                                       NOISE,  "no-verdict",  "no-verdict",  "noise follows the air: without a state it counts in neither"),
    ([plain("light", "399 lx")],                                                       LIGHT,  "restrict",    "restrict",    "the light does not follow the air: it counts in both"),
]  # fmt: skip


@pytest.mark.parametrize(("of_hood", "of", "found", "left", "why"), STATES, ids=[row[-1] for row in STATES])
def test_what_counts_in_a_state_where_something_was_adjusted(of_hood, of, found, left, why):
    made = judged(twice(*of_hood), criteria_dict(AIR, of))
    # as found in `restrict`, unfinished as left: what was found counts
    assert (made.as_found.verdict, made.as_left.verdict) == (found, left), why


def test_without_an_adjustment_one_value_stands_for_both():
    survey = survey_dict(read("working", *GOOD), of_hood=[plain("noise", "60 dBA", "as-found")])
    assert judged(survey, criteria_dict(AIR, NOISE)).verdict == "pass"


def test_an_alarm_that_was_forced_as_found_says_nothing_of_as_left():
    alarms = [{"state": "as-found", "after": "4 s"}]
    made = judged(twice(alarms=alarms), criteria_dict(AIR, SECONDS))
    assert (made.as_found.verdict, made.as_left.verdict) == ("pass", "no-verdict")
    alarms.append({"state": "as-left", "after": "11 s"})
    made = judged(twice(alarms=alarms), criteria_dict(AIR, SECONDS))
    assert (made.as_found.verdict, made.as_left.verdict) == ("pass", "restrict")


@pytest.mark.parametrize(("consequence", "verdict"), [("fail", "fail"), ("restrict", "restrict"), ("note", "pass")])
def test_a_figure_of_the_hood_that_is_not_met_costs_what_the_criteria_say(consequence, verdict):
    survey = survey_dict(read("working", *GOOD), of_hood=[plain("light", "399 lx")])
    made = judged(survey, criteria_dict(AIR, limit("light", "400 lx", applies_to="hood", consequence=consequence)))
    assert made.verdict == verdict
    reasons = [reason.as_dict() for reason in made.reasons]
    values = {"figure": "light", "value": "399 lx", "limit": "at-least", "least": "400 lx", "consequence": consequence}
    first = [{"code": "decisive-met", "values": {}}] if consequence == "note" else []
    assert reasons == [*first, {"code": "hood-limit-not-met", "values": values}]


def test_a_figure_of_the_hood_that_was_not_measured_leaves_no_verdict_unless_it_is_a_note():
    survey = survey_dict(read("working", *GOOD))
    made = judged(survey, criteria_dict(AIR, LIGHT))
    assert (made.verdict, [reason.code for reason in made.reasons]) == ("no-verdict", ["hood-figure-missing"])
    assert judged(survey, criteria_dict(AIR, LIGHT | {"consequence": "note"})).verdict == "pass"


TAKEN_AWAY = [  # a limit, the hood, answers, why it is taken away
    (limit("filter-pressure", None, "250 Pa", applies_to="hood"), {}, [], "no filter"),
    (SECONDS, {"monitor": "none"}, [], "no alarm"),
    (SECONDS, {}, [answer("alarm-works", "not-applicable")], "its monitor has no alarm"),
    (limit("monitor-mark-ratio", "0.90"), {}, [], "its monitor shows velocity"),
    (
        limit("monitor-error-percent", "-10 %", "10 %"),
        {"monitor": "flow"},
        [],
        "its monitor shows flow: no error in percent",
    ),
    (limit("monitor-error-percent", "-10 %", "10 %"), {"monitor": "pressure"}, [], "its monitor shows pressure"),
]


@pytest.mark.parametrize(("of", "hood", "answers", "why"), TAKEN_AWAY, ids=[row[-1] for row in TAKEN_AWAY])
def test_a_limit_that_this_hood_cannot_have_is_taken_away(of, hood, answers, why):
    survey = survey_dict(read("working", *GOOD), answers=answers)
    survey["hood"] |= hood
    made = judged(survey, criteria_dict(AIR, of))
    assert made.verdict == "pass", why
    codes = [j.figure for j in (*made.as_found.hood, *made.as_found.openings[0].judgements) if hasattr(j, "figure")]
    assert codes == ["average"]
    assert of["figure"] not in made.as_found.openings[0].figures, "and the figure is not told"


def test_an_alarm_alone_always_has_an_alarm():
    """The control: 'does not apply' is no answer for it, so the limit on its seconds stays."""
    survey = survey_dict(read("working", *GOOD), answers=[answer("alarm-works", "not-applicable")])
    survey["hood"]["monitor"] = "alarm-only"
    assert judged(survey, criteria_dict(AIR, SECONDS)).verdict == "no-verdict"


def test_a_muted_alarm_is_judged_in_its_own_state():
    checks = (asked("alarm-not-muted", "restrict"),)
    answers = [answer("alarm-not-muted", "no", None, "as-found"), answer("alarm-not-muted", "yes", None, "as-left")]
    made = judged(twice(answers=answers), criteria_dict(AIR, checks=checks))
    assert (made.as_found.verdict, made.verdict) == ("restrict", "pass")
    made = judged(survey_dict(read("working", *GOOD), answers=answers[:1]), criteria_dict(AIR, checks=checks))
    assert (made.verdict, made.restriction) == ("restrict", {"use": "not with alarm-not-muted"})


RATIO = limit("alarm-ratio", "0.9", "1.1", applies_to="hood", consequence="note")
NEITHER = Message("hood-figure-missing", {"figure": "alarm-ratio"})
NOT_TESTED = [
    # limit  alarm point   alarms                                        why it is not tested
    (RATIO,   "80 ft/min", [],                                            NEITHER),
    (RATIO,   "80 ft/min", [{"state": "as-found", "after": "4 s"}],       NEITHER),
    (RATIO,   "80 ft/min", [{"state": "as-left", "trip": "80 ft/min"}],   NEITHER),
    (RATIO,   "80 ft/min", [{"state": "as-found", "trip": "40 Pa"}],      Message("alarm-point-otherwise", {"trip": "40 Pa", "point": "80 ft/min"})),
    (RATIO,   "",          [{"state": "as-found", "trip": "80 ft/min"}],  Message("alarm-point-missing")),
    (SECONDS, "80 ft/min", [{"state": "as-found", "trip": "40 Pa"}],      Message("hood-figure-missing", {"figure": "alarm-seconds"})),
]  # fmt: skip


@pytest.mark.parametrize(("of", "point", "alarms", "why"), NOT_TESTED)
def test_what_an_alarm_did_is_not_tested_without_all_that_it_takes(of, point, alarms, why):
    survey = survey_dict(read("working", *GOOD), alarms=alarms)
    survey["hood"]["alarm_point"] = point
    (judgement,) = judged(survey, criteria_dict(AIR, of)).as_found.hood
    assert (judgement.limit, judgement.outcome, judgement.because) == (1, "not-tested", why)


@pytest.mark.parametrize(("adjusted", "verdict"), [(False, "pass"), (True, "no-verdict")])
def test_an_alarm_of_no_state_counts_where_nothing_was_adjusted(adjusted, verdict):
    alarms = [{"state": None, "after": "4 s"}]
    survey = twice(alarms=alarms) if adjusted else survey_dict(read("working", *GOOD), alarms=alarms)
    assert judged(survey, criteria_dict(AIR, SECONDS)).verdict == verdict


@pytest.mark.parametrize(("check", "said"), [("alarm-works", "yes"), ("light-works", "not-applicable")])
def test_only_an_alarm_that_is_not_there_takes_its_limits_away(check, said):
    survey = survey_dict(read("working", *GOOD), answers=[answer(check, said)])
    assert judged(survey, criteria_dict(AIR, SECONDS)).verdict == "no-verdict"


@pytest.mark.parametrize(("compare", "outcome"), [("as-measured", "not-met"), ("rounded", "met")])
def test_a_figure_of_the_hood_is_compared_as_the_criteria_say(compare, outcome):
    survey = survey_dict(read("working", *GOOD), of_hood=[plain("light", "399.6 lx")])
    (judgement,) = judged(survey, criteria_dict(AIR, LIGHT, compare=compare)).as_found.hood
    assert judgement.outcome == outcome, "399.6 is 400 to the digits of the limit"


def test_each_figure_of_the_hood_answers_in_its_unit():
    found = {figure.code: unit_of(figure.kind) for figure in FIGURES if figure.of_hood}
    assert found == {
        "light": "lx", "noise": "dBA", "filter-pressure": "Pa", "closed-flow": "m**3/s", "alarm-seconds": "s", "alarm-ratio": "",
    }  # fmt: skip


# --- the document -----------------------------------------------------------------------------------------------------


def test_a_document_without_them_has_no_such_keys_so_that_old_ones_stay_as_they_were():
    document = parse({"openings": []})
    assert {"of_hood", "alarms"}.isdisjoint(document.as_dict())


def test_they_come_back_as_they_were_entered():
    entered = {
        "of_hood": [plain("light", "420 lx"), plain("noise", "58.50 dBA", "as-left")],
        "alarms": [{"state": "as-found", "forced": "other", "trip": "0.4 m/s", "after": "4.0 s", "sound": "no", "light": None}],
    }  # fmt: skip
    made = parse(entered).as_dict()
    assert (made["of_hood"], made["alarms"]) == (entered["of_hood"], entered["alarms"])


WRONG = [  # what was entered, path, code
    ({"of_hood": [plain("light", "420 dBA")]}, "of_hood.0.value", "unit-wrong-kind"),
    ({"of_hood": [plain("light", "420")]}, "of_hood.0.value", "unit-missing"),
    ({"of_hood": [plain("light", "-1 lx")]}, "of_hood.0.value", "number-negative"),
    ({"of_hood": [plain("light", "4,2 lx")]}, "of_hood.0.value", "number-comma"),
    ({"of_hood": [plain("noise", "58 dB")]}, "of_hood.0.value", "unit-unknown"),
    ({"of_hood": [plain("light", "420 lx"), plain("light", "421 lx")]}, "of_hood.1", "of-hood-twice"),
    ({"alarms": [{"state": "as-found", "trip": "600 ft**3/min"}]}, "alarms.0.trip", "unit-wrong-kind"),
    ({"alarms": [{"state": "as-found", "after": "4 in"}]}, "alarms.0.after", "unit-wrong-kind"),
    ({"alarms": [{"state": "as-found", "after": "-4 s"}]}, "alarms.0.after", "number-negative"),
    ({"alarms": [{"state": "as-found", "after": "4 s"}, {"state": "as-found", "after": "5 s"}]}, "alarms.1", "alarm-twice"),
    ({"of_hood": [plain("noise", "58 dBA", "as-left")]}, "adjusted", "left-without-adjusted"),
    ({"alarms": [{"state": "as-left", "after": "4 s"}]}, "adjusted", "left-without-adjusted"),
    ({"alarms": [{"state": "as-found", "sound": "no"}], "answers": [answer("alarm-works", "yes", None, "as-found")]},
     "alarms.0.sound", "alarm-did-not"),
    ({"alarms": [{"state": "as-found", "light": "no"}], "answers": [answer("alarm-works", "yes")]}, "alarms.0.light", "alarm-did-not"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "path", "code"), WRONG, ids=[f"{row[1]} {row[2]}" for row in WRONG])
def test_e1_what_is_wrong_is_told_at_its_place(given, path, code):
    document, facts = parse_merged(survey_dict(read("working", *GOOD), **given))
    assert (path, code) in [(problem.path, problem.message.code) for problem in check(document, facts)]


RIGHT = [  # the control: what stands right beside it is not refused
    {"alarms": [{"state": "as-found", "sound": "no"}], "answers": [answer("alarm-works", "no", None, "as-found")]},
    {"alarms": [{"state": "as-found", "trip": "0 ft/min", "after": "0 s", "sound": "yes", "light": "yes"}]},
    {"of_hood": [plain("noise", "58 dBA", "as-found"), plain("light", "0 lx"), plain("filter-pressure", "0.5 inH2O")]},
]


@pytest.mark.parametrize("given", RIGHT)
def test_what_is_right_is_not_refused(given):
    assert check(*parse_merged(survey_dict(read("working", *GOOD), **given))) == ()


MONITORS = [
    ("velocity", "100 ft/min", "800 ft**3/min"),
    ("flow", "800 ft**3/min", "60 Pa"),
    ("pressure", "60 Pa", "100 ft/min"),
]


@pytest.mark.parametrize(("monitor", "right", "wrong"), MONITORS)
def test_what_a_monitor_shows_is_of_its_own_kind(monitor, right, wrong):
    for shown, codes in ((right, []), (wrong, ["unit-wrong-kind"]), (f"-{right}", ["number-negative"])):
        survey = survey_dict(read("working", *GOOD, monitor=shown))
        survey["hood"]["monitor"] = monitor
        found = check(*parse_merged(survey))
        assert [problem.message.code for problem in found] == codes, shown
        assert all(problem.path == "traverses.0.monitor" for problem in found)


@pytest.mark.parametrize(("given", "code"), [
    ({"of_hood": [plain("loudness", "58 dBA")]}, "code-unknown"),
    ({"of_hood": [{"value": "58 dBA"}]}, "key-missing"),
    ({"of_hood": [plain("noise", 58)]}, "number-as-text"),
    ({"of_hood": [plain("noise", "5" * 61)]}, "text-too-long"),
    ({"of_hood": {"noise": "58 dBA"}}, "shape-wrong"),
    ({"of_hood": [plain("noise", "58 dBA")] * 21}, "too-many"),
    ({"alarms": [{"forced": "by-shouting"}]}, "code-unknown"),
    ({"alarms": [{"sound": "perhaps"}]}, "code-unknown"),
    ({"alarms": [{"state": "as-found", "bell": "yes"}]}, "key-unknown"),
    ({"alarms": [{"state": state} for state in ("as-found", "as-left")] * 3}, "too-many"),
])  # fmt: skip
def test_a_wrong_shape_is_refused(given, code):
    with pytest.raises(WrongShape) as refused:
        parse(given)
    assert code in {problem.message.code for problem in refused.value.problems}


# --- findings ---------------------------------------------------------------------------------------------------------


def test_a_finding_of_a_figure_of_the_hood_is_asked_as_long_as_the_hood_can_have_it():
    criteria, openings = Criteria.from_dict(criteria_dict(AIR, SECONDS)), [OpeningNow("working", "working", "12 in")]
    thing = Thing("restrict", figure="alarm-seconds")
    assert is_asked(thing, criteria, openings, HoodFacts())
    assert not is_asked(thing, criteria, openings, HoodFacts(monitor="none"))
    assert not is_asked(thing._replace(figure="noise"), criteria, openings, HoodFacts())
