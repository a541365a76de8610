"""A result from earlier records that restricts a hood after its last signed survey: it narrows what is signed, and grants nothing."""

from __future__ import annotations

import pytest

from surveys.core.history import Approved
from surveys.core.messages import Message
from surveys.core.status import NOT_SURVEYED, OUTDATED, RESTRICTED, VALID, label_standing, status
from tests.surveys.core.histories import BOTH, LOWER, WORKING, day, event, hood, survey
from tests.surveys.core.test_earlier import old

LATER = old(1, "restrict", "2025-06-01", restriction={"use": "not for x"})
LEFT_SIGNED, LEFT_TOLD = (
    Approved("left", "30 in", "working", "left panel", 73),
    Approved("left", "28 in", "working", "left panel", 73),
)
FRAME, FRAME_TOLD = (
    Approved("raised", "18 in", "working", "frame", 74),
    Approved("raised now", "14 in", "working", "frame", 74),
)
UNREGISTERED, UNREGISTERED_TOLD = (
    Approved("side", "18 in", "working", "side"),
    Approved("other", "14 in", "working", "other"),
)
MILLIMETRES = WORKING._replace(height="457.2 mm")
NARROWED = [
    # signed, what it approves, what the record tells, one way, approved then, restriction then, why
    ("pass", BOTH, (), True, BOTH, {"use": "not for x"}, "it tells no height: a use alone"),
    ("pass", BOTH, (WORKING,), True, BOTH, {"use": "not for x"}, "the same height"),
    ("pass", BOTH, (MILLIMETRES,), True, BOTH, {"use": "not for x"}, "the same height in another unit"),
    ("pass", (LOWER,), (WORKING,), True, (LOWER,), {"use": "not for x"}, "it tells a greater height: that widens nothing"),
    ("pass", BOTH, (WORKING._replace(height="14 in"),), True, (WORKING._replace(height="14 in"), LOWER),
     {"use": "not for x", "largest_opening": "14 in"}, "a lower height, between two that were measured"),
    ("pass", BOTH, (LOWER, WORKING._replace(height="14 in")), True, (WORKING._replace(height="14 in"), LOWER),
     {"use": "not for x", "largest_opening": "14 in"}, "the greatest height that it tells"),
    ("pass", BOTH, (LOWER,), True, (WORKING._replace(height="12 in"), LOWER),
     {"use": "not for x", "largest_opening": "12 in"}, "the lower height alone"),
    ("pass", BOTH, (WORKING._replace(height="much"), WORKING._replace(height="14 in", width="?")), True, BOTH,
     {"use": "not for x"}, "a damaged size says nothing"),
    ("pass", (), (WORKING,), True, None, None, "nothing was approved"),
    ("restrict", (LOWER,), (), True, (LOWER,), {"use": "not for y; not for x", "largest_opening": "12 in"}, "beside what was signed"),
    ("pass", (LEFT_SIGNED, FRAME), (LEFT_TOLD, FRAME_TOLD), False, (LEFT_SIGNED,),
     {"use": "not for x", "not_openings": ["raised"], "parts": {"raised": "frame"}}, "of several ways the opening itself, and no panel for its height"),
    ("pass", (LEFT_SIGNED, FRAME), (FRAME,), False, (LEFT_SIGNED, FRAME), {"use": "not for x"}, "the same height of one way"),
    ("pass", (UNREGISTERED,), (UNREGISTERED_TOLD,), False, (UNREGISTERED,), {"use": "not for x"}, "of an opening that nobody knows"),
    ("pass", (FRAME,), (FRAME_TOLD,), False, None, None, "nothing is left"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("verdict", "approves", "told", "one_way", "left", "restriction", "why"), NARROWED, ids=[row[6] for row in NARROWED]
)
def test_a_later_restriction_narrows_what_is_signed_and_never_widens_it(
    verdict, approves, told, one_way, left, restriction, why
):
    own = {"use": "not for y", "largest_opening": "12 in"} if verdict == "restrict" else None
    signed = survey(2, verdict, "2025-03-12", restriction=own)
    facts = hood(signed, LATER, one_way=one_way, by_survey={"s1": told, "s2": approves})
    found = status(facts, day("2025-07-01"))
    if left is None:
        assert (found.code, found.approved, found.restriction) == (NOT_SURVEYED, (), None), why
        assert found.why_no_label.code == "no-label-for-status"
        return
    assert (found.code, found.approved, found.restriction) == (RESTRICTED, left, restriction), why
    assert (found.why_no_label, found.unlabelled.code) == (
        Message("no-label-earlier-restricts"),
        "unlabelled-earlier-restricts",
    )
    assert (found.survey, found.label_issue, found.since) == ("s2", 2, day("2025-06-01"))
    assert [one.code for one in found.reasons] == [f"last-survey-{verdict}ed", "earlier-record-restricted"]
    assert found.reasons[1].values == {"on": "2025-06-01"}
    assert not found.in_use, "the label that hangs says more"
    assert label_standing(facts, 2, day("2025-07-01")) == OUTDATED
    assert label_standing(facts, 2, day("2025-05-31")) == VALID, "the control: before it"
    assert status(hood(signed, by_survey={"s2": approves}, one_way=one_way), day("2025-07-01")).in_use, (
        "the control: without it"
    )


def test_a_canopy_stays_a_canopy_and_a_change_after_the_record_is_told_last():
    signed = survey(2, "restrict", "2025-03-12", restriction={"use": "not for hazardous vapours"}, label_issue=None)
    canopy = status(hood(signed, LATER), day("2025-07-01"))
    assert (canopy.is_canopy, canopy.restriction) == (True, {"use": "not for hazardous vapours; not for x"})
    unlabelled = status(hood(survey(2, "pass", "2025-03-12", label_issue=None), LATER), day("2025-07-01"))
    assert unlabelled.unlabelled.code == "unlabelled-earlier-restricts"
    for on in ("2025-05-01", "2025-06-10"):
        changed = event("opening-changed", on, opening=71)
        found = status(hood(survey(2, "pass", "2025-03-12"), LATER, changed, by_survey={"s2": BOTH}), day("2025-07-01"))
        assert [one.code for one in found.reasons] == [
            "last-survey-passed",
            "earlier-record-restricted",
            "opening-changed-since",
        ]
        assert found.since == max(day(on), day("2025-06-01"))
        assert found.restriction == {"use": "not for x", "largest_opening": "12 in"}
