"""What a survey comes to: approved openings, verdict, restriction."""

from __future__ import annotations

import pytest

from surveys.core.verdict import highest_approved
from tests.surveys.core.surveyed import (
    BANDS,
    GOOD,
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


def panels(sash="horizontal", **given):
    """Openings of the left panel, read at one point each: of each its size and the reading."""
    return survey_dict(
        *(read(name, text) for name, (*_, text) in given.items()),
        openings=[opening(name, width=wide, height=high, way="left panel") for name, (wide, high, _) in given.items()],
        hood={"kind": "general", "control": "bypass", "sash": sash},
    )


OF_A_PANEL = [  # wide, half -> verdict, approved, openings left out, why
    (("30 in", "30 in", "50"), ("15 in", "30 in", "100"), "restrict", ("half",), ["wide"], "as high and narrower: approved below one that fails"),
    (("30 in", "20 in", "50"), ("15 in", "30 in", "100"), "restrict", ("half",), ["wide"], "higher and narrower: it is the smaller"),
    (("30 in", "30 in", "100"), ("15 in", "30 in", "50"), "fail", (), None, "nobody is approved wider than one that failed"),
    (("30 in", "30 in", "50"), ("30 in", "20 in", "100"), "restrict", ("half",), ["wide"], "of one width: the lower is the smaller"),
    (("30 in", "30 in", "50"), ("762 mm", "762 mm", "100"), "fail", (), None, "of one size, in another unit: they bar each other"),
    (("30 in", "30 in", "100"), ("15 in", "30 in", "100"), "pass", ("wide", "half"), None, "both"),
]  # fmt: skip
ONE_POINT = {"largest_area": "99 ft**2", "longest_edge": "99 in"}


@pytest.mark.parametrize("sash", ["horizontal", "combination"])
@pytest.mark.parametrize(("wide", "half", "verdict", "approved", "left_out", "why"), OF_A_PANEL)
def test_openings_of_one_panel_are_ordered_by_width(sash, wide, half, verdict, approved, left_out, why):
    """A panel has no height to which a sash is lowered: its restriction names the opening, and the panel that it is of."""
    made = judged(panels(sash, wide=wide, half=half), criteria_dict(*BANDS, grid=ONE_POINT))
    assert (made.verdict, made.approved) == (verdict, approved), why
    assert made.restriction == (left_out and {"not_openings": left_out, "parts": {"wide": "left"}})
    assert highest_approved(made) is None


def test_openings_of_a_frame_are_ordered_by_height():
    """The control: the same sizes and readings, of what is raised."""
    survey = panels("combination", wide=("30 in", "20 in", "50"), half=("15 in", "30 in", "100"))
    for each in survey["openings"]:
        each["way"] = "frame"
    assert judged(survey, criteria_dict(*BANDS, grid=ONE_POINT)).verdict == "fail"


@pytest.mark.parametrize(
    ("narrow", "code"), [("15 in", "barred-by-narrower"), ("30 in", "barred-from-below")], ids=["narrower", "as wide, lower"]
)
def test_the_reason_says_what_bars_a_panel(narrow, code):
    survey = panels(wide=("30 in", "30 in", "100"), half=(narrow, "20 in", "50"), least=("10 in", "10 in", "100"))
    made = judged(survey, criteria_dict(*BANDS, grid=ONE_POINT))
    assert (made.verdict, made.approved) == ("restrict", ("least",))
    assert [reason.values for reason in made.reasons if reason.code == code] == [{"opening": "wide", "lower": "half"}]


LEAST = [
    ("10 in", "lower", "restrict", "at the least useful height: a candidate"),
    ("10.1 in", "other", "fail", "under it: counts as another opening"),
]


@pytest.mark.parametrize(("least", "use", "verdict", "why"), LEAST)
def test_a_lower_opening_under_the_least_useful_height_is_no_candidate(least, use, verdict, why):
    made = judged(vertical(working=SLOW, lower=GOOD), criteria_dict(*BANDS, least_height=least))
    assert made.as_found.openings[1].use == use, why
    assert made.verdict == verdict, why


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
    assert highest_approved(made) == "10 in"
    assert highest_approved(judged(vertical(working=SLOW), criteria_dict(*BANDS))) is None
