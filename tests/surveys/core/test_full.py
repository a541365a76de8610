"""A verdict says that all was tested and met only where it was; else it names what was not, and gives no label without a day."""

from __future__ import annotations

import pytest

from surveys.core.status import status
from surveys.wording import sentence
from tests.surveys.core.histories import day, event, hood, survey
from tests.surveys.core.surveyed import YES, answer, asked, criteria_dict, judged, limit, read, survey_dict

AIR = limit("average", "80 ft/min", "120 ft/min")
ALL, DECIDES, NOT_FULL = "all-met", "decisive-met", "not-full"
LIGHT = limit("light", "400 lx", applies_to="hood", consequence="note")
RATIO = limit("benchmark-ratio", "0.90", consequence="note")
LOW = limit("lowest", "99 ft/min", consequence="restrict")
CASES = [
    # limits, checks, what is measured of the hood, verdict, reasons, why
    ((AIR,), (), {}, "pass", [ALL], "all that is asked was tested and met"),
    ((AIR, LIGHT), (), {"light": "500 lx"}, "pass", [ALL], "the note too"),
    ((AIR, LIGHT), (), {}, "pass", [DECIDES, "hood-figure-missing", NOT_FULL], "light was left out"),
    ((AIR, LIGHT), (), {"light": "300 lx"}, "pass", [DECIDES, "hood-limit-not-met"], "tested, and not met: a full survey"),
    ((AIR,), (asked("light-works", "note"),), {}, "pass", [DECIDES, "hood-check-not-tested", NOT_FULL], "a check"),
    ((AIR,), (asked("smoke-inside-clears", "note", "each"),), {}, "pass", [DECIDES, "check-not-tested", NOT_FULL], "at an opening"),
    ((AIR, RATIO), (), {}, "pass", [DECIDES, "benchmark-missing"], "nobody could have set a benchmark on this visit"),
    ((AIR, LOW, LIGHT), (), {}, "restrict", ["limit-not-met", "hood-figure-missing", NOT_FULL], "restricted, and not full"),
    ((AIR, LOW), (), {}, "restrict", ["limit-not-met"], "restricted, and full"),
]  # fmt: skip


@pytest.mark.parametrize(("limits", "checks", "of_hood", "verdict", "codes", "why"), CASES)
def test_what_was_not_tested_is_named_and_the_survey_is_not_said_to_be_full(
    limits, checks, of_hood, verdict, codes, why
):
    plain = [{"figure": figure, "value": value} for figure, value in of_hood.items()]
    made = judged(
        survey_dict(read("working", "98", "101"), of_hood=plain, answers=YES), criteria_dict(*limits, checks=checks)
    )
    assert (made.verdict, [one.code for one in made.reasons]) == (verdict, codes), why


def test_the_sentences_name_what_was_left():
    made = judged(survey_dict(read("working", "98", "101")), criteria_dict(AIR, LIGHT))
    assert [sentence(one) for one in made.reasons] == [
        "All that decides whether the hood is used was tested and met.", "Light on the work surface: not measured.",
        "Not a full survey: not all that the criteria ask was tested.",
    ]  # fmt: skip


INSTALLED, MOVED, ON = event("installed", "2025-01-06"), event("moved", "2026-02-01"), day("2026-05-01")
FULL, PART = survey(1, "pass", "2025-12-01"), survey(2, "pass", "2026-03-01", full=False)
STANDS = [  # facts, day it is due, why there is no label, why
    ((INSTALLED, FULL), day("2026-12-01"), None, "the control: a full survey"),
    ((INSTALLED, FULL, PART), day("2026-12-01"), None, "due as the last full one said"),
    ((INSTALLED, PART), None, "no-label-not-full", "none was full: no day, no label"),
    ((INSTALLED, FULL, MOVED, PART), None, "no-label-not-full", "the full one was elsewhere"),
    ((INSTALLED, PART._replace(label_issue=None)), None, "no-label-not-full", "as signed from now on"),
    ((INSTALLED, FULL._replace(label_issue=None)), day("2026-12-01"), "no-label-issued", "it has a day, and no label"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "due", "why_not", "why"), STANDS)
def test_no_label_stands_without_a_day_by_which_the_hood_is_due(facts, due, why_not, why):
    now = status(hood(*facts), ON)
    assert (now.code, now.due and now.due.on) == ("met-criteria", due), why
    assert (now.why_no_label and now.why_no_label.code) == why_not, why
    assert now.in_use is (why_not is None)
    if why_not == "no-label-not-full":
        assert "surveyed in full" in sentence(now.unlabelled)


def test_a_pass_names_each_note_that_was_not_met_at_an_opening_and_none_that_costs_more():
    note = limit("lowest", "90 ft/min", consequence="note")
    checks = (asked("storage-clear", "note", "each"),)
    survey = survey_dict(read("working", "100", "85"), answers=[answer("storage-clear", "no", "working")])
    made = judged(survey, criteria_dict(limit("average", "80 ft/min"), note, checks=checks))
    assert made.verdict == "pass"
    assert [(one.code, one.values.get("figure") or one.values.get("check"), one.values.get("consequence")) for one in made.reasons] == [
        ("decisive-met", None, None), ("limit-not-met", "lowest", "note"), ("check-not-met", "storage-clear", "note"),
    ]  # fmt: skip
