"""What a survey leaves to be seen to, and what it settles: one row an edge, with its reason."""

from __future__ import annotations

from typing import Any

import pytest

from surveys.core.criteria import Criteria
from surveys.core.facts import HoodFacts
from surveys.core.findings import (
    FAIL,
    KINDS,
    LABEL_NOT_HELD,
    MENDED_ON_VISIT,
    NOTE,
    RESTRICT,
    OpeningNow,
    Thing,
    is_as_strict,
    is_asked,
    left_by,
)
from tests.surveying import CRITERIA

AVERAGE = Thing(FAIL, figure="average", opening="working")
LOWEST = Thing(RESTRICT, figure="lowest", opening="working")
LIGHT = Thing(NOTE, check="light-works")
ENDED = Thing(FAIL, ended="no-flow")
LABEL = Thing(LABEL_NOT_HELD)


def limit(outcome: str, *, figure: str = "average", costs: str = "fail", index: int = 0, value: str = "75") -> dict:
    number = None if outcome == "not-tested" else {"value": value, "unit": "ft/min", "shown": value}
    return {"figure": figure, "limit": index, "value": number, "outcome": outcome, "consequence": costs}


def check(outcome: str, code: str = "light-works", costs: str = "note") -> dict:
    return {"check": code, "value": "no", "outcome": outcome, "consequence": costs}


def one_set(*working: dict, hood: tuple[dict, ...] = (), lower: tuple[dict, ...] = ()) -> dict[str, Any]:
    openings = [
        {"opening": name, "judgements": list(some)} for name, some in (("working", working), ("lower", lower)) if some
    ]
    return {"openings": openings, "hood": list(hood)}


def judged(
    left: dict[str, Any], found: dict[str, Any] | None = None, verdict: str = "fail", label: str = "no-label"
) -> dict[str, Any]:
    return {"sets": {"as-found": found or left, "as-left": left}, "verdict": verdict, "label": label}


MET, NOT_MET, UNTESTED = limit("met", value="99"), limit("not-met"), limit("not-tested")

# --- opens ------------------------------------------------------------------------------------------------------------

OPENS = [
    # as left, as found, ended, label, what opens, why
    (one_set(MET), None, None, "held", [], "nothing was found"),
    (one_set(NOT_MET), None, None, "no-label", [AVERAGE], "a fail-limit that is not met"),
    (one_set(UNTESTED), None, None, "no-label", [], "what is not tested was not found wanting"),
    (one_set(limit("not-met", figure="lowest", costs="restrict")), None, None, "no-label", [LOWEST], "a restrict-limit"),
    (one_set(hood=(check("not-met"),)), None, None, "no-label", [LIGHT], "a note of the hood itself, without an opening"),
    (one_set(NOT_MET, lower=(limit("not-met"),)), None, None, "no-label",
     [AVERAGE, AVERAGE._replace(opening="lower")], "each opening by itself"),
    (one_set(NOT_MET, limit("not-met", index=1)), None, None, "no-label", [AVERAGE], "two limits, one thing to mend"),
    (one_set(NOT_MET, limit("not-met", costs="restrict", index=1)), None, None, "no-label",
     [AVERAGE, AVERAGE._replace(kind=RESTRICT)], "what it costs makes it another"),
    (one_set(), None, "no-flow", "no-label", [ENDED], "ended because the hood must not be used"),
    (one_set(), None, "called-away", "no-label", [], "ended for another reason: nothing was found"),
    (one_set(NOT_MET), None, "no-flow", "no-label", [ENDED, AVERAGE], "ended, and something not met before"),
    (one_set(MET), None, None, "not-held", [LABEL], "the label did not hold"),
    (one_set(MET), None, None, "not-tested", [], "whether it held is not known"),
    (one_set(MET), one_set(NOT_MET), None, "no-label", [AVERAGE._replace(kind=MENDED_ON_VISIT)], "found wanting, left good"),
    (one_set(NOT_MET), one_set(NOT_MET), None, "no-label", [AVERAGE], "found and left wanting: once"),
    (one_set(UNTESTED), one_set(NOT_MET), None, "no-label", [AVERAGE], "nothing shows it mended: unfinished work hides nothing"),
    (one_set(), one_set(NOT_MET), None, "no-label", [AVERAGE], "not even measured again"),
    (one_set(NOT_MET), one_set(MET), None, "no-label", [AVERAGE], "left worse than found"),
    (one_set(MET), one_set(UNTESTED), None, "no-label", [], "not tested as found is no finding"),
    (one_set(hood=(check("met"),)), one_set(hood=(check("not-met"),)), None, "no-label",
     [LIGHT._replace(kind=MENDED_ON_VISIT)], "a lamp put in on the visit"),
    (one_set(check("not-met", costs="undecided")), None, None, "no-label", [], "a cost that is none of the kinds"),
]  # fmt: skip


@pytest.mark.parametrize(("left", "found", "ended", "label", "opens", "why"), OPENS, ids=[row[-1] for row in OPENS])
def test_what_a_survey_opens(left, found, ended, label, opens, why):
    assert [one.thing for one in left_by(judged(left, found, label=label), ended).found] == opens, why


def test_every_kind_is_opened_by_some_row():
    assert {thing.kind for row in OPENS for thing in row[4]} == set(KINDS)


def test_a_finding_holds_the_value_and_the_limit_that_it_broke():
    (one,) = left_by(judged(one_set(limit("not-met", index=3, value="79.6"))), None).found
    assert (one.limit, one.value, one.unit) == (3, "79.6", "ft/min")
    (one,) = left_by(judged(one_set(hood=(check("not-met"),))), None).found
    assert (one.limit, one.value, one.unit) == (None, "", "")


def test_of_two_limits_that_are_not_met_the_first_is_told():
    (one,) = left_by(judged(one_set(limit("not-met", index=2), limit("not-met", index=5))), None).found
    assert one.limit == 2


# --- closes -----------------------------------------------------------------------------------------------------------

CLOSES = [
    # the open thing, as left, as found, verdict, closed, why
    (AVERAGE, one_set(MET), None, "pass", True, "met at the same opening"),
    (AVERAGE, one_set(NOT_MET), None, "fail", False, "found again"),
    (AVERAGE, one_set(UNTESTED), None, "no-verdict", False, "not tested is not met"),
    (AVERAGE, one_set(lower=(MET,)), None, "restrict", False, "met at the lower opening alone: the restriction stands"),
    (AVERAGE, one_set(limit("met", figure="lowest")), None, "pass", False, "another figure"),
    (AVERAGE, one_set(), None, "pass", False, "the criteria do not judge it any more"),
    (AVERAGE, one_set(MET, limit("not-met", costs="restrict", index=1)), None, "restrict", True,
     "the fail-limit is met; what restricts is a finding of its own"),
    (AVERAGE._replace(kind=RESTRICT), one_set(MET, limit("not-met", costs="restrict", index=1)), None, "restrict", False,
     "met where it fails, not where it restricts"),
    (AVERAGE._replace(kind=RESTRICT), one_set(NOT_MET, limit("met", costs="restrict", index=1)), None, "fail", False,
     "what it costs now is worse, and is not met"),
    (AVERAGE._replace(kind=RESTRICT), one_set(MET), None, "pass", True, "what it costs now is worse, and is met"),
    (AVERAGE._replace(kind=RESTRICT), one_set(MET, limit("not-met", costs="note", index=1)), None, "pass", True,
     "the worse one is met; the note is less than what was found"),
    (AVERAGE, one_set(MET, limit("not-met", index=1)), None, "fail", False, "each limit of this cost has to be met"),
    (AVERAGE, one_set(MET, limit("not-tested", index=1)), None, "no-verdict", False, "one limit of this cost is not tested"),
    (AVERAGE, one_set(limit("met", costs="note")), None, "pass", True, "it costs something else now, and is met"),
    (AVERAGE, one_set(limit("not-met", costs="note")), None, "pass", False, "it costs something else now, and is not met"),
    (AVERAGE, one_set(MET), one_set(NOT_MET), "pass", True, "met as left, whatever it was as found"),
    (AVERAGE, one_set(NOT_MET), one_set(MET), "fail", False, "as left decides"),
    (LIGHT, one_set(hood=(check("met"),)), None, "pass", False, "a note is closed by hand"),
    (LIGHT._replace(kind=MENDED_ON_VISIT), one_set(hood=(check("met"),)), None, "pass", False, "closed by hand"),
    (LABEL, one_set(MET), None, "pass", False, "that the label did not hold once is closed by hand"),
    (ENDED, one_set(MET), None, "pass", True, "a pass"),
    (ENDED, one_set(MET), None, "restrict", True, "a restricted pass"),
    (ENDED, one_set(MET), None, "no-verdict", False, "no verdict shows nothing"),
    (ENDED, one_set(NOT_MET), None, "fail", False, "a fail"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("thing", "left", "found", "verdict", "closed", "why"), CLOSES, ids=[row[-1] for row in CLOSES]
)
def test_what_a_survey_closes(thing, left, found, verdict, closed, why):
    assert left_by(judged(left, found, verdict), None).closes(thing) is closed, why


STRICT = [
    # old, new, as strict, why
    (("80 ft/min", None), ("60 ft/min", None), False, "less is enough now"),
    (("80 ft/min", None), ("80 ft/min", None), True, "the same"),
    (("80 ft/min", None), ("98.5 ft/min", None), True, "more is wanted now"),
    (("80 ft/min", None), ("0.41 m/s", None), True, "in another unit: 80.7 ft/min"),
    (("80 ft/min", None), ("0.40 m/s", None), False, "in another unit: 78.7 ft/min"),
    (("80 ft/min", "120 ft/min"), ("80 ft/min", None), False, "the upper bound is gone"),
    (("80 ft/min", "120 ft/min"), ("90 ft/min", "110 ft/min"), True, "narrower"),
    ((None, "120 ft/min"), (None, "130 ft/min"), False, "more is let pass now"),
    ((None, "120 ft/min"), ("60 ft/min", None), False, "the other side"),
]  # fmt: skip


def criteria_of(bounds, **changes):
    least, most = bounds
    one = {"figure": "average", "applies_to": "each", "consequence": "fail", "at_least": least, "at_most": most}
    return Criteria.from_dict({**CRITERIA, **changes, "limits": [{key: value for key, value in one.items() if value}]})


@pytest.mark.parametrize(("old", "new", "strict", "why"), STRICT, ids=[row[-1] for row in STRICT])
def test_whether_new_criteria_are_as_strict(old, new, strict, why):
    assert is_as_strict(criteria_of(new), [0], criteria_of(old), 0) is strict, why


def test_judged_in_another_way_it_is_not_the_same_limit():
    old = criteria_of(("80 ft/min", None))
    assert not is_as_strict(criteria_of(("80 ft/min", None), compare="rounded"), [0], old, 0)
    assert not is_as_strict(criteria_of(("80 ft/min", None), edge_exclusion="2 in"), [0], old, 0)


TAKES_BACK = [
    (LIGHT, one_set(hood=(check("met"),)), None, "no-label", True, "a note that the amendment does not find"),
    (LIGHT, one_set(hood=(check("not-met"),)), None, "no-label", False, "it finds the note too"),
    (LIGHT, one_set(hood=(check("not-tested"),)), None, "no-label", False, "the amendment did not look"),
    (LIGHT, one_set(), None, "no-label", False, "nothing was looked at"),
    (LABEL, one_set(MET), None, "held", True, "the label had held after all"),
    (LABEL, one_set(MET), None, "not-tested", False, "whether it held is not known"),
    (AVERAGE._replace(kind=MENDED_ON_VISIT), one_set(MET), None, "no-label", True, "it had been good as found"),
    (AVERAGE._replace(kind=MENDED_ON_VISIT), one_set(MET), one_set(NOT_MET), "no-label", False, "mended then as well"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("thing", "left", "found", "label", "closed", "why"), TAKES_BACK, ids=[row[-1] for row in TAKES_BACK]
)
def test_what_an_amendment_takes_back(thing, left, found, label, closed, why):
    assert left_by(judged(left, found, "pass", label), None).takes_back(thing) is closed, why


# --- is it still asked? -----------------------------------------------------------------------------------------------

OPENINGS = (
    OpeningNow("working", "working", "18 in"),
    OpeningNow("lower", "lower", "12 in"),
    OpeningNow("slit", "lower", "4 in"),
)
WASH = Thing(FAIL, check="wash-down-works")
ASKED = [
    (AVERAGE, {}, True, "a limit on the average applies to working openings"),
    (AVERAGE._replace(opening="lower"), {}, True, "each candidate"),
    (AVERAGE._replace(opening="slit"), {}, False, "under the least useful height it is no candidate"),
    (AVERAGE._replace(opening="left panel"), {}, False, "renamed, or gone"),
    (AVERAGE, {"limits": []}, False, "the criteria judge no average any more"),
    (AVERAGE, {"limits": [CRITERIA["limits"][0] | {"consequence": "note"}]}, True, "at another cost it is still judged"),
    (AVERAGE._replace(opening="lower"), {"limits": [CRITERIA["limits"][0] | {"applies_to": "working"}]}, False, "of working ones alone"),
    (Thing(FAIL, check="sash-moves-and-stays"), {}, True, "a check of the hood"),
    (Thing(FAIL, check="glazing-whole"), {}, False, "a check that is not asked"),
    (Thing(FAIL, check="smoke-at-opening"), {}, False, "asked of openings, not of the hood"),
    (WASH, {"checks": [{"check": "wash-down-works", "applies_to": "hood", "consequence": "fail"}]}, False, "a kind without a wash-down"),
    (ENDED, {"limits": [], "checks": CRITERIA["checks"]}, True, "the end of a survey is always asked"),
]  # fmt: skip


@pytest.mark.parametrize(("thing", "changes", "asked", "why"), ASKED, ids=[row[-1] for row in ASKED])
def test_whether_a_thing_is_still_asked(thing, changes, asked, why):
    criteria = Criteria.from_dict(CRITERIA | changes)
    assert is_asked(thing, criteria, OPENINGS, HoodFacts()) is asked, why


def test_a_monitors_error_is_asked_only_of_a_hood_whose_monitor_shows_velocity():
    error = {"figure": "monitor-error-percent", "at_most": "20 %", "applies_to": "each", "consequence": "fail"}
    criteria = Criteria.from_dict(CRITERIA | {"limits": [error]})
    thing = AVERAGE._replace(figure="monitor-error-percent")
    assert is_asked(thing, criteria, OPENINGS, HoodFacts(monitor="velocity"))
    assert not is_asked(thing, criteria, OPENINGS, HoodFacts(monitor="alarm-only"))


def test_what_is_asked_of_a_kind_of_hood_is_asked_of_it():
    checks = [{"check": "wash-down-works", "applies_to": "hood", "consequence": "fail"}]
    criteria = Criteria.from_dict(CRITERIA | {"checks": checks})
    assert is_asked(WASH, criteria, OPENINGS, HoodFacts(kind="perchloric-acid"))
