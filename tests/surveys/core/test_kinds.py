"""What a kind of hood, its control and its mode do to a verdict: a table, one row an edge."""

from __future__ import annotations

import pytest

from surveys.core.messages import Message
from tests.surveys.core.surveyed import answer, asked, criteria_dict, judged, limit, opening, read, survey_dict

FILTER = ("filter-type-fits", "filter-in-date", "materials-approved", "no-breakthrough")
AIR = limit("average", "80 ft/min")
ALL_ASKED = tuple(asked(check) for check in FILTER)
SAID = {"filter-type-fits": {"said": "activated carbon"}, "filter-in-date": {"said": "2026-01-05"}}
ALL_YES = [answer(check, "yes") | SAID.get(check, {}) for check in FILTER]


def hood(**given):
    return {"kind": "general", "control": "constant-volume", "sash": "vertical", "monitor": "velocity"} | given


def but(check, answered):
    return [one | {"answer": answered} if one["check"] == check else one for one in ALL_YES]


def saying(check, said):
    return [one | {"said": said} if one["check"] == check else one for one in ALL_YES]


CASES = [
    # hood                                  checks asked      answers                     mode          verdict       reasons                        why
    (hood(kind="filtered"),                 ALL_ASKED,        ALL_YES,                    None,         "pass",       {"all-met"},                   "all four of its filter"),
    (hood(kind="filtered"),                 (),               [],                         None,         "no-verdict", {"kind-needs-check"},          "criteria that ask nothing of its filter"),
    (hood(kind="filtered"),                 ALL_ASKED[:3],    ALL_YES[:3],                None,         "no-verdict", {"kind-needs-check"},          "breakthrough is not asked"),
    (hood(kind="filtered"),                 (*ALL_ASKED[:3], asked("no-breakthrough", "note")), ALL_YES, None, "no-verdict", {"kind-needs-check"},    "breakthrough costs nothing"),
    (hood(kind="filtered"),                 (*ALL_ASKED[:3], asked("no-breakthrough", "fail", "each")), [*ALL_YES[:3], answer("no-breakthrough", "yes", "working")], None, "pass", {"all-met"}, "breakthrough is asked at each opening"),
    (hood(kind="filtered"),                 (*ALL_ASKED[:3], asked("no-breakthrough", "fail", "working")), [*ALL_YES[:3], answer("no-breakthrough", "yes", "working")], None, "no-verdict", {"kind-needs-check"}, "breakthrough is asked at some openings alone"),
    (hood(kind="filtered"),                 ALL_ASKED,        ALL_YES[:3],                None,         "no-verdict", {"hood-check-not-tested"},     "breakthrough is not looked at"),
    (hood(kind="filtered"),                 ALL_ASKED,        but("filter-in-date", "not-applicable"), None, "no-verdict", {"hood-check-not-tested"}, "its date always applies"),
    (hood(kind="filtered"),                 ALL_ASKED,        but("filter-in-date", "no"), None,        "fail",       {"hood-check-not-met"},        "its filter is out of date"),
    (hood(kind="filtered"),                 ALL_ASKED,        saying("filter-type-fits", None), None, "no-verdict",    {"hood-check-unsaid"},         "nobody wrote which filter it is"),
    (hood(kind="filtered"),                 ALL_ASKED,        saying("filter-type-fits", "  "), None, "no-verdict",    {"hood-check-unsaid"},         "blanks name no filter"),
    (hood(kind="filtered"),                 ALL_ASKED,        saying("filter-in-date", None), None,   "no-verdict",    {"hood-check-unsaid"},         "nobody wrote when it was fitted"),
    (hood(kind="filtered"),                 ALL_ASKED,        saying("filter-in-date", "in May"), None, "no-verdict",  {"hood-check-unsaid"},         "what is no day says nothing"),
    (hood(kind="filtered"),                 (*ALL_ASKED[1:], asked("filter-type-fits", "fail", "each")), [*ALL_YES[1:], answer("filter-type-fits", "yes", "working")], None, "no-verdict", {"check-unsaid"}, "asked at the opening, and not written there"),
    (hood(),                                (),               [],                         None,         "pass",       {"all-met"},                   "another hood has no filter"),
    (hood(kind="canopy"),                   (),               [],                         None,         "restrict",   {"canopy-only"},               "a canopy never passes whole"),
    (hood(kind="perchloric-acid"),          (asked("wash-down-works"),), [answer("wash-down-works", "not-tested")], None, "no-verdict", {"hood-check-not-tested"}, "the wash-down was not seen working"),
    (hood(kind="perchloric-acid"),          (asked("no-organics"),), [answer("no-organics", "no")], None, "fail",     {"hood-check-not-met"},        "organics are kept in it"),
    (hood(kind="radioisotope"),             (asked("radiation-office-told", "note"),), [], None,         "pass",       {"decisive-met", "hood-check-not-tested", "not-full"}, "a note that nobody was told"),
    (hood(kind="auxiliary-air"),            (asked("auxiliary-air-off"),), [answer("auxiliary-air-off", "no")], None, "fail", {"hood-check-not-met"},  "read with the auxiliary air on"),
    (hood(powered=True),                    (asked("sash-stops-at-obstruction"),), [answer("sash-stops-at-obstruction", "no")], None, "fail", {"hood-check-not-met"}, "it does not stop at a hand"),
    (hood(powered=False),                   (asked("sash-stops-at-obstruction"),), [], None,             "pass",       {"all-met"},                   "moved by hand: not asked"),
    (hood(control="variable-volume"),       (),               [],                         "normal",     "pass",       {"all-met"},                   "in its occupied mode"),
    (hood(control="variable-volume"),       (),               [],                         None,         "pass",       {"all-met"},                   "no mode is noted"),
    (hood(control="variable-volume"),       (),               [],                         "set-back",   "no-verdict", {"not-in-occupied-mode"},      "set back"),
    (hood(control="variable-volume"),       (),               [],                         "emergency",  "no-verdict", {"not-in-occupied-mode"},      "purging shows more than its use"),
    (hood(control="variable-volume"),       (),               [],                         "not-known",  "no-verdict", {"not-in-occupied-mode"},      "nobody knows in which mode"),
    (hood(control="two-state"),             (),               [],                         None,         "no-verdict", {"flow-state-not-said"},       "nobody says in which state it was tested"),
    (hood(control="constant-volume"),       (),               [],                         "set-back",   "pass",       {"all-met"},                   "constant volume has no such mode"),
]  # fmt: skip


@pytest.mark.parametrize(("of", "checks", "answers", "mode", "verdict", "reasons", "why"), CASES, ids=[c[-1] for c in CASES])
def test_a_kind_of_hood_is_judged_by_what_it_needs(of, checks, answers, mode, verdict, reasons, why):
    survey = survey_dict(read("working", "100", "98"), hood=of, answers=answers, conditions={"mode": mode})
    found = judged(survey, criteria_dict(AIR, checks=checks))
    assert found.verdict == verdict, why
    assert {reason.code for reason in found.reasons} >= reasons, why
    assert {reason.code for reason in found.reasons} <= reasons | {"none-approved"}, why


@pytest.mark.parametrize(("state", "verdict"), [("higher", "pass"), ("lower", "pass"), ("maximum", "no-verdict"), ("", "no-verdict")])
def test_a_two_state_hood_is_judged_in_the_state_that_was_tested(state, verdict):
    survey = survey_dict(read("working", "100", "98"), hood=hood(control="two-state"), conditions={"flow_state": state})
    assert judged(survey, criteria_dict(AIR)).verdict == verdict
    slow = survey | {"traverses": [read("working", "60", "62")]}
    assert judged(slow, criteria_dict(AIR)).verdict == "fail", "slow air fails in any state, said or not"


@pytest.mark.parametrize(
    ("control", "sash", "read_closed", "verdict"),
    [
        ("variable-volume", "vertical", "310 ft**3/min", "pass"), ("variable-volume", "vertical", "290 ft**3/min", "fail"),
        ("variable-volume", "vertical", None, "no-verdict"), ("constant-volume", "vertical", None, "pass"),
        ("variable-volume", "horizontal", None, "no-verdict"), ("variable-volume", "combination", None, "no-verdict"),
        ("variable-volume", "none", None, "pass"), ("variable-volume", "none", "290 ft**3/min", "pass"),
    ],
)  # fmt: skip
def test_the_flow_with_the_sash_closed_is_asked_of_variable_volume_with_a_sash_alone(control, sash, read_closed, verdict):
    least = limit("closed-flow", "300 ft**3/min", applies_to="hood")
    of_hood = [{"figure": "closed-flow", "state": None, "value": read_closed}] if read_closed else []
    survey = survey_dict(read("working", "100", "98"), hood=hood(control=control, sash=sash), of_hood=of_hood)
    assert judged(survey, criteria_dict(AIR, least)).verdict == verdict


def test_slow_air_in_a_set_back_mode_still_fails():
    of = hood(control="variable-volume")
    survey = survey_dict(read("working", "60", "62"), hood=of, conditions={"mode": "set-back"})
    assert judged(survey, criteria_dict(AIR)).verdict == "fail"


def test_a_canopy_says_what_it_is_not_for_and_keeps_the_site_s_own_words():
    found = judged(survey_dict(read("working", "100", "98"), hood=hood(kind="canopy")), criteria_dict(AIR))
    assert found.restriction == {"use": "not for hazardous vapours"}
    slow = limit("average", "99.5 ft/min", consequence="restrict", restriction="not for steam of acids")
    found = judged(survey_dict(read("working", "100", "98"), hood=hood(kind="canopy")), criteria_dict(AIR, slow))
    assert found.restriction == {"use": "not for steam of acids; not for hazardous vapours"}
    assert judged(survey_dict(read("working", "60", "62"), hood=hood(kind="canopy")), criteria_dict(AIR)).verdict == "fail"


def test_a_set_back_opening_has_limits_of_its_own_and_approves_nothing():
    """At 6 in by 24 in the two points read 62 and 64 ft/min: average 63, over its own 60 and under the 80 of working."""
    openings = [opening(), opening("set back", "set-back", "6 in")]
    own = limit("average", "60 ft/min", applies_to="set-back")
    survey = survey_dict(
        read("working", "100", "98"), read("set back", "62", "64"), hood=hood(control="variable-volume"),
        openings=openings,
    )  # fmt: skip
    found = judged(survey, criteria_dict(AIR, own))
    assert (found.verdict, found.approved) == ("pass", ("working",))
    slower = survey | {"traverses": [read("working", "100", "98"), read("set back", "58", "61")]}  # average 59.5
    assert judged(slower, criteria_dict(AIR, own)).verdict == "fail"


def test_each_check_that_a_kind_cannot_do_without_is_named():
    made = judged(survey_dict(read("working", "100", "98"), hood=hood(kind="filtered")), criteria_dict(AIR))
    assert made.reasons == tuple(Message("kind-needs-check", {"check": code}) for code in FILTER)
