"""At which openings a survey lets a hood be used, and what is left when an opening changes."""

import pytest

from surveys.core.approval import highest, lowest_average
from surveys.core.history import Approved
from surveys.core.messages import Message
from surveys.core.status import (
    MET_CRITERIA,
    NOT_SURVEYED,
    OUTDATED,
    RESTRICTED,
    VALID,
    grants_label,
    label_standing,
    status,
)
from tests.surveys.core.histories import (
    BOTH,
    LEFT,
    LOWER,
    PASSED,
    RESTRICTED_USE,
    RIGHT,
    WORKING,
    day,
    event,
    hood,
    survey,
)

CHANGES = [
    # approved, one way, changed, status, approved still, restriction, why
    (BOTH, True, [], MET_CRITERIA, BOTH, None, "nothing changed"),
    ((WORKING,), True, [71], NOT_SURVEYED, (), None, "the only one changed"),
    (BOTH, True, [71, 72], NOT_SURVEYED, (), None, "both changed"),
    (BOTH, True, [71], RESTRICTED, (LOWER,), {"largest_opening": "12 in"}, "the higher one changed: the lower stands"),
    (BOTH, True, [72], MET_CRITERIA, (WORKING,), None, "the lower one changed: the higher was measured for itself"),
    (
        (WORKING, LOWER._replace(height="18 in")),
        True,
        [71],
        MET_CRITERIA,
        (LOWER._replace(height="18 in"),),
        None,
        "as high",
    ),
    ((LEFT, RIGHT), False, [73], RESTRICTED, (RIGHT,), {"not_openings": ["left"]}, "a panel of its own way"),
    (BOTH, False, [71], RESTRICTED, (LOWER,), {"not_openings": ["working"]}, "each its own way"),
    (BOTH, True, [None], NOT_SURVEYED, (), None, "nobody can say which one"),
    (BOTH, True, [99], MET_CRITERIA, BOTH, None, "an opening that was not approved"),
    (
        (Approved("a", "305 mm", way="frame", opening=1), Approved("b", "13 in", way="frame", opening=2)),
        True,
        [2],
        RESTRICTED,
        (Approved("a", "305 mm", way="frame", opening=1),),
        {"largest_opening": "305 mm"},
        "heights are compared across units: 13 in is 330.2 mm",
    ),
]


@pytest.mark.parametrize(("approved", "one_way", "changed", "code", "left", "restriction", "why"), CHANGES)
def test_changing_an_opening_ends_its_approval(approved, one_way, changed, code, left, restriction, why):
    changes = [event("opening-changed", "2026-05-01", opening=opening) for opening in changed]
    facts = hood(PASSED, *changes, approved=approved, one_way=one_way)
    found = status(facts, day("2026-05-01"))
    assert (found.code, found.approved, found.restriction) == (code, left, restriction), why
    ended = code == NOT_SURVEYED or found.restriction is not None
    assert found.since == (day("2026-05-01") if ended else day("2026-03-12")), "since the change, not since the survey"
    assert grants_label(found) is (code == MET_CRITERIA), "no label says what is left; it wants a survey"
    assert label_standing(facts, 1, day("2026-05-01")) == (VALID if code == MET_CRITERIA else OUTDATED)
    before = status(facts, day("2026-04-30"))
    assert (before.code, before.approved) == (MET_CRITERIA, approved), "the day before"


HALF = Approved("left half", "30 in", "lower", "left panel", 81, width="15 in")
WIDE = Approved("left wide", "30 in", "working", "left panel", 82, width="30 in")
OF_A_PANEL = [
    # changed, status, approved still, restriction, why
    ([82], RESTRICTED, (HALF,), {"not_openings": ["left wide"], "parts": {"left wide": "left"}}, "the wider one changed"),
    ([81], MET_CRITERIA, (WIDE,), None, "the narrower one changed: the wider was measured for itself"),
]


@pytest.mark.parametrize(("changed", "code", "left", "restriction", "why"), OF_A_PANEL)
def test_of_a_panel_the_wider_opening_is_the_larger(changed, code, left, restriction, why):
    changes = [event("opening-changed", "2026-05-01", opening=opening) for opening in changed]
    found = status(hood(PASSED, *changes, approved=(WIDE, HALF), one_way=False), day("2026-05-01"))
    assert (found.code, found.approved, found.restriction) == (code, left, restriction), why


@pytest.mark.parametrize("width", ["18", "0 in", "18 kg"])
def test_g12_a_width_that_cannot_be_read_approves_nothing(width):
    assert status(hood(PASSED, approved=(HALF._replace(width=width),), one_way=False), day("2026-03-12")).code == NOT_SURVEYED
    assert status(hood(PASSED, approved=(HALF,), one_way=False), day("2026-03-12")).code == MET_CRITERIA, "the control"


WHEN = [
    # changed on, hour, ends, why
    ("2026-03-11", 12, False, "before the survey"),
    ("2026-03-12", 8, False, "that day, before it was measured"),
    ("2026-03-12", 12, False, "at the last reading"),
    ("2026-03-12", 13, False, "by the signing itself, which enters the size that was measured"),
    ("2026-03-12", 15, True, "that day, after it"),
    ("2026-03-13", 8, True, "the next day"),
]


@pytest.mark.parametrize(("on", "hour", "ends", "why"), WHEN)
def test_an_approval_ends_by_a_change_after_its_survey(on, hour, ends, why):
    found = status(hood(PASSED, event("opening-changed", on, hour, opening=71)), day("2026-03-14"))
    assert (found.code == NOT_SURVEYED) is ends, why


def test_changing_an_opening_keeps_the_words_of_the_restriction():
    facts = hood(RESTRICTED_USE, event("opening-changed", "2026-05-01", opening=71), approved=BOTH)
    found = status(facts, day("2026-05-01"))
    assert found.restriction == {"use": "not for highly toxic materials", "largest_opening": "12 in"}
    barred = survey(1, "restrict", "2026-03-12", restriction={"not_openings": ["middle"]})
    facts = hood(barred, event("opening-changed", "2026-05-01", opening=73), approved=(LEFT, RIGHT), one_way=False)
    assert status(facts, day("2026-05-01")).restriction == {"not_openings": ["middle", "left"]}


@pytest.mark.parametrize("height", ["", "18", "eighteen in", "18 kg", "-18 in", "0 in"])
def test_g12_a_height_that_cannot_be_read_approves_nothing(height):
    damaged = WORKING._replace(height=height)
    assert status(hood(PASSED, approved=(damaged,)), day("2026-03-12")).code == NOT_SURVEYED
    assert status(hood(PASSED, approved=(WORKING,)), day("2026-03-12")).code == MET_CRITERIA, "the control"


@pytest.mark.parametrize("height", ["0.457 m", "1 ft"])
def test_a_height_that_is_no_more_than_one_of_its_unit_is_a_height(height):
    assert status(hood(PASSED, approved=(WORKING._replace(height=height),)), day("2026-03-12")).code == MET_CRITERIA


def test_g12_a_pass_whose_approvals_are_lost_grants_nothing():
    for later in ([], [event("kind-changed", "2026-03-13")], [event("opening-changed", "2026-03-13")]):
        facts = hood(PASSED, *later)._replace(approved={})
        found = status(facts, day("2026-03-14"))
        assert (found.code, found.reasons) == (NOT_SURVEYED, (Message("nothing-approved"),)), "no change took them away"
        assert not grants_label(found)


def test_the_highest_approved_opening():
    assert highest(()) is None
    assert highest((LOWER, WORKING)) == WORKING
    assert highest((Approved("a", "457 mm"), Approved("b", "18 in"))).name == "b", "457.2 mm"
    assert highest((Approved("a", "18 in"), Approved("b", "18.0 in"))).name == "a", "equal: the first"


A, B, LOW = Approved("a", "30 in", way="left panel"), Approved("b", "30 in", way="right panel"), Approved("low", "12 in")
LOWEST = [
    # approved, sash, averages -> opening, average, of so many, why
    ([A, B], "horizontal", {"a": "100 ft/min", "b": "85 ft/min"}, (B, "85 ft/min", 2), "the lower of two"),
    ([A, B], "horizontal", {"a": "100 ft/min", "b": "0.52 m/s"}, (A, "100 ft/min", 2), "in whatever unit it was read"),
    ([A, B], "horizontal", {"a": "100 ft/min", "b": "100 ft/min"}, (A, "100 ft/min", 2), "the first of equal ones"),
    ([A], "horizontal", {"a": "100 ft/min", "b": "41 ft/min"}, (A, "100 ft/min", 1), "what failed is not told"),
    ([A, B], "horizontal", {"a": "100 ft/min"}, (A, "100 ft/min", 1), "one has no average"),
    ([A._replace(way=""), LOW], "vertical", {"a": "100 ft/min", "low": "85 ft/min"}, (A._replace(way=""), "100 ft/min", 1), "at the height that may be used"),
    ([A], "horizontal", {}, None, "none was made"),
    ([], "vertical", {"a": "100 ft/min"}, None, "nothing is approved"),
]  # fmt: skip


@pytest.mark.parametrize(("approved", "kind", "averages", "told", "why"), LOWEST, ids=[case[-1] for case in LOWEST])
def test_which_average_belongs_to_what_may_be_used(approved, kind, averages, told, why):
    assert lowest_average(approved, kind, averages) == told
