"""What is owed of a hood on a day: what no due day counts for waits, grace stands beside overdue, its life beside stops."""

import pytest

from surveys.core.life import life_of
from surveys.core.status import HIBERNATED, NOT_SURVEYED, OUT_OF_SERVICE, OVERDUE, RETIRED, status
from tests.surveys.core.histories import (
    FAILED,
    INSTALLED,
    PASSED,
    YEARLY_THEN_BARRED,
    day,
    event,
    hood,
    stop,
    survey,
)

MOVED = event("moved", "2026-05-01")
SLEPT = [event("hibernated", "2026-05-01"), event("woken", "2026-07-01")]
OPENED = event("opening-changed", "2026-06-01", opening=71)
GRACED = survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)
LATE = "2027-03-13"

OWED = [
    # facts, day, due day, group, why
    ([PASSED], "2026-05-01", "2027-03-12", "", "in date"),
    ([PASSED], LATE, "2027-03-12", OVERDUE, "late by a day"),
    ([INSTALLED], "2026-05-01", None, "waits", "never surveyed"),
    ([PASSED, MOVED], "2026-05-02", None, "waits", "a survey from before the move sets no day"),
    ([PASSED, MOVED], LATE, None, "waits", "nor is the hood ever late by it"),
    ([PASSED, *SLEPT], LATE, None, "waits", "nor by one from before its sleep"),
    ([PASSED, MOVED, survey(2, "pass", "2026-05-02")], LATE, "2027-05-02", "", "surveyed where it stands now"),
    ([PASSED, MOVED, survey(2, "fail", "2026-05-02")], LATE, None, "waits", "one that failed there grants nothing"),
    ([GRACED, MOVED], "2030-01-01", None, "waits", "its use does not end by a day that no longer counts"),
    ([PASSED, MOVED, stop("2026-05-02")], LATE, None, "waits", "a posted stop hides nothing of it"),
    ([FAILED], "2026-06-02", None, "waits", "failed its first survey"),
    ([PASSED, MOVED, survey(2, "pass", "2026-05-02", full=False)], "2026-05-02", None, OVERDUE, "not in full since"),
    ([PASSED, OPENED], "2026-06-02", "2027-03-12", "waits", "what was approved there has ended"),
    ([PASSED, OPENED], LATE, "2027-03-12", OVERDUE, "in one group, not in both"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "due", "group", "why"), OWED, ids=[row[4] for row in OWED])
def test_every_hood_is_owed_in_one_way(facts, on, due, group, why):
    found = status(hood(*facts), day(on))
    assert (found.due and found.due.on) == (due and day(due)), why
    assert ("waits" if found.waits else OVERDUE if found.flag(OVERDUE) else "") == group, why
    assert not (found.waits and found.flag(OVERDUE))


def test_control_the_same_survey_without_the_move_is_late():
    assert status(hood(PASSED), day(LATE)).flag(OVERDUE)
    assert status(hood(PASSED, MOVED), day(LATE)).code == NOT_SURVEYED


GRACE = [
    # facts, day, in grace until, why
    ([GRACED], "2027-03-12", None, "in date: no grace is needed"),
    ([GRACED], "2027-03-13", "2027-04-11", "overdue, and in grace"),
    ([GRACED], "2027-04-11", "2027-04-11", "the last day of grace"),
    ([GRACED], "2027-04-12", None, "grace is over"),
    ([PASSED], "2027-03-13", None, "a site without grace"),
    ([GRACED, MOVED], "2027-03-13", None, "no due day counts"),
    ([GRACED, event("hibernated", "2027-01-01")], "2027-03-13", None, "nothing is owed of a hood that sleeps"),
    ([GRACED, event("retired", "2027-01-01")], "2027-03-13", None, "nor of a retired one"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "until", "why"), GRACE, ids=[row[3] for row in GRACE])
def test_grace_stands_beside_overdue(facts, on, until, why):
    found = status(hood(*facts), day(on))
    assert found.in_grace_until == (until and day(until)), why
    assert not until or found.flag(OVERDUE), "in grace is never in date"


OUTAGE = event("out-of-service", "2026-05-01", until_on="2026-06-01")
LIVES = [
    # events, day, what the hood's life says, why
    ([INSTALLED], "2026-05-01", None, "in service"),
    ([OUTAGE], "2026-04-30", None, "not yet"),
    ([OUTAGE], "2026-06-01", OUT_OF_SERVICE, "to the last day"),
    ([OUTAGE], "2026-06-02", None, "over"),
    ([event("hibernated", "2026-05-01")], "2026-05-01", HIBERNATED, "asleep"),
    (SLEPT, "2026-07-01", None, "woken"),
    ([OUTAGE, event("retired", "2026-05-05")], "2026-05-05", RETIRED, "retired while it was out of service"),
]  # fmt: skip


@pytest.mark.parametrize(("events", "on", "life", "why"), LIVES, ids=[row[3] for row in LIVES])
def test_the_life_of_a_hood_is_what_its_events_say(events, on, life, why):
    assert life_of(events, day(on)) == life, why
    posted = status(hood(*events, stop("2026-01-01")), day(on))
    assert life in (None, OUT_OF_SERVICE) or posted.code == life
