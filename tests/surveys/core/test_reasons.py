"""Every reason that a verdict can have, each with its values: what the surveyor, the certificate and the record are told."""

import pytest

from surveys.core.judging import could_not_be_judged
from surveys.core.messages import Message
from tests.surveys.core.surveyed import answer, asked, criteria_dict, judged, limit, opening, read, survey_dict

AVERAGE = limit("average", "80 ft/min", "120 ft/min")
LOWEST = limit("lowest", "70 ft/min", consequence="restrict")
LOWER = opening("lower", "lower", "8 in")
BOTH = [opening(), LOWER]
NOT_MET_AVERAGE = {
    "consequence": "fail",
    "figure": "average",
    "limit": "between",
    "least": "80 ft/min",
    "most": "120 ft/min",
}
UNFINISHED = Message("no-traverse", {"opening": "working", "state": "as-left"})

REASONS = [
    # survey, criteria, verdict, reasons, why
    (
        survey_dict(read("working", "100", "100"), openings=BOTH), criteria_dict(AVERAGE), "no-verdict",
        [Message("no-traverse", {"opening": "lower", "state": "as-found"})], "a lower one that was not tested bars nothing above it",
    ),
    (
        survey_dict(read("working", "100", "100"), read("full", "100", ""), openings=[opening(), opening("full", "full-open", "10 in")]),
        criteria_dict(AVERAGE), "no-verdict",
        [Message("points-missing", {"opening": "full", "missing": "1", "number": "2", "state": "as-found"})],
        "one that is no candidate bars nothing",
    ),
    (
        survey_dict(read("working", "100", "100")), criteria_dict(AVERAGE), "pass",
        [Message("all-met")], "all is met",
    ),
    (
        survey_dict(ended_early={"reason": "no-flow"}), criteria_dict(AVERAGE), "fail",
        [Message("ended-and-stopped", {"ending": "no-flow"})], "ended for a danger",
    ),
    (
        survey_dict(read("working", "100", "100"), ended_early={"reason": "called-away"}), criteria_dict(AVERAGE), "no-verdict",
        [Message("ended-and-left", {"ending": "called-away"})], "ended for another reason",
    ),
    (
        survey_dict(read("working", "60", "60")), criteria_dict(AVERAGE), "fail",
        [Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "working", "value": "60 ft/min"})], "a limit of the only opening",
    ),
    (
        survey_dict(read("working", "60", "60")), criteria_dict(AVERAGE, must_pass=["working"]), "fail",
        [
            Message("must-pass-failed", {"use": "working", "opening": "working"}),
            Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "working", "value": "60 ft/min"}),
        ],
        "an opening of a use that must pass",
    ),
    (
        survey_dict(read("working", "100", "60")), criteria_dict(AVERAGE, LOWEST), "restrict",
        [Message("limit-not-met", {"consequence": "restrict", "figure": "lowest", "limit": "at-least", "least": "70 ft/min",
                                   "opening": "working", "value": "60 ft/min"})],
        "a limit that restricts",
    ),
    (
        survey_dict(read("working", "100", "100"), answers=[answer("light-works", "no")]),
        criteria_dict(AVERAGE, checks=(asked("light-works", "fail"),)), "fail",
        [Message("hood-check-not-met", {"check": "light-works", "consequence": "fail"})], "a check of the hood that fails",
    ),
    (
        survey_dict(read("working", "100", "100"), answers=[answer("light-works", "no")]),
        criteria_dict(AVERAGE, checks=(asked("light-works", "restrict"),)), "restrict",
        [Message("hood-check-not-met", {"check": "light-works", "consequence": "restrict"})], "a check of the hood that restricts",
    ),
    (
        survey_dict(read("working", "100", "100"), answers=[answer("smoke-at-opening", "no", "working", "as-found")]),
        criteria_dict(AVERAGE, checks=(asked("smoke-at-opening", "fail", "each"),)), "fail",
        [Message("check-not-met", {"opening": "working", "consequence": "fail", "check": "smoke-at-opening"})],
        "a check of an opening",
    ),
    (
        survey_dict(read("working", "100", "100")), criteria_dict(AVERAGE, checks=(asked("light-works", "restrict"),)), "no-verdict",
        [Message("hood-check-not-tested", {"check": "light-works"})], "a check of the hood without an answer",
    ),
    (
        survey_dict(read("working", "100", "100")), criteria_dict(AVERAGE, checks=(asked("light-works", "undecided"),)), "no-verdict",
        [Message("check-undecided", {"check": "light-works"})], "a check whose cost nobody has decided",
    ),
    (
        survey_dict(read("working", "100", "100")),
        criteria_dict(AVERAGE, checks=(asked("smoke-at-opening", "fail", "each"),)), "no-verdict",
        [Message("check-not-tested", {"opening": "working", "check": "smoke-at-opening"}), Message("none-approved")],
        "a check of an opening without an answer",
    ),
    (
        survey_dict(), criteria_dict(AVERAGE), "no-verdict",
        [Message("no-traverse", {"opening": "working", "state": "as-found"}), Message("none-approved")], "nothing was read",
    ),
    (
        survey_dict(read("working", "100", "")), criteria_dict(AVERAGE), "no-verdict",
        [Message("points-missing", {"opening": "working", "missing": "1", "number": "2", "state": "as-found"}),
         Message("none-approved")],
        "a point without a reading",
    ),
    (
        survey_dict(read("working", "100", "100"), openings=[opening(width="")]), criteria_dict(AVERAGE), "no-verdict",
        [Message("size-missing", {"opening": "working"}), Message("none-approved")], "a width that nobody measured",
    ),
    (
        survey_dict(read("working", "100", "100"), openings=[opening(height="")]), criteria_dict(AVERAGE), "no-verdict",
        [Message("size-missing", {"opening": "working"}), Message("none-approved")], "a height that nobody measured",
    ),
    (
        survey_dict(read("working", "100", "100")), criteria_dict(AVERAGE, must_pass=["set-back"]), "no-verdict",
        [Message("must-pass-not-tested", {"use": "set-back"})], "a use that must pass and was not tested",
    ),
    (
        survey_dict(read("working", "100", "100"), calibration_covers=False), criteria_dict(AVERAGE), "no-verdict",
        [Message("calibration-does-not-cover"), Message("none-approved")], "a calibration that does not cover the day",
    ),
    (
        survey_dict(read("working", "60", "60"), read("lower", "100", "100"), openings=BOTH), criteria_dict(AVERAGE), "restrict",
        [Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "working", "value": "60 ft/min"})],
        "a higher opening that fails above one that is good",
    ),
    (
        survey_dict(read("working", "100", "100"), read("lower", "60", "60"), read("low", "100", "100"),
                    openings=[*BOTH, opening("low", "lower", "7 in")]),
        criteria_dict(AVERAGE), "restrict",
        [Message("barred-from-below", {"opening": "working", "lower": "lower"}),
         Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "lower", "value": "60 ft/min"})],
        "a good opening above one that fails",
    ),
    (
        survey_dict(read("working", "60", "60"), openings=BOTH), criteria_dict(AVERAGE), "fail",
        [Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "working", "value": "60 ft/min"})],
        "a candidate fails and none can be approved",
    ),
    (
        survey_dict(read("working", "60", "60"), read("lower", "100", "100"), openings=BOTH, ended_early={"reason": "called-away"}),
        criteria_dict(AVERAGE), "fail",
        [Message("unfinished"), Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "working", "value": "60 ft/min"}),
         Message("ended-and-left", {"ending": "called-away"})],
        "what failed is not hidden by going away",
    ),
    (
        survey_dict(read("working", "60", "60"), adjusted=True), criteria_dict(AVERAGE), "fail",
        [Message("unfinished-as-found", {"verdict": "fail"}),
         Message("limit-not-met", NOT_MET_AVERAGE | {"opening": "working", "value": "60 ft/min"}),
         UNFINISHED, Message("none-approved")],
        "found failing, adjusted, and not measured again",
    ),
    (
        survey_dict(read("working", "100", "60"), adjusted=True), criteria_dict(AVERAGE, LOWEST), "fail",
        [Message("unfinished-after-restrict"),
         Message("limit-not-met", {"consequence": "restrict", "figure": "lowest", "limit": "at-least", "least": "70 ft/min",
                                   "opening": "working", "value": "60 ft/min"}),
         UNFINISHED, Message("none-approved")],
        "found restricted, adjusted, and not measured again",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("survey", "criteria", "verdict", "reasons", "why"), REASONS, ids=[row[4] for row in REASONS])
def test_a_verdict_and_its_reasons(survey, criteria, verdict, reasons, why):
    found = judged(survey, criteria)
    assert (found.verdict, list(found.reasons)) == (verdict, reasons)


def test_g12_what_could_not_be_judged_says_so_and_grants_nothing():
    found = could_not_be_judged()
    said = (Message("could-not-be-judged"),)
    assert (found.verdict, found.approved, found.label, found.restriction, found.reasons) == (
        "no-verdict",
        (),
        "not-tested",
        None,
        said,
    )
    for each in (found.as_found, found.as_left):
        assert (each.openings, each.hood, each.verdict, each.approved, each.reasons) == ((), (), "no-verdict", (), said)


# --- what bars an opening from below ---

BARRED = [
    # the one that failed, the other, why, stands
    ("8 in", "12 in", "a lower one that failed bars it", False),
    ("12 in", "12 in", "one of the same height bars it", False),
    ("12 in", "10 in", "a higher one does not", True),
    ("", "12 in", "one of a height that nobody knows may be below", False),
]


@pytest.mark.parametrize(("failed", "height", "why", "stands"), BARRED, ids=[row[2] for row in BARRED])
def test_what_failed_at_or_below_bars_what_stands_above(failed, height, why, stands):
    openings = [opening(height=height), opening("other", "lower", failed)]
    found = judged(
        survey_dict(read("working", "100", "100"), read("other", "60", "60"), openings=openings), criteria_dict(AVERAGE)
    )
    assert (found.approved == ("working",)) is stands


def test_what_was_not_tested_bars_nothing_and_what_is_no_candidate_neither():
    untested = survey_dict(
        read("working", "100", "100"),
        openings=[opening(), opening("other", "lower", "8 in", tested_every_survey=False)],
    )
    assert judged(untested, criteria_dict(AVERAGE)).approved == ("working",)
    wide = survey_dict(read("working", "100", "100"), read("full", "60", "60"),
                       openings=[opening(), opening("full", "full-open", "10 in")])  # fmt: skip
    assert judged(wide, criteria_dict(AVERAGE)).approved == ("working",)


def test_the_largest_opening_is_the_highest_of_those_approved():
    heights = ["9 in", "11 in", "10 in"]
    openings = [
        opening("working", "working", "12 in"),
        *(opening(f"lower {n}", "lower", each) for n, each in enumerate(heights)),
    ]
    read_all = [read("working", "60", "60"), *(read(f"lower {n}", "100", "100") for n in range(3))]
    assert judged(survey_dict(*read_all, openings=openings), criteria_dict(AVERAGE)).restriction == {
        "largest_opening": "11 in"
    }


# --- as found and as left ---

LEFT = [read("working", "100", "100"), read("working", "100", "100", state="as-left")]


def test_a_survey_ended_after_adjusting_was_not_ended_as_found():
    found = judged(survey_dict(*LEFT, adjusted=True, ended_early={"reason": "called-away"}), criteria_dict(AVERAGE))
    assert (found.as_found.verdict, found.as_left.verdict, found.verdict) == ("pass", "no-verdict", "no-verdict")
    assert list(found.reasons) == [Message("ended-and-left", {"ending": "called-away"})]


def test_without_adjusting_the_end_counts_in_both():
    found = judged(survey_dict(LEFT[0], ended_early={"reason": "called-away"}), criteria_dict(AVERAGE))
    assert (found.as_found.verdict, found.as_left.verdict) == ("no-verdict", "no-verdict")


def test_what_is_measured_as_left_alone_is_judged_as_left():
    openings = [opening(), opening("lower", "lower", "8 in", tested_every_survey=False)]
    survey = survey_dict(*LEFT, read("lower", "100", "100", state="as-left"), openings=openings, adjusted=True)
    found = judged(survey, criteria_dict(AVERAGE))
    assert [one.opening for one in found.as_found.openings] == ["working"]
    assert [one.opening for one in found.as_left.openings] == ["working", "lower"]


@pytest.mark.parametrize(("consequence", "verdict"), [("fail", "fail"), ("restrict", "restrict")])
def test_a_limit_on_the_hood_that_is_not_met_is_told_with_what_was_measured(consequence, verdict):
    dark = {"of_hood": [{"figure": "light", "state": None, "value": "250 lx"}]}
    light = limit("light", "400 lx", applies_to="hood", consequence=consequence)
    made = judged(survey_dict(read("working", "100", "100")) | dark, criteria_dict(limit("average", "80 ft/min"), light))
    assert made.verdict == verdict
    assert made.reasons == (
        Message("hood-limit-not-met", {
            "consequence": consequence, "figure": "light", "value": "250 lx", "limit": "at-least", "least": "400 lx",
        }),
    )  # fmt: skip
